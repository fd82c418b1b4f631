"""Voltages on the line of an output with one fault in it, and the current of all its drives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from random import Random

from diag.calculators.circuit_faults import loosen_joint
from diag.calculators.flows import solve
from diag.expectations.circuit import OutputCircuit, lay_out_output
from diag.timeline.names import capital
from diag.training.figures.figure import Asked, Figure, Guess, Setting
from diag.training.workshop import Workshop

KINDS = frozenset({"reversing-24v", "data-24v"})
JOINT_OHM = tuple(round(0.8 + 0.2 * step, 1) for step in range(18))
GIVEN = (0.97, 1.1)
"""Between which shares of its rated volts an output gives, in practice."""

MOST_LOST_V = 9.0
"""A joint that takes more leaves the drives standing, and then their current is another."""


def circuit_of(workshop: Workshop, output: str) -> OutputCircuit | None:
    """Return the circuit of a 24 V output that is described as a whole, else None."""
    if workshop.prepared.site.outputs[output].kind not in KINDS:
        return None
    circuit = lay_out_output(workshop.topology, workshop.prepared.described.supplies(output), output)
    return circuit if circuit and circuit.is_whole else None


def _circuits(workshop: Workshop) -> Iterator[tuple[str, OutputCircuit]]:
    for output in sorted(workshop.topology.of_kind("output")):
        circuit = circuit_of(workshop, output)
        if circuit:
            yield output, circuit


def _at_cables(workshop: Workshop, rng: Random) -> list[Setting]:
    """Return each output with a cable of it, a part before or beyond that cable, and the volts that it gives today."""
    found: list[Setting] = []
    for output, circuit in _circuits(workshop):
        for branch in circuit.branches:
            cable = workshop.prepared.site.cables[branch.name]
            volts = round(circuit.volts * rng.uniform(*GIVEN), 1)
            found.append((output, branch.name, cable.to or "", volts))
            found += [(output, branch.name, cable.from_, volts)] if cable.from_ and cable.from_ != output else []
    return found


def _core_broken(workshop: Workshop, setting: Setting) -> Figure:
    output, cable, part = map(str, setting[:3])
    circuit = replace(_whole(workshop, output), volts=float(setting[3]))
    right = circuit.with_open(cable).voltages_v[part]
    volts, is_beyond = circuit.volts, workshop.prepared.site.cables[cable].to == part
    names = workshop.part(cable), workshop.part(part)
    where = f"{capital(names[1])} lies {'beyond' if is_beyond else 'before'} the break"
    return Figure(
        part=part,
        says=workshop.phrases.say(
            "core-broken", cable=names[0], output=workshop.part(output), volts=f"{volts:g}", part=names[1]
        ),
        unit="V",
        decimals=1,
        right=right,
        apart=volts / 6,
        because=f"{where}. The voltage stands up to the break, and no current flows beyond it.",
        guesses=(
            Guess(0.0 if right > 1 else volts, "That is the reading on the other side of the break."),
            Guess(volts / 2, "A break does not share the voltage out: it lets none of it through."),
            Guess(-volts, "A wrong sign means exchanged cores, not a break."),
        ),
    )


def _exchangeable(workshop: Workshop, rng: Random) -> list[Setting]:
    return [
        it for it in _at_cables(workshop, rng) if workshop.prepared.site.outputs[str(it[0])].kind == "reversing-24v"
    ]


def _cores_swapped(workshop: Workshop, setting: Setting) -> Figure:
    output, cable, part = map(str, setting[:3])
    circuit = replace(_whole(workshop, output), volts=float(setting[3]))
    volts, right = circuit.volts, circuit.with_swapped(cable).voltages_v[part]
    names = workshop.part(cable), workshop.part(part)
    side = "beyond" if right < 0 else "before"
    return Figure(
        part=part,
        says=workshop.phrases.say(
            "cores-swapped", cable=names[0], output=workshop.part(output), volts=f"{volts:g}", part=names[1]
        ),
        unit="V",
        decimals=1,
        right=right,
        apart=volts / 6,
        because=f"{capital(names[1])} lies {side} the exchanged cores: the sign {'turns' if right < 0 else 'stays'}.",
        guesses=(
            Guess(-right, "The sign turns beyond the exchanged cores and stays before them."),
            Guess(0.0, "Exchanged cores still carry the whole voltage."),
            Guess(volts / 2, "Exchanged cores do not halve the voltage."),
        ),
    )


def _joints(workshop: Workshop, rng: Random) -> list[Setting]:
    found: list[Setting] = []
    for output, circuit in _circuits(workshop):
        for branch in circuit.branches:
            currents = {circuit.currents_a[it] for it in _beyond(workshop, circuit, branch.name)}
            for drive in _beyond(workshop, circuit, branch.name)[:1]:
                ohm = rng.choice(JOINT_OHM)
                lost = ohm * sum(circuit.currents_a[it] for it in _beyond(workshop, circuit, branch.name))
                if len(currents) == 1 and lost <= MOST_LOST_V:
                    found.append((output, branch.name, drive, ohm))
    return found


def _beyond(workshop: Workshop, circuit: OutputCircuit, cable: str) -> list[str]:
    return [it for it in circuit.drives if cable in workshop.topology.supply_path(it)]


def _bad_joint(workshop: Workshop, setting: Setting) -> Figure:
    output, cable, drive, ohm = str(setting[0]), str(setting[1]), str(setting[2]), float(setting[3])
    circuit = _whole(workshop, output)
    beyond = _beyond(workshop, circuit, cable)
    running, one_a = circuit.running(beyond), circuit.currents_a[drive]
    healthy = round(solve(running).voltages_v[drive], 1)
    right = solve(loosen_joint(running, cable, ohm)).voltages_v[drive]
    total = one_a * len(beyond)
    return Figure(
        part=drive,
        says=workshop.phrases.say(
            "bad-joint" if len(beyond) > 1 else "bad-joint-one",
            count=len(beyond),
            current=f"{one_a:g}",
            healthy=f"{healthy:.1f}",
            part=workshop.part(drive),
            ohm=f"{ohm:g}",
        ),
        unit="V",
        decimals=1,
        right=right,
        apart=0.7,
        because=f"{total:g} A through {ohm:g} ohm takes {total * ohm:.1f} V: {healthy:.1f} V less {total * ohm:.1f} V.",
        guesses=_joint_guesses(healthy, one_a, len(beyond), ohm),
    )


def _joint_guesses(healthy: float, one_a: float, count: int, ohm: float) -> tuple[Guess, ...]:
    total = one_a * count
    guesses = [
        Guess(healthy, "A joint with resistance takes voltage as soon as current flows."),
        Guess(healthy - 2 * total * ohm, "The resistance sits in one core, so it counts once."),
        Guess(0.0, "A joint with resistance is no break: current still flows."),
    ]
    if count > 1:
        guesses.insert(1, Guess(healthy - one_a * ohm, "The current of all drives beyond the joint runs through it."))
    return tuple(it for it in guesses if it.value >= 0)


def _totals(workshop: Workshop, rng: Random) -> list[Setting]:
    return [
        (output, float(rng.randrange(2, len(circuit.drives) + 1)))
        for output, circuit in _circuits(workshop)
        if len(circuit.drives) > 1 and len(set(circuit.currents_a.values())) == 1
    ]


def _total_current(workshop: Workshop, setting: Setting) -> Figure:
    output, count = str(setting[0]), int(float(setting[1]))
    circuit = _whole(workshop, output)
    one_a, fitted = circuit.currents_a[circuit.drives[0]], len(circuit.drives)
    many = workshop.phrases.say("many-drives", count=fitted).lower()
    return Figure(
        part=output,
        says=workshop.phrases.say(
            "total-current", output=workshop.part(output), drives=many, current=f"{one_a:g}", count=count
        ),
        unit="A",
        decimals=1,
        right=one_a * count,
        apart=0.12 * one_a * count,
        because=f"{count} drives at {one_a:g} A are {one_a * count:.1f} A.",
        guesses=_total_guesses(workshop, circuit, count),
    )


def _total_guesses(workshop: Workshop, circuit: OutputCircuit, count: int) -> tuple[Guess, ...]:
    first = circuit.drives[0]
    one_a, fitted = circuit.currents_a[first], len(circuit.drives)
    guesses = [
        Guess(one_a, "That is one drive; the core carries the current of all that run."),
        Guess(2 * one_a * count, "Current goes out by one core and back by the other; the clamp is round one."),
    ]
    starting = workshop.prepared.site.drives[first].starting_current_a
    if fitted > count:
        guesses.insert(0, Guess(one_a * fitted, "That is all that are fitted; not all of them run."))
    if starting:
        guesses.append(Guess(starting * count, "That is the current of the start, which is over in a second or two."))
    return tuple(guesses)


def _whole(workshop: Workshop, output: str) -> OutputCircuit:
    circuit = circuit_of(workshop, output)
    assert circuit is not None
    return circuit


CIRCUIT: Mapping[str, Asked] = {
    it.name: it
    for it in (
        Asked("core-broken", _at_cables, _core_broken),
        Asked("cores-swapped", _exchangeable, _cores_swapped),
        Asked("bad-joint", _joints, _bad_joint),
        Asked("total-current", _totals, _total_current),
    )
}
