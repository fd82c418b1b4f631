"""Say what voltage to expect along an output's line, and what another voltage there means."""

from __future__ import annotations

from collections.abc import Mapping

from diag.classify import READING_HIGHEST
from diag.expectations.borders import (
    BAD_JOINT_OHM,
    DC_LOW,
    DRIVE_LOW,
    MAINS_TOLERANCE,
    PLAUSIBLE_TIMES,
    SOUND_JOINT_OHM,
)
from diag.expectations.circuit import OutputCircuit, lay_out_output
from diag.expectations.words import named, taken, text_of, volts
from diag.facts import Situation
from diag.observations import Expectation
from diag.site_circuits import DriveSupply, supply_voltage_v

ALWAYS_ON: Mapping[str, str] = {
    "data-24v": "the data core tells the drives when to move",
    "positioner-0-10v": "the signal core tells the drives how far to move",
    "positioner-4-20ma": "the signal core tells the drives how far to move",
}
"""Outputs that are live at rest, and what makes their drives move."""

MAINS_KIND = "three-core-230v"


def at_drive(situation: Situation, drive: str) -> Expectation | None:
    """Return the voltage at a drive's terminals while it runs, alone and with its neighbours."""
    output = situation.scope.topology.output_of(drive)
    supply = situation.described.supplies(output).get(drive) if output else None
    if supply is None or output is None:
        return None
    least = supply.minimum_v or _usual_least_v(situation, output)
    limits = _plausible(situation, output) | ({} if least is None else {"drive-voltage-low-limit": least})
    if supply.alone_v is None:
        return _without_cable(supply, limits)
    circuit = _circuit(situation, output)
    text = text_of(_while_it_runs(supply, least), *_breaks_before(situation, circuit, drive))
    return Expectation(text, limits, calculated=True)


def _plausible(situation: Situation, output: str) -> dict[str, float]:
    """Return the most that a meter can show on this output, where its supply is described."""
    rated = supply_voltage_v(situation.scope.topology, output)
    return {} if rated is None else {READING_HIGHEST: PLAUSIBLE_TIMES * rated}


def _usual_least_v(situation: Situation, output: str) -> float | None:
    rated = supply_voltage_v(situation.scope.topology, output)
    if rated is None:
        return None
    return (1 - MAINS_TOLERANCE if _is_mains(situation, output) else DRIVE_LOW) * rated


def _is_mains(situation: Situation, output: str) -> bool:
    return situation.scope.topology.site.outputs[output].kind == MAINS_KIND


def _circuit(situation: Situation, output: str) -> OutputCircuit | None:
    return situation.scope.keep(
        ("output circuit", output),
        lambda: lay_out_output(situation.scope.topology, situation.described.supplies(output), output),
    )


def _without_cable(supply: DriveSupply, limits: Mapping[str, float]) -> Expectation | None:
    if supply.minimum_v is None:
        return None
    text = text_of(
        f"At least {volts(supply.minimum_v)} while it runs, the drive's own minimum",
        f"How much the cable takes is not known here: {', '.join(supply.missing)}",
    )
    return Expectation(text, limits, calculated=True)


def _while_it_runs(supply: DriveSupply, least: float | None) -> str:
    alone = supply.alone_v or 0.0
    text = f"About {volts(alone)} while it runs alone"
    if supply.together_v is not None and alone - supply.together_v >= 0.05:
        text += f", {volts(supply.together_v)} while all drives of this output run"
    return text + (f", no less than {volts(least)}" if least else "") + taken(supply.taken)


def _breaks_before(situation: Situation, circuit: OutputCircuit | None, node: str) -> list[str]:
    """Return what nothing, the wrong sign and a small loss at a node mean, worked out with each fault put in."""
    topology = situation.scope.topology
    path = topology.supply_path(node) if topology.kind(node) == "drive" else topology.path_of_source(node)
    if circuit is None or not path or path[0] not in {it.name for it in circuit.branches}:
        return []
    lead, above = path[0], topology.site.cables[path[0]].from_ or circuit.output
    beyond = [it for it in circuit.drives if lead in topology.supply_path(it)]
    running = None if circuit.is_whole else beyond[:1]
    before_v = circuit.with_open(lead, running).voltages_v[above]
    lost_v = sum(circuit.currents_a[it] for it in beyond)
    said = [
        f"0 V here with {volts(before_v)} at {named(situation, above)} means an open core in {named(situation, lead)}"
    ]
    if above != circuit.output:
        said.append(f"0 V at both means the break lies before {named(situation, above)}")
    if not _is_mains(situation, circuit.output):
        turned_v = circuit.with_swapped(lead, running).voltages_v[node]
        said.append(f"{volts(turned_v)} on the open core means that two cores are exchanged")
    when = "with all beyond it running" if len(beyond) > 1 else "while it runs"
    said.append(f"1 ohm in a bad joint before it takes {volts(lost_v)} {when}")
    return said


def at_junction(situation: Situation, junction: str) -> Expectation | None:
    """Return the voltage in a junction box while drives beyond it run."""
    drives = [it for it in situation.scope.topology.fed_through(junction) if situation.scope.kind(it) == "drive"]
    outputs = {situation.scope.topology.output_of(it) for it in drives}
    output = outputs.pop() if len(outputs) == 1 else None
    circuit = _circuit(situation, output) if output else None
    if circuit is None or output is None or not set(drives) <= set(circuit.drives):
        return None
    alone_v = circuit.solved(drives[:1]).voltages_v[junction]
    together = circuit.solved().voltages_v
    text = f"About {volts(alone_v)} while one drive beyond it runs"
    if alone_v - together[junction] >= 0.05:
        text += f", {volts(together[junction])} while all drives of this output run"
    least = max(_needed_v(situation, output, it) + together[junction] - together[it] for it in drives)
    limits = {"junction-voltage-low-limit": least, "junction-voltage-low-limit-reversed": -least}
    limits |= _plausible(situation, output)
    said = text_of(
        f"{text}, no less than {volts(least)}{_taken(situation, output, drives)}",
        f"Below {volts(least)} the drives beyond it get too little",
        *_breaks_before(situation, circuit, junction),
        f"{volts(circuit.volts)} that does not fall on a command means no current flows: the break lies beyond the box",
    )
    return Expectation(said, limits, calculated=True)


def _needed_v(situation: Situation, output: str, drive: str) -> float:
    return situation.scope.topology.site.drives[drive].min_voltage_v or _usual_least_v(situation, output) or 0.0


def _taken(situation: Situation, output: str, drives: list[str]) -> str:
    supplies = situation.described.supplies(output)
    return taken(tuple(dict.fromkeys(it for drive in drives for it in supplies[drive].taken)))


def at_output(situation: Situation, output: str) -> Expectation | None:
    """Return the voltage at an output's own terminals on command."""
    rated = supply_voltage_v(situation.scope.topology, output)
    kind = situation.scope.topology.site.outputs[output].kind
    if rated is None or kind == "fan-contact":
        return None
    share = 1 - MAINS_TOLERANCE if kind == MAINS_KIND else DC_LOW
    least = share * rated
    limits = {"output-voltage-low-limit": least, "output-voltage-low-limit-reversed": -least}
    limits |= _plausible(situation, output)
    return Expectation(text_of(_commanded(kind, rated, least), *_at_output_means(kind, least)), limits, calculated=True)


def _commanded(kind: str | None, rated: float, least: float) -> str:
    about = f"About {rated:.0f} V"
    if kind and kind in ALWAYS_ON:
        return f"{about}, at rest too, no less than {volts(least)}: {ALWAYS_ON[kind]}"
    if kind == "reversing-24v":
        return (
            f"{about} while commanded, no less than {volts(least)}, the sign changing with the direction, 0 V at rest"
        )
    if kind == MAINS_KIND:
        return f"{about} AC from neutral to the commanded core, no less than {volts(least)}, 0 V at rest"
    return f"{about} while commanded, no less than {volts(least)}"


def _at_output_means(kind: str | None, least: float) -> list[str]:
    said = [f"Below {volts(least)} the supply sags or the output fails: read the supply at the same time"]
    command = "" if kind in ALWAYS_ON else "no command arrives, "
    said.append(f"0 V means {command}an open fuse, a trip or a dead output")
    if kind == "reversing-24v":
        said.append("The right volts with the wrong sign means the command or the output is inverted")
    return said


def at_rest(situation: Situation, output: str) -> Expectation | None:
    """Return the voltage at an output's terminals with no command."""
    it = situation.scope.topology.site.outputs[output]
    rated = supply_voltage_v(situation.scope.topology, output)
    if rated is None or it.kind is None or it.kind in ALWAYS_ON or it.kind == "fan-contact":
        return None
    watched = "A small test voltage may stand on this supervised line" if it.supervised else ""
    text = text_of(
        "0 V, at most 5 V, with no command",
        watched,
        f"About {rated:.0f} V means a contact that does not release, or a command that still stands",
    )
    return Expectation(text, calculated=True)


def on_data_core(situation: Situation, drive: str) -> Expectation | None:
    """Return the voltage on the data core of an addressable drive."""
    topology = situation.scope.topology
    output = topology.output_of(drive)
    rated = supply_voltage_v(topology, output) if output else None
    if rated is None or output is None or topology.site.outputs[output].kind != "data-24v":
        return None
    text = text_of(
        f"A few volts that flicker, well below {rated:.0f} V, the same as at a drive that works",
        "0 V means the data core is open",
        f"{volts(0.75 * rated)} or more means it is exchanged with a power core: isolate the line",
    )
    return Expectation(text, {"data-voltage-high-limit": 0.75 * rated}, calculated=True)


def across_joint(situation: Situation, junction: str) -> Expectation | None:
    """Return the millivolts across a joint of a box with all drives beyond it running."""
    site = situation.scope.topology.site
    beyond = situation.scope.topology.fed_through(junction)
    currents = [site.drives[it].running_current_a for it in beyond if it in site.drives]
    if not currents or None in currents:
        return None
    current_a = sum(it for it in currents if it)
    sound_mv, bad_mv = 1000 * current_a * SOUND_JOINT_OHM, 1000 * current_a * BAD_JOINT_OHM
    text = text_of(
        f"At most {sound_mv:.0f} mV with {current_a:.1f} A through it, all drives beyond it running",
        f"Above {bad_mv:.0f} mV, which is {1000 * BAD_JOINT_OHM:.0f} milliohm, it has to be made anew, dead",
        "0 mV means no current flows",
    )
    return Expectation(text, {"joint-drop-high": bad_mv, "joint-drop-high-reversed": -bad_mv}, calculated=True)
