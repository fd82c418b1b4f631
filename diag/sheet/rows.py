"""Make the rows of a proving sheet: for each part its tests, the movement and the reading to expect."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.expectations import expect, in_short
from diag.facts import Situation
from diag.sheet.movements import movement_at
from diag.sheet.proving_tests import TESTS, ProvingTest
from knowledge.entries import Check
from knowledge.load import Knowledge

CALCULATED = frozenset(
    {
        "volts-mains",
        "volts-supply-idle",
        "volts-supply-loaded",
        "current-supply-total",
        "volts-charger",
        "volts-battery-rest",
        "volts-battery-load",
        "ohms-end-of-line",
        "ohms-detector-line",
        "signal-sensor",
        "co2-outdoors",
        "volts-output",
        "current-output",
    }
)
"""Tests that are left out where nothing can be calculated, as the part has then nothing of the kind to test."""


@dataclass(frozen=True, slots=True)
class Row:
    """One test at one part. `unit` is that of the reading to write down, None for something to see.

    `passed` says in words what a pass looks like; `reading` the value to expect, with its tolerance.
    """

    check: str
    part: str
    test: str
    movement: str
    reading: str
    unit: str | None
    passed: str
    passes: tuple[str, ...]

    @property
    def ref(self) -> str:
        """Return what the row is called when its result is typed back."""
        return f"{self.check}@{self.part}"


def rows_of(knowledge: Knowledge, situation: Situation, part: str) -> tuple[Row, ...]:
    """Return the tests of one part in the order in which they are made; those that do not fit it are left out."""
    return tuple(_rows(knowledge, situation, part))


def _rows(knowledge: Knowledge, situation: Situation, part: str) -> Iterator[Row]:
    for test in TESTS.get(situation.scope.kind(part), ()):
        check = knowledge.checks.get(test.check)
        if check is not None and _fits(situation, check, part):
            yield _row(situation, check, test, part)


def _fits(situation: Situation, check: Check, part: str) -> bool:
    """Return whether a part is known to be one the check is for; what is not known is not left out."""
    fields = situation.described.fields(part)
    if any(fields.get(name, "unknown") not in allowed for name, allowed in check.where.items()):
        return False
    if any(fields.get(name, "unknown") == "unknown" for name in check.where if name in NEEDED):
        return False
    if check.id in CALCULATED and not expect(check, situation, part).calculated:
        return False
    return _makes_sense(situation, check, part)


NEEDED = frozenset({"battery", "drives", "kind", "output_kind", "smoke", "supervised", "wire"})
"""Facts that must be known for a test that asks for them to be printed: an unknown battery is not tested."""


def _makes_sense(situation: Situation, check: Check, part: str) -> bool:
    topology = situation.scope.topology
    if check.id == "try-switch-directions":
        return "manual" in _classes(situation, part)
    if check.id == "try-automatic":
        return "automatic" in _classes(situation, part)
    if check.id == "read-hold-off":
        return topology.site.zones[part].hold_off_minutes is not None
    if check.id in ("try-tap", "try-hold"):
        it = topology.site.inputs[part]
        return bool(it.tap_does if check.id == "try-tap" else it.hold_does)
    if check.id == "look-input-lamp":
        return topology.site.inputs[part].kind not in ("detector-line", "call-point", "link")
    if check.id == "insulation-earth":
        return topology.site.cables[part].from_ in topology.site.outputs
    if check.id in ("volts-output", "current-output"):
        return bool(topology.consumers_of_output(part))
    return True


def _classes(situation: Situation, zone: str) -> set[str | None]:
    topology = situation.scope.topology
    return {topology.site.inputs[it].command_class for it in topology.inputs_of_zone(zone)}


def _row(situation: Situation, check: Check, test: ProvingTest, part: str) -> Row:
    expected = expect(check, situation, part)
    movement = movement_at(situation, check.id, part) if test.moves else ""
    labels = {it.id: it.label for it in check.outcomes}
    passed = labels.get(test.passes[0], test.passes[0]).replace("{expect}", in_short(expected.text))
    is_reading = check.reading is not None or check.kind == "measure"
    return Row(
        check=check.id,
        part=part,
        test=check.name,
        movement=movement,
        reading=in_short(expected.text) if is_reading or not movement else "",
        unit=check.reading.unit if check.reading else None,
        passed=passed,
        passes=test.passes,
    )
