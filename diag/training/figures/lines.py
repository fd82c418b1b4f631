"""Ohms of cables, supervised lines and sensors."""

from __future__ import annotations

from collections.abc import Mapping
from random import Random

from diag.calculators.conductors import core_resistance_ohm
from diag.calculators.supervised_lines import SupervisedLine, contact_states
from diag.calculators.temperature_sensors import resistance_ohm
from diag.expectations.lines import CONTACTS
from diag.expectations.signals import SENSORS
from diag.site import Input
from diag.site_circuits import TAKEN_CLASS, TAKEN_TEMPERATURE_C
from diag.training.figures.figure import Asked, Figure, Guess, Setting
from diag.training.workshop import Workshop

LEAST_LOOP_OHM = 0.2
"""Below this a common meter shows little but its leads: judgement."""

COLDEST_C, WARMEST_C = -10, 41
SHORTEST_SHARE, LONGEST_SHARE = 0.4, 0.9
"""How far along a cable the cores are joined, as shares of its length."""


def _cables(workshop: Workshop, rng: Random) -> list[Setting]:
    found: list[Setting] = []
    for cable in sorted(workshop.prepared.site.cables):
        length_m = workshop.prepared.site.cables[cable].length_m or 0.0
        at_m = max(1.0, round(length_m * rng.uniform(SHORTEST_SHARE, LONGEST_SHARE)))
        if length_m and _core_ohm(workshop, cable) * at_m / length_m * 2 >= LEAST_LOOP_OHM:
            found.append((cable, at_m))
    return found


def _core_ohm(workshop: Workshop, cable: str) -> float:
    it = workshop.prepared.site.cables[cable]
    if not it.length_m or not it.area_mm2:
        return 0.0
    temperature_c = TAKEN_TEMPERATURE_C if it.temperature_c is None else it.temperature_c
    return core_resistance_ohm(it.length_m, it.area_mm2, it.conductor_class or TAKEN_CLASS, temperature_c)


def _loop(workshop: Workshop, setting: Setting) -> Figure:
    cable, at_m = str(setting[0]), float(setting[1])
    length_m, whole = workshop.prepared.site.cables[cable].length_m or 0.0, _core_ohm(workshop, cable)
    per_km = round(whole / length_m * 1000, 1)
    one = per_km * at_m / 1000
    return Figure(
        part=cable,
        says=workshop.phrases.say(
            "loop", cable=workshop.part(cable), length=f"{length_m:g}", at=f"{at_m:g}", per_km=f"{per_km:.1f}"
        ),
        unit="ohm",
        decimals=2,
        right=2 * one,
        apart=0.25 * one,
        because=f"{at_m:g} m of one core have {one:.2f} ohm. The current goes there and back, so it counts twice.",
        guesses=(
            Guess(one, "That is one core; the current goes there and back."),
            Guess(one / 2, "The two cores are in series, not side by side."),
            Guess(4 * one, "Two cores count twice, not four times."),
        ),
    )


def _supervised(workshop: Workshop, rng: Random) -> list[Setting]:
    site = workshop.prepared.site
    lines = [it for it in sorted((*site.outputs, *site.inputs)) if _line(workshop, it)]
    alarms = [it for it in lines if it in site.inputs and site.inputs[it].alarm_resistor_ohm]
    return [
        *((it, rng.choice(("line-healthy", "line-second"))) for it in lines),
        *((it, "line-alarm") for it in alarms),
    ]


def _line(workshop: Workshop, part: str) -> SupervisedLine | None:
    site = workshop.prepared.site
    described = site.outputs.get(part) or site.inputs.get(part)
    end_ohm = getattr(described, "end_of_line_ohm", None)
    if end_ohm is None:
        return None
    alarm = described.alarm_resistor_ohm if isinstance(described, Input) else None
    return SupervisedLine(end_ohm, alarm, contact=CONTACTS.get(getattr(described, "contact", None), "normally open"))


def _supervised_line(workshop: Workshop, setting: Setting) -> Figure:
    part, state = str(setting[0]), str(setting[1])
    line = _line(workshop, part)
    assert line is not None
    end, alarm = line.end_ohm, line.contact_ohm or 0.0
    right = {"line-healthy": end, "line-second": end / 2, "line-alarm": contact_states(line).get("one contact", end)}
    said = {
        "line-healthy": "A sound line shows its end-of-line resistor.",
        "line-second": "Two equal resistors side by side show half of one.",
        "line-alarm": "The alarm resistor lies across the line, beside the end-of-line resistor."
        if line.contact == "normally open"
        else "The alarm resistor lies in series with the end-of-line resistor.",
    }
    guesses = [
        Guess(end, "That is the sound line with its own resistor alone."),
        Guess(end / 2, "That is two end-of-line resistors side by side."),
        Guess(2 * end, "Side by side they show less than one, not more."),
        Guess(0.0, "Nothing is shorted here."),
    ]
    if alarm:
        guesses.insert(1, Guess(end + alarm, "The resistors do not lie one after the other here."))
    return Figure(
        part=part,
        says=workshop.phrases.say(state, part=workshop.part(part), end=f"{end:g}", alarm=f"{alarm:g}"),
        unit="ohm",
        decimals=0,
        right=right[state],
        apart=0.05 * end,
        because=said[state],
        guesses=tuple(guesses),
    )


def _sensors(workshop: Workshop, rng: Random) -> list[Setting]:
    inputs = workshop.prepared.site.inputs
    return [(it, rng.randrange(COLDEST_C, WARMEST_C)) for it in sorted(inputs) if inputs[it].signal in SENSORS]


def _sensor_ohms(workshop: Workshop, setting: Setting) -> Figure:
    part, at_c = str(setting[0]), float(setting[1])
    signal = workshop.prepared.site.inputs[part].signal or ""
    is_platinum = signal == "pt1000"
    right = resistance_ohm(SENSORS[signal], at_c)
    base_c, base_ohm = (0.0, 1000.0) if is_platinum else (25.0, 10_000.0)
    other_way = resistance_ohm(SENSORS[signal], 2 * base_c - at_c)
    other = resistance_ohm(SENSORS["ntc-10k" if is_platinum else "pt1000"], at_c)
    rises = "rises by about 3.9 ohm" if is_platinum else "falls by about 4 to 5 per cent"
    return Figure(
        part=part,
        says=workshop.phrases.say(
            "sensor-ohms", part=workshop.part(part), sensor=workshop.phrases.term(signal), value=f"{at_c:g}"
        ),
        unit="ohm",
        decimals=0,
        right=right,
        apart=0.015 * right,
        because=f"It has {base_ohm:g} ohm at {base_c:g} °C and {rises} with each degree.",
        guesses=(
            Guess(other_way, f"It goes the other way: its resistance {rises} with each degree."),
            Guess(base_ohm, f"That is its value at {base_c:g} °C."),
            Guess(other, "That is a sensor of the other kind."),
        ),
    )


LINES: Mapping[str, Asked] = {
    it.name: it
    for it in (
        Asked("loop", _cables, _loop),
        Asked("supervised-line", _supervised, _supervised_line),
        Asked("sensor-ohms", _sensors, _sensor_ohms),
    )
}
