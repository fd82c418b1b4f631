"""What the outputs of a site give: volts from their controllers' supplies, through their stages, into their cables."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from diag.topology import Topology
from diag.virtual.electrics import OutputState, Wiring
from diag.virtual.fitted import Fitted
from diag.virtual.supply import RATED_V, Busbars, busbars

MAINS_V = 230.0
PAST_THE_UNIT = ("three-core-230v", "fan-contact")
"""Outputs that switch mains or a foreign supply, not the power unit's."""


class Feed:
    """The supplies, outputs and cables of a site in their condition."""

    def __init__(self, topology: Topology, fitted: Fitted) -> None:
        self.topology = topology
        self.fitted = fitted
        self.wiring = Wiring(topology, fitted)

    def bus(self, controller: str, load_a: float) -> Busbars:
        """Return the busbars of a controller at this load."""
        return busbars(self.topology.site, controller, self.fitted.controllers[controller], load_a)

    def volts_at_stage(self, output: str, load_a: float) -> float:
        """Return the volts that the output's stage gives when it drives, before its cables."""
        described, condition = self.topology.site.outputs[output], self.fitted.outputs[output]
        if described.controller is None:
            return RATED_V
        bus = self.bus(described.controller, load_a)
        if not bus.alive or not condition.enabled or not condition.fuse_whole:
            return 0.0
        if described.kind == "three-core-230v":
            return MAINS_V * bus.mains
        return bus.voltage_v

    def states(self, drawn: Mapping[str, float], surge: float = 1.0) -> dict[str, OutputState]:
        """Return the state of every output with these consumers running at these currents."""
        by_output: dict[str, dict[str, float]] = defaultdict(dict)
        for part, current in drawn.items():
            by_output[self.topology.output_of(part) or ""][part] = current
        loads = self._loads(by_output)
        return {
            output: self.wiring.at_output(output, self.volts_at_stage(output, loads[self._source(output)]), amps, surge)
            for output, amps in by_output.items()
            if output
        }

    def _loads(self, by_output: Mapping[str, Mapping[str, float]]) -> Mapping[str | None, float]:
        """Return what the outputs draw together from each controller's power unit; mains outputs draw nothing of it."""
        loads: dict[str | None, float] = defaultdict(float)
        for output, amps in by_output.items():
            if output and self.topology.site.outputs[output].kind not in PAST_THE_UNIT:
                loads[self._source(output)] += sum(amps.values())
        return loads

    def _source(self, output: str) -> str | None:
        return self.topology.site.outputs[output].controller

    def state_at(self, output: str, volts: float, drawn: Mapping[str, float], joined: bool = True) -> OutputState:
        """Return the state of one output at these volts; `joined` says that its field cores are on."""
        if not joined:
            return OutputState({output: volts}, 0.0, False)
        return self.wiring.at_output(output, volts, drawn)
