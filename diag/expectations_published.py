"""Say what a check should show where a standard or a setting gives the value: insulation, links, smoke, signals."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from diag.calculators.insulation import insulation_test
from diag.calculators.rs485 import END_OHM, pair_resistance_ohm
from diag.calculators.travel import SMOKE_OPEN_S, Travel, full_travel_s, run_time_needed_s, smoke_verdict
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Drive
from diag.site_circuits import supply_voltage_v

EXTRA_LOW_V = 50.0
"""IEC 61140, from memory: extra-low voltage of a direct-current circuit that is also safe as alternating current."""

SIGNALS: Mapping[str, str] = {"0-10v": "0, 5 and 10 V", "2-10v": "2, 6 and 10 V", "4-20ma": "4, 12 and 20 mA"}
"""For a command of nothing, half and all: the span shared out evenly."""
OUTPUT_SIGNALS: Mapping[str, str] = {"positioner-0-10v": "0-10v", "positioner-4-20ma": "4-20ma"}
SERIAL = frozenset({"bacnet-mstp", "modbus-rtu"})
ENDS: Mapping[str, int] = {"both-ends": 2, "one-end": 1, "none": 0}

Calculator = Callable[[Situation, str], Expectation | None]


def _insulation(situation: Situation, cable: str) -> Expectation | None:
    topology = situation.scope.topology
    outputs = {topology.output_of(it) for it in topology.fed_through(cable)}
    volts = [supply_voltage_v(topology, output) for output in outputs if output]
    known = [it for it in volts if it is not None]
    if not known or len(known) < len(outputs):
        return None
    test = insulation_test(max(known), is_extra_low=max(known) <= EXTRA_LOW_V)
    text = f"At least {test.least_mohm:g} Mohm at {test.test_v:.0f} V DC, for a circuit of {max(known):.0f} V."
    return Expectation(text, {"insulation-least": test.least_mohm}, calculated=True)


def _link_termination(situation: Situation, link: str) -> Expectation | None:
    described = situation.scope.topology.site.links[link]
    if described.protocol not in SERIAL or described.termination is None:
        return None
    right = f"About {pair_resistance_ohm(2):.0f} ohm: {END_OHM:.0f} ohm at each of the two ends and nowhere else"
    count = ENDS[described.termination]
    if count == 2:
        return Expectation(right + ".", calculated=True)
    fitted = f"about {pair_resistance_ohm(1):.0f} ohm" if count else "open"
    return Expectation(f"{right}. As described it would read {fitted}.", calculated=True)


def _smoke_travel_time(situation: Situation, zone: str) -> Expectation | None:
    limit = f"All smoke openings in place within {SMOKE_OPEN_S:.0f} s"
    times = [it for it in (_smoke_s(drive) for drive in _smoke_drives(situation, zone)) if it is not None]
    if not times:
        return None
    return Expectation(f"{limit}. By stroke and speed the slowest takes {max(times):.0f} s.", calculated=True)


def _smoke_drives(situation: Situation, zone: str) -> Iterator[Drive]:
    topology = situation.scope.topology
    for consumer in topology.consumers_of_zone(zone):
        drive = topology.site.drives.get(consumer)
        if drive and drive.opening and topology.site.openings[drive.opening].smoke:
            yield drive


def _smoke_s(drive: Drive) -> float | None:
    speed = drive.smoke_speed_mm_s or drive.manual_speed_mm_s
    return smoke_verdict(drive.stroke_mm, speed).takes_s if drive.stroke_mm and speed else None


def _positioner_signal(situation: Situation, drive: str) -> Expectation | None:
    topology = situation.scope.topology
    output = topology.output_of(drive)
    kind = topology.site.outputs[output].kind if output else None
    signal = topology.site.drives[drive].signal or OUTPUT_SIGNALS.get(kind or "")
    if signal is None:
        return None
    return Expectation(f"{SIGNALS[signal]} for 0, 50 and 100 % of the command.", calculated=True)


def _opening_limit(situation: Situation, zone: str) -> Expectation | None:
    site = situation.scope.topology.site
    limits = {it: site.openings[it].opening_limit_mm for it in site.zones[zone].openings or () if it in site.openings}
    said = [f"{situation.scope.topology.name(it)} {limit:.0f} mm" for it, limit in limits.items() if limit]
    of_zone = site.zones[zone].opening_limit_mm
    said = [f"{of_zone:.0f} mm for the whole zone", *said] if of_zone else said
    return Expectation(f"The description says: {', '.join(said)}.", calculated=True) if said else None


def _run_time(situation: Situation, output: str) -> Expectation | None:
    topology = situation.scope.topology
    drives = [topology.site.drives[it] for it in topology.consumers_of_output(output) if it in topology.site.drives]
    slowest = [_slowest(it) for it in drives]
    travels = [it for it in slowest if it is not None]
    if not travels or len(travels) < len(drives):
        return None
    longest = max(travels, key=full_travel_s)
    text = f"At least {run_time_needed_s(longest):.0f} s: the slowest travel of {full_travel_s(longest):.0f} s and a tenth."
    described = topology.site.outputs[output].run_time_s
    return Expectation(text + (f" The description says {described:g} s." if described else ""), calculated=True)


def _slowest(drive: Drive) -> Travel | None:
    speeds = [it for it in (drive.manual_speed_mm_s, drive.automatic_speed_mm_s) if it]
    return Travel(drive.stroke_mm, min(speeds)) if drive.stroke_mm and speeds else None


PUBLISHED: Mapping[str, tuple[tuple[str, ...], Calculator]] = {
    "insulation": (("cable",), _insulation),
    "link-termination": (("link",), _link_termination),
    "smoke-travel-time": (("zone",), _smoke_travel_time),
    "positioner-signal": (("drive",), _positioner_signal),
    "opening-limit": (("zone",), _opening_limit),
    "run-time": (("output",), _run_time),
}
"""For each quantity: the kinds of part it is worked out for, and how."""
