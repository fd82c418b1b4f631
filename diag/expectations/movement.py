"""Say how long a movement should take and how far it should go."""

from __future__ import annotations

from collections.abc import Iterator

from diag.calculators.travel import SMOKE_OPEN_S, Travel, full_travel_s, run_time_needed_s, smoke_verdict
from diag.expectations.borders import TRAVEL_SHORT, TRAVEL_SLOW
from diag.expectations.words import listed, named, text_of
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Drive


def travel_time(situation: Situation, drive: str) -> Expectation | None:
    """Return the seconds for the full travel of a drive, by its speeds and the limit of its opening."""
    it: Drive = situation.scope.topology.site.drives[drive]
    if it.stroke_mm is None or it.manual_speed_mm_s is None:
        return _full_turn(it)
    distance_mm = min(it.stroke_mm, limit_mm(situation, it) or it.stroke_mm)
    seconds = distance_mm / it.manual_speed_mm_s
    low, high = TRAVEL_SHORT * seconds, TRAVEL_SLOW * seconds
    said = text_of(
        f"About {seconds:.0f} s for {distance_mm:.0f} mm by hand, within {low:.0f} to {high:.0f} s",
        _by_itself(it, distance_mm),
        f"Shorter means it stops before its end; longer means low voltage, a heavy load{_quiet(it)}",
    )
    return Expectation(said, {"travel-time-high": high, "travel-time-low": low}, calculated=True)


def limit_mm(situation: Situation, drive: Drive) -> float | None:
    """Return how far the opening of a drive may open, by its own limit and those of its zones."""
    topology = situation.scope.topology
    opening = topology.site.openings.get(drive.opening or "")
    zones = topology.zones_of_opening(drive.opening) if drive.opening else ()
    limits = [topology.site.zones[it].opening_limit_mm for it in zones]
    limits += [opening.opening_limit_mm] if opening else []
    return min((it for it in limits if it), default=None)


def _by_itself(it: Drive, distance_mm: float) -> str:
    other = [
        f"{distance_mm / speed:.0f} s {when}"
        for speed, when in ((it.automatic_speed_mm_s, "on an automatic command"), (it.smoke_speed_mm_s, "for smoke"))
        if speed and speed != it.manual_speed_mm_s
    ]
    return f"It takes {listed(other)}" if other else ""


def _quiet(it: Drive) -> str:
    return " or the quiet speed" if it.automatic_speed_mm_s else ""


def _full_turn(it: Drive) -> Expectation | None:
    if it.full_travel_s is None:
        return None
    low, high = TRAVEL_SHORT * it.full_travel_s, TRAVEL_SLOW * it.full_travel_s
    spring = "Without supply its spring turns it back by itself" if it.spring_return else ""
    said = text_of(
        f"About {it.full_travel_s:.0f} s for the full turn, within {low:.0f} to {high:.0f} s",
        spring,
        "Shorter means it stops before its end; longer means a heavy load",
    )
    return Expectation(said, {"travel-time-high": high, "travel-time-low": low}, calculated=True)


def smoke_travel_time(situation: Situation, zone: str) -> Expectation | None:
    """Return the seconds in which the smoke openings of a zone must be in place, and those they take."""
    times = [it for it in (_smoke_s(drive) for drive in _smoke_drives(situation, zone)) if it is not None]
    if not times:
        return None
    text = text_of(
        f"All smoke openings in place within {SMOKE_OPEN_S:.0f} s",
        f"By stroke and speed the slowest takes {max(times):.0f} s",
    )
    return Expectation(text, calculated=True)


def _smoke_drives(situation: Situation, zone: str) -> Iterator[Drive]:
    topology = situation.scope.topology
    for consumer in topology.consumers_of_zone(zone):
        drive = topology.site.drives.get(consumer)
        if drive and drive.opening and topology.site.openings[drive.opening].smoke:
            yield drive


def _smoke_s(drive: Drive) -> float | None:
    speed = drive.smoke_speed_mm_s or drive.manual_speed_mm_s
    return smoke_verdict(drive.stroke_mm, speed).takes_s if drive.stroke_mm and speed else None


def opening_limit(situation: Situation, zone: str) -> Expectation | None:
    """Return the limits on how far the openings of a zone may open."""
    site = situation.scope.topology.site
    limits = {it: site.openings[it].opening_limit_mm for it in site.zones[zone].openings or () if it in site.openings}
    said = [f"{named(situation, it)} {limit:.0f} mm" for it, limit in limits.items() if limit]
    of_zone = site.zones[zone].opening_limit_mm
    said = [f"{of_zone:.0f} mm for the whole zone", *said] if of_zone else said
    return Expectation(f"The description says: {', '.join(said)}.", calculated=True) if said else None


def run_time(situation: Situation, output: str) -> Expectation | None:
    """Return the run time an output needs for its slowest drive."""
    topology = situation.scope.topology
    drives = [topology.site.drives[it] for it in topology.consumers_of_output(output) if it in topology.site.drives]
    travels = [it for it in map(_slowest, drives) if it is not None]
    if not travels or len(travels) < len(drives):
        return None
    longest = max(travels, key=full_travel_s)
    needed_s, travel_s = run_time_needed_s(longest), full_travel_s(longest)
    described = topology.site.outputs[output].run_time_s
    said = text_of(
        f"At least {needed_s:.0f} s: the slowest travel of {travel_s:.0f} s and a tenth",
        f"The description says {described:g} s" if described else "",
    )
    return Expectation(said, calculated=True)


def _slowest(drive: Drive) -> Travel | None:
    speeds = [it for it in (drive.manual_speed_mm_s, drive.automatic_speed_mm_s) if it]
    return Travel(drive.stroke_mm, min(speeds)) if drive.stroke_mm and speeds else None


def force_by_hand(situation: Situation, opening: str) -> Expectation | None:
    """Return the force that moves a free opening, from the drives that move it."""
    topology = situation.scope.topology
    forces = [topology.site.drives[it].force_n for it in topology.drives_of_opening(opening)]
    if not forces or None in forces:
        return None
    rated = sum(it for it in forces if it)
    drives = "its drive" if len(forces) == 1 else f"its {len(forces)} drives together"
    said = text_of(
        f"Below about {rated / 2:.0f} N, half of the {rated:.0f} N that {drives} can give",
        "More means stiff hinges, a stuck seal or a distorted frame",
    )
    return Expectation(said, calculated=True)
