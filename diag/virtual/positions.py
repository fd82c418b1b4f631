"""Compare the position that a drive reports with where its opening is seen to be."""

from __future__ import annotations

from diag.virtual.runs import DriveRun, Wish
from diag.virtual.site import WATCH_S, VirtualSite

SEEN_APART_SHARE = 0.08
"""From this share of the stroke on people see that value and opening differ; judgement."""


def reports_position(site: VirtualSite, drive: str) -> bool:
    """Return whether the controller shows a position for the drive at all."""
    it = site.topology.site.drives[drive]
    return bool(it.signal or it.addressable)


def position_agrees(site: VirtualSite, drive: str) -> bool:
    """Return whether the shown position fits what is seen, at rest and after the drive was asked to open."""
    limit = SEEN_APART_SHARE * site.driving.stroke(drive)
    before = site.mover.positions.get(drive, 0.0)
    site.mover.positions[drive] = 0.0
    run = site.mover.run({drive: Wish(1)}, WATCH_S)[drive]
    site.mover.positions[drive] = before
    return abs(reported_mm(site, drive, run) - seen_mm(site, drive, run)) <= limit


def reported_mm(site: VirtualSite, drive: str, run: DriveRun) -> float:
    """Return what the drive believes: it counts its motor's turns from where it took its reference.

    A drive whose board is dead reports nothing new, so the last value stands: open, as it was asked to be.
    """
    it, stroke = site.fitted.drives[drive], site.driving.stroke(drive)
    if it.board == "dead":
        return stroke
    if it.gear != "sound" and run.stop in ("hum", "end", "time"):
        return stroke
    if it.inverted:
        return stroke - run.position_mm
    return run.position_mm + it.reference_off_mm


def seen_mm(site: VirtualSite, drive: str, run: DriveRun) -> float:
    """Return where the opening is seen to be."""
    it = site.fitted.drives[drive]
    if it.shaft_slips or it.gear == "stripped":
        return run.start_mm
    return run.position_mm
