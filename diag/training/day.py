"""A day of commands to one zone, made up: who presses when, when it rains, and when somebody asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from random import Random

from diag.timeline.plan import InputPlan
from diag.training.item import Level, Value
from diag.training.workshop import Workshop

CALM, STORM = 2, 14
"""Wind in m/s that is nothing, and that is above any usual limit."""

COURSES: Mapping[Level, tuple[str, ...]] = {
    1: ("hand", "hand", "over"),
    2: ("two", "weather"),
    3: ("both", "late", "two"),
}
"""How a day may go: one hand command; one whose hold-off is over; two; weather; a hand command before or after it."""


@dataclass(frozen=True, slots=True)
class Weather:
    """Rain or wind: the input that sees it, when it begins and when it ends."""

    part: str
    begins: str
    ends: str


@dataclass(frozen=True, slots=True)
class Day:
    """What happens to a zone: when its sensor begins to ask, hand commands, weather, and when somebody asks.

    Times are `10:05` on the site's clock.
    """

    zone: str
    date: date
    asks: str
    sensor: str
    presses: tuple[str, ...]
    switch: str
    weather: Weather | None
    asked: str


def keep_day(day: Day) -> dict[str, Value]:
    """Return a day as evidence."""
    return {
        "zone": day.zone,
        "date": day.date.isoformat(),
        "asks": day.asks,
        "sensor": day.sensor,
        "presses": day.presses,
        "switch": day.switch,
        "weather": (day.weather.part, day.weather.begins, day.weather.ends) if day.weather else (),
        "asked": day.asked,
    }


def kept_day(evidence: Mapping[str, Value]) -> Day:
    """Return the day that an evidence keeps."""
    presses, weather = evidence["presses"], evidence["weather"]
    assert isinstance(presses, tuple)
    assert isinstance(weather, tuple)
    return Day(
        zone=str(evidence["zone"]),
        date=date.fromisoformat(str(evidence["date"])),
        asks=str(evidence["asks"]),
        sensor=str(evidence["sensor"]),
        presses=presses,
        switch=str(evidence["switch"]),
        weather=Weather(*weather) if weather else None,
        asked=str(evidence["asked"]),
    )


def draw_day(workshop: Workshop, rng: Random, level: Level) -> Day | None:
    """Return a summer day for a zone that a sensor opens; None where the site has none such."""
    zones = [it for it in sorted(workshop.plan.zones) if _sensor(workshop, it) and _switch(workshop, it)]
    if not zones:
        return None
    zone = rng.choice(zones)
    weather = _weather(workshop, zone, rng)
    hold = int(workshop.plan.zones[zone].hold_off.total_seconds() // 60)
    course = _course(rng, rng.choice(COURSES[level]), hold, weather is not None)
    sensor, switch = _sensor(workshop, zone), _switch(workshop, zone)
    assert sensor is not None
    assert switch is not None
    return Day(
        zone=zone,
        date=date(workshop.today.year, 6 + rng.randrange(2), 1 + rng.randrange(28)),
        asks=clock_from(course.asks),
        sensor=sensor.part,
        presses=tuple(map(clock_from, course.presses)),
        switch=switch.part,
        weather=Weather(weather.part, *map(clock_from, course.wet)) if weather and course.wet else None,
        asked=clock_from(course.asked),
    )


@dataclass(frozen=True, slots=True)
class _Course:
    """How a day goes, in minutes from midnight."""

    asks: int
    presses: tuple[int, ...]
    wet: tuple[int, int] | None
    asked: int


def _course(rng: Random, name: str, hold: int, has_weather: bool) -> _Course:
    start = 9 * 60 + 5 * rng.randrange(12)
    first = start + 5 * rng.randrange(3, 9)
    rain = first + 5 * rng.randrange(1, 4)
    wet = (rain, rain + 5 * rng.randrange(2, 8)) if has_weather and name in ("weather", "both", "late") else None
    presses: tuple[int, ...] = (first,)
    if name == "two":
        presses = (first, first + rng.randrange(5, max(6, hold - 3)))
    elif name == "weather" and wet:
        presses = ()
    elif name == "late" and wet:
        presses = (wet[1] + 25,)
    last = max([*presses, *(wet or ())])
    if name == "over":
        asked = last + hold + 5 * rng.randrange(1, 4)
        return _Course(asked, presses, wet, asked)
    return _Course(start, presses, wet, last + rng.randrange(2, 14))


def clock_from(minutes: int) -> str:
    """Return minutes from midnight as a time of day."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def minutes_from(clock: str) -> int:
    """Return a time of day as minutes from midnight."""
    return int(clock[:2]) * 60 + int(clock[3:])


def _inputs(workshop: Workshop, zone: str) -> tuple[InputPlan, ...]:
    return workshop.plan.inputs_by_zone.get(zone, ())


def _sensor(workshop: Workshop, zone: str) -> InputPlan | None:
    found = (it for it in _inputs(workshop, zone) if it.command_class == "automatic" and it.active_does == "open")
    return next(found, None) if workshop.plan.zones[zone].automatic_off_by is None else None


def _switch(workshop: Workshop, zone: str) -> InputPlan | None:
    return next((it for it in _inputs(workshop, zone) if it.command_class == "manual"), None)


def _weather(workshop: Workshop, zone: str, rng: Random) -> InputPlan | None:
    found = [
        it
        for it in _inputs(workshop, zone)
        if it.command_class in ("rain", "wind") and workshop.plan.lockouts_by_input.get(it.part)
    ]
    return rng.choice(found) if found else None
