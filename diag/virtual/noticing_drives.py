"""What people notice about one drive when they open and close its zone."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.virtual.complaint import Complaint
from diag.virtual.forces import rated_speed
from diag.virtual.runs import DriveRun
from diag.virtual.site import Response, VirtualSite

SHORT_SHARE = 0.92
SLOW_FACTOR = 1.3
SOON_SHARE = 0.3
GAP_MM = 4.0


@dataclass(frozen=True)
class Trial:
    """A zone opened and closed from its own switch."""

    zone: str
    switch: str | None
    opened: Response
    closed: Response
    half: Response
    """The zone asked to open from half way: shows what runs backwards."""


def of_drive(site: VirtualSite, trial: Trial, drive: str) -> Iterator[Complaint]:
    """Yield what people notice about one drive of a zone that was tried."""
    opened, closed = trial.opened.runs.get(drive), trial.closed.runs.get(drive)
    if opened is None or closed is None:
        if not trial.opened.refused_by and (trial.opened.runs or trial.closed.runs):
            yield (
                Complaint("drive-dead", drive, 1.0)
                if opened is None and closed is None
                else Complaint("opens-not-closes" if closed is None else "closes-not-opens", drive, 0.5)
            )
        return
    goes, comes = opened.moved_mm > 3, closed.moved_mm < -3 and closed.stop != "no-voltage"
    if not goes and not comes:
        yield from _dead_drive(site, drive, opened)
    elif not goes:
        yield Complaint("closes-not-opens", drive, 2.0)
    elif not comes:
        yield Complaint("opens-not-closes", drive, 2.0)
    yield from _way_of(site, drive, opened, trial)
    yield from _end_of(site, drive, closed)


def _dead_drive(site: VirtualSite, drive: str, run: DriveRun) -> Iterator[Complaint]:
    rotary = site.topology.site.drives[drive].signal is not None
    yield Complaint("damper-not-following" if rotary else "drive-dead", drive, 3.0)
    if run.stop == "hum":
        yield Complaint("noisy", drive, 1.0)
        yield Complaint("keeps-running", drive, 0.5)


def design_time_s(site: VirtualSite, drive: str, way_mm: float) -> float:
    """Return the seconds that a sound drive takes by hand for this way."""
    it = site.topology.site.drives[drive]
    if it.full_travel_s and not it.manual_speed_mm_s:
        return it.full_travel_s * abs(way_mm) / site.driving.stroke(drive)
    return abs(way_mm) / rated_speed(it.manual_speed_mm_s, it.automatic_speed_mm_s, it.smoke_speed_mm_s, "manual")


def design_end_mm(site: VirtualSite, drive: str) -> float:
    """Return how far the drive is meant to open."""
    opening = site.topology.site.drives[drive].opening
    limit = site.topology.site.openings[opening].opening_limit_mm if opening else None
    zones = site.topology.zones_of_opening(opening or "")
    limits = [limit, *(site.topology.site.zones[it].opening_limit_mm for it in zones)]
    return min([site.driving.stroke(drive), *(it for it in limits if it)])


def _way_of(site: VirtualSite, drive: str, run: DriveRun, trial: Trial) -> Iterator[Complaint]:
    share = run.moved_mm / max(1.0, design_end_mm(site, drive))
    if run.stop == "twist":
        yield Complaint("pair-out-of-step", site.topology.site.drives[drive].opening or drive, 3.0)
    elif run.moved_mm > 3 and share < SHORT_SHARE:
        stalls = run.stop in ("cut-out", "trip", "no-voltage", "hum")
        yield Complaint("starts-then-stops" if stalls and share < SOON_SHARE else "stops-part-way", drive, 2.5)
    elif 0 <= run.moved_mm <= 3 and run.stop in ("cut-out", "trip") and run.voltage_v != 0:
        yield Complaint("starts-then-stops", drive, 2.0)
    if run.stop != "twist" and share > 0.1 and run.seconds > SLOW_FACTOR * design_time_s(site, drive, run.moved_mm):
        yield Complaint("moves-slowly", drive, 2.0)
    elif len(trial.opened.moved) > 1 and run.stop in ("no-voltage", "trip"):
        yield from _only_together(site, drive)
    if run.noisy:
        yield Complaint("noisy", drive, 1.5)
    if run.past_end:
        yield Complaint("keeps-running", drive, 2.0)


def _only_together(site: VirtualSite, drive: str) -> Iterator[Complaint]:
    site.close_all()
    alone = site.run_alone(drive)
    site.close_all()
    output = site.topology.output_of(drive)
    if output and alone.moved_mm > SHORT_SHARE * design_end_mm(site, drive):
        yield Complaint("stops-when-many-move", output, 3.0)


def _end_of(site: VirtualSite, drive: str, closed: DriveRun) -> Iterator[Complaint]:
    opening = site.topology.site.drives[drive].opening
    if closed.backed_off and closed.moved_mm < -3:
        yield Complaint("reopens-while-closing", drive, 2.5)
    elif closed.moved_mm < -3 and closed.position_mm > GAP_MM and closed.stop != "twist":
        yield Complaint("stops-part-way", drive, 2.0)
    if opening and closed.moved_mm < -3 and closed.stop in ("end", "cut-out"):
        if GAP_MM < closed.position_mm < 0.2 * site.driving.stroke(drive):
            yield Complaint("not-tight", opening, 1.5)
        it = site.fitted.openings[opening]
        if it.seal_flat or it.bracket_loose or it.frame_drag > 0.4:
            yield Complaint("not-tight", opening, 2.0)
