"""What people at a site would complain of: try everything as they do, and compare with what it is meant to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from diag.virtual.complaint import Complaint
from diag.virtual.contacts import Side
from diag.virtual.forces import rated_speed
from diag.virtual.noticing_functions import function_complaints
from diag.virtual.noticing_panel import panel_complaints
from diag.virtual.runs import DriveRun
from diag.virtual.site import Response, VirtualSite

TRIALS: tuple[tuple[float, Side], ...] = ((0.0, "open"), (1.0, "close"), (0.5, "open"))
OVERSHADOW = ("panel-dark", "site-dead", "settings-copied-misbehaves", "smoke-opens-unasked", "wont-close-after-alarm")
"""With one of these nobody calls about a single drive, switch or sensor."""
SHORT_SHARE = 0.92
SLOW_FACTOR = 1.3
SOON_SHARE = 0.3
GAP_MM = 4.0


def complaints(site: VirtualSite) -> list[Complaint]:
    """Return all that people would notice, in a fixed order, each symptom once for a part."""
    found = [*panel_complaints(site), *_movement_complaints(site)]
    if not any(it.symptom in OVERSHADOW for it in found):
        found += function_complaints(site)
        found += list(_by_story(site, found))
    else:
        found = [it for it in found if it.part in site.fitted.controllers or it.part in site.fitted.zones]
    return list({(it.symptom, it.part): it for it in found}.values())


def _by_story(site: VirtualSite, found: list[Complaint]) -> Iterator[Complaint]:
    """Yield what people make of the trouble: that it comes and goes, or that a new part brought it."""
    moving = [it for it in found if it.part in site.fitted.drives or it.part in site.fitted.zones]
    if site.history.comes_and_goes and moving:
        yield Complaint("intermittent", moving[0].part, 1.5)
    if site.history.replaced in ("drive", "switch-or-sensor") and found:
        kinds = site.fitted.drives if site.history.replaced == "drive" else site.fitted.inputs
        parts = [it.part for it in found if it.part in kinds]
        if parts:
            yield Complaint("replaced-part-misbehaves", parts[0], 0.4)


@dataclass(frozen=True)
class _Trial:
    """A zone opened and closed from its own switch."""

    zone: str
    switch: str | None
    opened: Response
    closed: Response
    half: Response
    """The zone asked to open from half way: shows what runs backwards."""


def _movement_complaints(site: VirtualSite) -> Iterator[Complaint]:
    trials = [_try_zone(site, zone) for zone in site.fitted.zones if site.topology.site.zones[zone].openings]
    dead = _dead_controllers(site, trials)
    for controller in dead:
        yield Complaint("site-dead", controller, 3.0)
    for trial in trials:
        if not dead & _controllers(site, trial.zone):
            yield from _of_zone(site, trial)
    if not dead:
        yield from _all_at_once(site)


def _controllers(site: VirtualSite, zone: str) -> set[str]:
    """Return the controllers that feed a zone."""
    outputs = {site.driving.output(it) for it in _meant(site, zone)}
    found = {site.topology.site.outputs[it].controller for it in outputs if it}
    return {it for it in found if it}


def _dead_controllers(site: VirtualSite, trials: Sequence[_Trial]) -> set[str]:
    """Return the controllers none of whose zones moves, from its switch or from the panel."""
    zones: dict[str, list[_Trial]] = {}
    for trial in trials:
        for controller in _controllers(site, trial.zone):
            zones.setdefault(controller, []).append(trial)
    still = {it for it, found in zones.items() if not any(one.opened.moved or one.closed.moved for one in found)}
    return {it for it in still if not site.bus(it).alive or not any(_moves(site, one.zone) for one in zones[it])}


def _moves(site: VirtualSite, zone: str) -> bool:
    moved = site.command_at_panel(zone, "open").moved
    site.commands.by_hand.pop(zone, None)
    site.close_all()
    return bool(moved)


def _all_at_once(site: VirtualSite) -> Iterator[Complaint]:
    """Yield that drives which run zone by zone fail when every zone runs."""
    site.close_all()
    alone = {it for zone in site.fitted.zones for it in _full(site.command_at_panel(zone, "open"))}
    site.close_all()
    wishes = tuple(site.fitted.zones)
    together = set(_full(site.command(wishes, "open", "manual")))
    site.commands.by_hand.clear()
    site.close_all()
    if alone - together:
        controllers = {site.topology.site.outputs[site.driving.output(it)].controller for it in alone - together}
        yield from [Complaint("stops-when-many-move", it, 2.5) for it in sorted(filter(None, controllers))]


def _full(response: Response) -> list[str]:
    return [it for it, run in response.runs.items() if run.stop == "end" and run.moved_mm > 3]


def _try_zone(site: VirtualSite, zone: str) -> _Trial:
    inputs = site.topology.site.inputs
    switch = next((it for it in site.topology.inputs_of_zone(zone) if inputs[it].kind == "switch"), None)
    found: list[Response] = []
    for share, side in TRIALS:
        for it in site.fitted.drives:
            site.mover.positions[it] = share * site.driving.stroke(it)
        found.append(site.press(switch, side) if switch else site.command_at_panel(zone, side))
        site.commands.by_hand.clear()
    site.close_all()
    return _Trial(zone, switch, *found)


def _meant(site: VirtualSite, zone: str) -> list[str]:
    described = site.topology.site.zones[zone].openings or ()
    return [it for opening in described for it in site.topology.drives_of_opening(opening)]


def _of_zone(site: VirtualSite, trial: _Trial) -> Iterator[Complaint]:
    meant = _meant(site, trial.zone)
    opened = {it for it in trial.opened.moved if it in meant}
    closed = {it for it in trial.closed.moved if it in meant}
    stuck = {it for it in site.fitted.drives if site.fitted.outputs[site.driving.output(it)].stuck}
    others = (set(trial.opened.moved) | set(trial.closed.moved)) - set(meant) - stuck
    backwards = [it for it in meant if it not in stuck and _runs_backwards(trial.half.runs.get(it))]
    if backwards:
        whole = len(backwards) == len(meant) > 1
        yield from [Complaint("runs-reversed", it, 3.0) for it in ([trial.zone] if whole else backwards)]
    meant = [it for it in meant if it not in backwards and it not in stuck]
    if not meant:
        return
    if others:
        yield Complaint("too-many-move" if opened | closed else "wrong-zone-moves", trial.zone, 3.0)
    if not opened and not closed:
        yield from _still(site, trial, bool(others))
    elif not opened or not closed:
        yield from _one_way(site, trial, bool(opened))
    yield from _held(site, trial)
    refused = trial.opened.refused_by or trial.closed.refused_by
    for drive in meant:
        if opened | closed and not refused:
            yield from _of_drive(site, trial, drive)


def _runs_backwards(run: DriveRun | None) -> bool:
    """Return whether a drive asked to open ran the other way; a spring that shuts a dead one is no running."""
    return run is not None and run.moved_mm < -3 and run.stop != "no-voltage"


def _still(site: VirtualSite, trial: _Trial, others: bool) -> Iterator[Complaint]:
    if others:
        return
    if any(run.stop == "trip" or abs(run.voltage_v) > 5 for run in trial.opened.runs.values()):
        yield from _together_only(site, trial)
    at_panel = site.command_at_panel(trial.zone, "open").moved
    site.commands.by_hand.pop(trial.zone, None)
    site.close_all()
    if trial.switch and at_panel:
        threshold = site.fitted.inputs[trial.switch].hold_threshold_s
        late = threshold > 1.5
        yield Complaint("hold-does-nothing" if late else "manual-ignored", trial.switch, 3.0)
        return
    yield Complaint("zone-dead", trial.zone, 3.0)
    yield Complaint("manual-ignored", trial.switch or trial.zone, 0.3)


def _together_only(site: VirtualSite, trial: _Trial) -> Iterator[Complaint]:
    """Yield that a zone twitches and stops, and whether its drives would run one by one."""
    if any(run.stop in ("trip", "no-voltage") for run in trial.opened.runs.values()):
        yield Complaint("starts-then-stops", trial.zone, 2.0)
    site.close_all()
    alone = [it for it in trial.opened.runs if site.run_alone(it).moved_mm > 3]
    site.close_all()
    outputs = sorted({site.driving.output(it) for it in alone})
    yield from [Complaint("stops-when-many-move", it, 3.0) for it in outputs]


def _one_way(site: VirtualSite, trial: _Trial, opens: bool) -> Iterator[Complaint]:
    site.close_all()
    site.put(trial.zone, is_open=opens)
    at_panel = site.command_at_panel(trial.zone, "close" if opens else "open").moved
    site.commands.by_hand.pop(trial.zone, None)
    if trial.switch and at_panel:
        yield Complaint("one-button-dead", trial.switch, 2.0)
    symptom = "opens-not-closes" if opens else "closes-not-opens"
    by_smoke = trial.closed.refused_by is not None and trial.closed.refused_by.command == "smoke"
    if by_smoke:
        return
    if not (trial.opened.refused_by and not opens):
        yield Complaint(symptom, trial.zone, 2.0)


def _held(site: VirtualSite, trial: _Trial) -> Iterator[Complaint]:
    """Yield that the zone is held closed, where something refuses to open it in fair weather."""
    by = trial.opened.refused_by
    if by and by.command in ("wind", "rain", "maintenance", "link"):
        fair = not site.around.raining and site.around.wind_m_s < 8
        if fair:
            yield Complaint("always-held-closed", trial.zone, 3.0)
            return
        yield Complaint("closes-not-opens", trial.zone, 2.0)
        yield Complaint("manual-ignored", trial.switch or trial.zone, 0.3)


def _of_drive(site: VirtualSite, trial: _Trial, drive: str) -> Iterator[Complaint]:
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


def _way_of(site: VirtualSite, drive: str, run: DriveRun, trial: _Trial) -> Iterator[Complaint]:
    share = run.moved_mm / max(1.0, design_end_mm(site, drive))
    if run.stop == "twist":
        yield Complaint("pair-out-of-step", site.topology.site.drives[drive].opening or drive, 3.0)
    elif run.moved_mm > 3 and share < SHORT_SHARE:
        stalls = run.stop in ("cut-out", "trip", "no-voltage", "hum")
        yield Complaint("starts-then-stops" if stalls and share < SOON_SHARE else "stops-part-way", drive, 2.5)
    elif 0 <= run.moved_mm <= 3 and run.stop in ("cut-out", "trip") and run.voltage_v != 0:
        yield Complaint("starts-then-stops", drive, 2.0)
    if share > 0.1 and run.seconds > SLOW_FACTOR * design_time_s(site, drive, run.moved_mm):
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
