"""Place each observed symptom on the part, or the stand-in, that the rules about it speak of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from diag.observations import Observed
from diag.scope import Scope, stand_in
from diag.topology import Ids
from knowledge.entries import Symptom

MOST_ZONES = 3


def choose_parts(plain: Scope, named: Iterable[str]) -> dict[str, str]:
    """Return, per kind, the one part that the named parts are about, where their chains leave only one.

    `plain` is the scope in which nothing is chosen yet.
    """
    chosen: dict[str, str] = {}
    for part in named:
        by_kind: dict[str, list[str]] = {}
        for linked in sorted(plain.chain(part)):
            by_kind.setdefault(plain.kind(linked), []).append(linked)
        by_kind[plain.kind(part)] = [part]
        for kind, parts in by_kind.items():
            if len(parts) == 1:
                chosen.setdefault(kind, parts[0])
    return chosen


def place(scope: Scope, seen: Observed, symptom: Symptom) -> tuple[Observed, ...]:
    """Return the symptom once for each part it is about, with the part filled in."""
    parts = _parts_meant(scope, symptom) if seen.part is None else _converted(scope, seen.part, symptom)
    return tuple(replace(seen, part=part) for part in parts)


def _parts_meant(scope: Scope, symptom: Symptom) -> Ids:
    parts: list[str] = []
    for kind in symptom.about:
        if kind == "input" and symptom.input_kinds and "input" not in scope.chosen:
            parts += scope.inputs_meant(symptom.input_kinds) or (stand_in(f"input-{symptom.input_kinds[0]}"),)
        else:
            parts.append(scope.one(kind))
    return tuple(parts)


def _converted(scope: Scope, part: str, symptom: Symptom) -> Ids:
    if scope.kind(part) in symptom.about:
        return (part,)
    for kind in symptom.about:
        linked = _linked(scope, part, kind, symptom.input_kinds)
        if len(linked) == 1 or (kind == "zone" and 1 < len(linked) <= MOST_ZONES):
            return tuple(linked)
        if linked:
            return (stand_in(f"input-{symptom.input_kinds[0]}" if kind == "input" else kind),)
    return (stand_in(symptom.about[0]),)


def _linked(scope: Scope, part: str, kind: str, input_kinds: Sequence[str]) -> list[str]:
    linked = [it for it in sorted(scope.closure([part])) if scope.kind(it) == kind]
    if kind != "input" or not input_kinds:
        return linked
    inputs = scope.topology.site.inputs
    return [it for it in linked if it in inputs and inputs[it].kind in input_kinds]
