"""The priority array against the rules of ANSI/ASHRAE 135 clause 19.2 and against a general BACnet library."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from random import Random
from typing import Any

import pytest
from bacpypes3.local.analog import AnalogOutputObject
from bacpypes3.primitivedata import Null, Real

from diag.timeline.play import play
from diag.timeline.priority_array import PriorityArray
from diag.timeline.standing import standing_at, written_at
from tests.diag.timeline.told import events, medium

SEQUENCES = 10_000
DEFAULT = 20.0


@pytest.mark.parametrize(
    ("written", "standing"),
    [
        ({8: "open", 16: "closed"}, "open"),
        ({16: "closed"}, "closed"),
        ({2: "open", 8: "closed"}, "open"),
        ({6: "off", 8: "on"}, "off"),
        ({}, None),
    ],
)
def test_the_lowest_numbered_filled_level_counts(written: dict[int, str], standing: str | None) -> None:
    array: PriorityArray[str] = PriorityArray()
    for level, value in written.items():
        array.write(value, level)

    assert array.standing() == standing


def test_zero_is_a_command_and_not_an_empty_slot() -> None:
    array: PriorityArray[float] = PriorityArray()
    array.write(55.0, 16)
    array.write(0.0, 8)

    assert array.standing() == 0.0
    assert array[8] == 0.0
    assert array.relinquish(8) == 0.0
    assert array.standing() == 55.0


def test_a_write_without_level_goes_to_the_last_and_relinquishing_twice_is_harmless() -> None:
    array: PriorityArray[str] = PriorityArray()
    array.write("open")

    assert array.slots() == (*[None] * 15, "open")
    assert (array.relinquish(), array.relinquish()) == ("open", None)


@pytest.mark.parametrize("level", [0, 17, -1])
def test_other_levels_are_refused(level: int) -> None:
    with pytest.raises(ValueError, match="1 to 16"):
        PriorityArray[str]().write("open", level)


def _run(asked: Coroutine[Any, Any, list[str]]) -> list[str]:
    """Run a coroutine in a thread of its own: browser tests leave an event loop running in the main one."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, asked).result()


def test_random_sequences_agree_with_a_bacnet_library() -> None:
    """Source: `AnalogOutputObject.write_property` of bacpypes3; ten thousand sequences run on from one another."""
    assert _run(_disagreements()) == []


async def _disagreements() -> list[str]:
    random = Random(19)
    theirs = _output()
    ours: PriorityArray[float] = PriorityArray()
    wrong = []
    for sequence in range(SEQUENCES):
        for _ in range(random.randint(1, 4)):
            level = random.choice((None, *range(1, 17)))
            value = random.choice((None, None, 0.0, 1.0, 55.0, 100.0))
            await theirs.write_property("presentValue", Null(()) if value is None else Real(value), None, level)
            written = () if level is None else (level,)
            if value is None:
                ours.relinquish(*written)
            else:
                ours.write(value, *written)
            standing = ours.standing()
            if (DEFAULT if standing is None else standing) != theirs.presentValue:
                wrong.append(f"sequence {sequence}: {standing} here, {theirs.presentValue} there")
        if ours.slots() != _slots(theirs):
            wrong.append(f"sequence {sequence}: {ours.slots()} here, {_slots(theirs)} there")
    return wrong


def test_writes_of_the_building_link_agree_with_a_bacnet_library() -> None:
    plan = medium()
    random = Random(7)
    lines = []
    for minute in range(300):
        says = random.choice(("write,0", "write,100", "relinquish,", "relinquish,"))
        lines.append(f"{8 + minute // 60:02}:{minute % 60:02},bl1,{says},zd,{random.randint(1, 16)}")
    told = events(plan, *lines)

    assert _run(_differing_moments(plan, told)) == []
    assert play(plan, told).refusals != ()


async def _differing_moments(plan, told) -> list[str]:  # type: ignore[no-untyped-def]
    theirs = _output()
    wrong = []
    for number, event in enumerate(told):
        value = Null(()) if event.event == "relinquish" else Real(event.value)
        await theirs.write_property("presentValue", value, None, event.priority)
        shares = {"close": 0.0, "open": 100.0}
        stands = standing_at(plan, told[: number + 1], event.at, ["zd"])["zd"].command
        ours = shares[stands.action] if stands else DEFAULT
        slots = tuple(shares[it.action] if it else None for it in written_at(plan, told[: number + 1], event.at, "zd"))
        if ours != theirs.presentValue or slots != _slots(theirs):
            wrong.append(f"{event.at}: {ours} here, {theirs.presentValue} there")
    return wrong


def _output() -> AnalogOutputObject:
    return AnalogOutputObject(
        objectIdentifier=("analog-output", 1),
        objectName="zone",
        presentValue=DEFAULT,
        relinquishDefault=DEFAULT,
        statusFlags=[0, 0, 0, 0],
        eventState="normal",
        outOfService=False,
        units="percent",
    )


def _slots(output: AnalogOutputObject) -> tuple[float | None, ...]:
    slots = [output.priorityArray[place] for place in range(16)]
    return tuple(None if it.null is not None else float(getattr(it, it._choice)) for it in slots)
