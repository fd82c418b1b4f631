"""Exchange or take off parts of a virtual site for a check, run what is left, and put them back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

from diag.virtual.fitted import DriveCondition, OpeningCondition
from diag.virtual.noticing_drives import SHORT_SHARE, design_end_mm
from diag.virtual.powered import is_commanded, zones_of_drive
from diag.virtual.runs import DriveRun
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform
from diag.virtual_checks.trials import SEEN_MM, fresh


def _detached(site: VirtualSite, drive: str) -> Found:
    opening = site.topology.site.drives[drive].opening
    kept = site.fitted.openings.pop(opening) if opening else None
    if opening:
        site.fitted.openings[opening] = OpeningCondition()
    with fresh(site):
        run = site.run_alone(drive) if any(is_commanded(site, it) for it in zones_of_drive(site, drive)) else None
    if opening and kept:
        site.fitted.openings[opening] = kept
    full = run is not None and run.stop == "end" and run.moved_mm > SHORT_SHARE * design_end_mm(site, drive)
    return "runs-full" if full and run is not None and not run.past_end else "same-fault"


def _by_hand(site: VirtualSite, opening: str) -> Found:
    it = site.fitted.openings[opening]
    if it.blades_stuck or it.lock == "engaged" or it.blocked_at is not None:
        return "blocked"
    if it.stuck_closed != "no":
        return "blocked" if it.stuck_closed == "frozen" else "stiff"
    return "stiff" if it.hinge_drag > 0.3 or it.frame_drag > 0.4 or it.load > 0.6 else "easy"


def _swap_cores(site: VirtualSite, drive: str) -> Found:
    """Exchange the cores of the drive's own lead and run it: cured when it ran wrong before and runs right now."""
    lead = next((it for it in site.topology.supply_path(drive) if it in site.fitted.cables), None)
    if lead is None:
        return "not-sure"
    before = _way(site, drive)
    with _exchanged(site, lead):
        after = _way(site, drive)
    return "cured" if before < 0 < after else "no-change"


def _way(site: VirtualSite, drive: str) -> float:
    """Return how far the drive goes from half way when its output is commanded open."""
    with fresh(site, 0.5):
        return site.run_alone(drive).moved_mm


@contextmanager
def _exchanged(site: VirtualSite, cable: str) -> Iterator[None]:
    it = site.fitted.cables[cable]
    it.swapped = not it.swapped
    site.feed.wiring.forget()
    yield
    it.swapped = not it.swapped
    site.feed.wiring.forget()


def _swap_drive(site: VirtualSite, drive: str) -> Found:
    """Put a good drive of the same kind on this cable: the fault stays when that one fails here too."""
    good = DriveCondition(addressable=site.fitted.drives[drive].addressable, address=site.fitted.drives[drive].address)
    own, before = site.fitted.drives[drive], _performance(site, drive)
    site.fitted.drives[drive] = good
    after = _performance(site, drive)
    site.fitted.drives[drive] = own
    if after == before:
        return "fault-stays"
    return "fault-moves-with-drive"


def _performance(site: VirtualSite, drive: str) -> tuple[str, ...]:
    """Return what people see of a drive that is run both ways, in coarse words."""
    with fresh(site):
        opened = site.run_alone(drive)
    with fresh(site, 1.0):
        closed = site.run_alone(drive, -1)
    return (*_seen(opened), *_seen(closed))


def _seen(run: DriveRun) -> tuple[str, ...]:
    speed = abs(run.moved_mm) / run.seconds if run.seconds else 0.0
    moves = "backwards" if run.moved_mm * run.wish < -SEEN_MM else f"{abs(run.moved_mm):.0f} mm"
    return moves, f"{speed:.0f} mm/s", "noisy" if run.noisy else "quiet", "past" if run.past_end else "in"


EXCHANGES: Mapping[str, Perform] = {
    "try-drive-detached": _detached,
    "try-disconnected-drive-by-hand": _by_hand,
    "try-swap-cores": _swap_cores,
    "try-swap-drive-channel": _swap_drive,
}
"""For each exchange: whether it made a difference."""
