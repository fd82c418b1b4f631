"""Name the fact that joins a part on which something is noticed to another kind of part that may be at fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diag.errors import DiagError

SOURCES = ("controller", "output", "cable", "junction")

JOINS: Mapping[tuple[str, str], str] = {
    ("zone", "drive"): "drive: {part: FAULTY, zone: NOTICED}",
    ("zone", "opening"): "opening: {part: FAULTY, zone: NOTICED}",
    ("zone", "fan"): "fan: {part: FAULTY, zone: NOTICED}",
    ("zone", "input"): "commands: {input: FAULTY, zone: NOTICED}",
    ("zone", "link"): "link: {part: FAULTY, zone: NOTICED}",
    ("zone", "lockout"): "lockout: {part: FAULTY, zone: NOTICED}",
    ("zone", "schedule"): "schedule: {part: FAULTY, zone: NOTICED}",
    **{("zone", it): f"serves: {{zone: NOTICED, source: FAULTY, source_kind: {it}}}" for it in SOURCES},
    **{("drive", it): f"feeds: {{consumer: NOTICED, source: FAULTY, source_kind: {it}}}" for it in SOURCES},
    **{("fan", it): f"feeds: {{consumer: NOTICED, source: FAULTY, source_kind: {it}}}" for it in SOURCES},
    ("drive", "opening"): "moved-by: {drive: NOTICED, opening: FAULTY}",
    ("drive", "zone"): "drive: {part: NOTICED, zone: FAULTY}",
    ("opening", "drive"): "moved-by: {opening: NOTICED, drive: FAULTY}",
    ("opening", "zone"): "opening: {part: NOTICED, zone: FAULTY}",
    ("fan", "zone"): "fan: {part: NOTICED, zone: FAULTY}",
    ("fan", "opening"): "fan: {part: NOTICED, damper: FAULTY}",
    ("output", "drive"): "drive: {part: FAULTY, output: NOTICED}",
    ("output", "controller"): "output: {part: NOTICED, controller: FAULTY}",
    ("input", "zone"): "commands: {input: NOTICED, zone: FAULTY}",
    ("input", "controller"): "input: {part: NOTICED, controller: FAULTY}",
    ("link", "controller"): "link: {part: NOTICED, controller: FAULTY}",
    ("controller", "output"): "output: {part: FAULTY, controller: NOTICED}",
    ("controller", "input"): "input: {part: FAULTY, controller: NOTICED}",
    ("controller", "link"): "link: {part: FAULTY, controller: NOTICED}",
    ("controller", "zone"): "zone: {part: FAULTY, controller: NOTICED}",
}
"""The fact that joins the kind of part with the symptom to the kind of part with the fault."""


class NotJoined(DiagError):
    """No single fact leads from the part with the symptom to the part with the fault."""

    def __init__(self, kind: str, sits_at: str, joined: Sequence[str]) -> None:
        reached = ", ".join(joined) or "no other kind of part"
        super().__init__(
            f"No single fact joins a {kind} to a {sits_at}. From a {kind} a skeleton reaches: {reached}."
            " Leave --sits-at out and join the two in the rule by two facts."
        )


def join_of(kind: str, sits_at: str, here: str, there: str) -> str:
    """Return the fact, as a rule or case writes it, with these names for the two parts; raise NotJoined."""
    join = JOINS.get((kind, sits_at))
    if join is None:
        raise NotJoined(kind, sits_at, [end for start, end in JOINS if start == kind])
    return join.replace("NOTICED", here).replace("FAULTY", there)
