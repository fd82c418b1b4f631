"""Say which cause a closed case counts for, when base rates are learned from it."""

from __future__ import annotations

from api.cases.state import CaseState
from diag.likelihoods import SOMETHING_ELSE

NOT_FOUND = frozenset({"not-found"})
"""Outcomes that take back what was confirmed before."""


def cause_found(state: CaseState) -> str | None:
    """Return the confirmed cause of a closed case; None where none was found or its repair failed."""
    confirmed = state.confirmed
    if state.status != "closed" or confirmed is None or state.outcome in NOT_FOUND:
        return None
    cause: str = confirmed["cause"]
    helped = [
        it.get("helped") for it in state.repairs if it["cause"] == cause and it.get("part") == confirmed.get("part")
    ]
    if cause == SOMETHING_ELSE or helped[-1:] == [False]:
        return None
    return cause
