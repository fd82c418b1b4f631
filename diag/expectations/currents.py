"""Say what current to expect, and what more, less or none means."""

from __future__ import annotations

from diag.expectations.borders import STALL_FACTOR
from diag.expectations.words import amperes, text_of
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Drive
from diag.site_circuits import total_running_a, total_starting_a


def of_drive(situation: Situation, drive: str) -> Expectation | None:
    """Return the current of a drive while it runs."""
    it: Drive = situation.scope.topology.site.drives[drive]
    if it.running_current_a is None:
        return None
    high_a = it.cut_off_current_a or STALL_FACTOR * it.running_current_a
    text = f"About {it.running_current_a:g} A while it runs, below {high_a:.3g} A"
    text += ", at which it cuts off" if it.cut_off_current_a else ""
    start = f"For the first two seconds up to {it.starting_current_a:g} A" if it.starting_current_a else ""
    said = text_of(
        text,
        start,
        "Nothing with the right voltage at its terminals means its motor or board is open",
        f"Well above {it.running_current_a:g} A it is held back: look at the opening",
    )
    return Expectation(said, {"drive-current-high-limit": high_a}, calculated=True)


def of_output(situation: Situation, output: str) -> Expectation | None:
    """Return the current of an output with all its drives running."""
    topology = situation.scope.topology
    drives = [it for it in topology.consumers_of_output(output) if topology.kind(it) == "drive"]
    current = total_running_a(topology, drives)
    if current is None:
        return None
    described = topology.site.outputs[output]
    rated = described.rated_current_a
    text = f"About {current:.1f} A"
    text += f" with all {len(drives)} drives running" if len(drives) > 1 else ""
    text += f"; the output is rated {rated:g} A" if rated else ""
    limits = {"output-current-high-limit": rated} if rated else {}
    start = _at_start(situation, drives, described.trip_current_a)
    said = text_of(text, start, _one_missing(situation, drives, current))
    return Expectation(said, limits, calculated=True)


def _at_start(situation: Situation, drives: list[str], trip_a: float | None) -> str:
    start = total_starting_a(situation.scope.topology, drives)
    if start is None:
        return ""
    return f"At the start up to {start:.1f} A" + (f"; it trips at {trip_a:g} A" if trip_a else "")


def _one_missing(situation: Situation, drives: list[str], current_a: float) -> str:
    each = {situation.scope.topology.site.drives[it].running_current_a or 0.0 for it in drives}
    if len(drives) < 2 or len(each) > 1:
        return "" if len(drives) > 1 else "Nothing means an open line or a dead drive"
    left = [amperes(current_a - count * max(each)) for count in range(1, min(len(drives), 3))]
    said = f"{left[0]} means that one of them draws nothing"
    return f"{said}, {left[1]} that two do" if len(left) > 1 else said


def of_supply(situation: Situation, controller: str) -> Expectation | None:
    """Return the current of the power unit with every drive of the controller running."""
    topology = situation.scope.topology
    supply = topology.site.controllers[controller].supply
    drives = drives_on(situation, controller)
    running = total_running_a(topology, drives)
    if supply is None or running is None:
        return None
    total = running + (supply.standing_current_a or 0.0)
    rated = supply.rated_current_a
    text = f"About {total:.1f} A with all {len(drives)} drives running"
    text += f", of {rated:g} A it can give" if rated else ""
    if rated and total > rated:
        text += ": not all zones may run at once"
    said = text_of(text, "Much less means that some drives draw nothing" if len(drives) > 1 else "")
    return Expectation(said, {"supply-current-high-limit": rated} if rated else {}, calculated=True)


def drives_on(situation: Situation, controller: str) -> list[str]:
    """Return the 24 V drives on all outputs of a controller; those on 230 V do not load the power unit."""
    topology = situation.scope.topology
    outputs = [
        it for it in topology.outputs_of_controller(controller) if topology.site.outputs[it].kind != "three-core-230v"
    ]
    return [it for output in outputs for it in topology.consumers_of_output(output) if topology.kind(it) == "drive"]


def of_fan(situation: Situation, fan: str) -> Expectation | None:
    """Return the current of a fan."""
    it = situation.scope.topology.site.fans[fan]
    if it.running_current_a is None:
        return None
    high_a = it.overload_a or it.running_current_a * 1.1
    cores = ", the same in all three phases within 5 %" if it.phases == 3 else ""
    text = text_of(
        f"About {it.running_current_a:g} A{cores}, at most {high_a:.3g} A"
        + (", where its overload is set" if it.overload_a else ""),
        "Nothing means no supply, an open overload or no command",
        "More means a stiff bearing, a blocked wheel" + (" or a lost phase" if it.phases == 3 else ""),
    )
    return Expectation(text, {"fan-current-high-limit": high_a}, calculated=True)
