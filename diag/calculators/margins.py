"""Say how much is left: volts above a drive's least, amperes below a rating, and what a fuse does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from diag.calculators.arguments import require_not_negative, require_positive
from diag.calculators.circuits import Circuit, ConstantCurrent, Resistance
from diag.calculators.flows import solve

Answer = Literal["holds", "may act", "acts"]


@dataclass(frozen=True, slots=True)
class VoltageMargin:
    """What one load gets, what it needs, and what is left between the two (below zero: too little)."""

    load: str
    voltage_v: float
    least_v: float
    spare_v: float


@dataclass(frozen=True, slots=True)
class CurrentMargin:
    """What is drawn from something with a rating, and what is left (below zero: overloaded)."""

    drawn_a: float
    rated_a: float
    spare_a: float
    share: float


def starting_together(circuit: Circuit, starting_factor: float = 2.0) -> Circuit:
    """Return the circuit with every constant-current load drawing its starting current at once.

    Starting current is 1.5 to 3 times running current: common practice, no source.
    """
    require_positive("starting_factor", starting_factor)
    loads = tuple(
        replace(load, current_a=load.current_a * starting_factor) if isinstance(load, ConstantCurrent) else load
        for load in circuit.loads
    )
    return replace(circuit, loads=loads)


def voltage_margins(circuit: Circuit) -> tuple[VoltageMargin, ...]:
    """Return the margin of every load that has a least voltage, worst first; none is taken to drop out."""
    steady = replace(
        circuit,
        loads=tuple(
            load if isinstance(load, Resistance) else replace(load, least_voltage_v=0.0) for load in circuit.loads
        ),
    )
    volts = solve(steady).voltages_v
    margins = (
        VoltageMargin(
            load.name,
            abs(volts[load.node]),
            load.least_voltage_v,
            abs(volts[load.node]) - load.least_voltage_v,
        )
        for load in circuit.loads
        if not isinstance(load, Resistance) and load.least_voltage_v > 0
    )
    return tuple(sorted(margins, key=lambda margin: (margin.spare_v, margin.load)))


def current_margin(drawn_a: float, rated_a: float) -> CurrentMargin:
    """Return how a current stands against a rating."""
    require_not_negative("drawn_a", drawn_a)
    require_positive("rated_a", rated_a)
    return CurrentMargin(drawn_a, rated_a, rated_a - drawn_a, drawn_a / rated_a)


def most_running_at_once(currents_a: Sequence[float], rated_a: float) -> int:
    """Return how many loads may run at once, whichever they are: the largest are counted first."""
    require_positive("rated_a", rated_a)
    total, count = 0.0, 0
    for current in sorted(currents_a, reverse=True):
        total += require_not_negative("currents_a", current)
        if total > rated_a:
            return count
        count += 1
    return count


def cartridge_fuse_answer(current_a: float, rated_a: float) -> Answer:
    """Return what a miniature cartridge fuse does with a current that lasts an hour.

    It holds 1.5 times its rating for an hour and parts at 2.1 times within half an hour (IEC 60127-2, from
    memory).
    """
    return answer_between(current_a, rated_a, 1.5, 2.1)


def breaker_answer(current_a: float, rated_a: float) -> Answer:
    """Return what a circuit-breaker's thermal part does with a current that lasts an hour.

    It holds 1.13 and trips at 1.45 times its rating (IEC 60898-1, from memory).
    """
    return answer_between(current_a, rated_a, 1.13, 1.45)


def breaker_answer_at_once(current_a: float, rated_a: float, curve: Literal["B", "C", "D"]) -> Answer:
    """Return what a circuit-breaker's magnetic part does with a surge.

    It acts from 3 to 5 (B), 5 to 10 (C) or 10 to 20 (D) times its rating (IEC 60898-1, from memory).
    """
    bands = {"B": (3.0, 5.0), "C": (5.0, 10.0), "D": (10.0, 20.0)}
    if curve not in bands:
        raise ValueError(f"curve is {curve}; expected B, C or D")
    return answer_between(current_a, rated_a, *bands[curve])


def cut_out_answer(current_a: float, running_a: float, low: float = 1.3, high: float = 2.0) -> Answer:
    """Return what a drive's own cut-out does with a current, against its running current.

    Cut-outs act at 1.3 to 2 times running current: common practice, no source.
    """
    return answer_between(current_a, running_a, low, high)


def answer_between(current_a: float, rated_a: float, holds_at: float, acts_at: float) -> Answer:
    """Return what something does that holds up to one multiple of its rating and acts from another."""
    share = current_margin(current_a, rated_a).share
    if share <= holds_at:
        return "holds"
    return "may act" if share < acts_at else "acts"


def largest_fault_that_acts_ohm(voltage_v: float, loop_ohm: float, rated_a: float, acts_at: float) -> float | None:
    """Return the largest fault resistance in ohm that still makes a fuse act, or None when none does.

    A long thin cable can keep a short at its far end below what the fuse acts on: it then only gets hot.
    """
    require_positive("voltage_v", voltage_v)
    require_not_negative("loop_ohm", loop_ohm)
    left = voltage_v / (require_positive("rated_a", rated_a) * require_positive("acts_at", acts_at)) - loop_ohm
    return left if left >= 0 else None
