"""Signals of sensors over their range, and the seconds of a movement."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from diag.calculators.signals import named_signal, signal_from_value
from diag.calculators.travel import travel_time_s
from diag.expectations.movement import limit_mm
from diag.expectations.signals import SENDERS
from diag.expectations.words import sensed
from diag.training.figures.figure import Asked, Figure, Guess, Setting
from diag.training.workshop import Workshop

PARTS_OF_WAY = tuple(step / 100 for step in range(20, 101))
"""Shares of the travel that are timed."""

SHARES = tuple(step / 20 for step in range(2, 19) if step != 10)


def _ranged(workshop: Workshop, rng: Random) -> list[Setting]:
    inputs = workshop.prepared.site.inputs
    return [
        (it, rng.choice(SHARES))
        for it in sorted(inputs)
        if inputs[it].signal in SENDERS and inputs[it].range_low is not None and inputs[it].range_high is not None
    ]


def _sensor_signal(workshop: Workshop, setting: Setting) -> Figure:
    part, share = str(setting[0]), float(setting[1])
    it = workshop.prepared.site.inputs[part]
    low, high = it.range_low or 0.0, it.range_high or 0.0
    signal = named_signal(SENDERS[it.signal or ""])
    value = low + share * (high - low)
    unit = "V" if signal.kind == "voltage" else "mA"
    span, per_cent = signal.high - signal.low, f"{share:.0%}"
    ends = f"{signal.low:g} to {signal.high:g} {unit}"
    return Figure(
        part=part,
        says=workshop.phrases.say(
            "sensor-signal",
            part=workshop.part(part),
            signal=ends,
            low=f"{low:g}",
            high=f"{high:g}",
            value=f"{value:g}",
            unit=sensed(0, it.unit or "").partition(" ")[2],
        ),
        unit=unit,
        decimals=1,
        right=signal_from_value(value, signal, low, high),
        apart=0.04 * span,
        because=f"{value:g} is {per_cent} of the range: {per_cent} of {span:g} {unit} on top of {signal.low:g} {unit}.",
        guesses=_signal_guesses(share, signal.low, signal.high, unit),
    )


def _signal_guesses(share: float, low: float, high: float, unit: str) -> tuple[Guess, ...]:
    turned = Guess(high - share * (high - low), f"The signal rises with the value, from {low:g} {unit} up.")
    if low > 0:
        return (
            Guess(share * high, f"The signal begins at {low:g} {unit}, not at nothing."),
            Guess(share * (high - low), f"The {low:g} {unit} that stand for the low end are left out."),
            Guess(low + share * high, f"The span is {high - low:g} {unit}, not {high:g}."),
            turned,
        )
    fifth = high / 5
    return (
        Guess(fifth + share * (high - fifth), f"That is a signal that begins at {fifth:g} {unit}."),
        turned,
        Guess(share * high / 2, f"The range is spread over {high:g} {unit}, not over half of it."),
    )


def _drives(workshop: Workshop, rng: Random) -> list[Setting]:
    drives = workshop.prepared.site.drives
    return [
        (it, rng.choice(("travel-manual", "travel-automatic")), rng.choice(PARTS_OF_WAY))
        for it in sorted(drives)
        if drives[it].stroke_mm
        and drives[it].manual_speed_mm_s
        and drives[it].automatic_speed_mm_s not in (None, drives[it].manual_speed_mm_s)
        and limit_mm(workshop.situation, drives[it]) is None
    ]


def _travel(workshop: Workshop, setting: Setting) -> Figure:
    drive, command, share = str(setting[0]), str(setting[1]), float(setting[2])
    it = workshop.prepared.site.drives[drive]
    stroke, manual, automatic = it.stroke_mm or 0.0, it.manual_speed_mm_s or 1.0, it.automatic_speed_mm_s or 1.0
    speed, other = (manual, automatic) if command == "travel-manual" else (automatic, manual)
    way = round(share * stroke)
    return Figure(
        part=drive,
        says=workshop.phrases.say(
            command,
            part=workshop.part(drive),
            stroke=f"{stroke:g}",
            manual=f"{manual:g}",
            automatic=f"{automatic:g}",
            way=f"{way:g}",
        ),
        unit="s",
        decimals=0,
        right=travel_time_s(way, speed),
        apart=0.15 * way / speed,
        because=f"{way:g} mm at {speed:g} mm/s take {way / speed:.0f} s.",
        guesses=_travel_guesses(stroke, way, speed, other),
    )


def _travel_guesses(stroke: float, way: float, speed: float, other: float) -> tuple[Guess, ...]:
    whole = [Guess(stroke / speed, "That is the time for the whole travel.")] if way < stroke else []
    return (
        Guess(way / other, f"That is the time at {other:g} mm/s, the other speed."),
        *whole,
        Guess(2 * way / speed, "That is there and back."),
        Guess(way / speed + way / other, "The speeds belong to two kinds of command, not to one movement."),
        Guess(way / (speed + other), "The two speeds do not add up."),
    )


MOVEMENT: Mapping[str, Asked] = {
    it.name: it for it in (Asked("sensor-signal", _ranged, _sensor_signal), Asked("travel", _drives, _travel))
}
