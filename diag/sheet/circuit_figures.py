"""Work out the figures that the drawing of an output shows: volts at each part, amperes and loss in each cable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diag.expectations.circuit import lay_out_output
from diag.facts import Situation


@dataclass(frozen=True, slots=True)
class CircuitFigures:
    """Volts by part and amperes by cable with all drives of the output running; parts not worked out are absent.

    `missing` says, in words, what keeps the rest from being worked out, `taken` what was assumed.
    """

    voltages_v: Mapping[str, float]
    currents_a: Mapping[str, float]
    missing: tuple[str, ...]
    taken: tuple[str, ...]


def circuit_figures(situation: Situation, output: str) -> CircuitFigures:
    """Return the figures of one output; empty ones where nothing is described."""
    topology = situation.scope.topology
    supplies = situation.described.supplies(output)
    missing = tuple(dict.fromkeys(it for supply in supplies.values() for it in supply.missing))
    taken = tuple(dict.fromkeys(it for supply in supplies.values() for it in supply.taken))
    circuit = lay_out_output(topology, supplies, output)
    if circuit is None or missing:
        return CircuitFigures({}, {}, missing, taken)
    solved = circuit.solved()
    return CircuitFigures(solved.voltages_v, solved.out_currents_a, missing, taken)
