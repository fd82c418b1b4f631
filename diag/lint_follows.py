"""Find causes that say what one check shows and leave out another that must show the same."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from knowledge.entries import Cause
from knowledge.faults import Fault
from knowledge.load import Knowledge

FOLLOWS: Mapping[tuple[str, str], tuple[str, str]] = {
    ("volts-output", "none"): ("volts-drive", "what does not leave the output does not arrive at the drive"),
}
"""For an outcome of a check, the check that follows from it, and why. Common practice, no source."""

TELLING = frozenset({"always", "usually", "often"})


def lint_follows(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield each cause that leaves out a check which follows: unnamed, it counts as good and so against the cause."""
    for cause in knowledge.causes.values():
        for index, check, message in _left_out(knowledge, cause):
            path = ("checks", index, "outcomes")
            yield knowledge.files[f"Cause:{cause.id}"].fault(path, f"{message}; add {check}")


def _left_out(knowledge: Knowledge, cause: Cause) -> Iterator[tuple[int, str, str]]:
    named = {it.check for it in cause.checks}
    for index, evidence in enumerate(cause.checks):
        for (check, outcome), (following, why) in FOLLOWS.items():
            told = evidence.check == check and evidence.outcomes.get(outcome) in TELLING
            if told and following in knowledge.checks and following not in named:
                yield index, following, f"{cause.id} shows {outcome} at {check} and does not name {following}: {why}"
