"""Say what ohms to expect on cables and supervised lines, and what other ohms mean."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from diag.calculators.conductors import core_resistance_ohm
from diag.calculators.insulation import insulation_test
from diag.calculators.supervised_lines import State, SupervisedLine, Window, windows
from diag.expectations.borders import END_OF_LINE_TOLERANCE, EXTRA_LOW_V, HALF_HIGH, HALF_LOW, OPEN_OHM, SHORT_OHM
from diag.expectations.circuit import lay_out_output, loop_ohm
from diag.expectations.words import named, ohms, taken, text_of, volts
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Cable, Input
from diag.site_circuits import TAKEN_CLASS, TAKEN_TEMPERATURE_C, supply_voltage_v

CONTACTS: Mapping[str | None, Literal["normally open", "normally closed"]] = {"normally-closed": "normally closed"}


def end_of_line(situation: Situation, part: str) -> Expectation | None:
    """Return the window of a supervised line at rest, and those of its other states."""
    line = supervised_line(situation, part)
    if line is None:
        return None
    found = {it.state: it for it in windows(line)}
    limits = _line_limits(line, found)
    half = found["second end resistor"]
    said = text_of(
        f"{ohms(line.end_ohm)}, within {_span(found['healthy'])}, with the line off the controller",
        f"{_span(half)} means a second element",
        _alarm_words(found, line),
        f"Below {ohms(limits['line-short-high'])} cores touch",
        f"Above {ohms(limits['line-open-low'])} the line is broken",
        "Another value means a wrong element, damp or a bad joint",
    )
    return Expectation(said, limits, calculated=True)


def _span(window: Window) -> str:
    return f"{ohms(window.low_ohm)} to {ohms(window.high_ohm)}"


def supervised_line(situation: Situation, part: str) -> SupervisedLine | None:
    """Return the line of an output or input with its end-of-line element, or None without one."""
    site = situation.scope.topology.site
    described = site.outputs.get(part) or site.inputs.get(part)
    value: float | None = getattr(described, "end_of_line_ohm", None)
    if value is None:
        return None
    alarm = described.alarm_resistor_ohm if isinstance(described, Input) else None
    contact = CONTACTS.get(getattr(described, "contact", None), "normally open")
    return SupervisedLine(value, alarm, END_OF_LINE_TOLERANCE, line_ohm(situation, part), contact)


def line_ohm(situation: Situation, part: str) -> float:
    """Return the most that the described cables add to a line, there and back; 0 where they are not described."""
    topology = situation.scope.topology
    if part in topology.site.outputs:
        circuit = lay_out_output(topology, situation.described.supplies(part), part)
        return max((loop_ohm(circuit, it, topology) for it in circuit.drives), default=0.0) if circuit else 0.0
    cable = input_cable(situation, part)
    return 2 * _core_ohm(topology.site.cables[cable]) if cable else 0.0


def input_cable(situation: Situation, part: str) -> str | None:
    """Return the cable that leads to an input, with length and area, or None."""
    cables = situation.scope.topology.site.cables.items()
    return next((name for name, it in cables if it.to == part and it.length_m and it.area_mm2), None)


def _core_ohm(it: Cable) -> float:
    temperature_c = TAKEN_TEMPERATURE_C if it.temperature_c is None else it.temperature_c
    return core_resistance_ohm(it.length_m or 0.0, it.area_mm2 or 0.0, it.conductor_class or TAKEN_CLASS, temperature_c)


def _alarm_words(found: Mapping[State, Window], line: SupervisedLine) -> str:
    if "one contact" not in found or line.contact_ohm is None:
        return ""
    return f"{_span(found['one contact'])} means a device is in alarm"


def _line_limits(line: SupervisedLine, found: Mapping[State, Window]) -> dict[str, float]:
    limits = {
        "end-of-line-half-low": HALF_LOW * line.end_ohm,
        "end-of-line-half-high": HALF_HIGH * line.end_ohm,
        "end-of-line-low": found["healthy"].low_ohm,
        "end-of-line-high": found["healthy"].high_ohm,
        # a meter shows a bare short well below the window that a controller takes for one, and damp well above it
        "line-short-high": min(found["short"].high_ohm, SHORT_OHM + line.line_ohm),
        "line-open-low": max(found["open"].low_ohm, OPEN_OHM),
    }
    if "two contacts" in found:
        limits |= {"alarm-low": found["two contacts"].low_ohm, "alarm-high": found["one contact"].high_ohm}
    return limits


def core_resistance(situation: Situation, cable: str) -> Expectation | None:
    """Return the resistance of one core of a cable from end to end."""
    it = situation.scope.topology.site.cables[cable]
    if it.length_m is None or it.area_mm2 is None:
        return None
    most = _core_ohm(it)
    said = text_of(
        f"At most {most:.2f} ohm for each core of {it.length_m:g} m, {it.area_mm2:g} mm²{taken(_taken(it))}",
        f"Up to {2 * most + 0.5:.2f} ohm joints and leads may explain; more means a bad joint or broken strands",
        _cost(situation, cable),
        "No reading means the core is broken",
    )
    return Expectation(said, {"core-resistance-high": 2 * most + 0.5}, calculated=True)


def _taken(it: Cable) -> tuple[str, ...]:
    found = [] if it.conductor_class else [f"conductor class {TAKEN_CLASS}"]
    found += [] if it.temperature_c is not None else [f"{TAKEN_TEMPERATURE_C:.0f} °C"]
    return tuple(found)


def _cost(situation: Situation, cable: str) -> str:
    drives = situation.scope.topology.site.drives
    beyond = [drives[it].running_current_a for it in situation.scope.topology.fed_through(cable) if it in drives]
    if not beyond or None in beyond:
        return ""
    return f"1 ohm too much takes {volts(sum(it for it in beyond if it))} with all drives beyond it running"


def between_cores(situation: Situation, cable: str) -> Expectation | None:
    """Return the resistance between two cores of a cable, and what a short in it reads."""
    it = situation.scope.topology.site.cables[cable]
    if it.length_m is None or it.area_mm2 is None:
        return None
    loop = 2 * _core_ohm(it)
    elements = _elements(situation, cable)
    said = text_of(
        "Open, above 0.5 Mohm",
        f"A short reads up to {ohms(loop)}, its share of that telling how far along the {it.length_m:g} m it lies",
        f"An end-of-line element still connected reads {ohms(elements[0])}" if elements else "",
    )
    return Expectation(said, calculated=True)


def _elements(situation: Situation, cable: str) -> list[float]:
    topology = situation.scope.topology
    outputs = {topology.output_of(it) for it in topology.fed_through(cable)}
    values = (topology.site.outputs[it].end_of_line_ohm for it in sorted(filter(None, outputs)))
    return [it for it in values if it]


def field_line(situation: Situation, output: str) -> Expectation | None:
    """Return what an output's line reads between its power cores, and where a short of that size lies."""
    topology = situation.scope.topology
    circuit = lay_out_output(topology, situation.described.supplies(output), output)
    if circuit is None or not circuit.is_whole:
        return None
    loops = {it: loop_ohm(circuit, it, topology) for it in circuit.drives}
    far = max(loops, key=lambda it: (loops[it], it))
    short_up_to = max(1.0, loops[far] + 0.5)
    said = text_of(
        f"More than {ohms(short_up_to)} and less than 1 Mohm with the drives connected",
        f"{ohms(loops[far])} means a short at {named(situation, far)}, less a short nearer the controller",
        "Open means a break before the first drive",
    )
    return Expectation(said, {"line-short-high": short_up_to}, calculated=True)


def insulation(situation: Situation, cable: str) -> Expectation | None:
    """Return how to test the insulation of a cable to earth and the least to find."""
    topology = situation.scope.topology
    outputs = {topology.output_of(it) for it in topology.fed_through(cable)}
    known = [supply_voltage_v(topology, output) for output in outputs if output]
    voltages = [it for it in known if it is not None]
    if not voltages or len(voltages) < len(outputs):
        return None
    test = insulation_test(max(voltages), is_extra_low=max(voltages) <= EXTRA_LOW_V)
    said = text_of(
        f"At least {test.least_mohm:g} Mohm at {test.test_v:.0f} V DC, for a circuit of {max(voltages):.0f} V",
        f"Below {ohms(test.least_mohm * 1e4)} something touches or is wet; between the two look for damp first",
    )
    return Expectation(said, {"insulation-least": test.least_mohm}, calculated=True)


def input_line(situation: Situation, part: str) -> Expectation | None:
    """Return what the cable of an input reads with its cores joined at the far end."""
    cable = input_cable(situation, part)
    if cable is None:
        return None
    loop = 2 * _core_ohm(situation.scope.topology.site.cables[cable])
    said = text_of(
        f"Open between cores, and at most {ohms(loop)} when joined at the far end of {named(situation, cable)}",
        "Open when joined means a broken core; a value between means damp or a bad joint",
    )
    return Expectation(said, calculated=True)
