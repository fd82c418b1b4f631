"""Say what signals, sensors, contacts and link pairs should show, and what another kind of signal looks like."""

from __future__ import annotations

from collections.abc import Mapping

from diag.calculators.rs485 import END_OHM, LEAST_RESTING_V, pair_resistance_ohm
from diag.calculators.signals import named_signal, received, signal_from_value
from diag.calculators.temperature_sensors import Platinum, Sensor, Thermistor, lead_error_k, resistance_ohm, tolerance_k
from diag.expectations.lines import input_cable, line_ohm
from diag.expectations.words import listed, sensed, sensor_ohms, text_of, volts
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Input

SIGNALS: Mapping[str, str] = {"0-10v": "0, 5 and 10 V", "2-10v": "2, 6 and 10 V", "4-20ma": "4, 12 and 20 mA"}
"""For a command of nothing, half and all: the span shared out evenly."""

OUTPUT_SIGNALS: Mapping[str, str] = {"positioner-0-10v": "0-10v", "positioner-4-20ma": "4-20ma"}
SENDERS: Mapping[str, str] = {"0-10v": "0-10 V", "4-20ma": "4-20 mA"}
SENSORS: Mapping[str, Sensor] = {"pt1000": Platinum(), "ntc-10k": Thermistor()}
SERIAL = frozenset({"bacnet-mstp", "modbus-rtu"})
ENDS: Mapping[str, int] = {"both-ends": 2, "one-end": 1, "none": 0}
ROOM_C = (15.0, 20.0, 25.0)
OUTDOOR_PPM = 420.0
"""Outdoor air, 400 to 450 ppm: common practice, no source."""

MISREAD_OHM = 500.0
"""The resistor that turns 4-20 mA into 2-10 V."""


def of_sensor(situation: Situation, part: str) -> Expectation | None:
    """Return the signal of a sensor over its range, at its set point, and what a wrong kind would show."""
    it: Input = situation.scope.topology.site.inputs[part]
    signal = it.signal or ""
    if signal in SENSORS:
        return _of_resistor(it)
    if signal not in SENDERS or it.range_low is None or it.range_high is None:
        return None
    said = text_of(
        f"{SENDERS[signal].replace('-', ' to ')} for {it.range_low:g} to {sensed(it.range_high, it.unit or '')}",
        _at_set_point(it, it.range_low, it.range_high),
        _broken(signal),
    )
    return Expectation(said, calculated=True)


def _at_set_point(it: Input, low: float, high: float) -> str:
    if it.set_point is None or it.signal is None:
        return ""
    amount = signal_from_value(it.set_point, named_signal(SENDERS[it.signal]), low, high)
    unit = "V" if it.signal == "0-10v" else "mA"
    return f"At its set point of {sensed(it.set_point, it.unit or '')} that is {amount:.3g} {unit}"


def _broken(signal: str) -> str:
    if signal == "4-20ma":
        return "3.6 mA or less, or 21 mA or more, means a broken line or a failed sensor"
    least = received(4.0, named_signal("4-20 mA"), named_signal("0-10 V"), MISREAD_OHM)
    return (
        "0 V is the low end of the range or a broken wire, which this signal cannot tell apart. "
        f"Never below {least:g} V means that a 4 to 20 mA sensor feeds it"
    )


def _of_resistor(it: Input) -> Expectation:
    sensor = SENSORS[it.signal or ""]
    points = ", ".join(f"{sensor_ohms(resistance_ohm(sensor, at))} at {at:.0f} °C" for at in ROOM_C)
    made_of = "" if isinstance(sensor, Platinum) else f" (taken: B {sensor.b_kelvin:.0f} K)"
    at_set = (
        f"At its set point of {it.set_point:g} °C that is {sensor_ohms(resistance_ohm(sensor, it.set_point))}"
        if it.set_point is not None and it.unit == "C"
        else ""
    )
    other = Thermistor() if isinstance(sensor, Platinum) else Platinum()
    said = text_of(
        f"{points}{made_of}, with the sensor's cores off",
        at_set,
        f"About {sensor_ohms(resistance_ohm(other, 20.0))} at 20 °C means another kind of sensor",
        "Open means a break, near zero a short",
    )
    return Expectation(said, calculated=True)


def of_positioner(situation: Situation, drive: str) -> Expectation | None:
    """Return the position signal at a drive for nothing, half and all."""
    topology = situation.scope.topology
    output = topology.output_of(drive)
    kind = topology.site.outputs[output].kind if output else None
    signal = topology.site.drives[drive].signal or OUTPUT_SIGNALS.get(kind or "")
    if signal is None:
        return None
    others = listed((SIGNALS[it] for it in SIGNALS if it != signal), "or")
    said = text_of(
        f"{SIGNALS[signal]} for 0, 50 and 100 % of the command",
        f"{others} means that output or drive is set for another signal",
        f"Nothing at all means an open core{' or no command' if signal == '0-10v' else ''}",
    )
    return Expectation(said, calculated=True)


def beside_thermometer(situation: Situation, part: str) -> Expectation | None:
    """Return how far a sensor may be off, with what its class and its cable explain."""
    it: Input = situation.scope.topology.site.inputs[part]
    sensor = SENSORS.get(it.signal or "")
    if sensor is None or not isinstance(sensor, Platinum):
        return None
    cable_k = lead_error_k(sensor, line_ohm(situation, part)) if input_cable(situation, part) else 0.0
    said = text_of(
        "Within 1.5 degrees",
        f"Its class B explains {tolerance_k(20.0):.1f} degrees at 20 °C"
        + (f", its two-wire cable {cable_k:.1f} degrees too high" if cable_k else ""),
        "Far off means another kind of sensor, a wrong range or a bad line",
    )
    return Expectation(said, calculated=True)


def outdoors(situation: Situation, part: str) -> Expectation | None:
    """Return what a carbon dioxide sensor shows and sends in outdoor air."""
    it: Input = situation.scope.topology.site.inputs[part]
    signal = it.signal or ""
    if it.kind != "co2" or signal not in SENDERS or it.range_low is None or it.range_high is None:
        return None
    amount = signal_from_value(OUTDOOR_PPM, named_signal(SENDERS[signal]), it.range_low, it.range_high)
    unit = "V" if signal == "0-10v" else "mA"
    said = text_of(
        f"400 to 450 ppm, which it sends as about {amount:.3g} {unit}",
        f"The right {unit} with a wrong figure shown means a wrong range; both wrong means it has drifted",
    )
    return Expectation(said, calculated=True)


def of_contact(situation: Situation, part: str) -> Expectation | None:
    """Return what the contacts of a switch read used and not used."""
    it: Input = situation.scope.topology.site.inputs[part]
    if it.contact is None:
        return None
    used, rest = ("open", "below 1 ohm") if it.contact == "normally-closed" else ("below 1 ohm", "open")
    said = text_of(
        f"{used[0].upper()}{used[1:]} while used, {rest} at rest: it is {it.contact.replace('-', ' ')}",
        "The reverse means the other kind of contact is fitted",
    )
    return Expectation(said, calculated=True)


def at_input(situation: Situation, part: str) -> Expectation | None:
    """Return how the voltage at an input changes when it is used."""
    it: Input = situation.scope.topology.site.inputs[part]
    if it.contact is None or it.end_of_line_ohm is not None or it.signal not in (None, "contact"):
        return None
    used, rest = ("open", "closed") if it.contact == "normally-closed" else ("closed", "open")
    said = text_of(
        f"It changes clearly between used and at rest: the contact is {rest} at rest and {used} while used",
        f"As at rest all the time means {'a short' if rest == 'closed' else 'an open core'} or a dead contact",
        f"As while used all the time means {'an open core' if used == 'open' else 'a short'} or a stuck contact",
    )
    return Expectation(said, calculated=True)


def link_termination(situation: Situation, link: str) -> Expectation | None:
    """Return the ohms across an unpowered two-wire link."""
    described = situation.scope.topology.site.links[link]
    if described.protocol not in SERIAL or described.termination is None:
        return None
    counts = (2, 1, 3)
    right, missing, many = (f"{pair_resistance_ohm(it):.0f} ohm" for it in counts)
    fitted = ENDS[described.termination]
    said = text_of(
        f"About {right}: {END_OHM:.0f} ohm at each of the two ends and nowhere else",
        "" if fitted == 2 else f"As described it would read {'about ' + missing if fitted else 'open'}",
        f"About {missing} means one is missing or the pair is broken, about {many} one too many",
    )
    return Expectation(said, calculated=True)


def link_at_rest(situation: Situation, link: str) -> Expectation | None:
    """Return the voltage across a two-wire link at rest."""
    described = situation.scope.topology.site.links[link]
    if described.protocol not in SERIAL:
        return None
    least = volts(LEAST_RESTING_V)
    said = text_of(
        f"Above +{least} at rest, the same sign at all devices",
        f"Below -{least} means plus and minus are exchanged at this device",
        "Between the two means no bias, a short, or too many end resistors",
    )
    return Expectation(said, calculated=True)
