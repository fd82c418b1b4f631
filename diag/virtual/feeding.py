"""What the outputs of a site give: volts from their controllers' supplies, through their stages, into their cables."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from diag.topology import Topology
from diag.virtual.electrics import OutputState, Wiring
from diag.virtual.fitted import Fitted
from diag.virtual.supply import RATED_V, Busbars, busbars

MAINS_V = 230.0


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
        total = sum(drawn.values())
        return {
            output: self.wiring.at_output(output, self.volts_at_stage(output, total), amps, surge)
            for output, amps in by_output.items()
            if output
        }

    def state_at(self, output: str, volts: float, drawn: Mapping[str, float], joined: bool = True) -> OutputState:
        """Return the state of one output at these volts; `joined` says that its field cores are on."""
        if not joined:
            return OutputState({output: volts}, 0.0, False)
        return self.wiring.at_output(output, volts, drawn)
