"""Find checks that say nothing of a cause that names them: where they are made is never joined to where it sits."""

from __future__ import annotations

from collections.abc import Iterator

from diag.lint_grounds import Ground, grounds
from diag.options import REACH_KINDS
from diag.scope import is_stand_in
from knowledge.entries import Cause, Check
from knowledge.faults import Fault
from knowledge.load import Knowledge


def lint_joined_checks(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield each check of a cause that is joined to its part on no demo site and for no stand-in."""
    sites = list(grounds(knowledge))
    known: dict[tuple[str, str, str, str], bool] = {}
    for cause in knowledge.causes.values():
        for index, evidence in enumerate(cause.checks):
            check = knowledge.checks.get(evidence.check)
            if check is None:
                continue
            key = (cause.sits_at, cause.reach, check.at, str(check.where))
            if key not in known:
                known[key] = any(_joined(ground, cause, check) for ground in sites)
            if not known[key]:
                path = ("checks", index, "check")
                yield knowledge.files[f"Cause:{cause.id}"].fault(path, _message(cause, check, evidence.decisive))


def _message(cause: Cause, check: Check, decisive: bool) -> str:
    what = f"the decisive check {check.id}" if decisive else check.id
    return (
        f"{what} is made at the {check.at}, which is never joined to the {cause.sits_at} where {cause.id} sits, so it"
        f" decides nothing; take a check at the {cause.sits_at}, at its zone or at its controller"
    )


def _joined(ground: Ground, cause: Cause, check: Check) -> bool:
    places = [part for part in ground.parts(check.at) if _fits(ground, check, part)]
    shared = REACH_KINDS[cause.reach]
    return any(ground.scope.reaches(source, part, shared) for source in ground.parts(cause.sits_at) for part in places)


def _fits(ground: Ground, check: Check, part: str) -> bool:
    described = ground.prepared.described
    fields = described.common(part[1:]) if is_stand_in(part) else described.fields(part)
    return all(fields.get(name, "unknown") in allowed for name, allowed in check.where.items())
