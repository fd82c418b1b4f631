"""What people at a site would complain of: try everything as they do, and compare with what it is meant to do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from diag.virtual.complaint import Complaint
from diag.virtual.contacts import Side
from diag.virtual.noticing_drives import Trial, of_drive
from diag.virtual.noticing_functions import function_complaints
from diag.virtual.noticing_panel import panel_complaints
from diag.virtual.runs import DriveRun
from diag.virtual.site import Response, VirtualSite

TRIALS: tuple[tuple[float, Side], ...] = ((0.0, "open"), (1.0, "close"), (0.5, "open"))
OVERSHADOW = ("panel-dark", "site-dead", "settings-copied-misbehaves", "smoke-opens-unasked", "wont-close-after-alarm")
"""With one of these nobody calls about a single drive, switch or sensor."""
OF_ZONES = (
    "opens-not-closes", "closes-not-opens", "stops-part-way", "starts-then-stops", "moves-slowly", "keeps-running",
)  # fmt: skip
"""What can be said of a zone as well as of a drive."""


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


def _movement_complaints(site: VirtualSite) -> Iterator[Complaint]:
    trials = [_try_zone(site, zone) for zone in site.fitted.zones if site.topology.site.zones[zone].openings]
    dead = _dead_controllers(site, trials)
    for controller in sorted(dead):
        yield Complaint("site-dead", controller, 3.0)
    for trial in trials:
        if not dead & _controllers(site, trial.zone):
            yield from _gathered(site, trial.zone, list(_of_zone(site, trial)))
    if not dead:
        yield from _all_at_once(site)


def _gathered(site: VirtualSite, zone: str, found: list[Complaint]) -> Iterator[Complaint]:
    """Yield what people say of a zone: of the zone itself where all its drives do the same."""
    drives = set(_meant(site, zone))
    shared = {
        symptom
        for symptom in OF_ZONES
        if len(drives) > 1 and drives <= {it.part for it in found if it.symptom == symptom}
    }
    for it in found:
        if it.symptom not in shared or it.part not in drives:
            yield it
    yield from [Complaint(symptom, zone, 2.5) for symptom in sorted(shared)]


def _controllers(site: VirtualSite, zone: str) -> set[str]:
    """Return the controllers that feed a zone."""
    outputs = {site.driving.output(it) for it in _meant(site, zone)}
    found = {site.topology.site.outputs[it].controller for it in outputs if it}
    return {it for it in found if it}


def _dead_controllers(site: VirtualSite, trials: Sequence[Trial]) -> set[str]:
    """Return the controllers none of whose zones moves, from its switch or from the panel."""
    zones: dict[str, list[Trial]] = {}
    for trial in trials:
        for controller in _controllers(site, trial.zone):
            zones.setdefault(controller, []).append(trial)
    several = {it: found for it, found in zones.items() if len(found) > 1 or not site.bus(it).alive}
    still = {it for it, found in several.items() if not any(one.opened.moved or one.closed.moved for one in found)}
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


def _try_zone(site: VirtualSite, zone: str) -> Trial:
    inputs = site.topology.site.inputs
    switch = next((it for it in site.topology.inputs_of_zone(zone) if inputs[it].kind == "switch"), None)
    found: list[Response] = []
    for share, side in TRIALS:
        site.stand_at(share)
        found.append(site.press(switch, side) if switch else site.command_at_panel(zone, side))
        site.commands.by_hand.clear()
    site.close_all()
    return Trial(zone, switch, *found)


def _meant(site: VirtualSite, zone: str) -> list[str]:
    described = site.topology.site.zones[zone].openings or ()
    return [it for opening in described for it in site.topology.drives_of_opening(opening)]


def _of_zone(site: VirtualSite, trial: Trial) -> Iterator[Complaint]:
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
            yield from of_drive(site, trial, drive)


def _runs_backwards(run: DriveRun | None) -> bool:
    """Return whether a drive asked to open ran the other way; a spring that shuts a dead one is no running."""
    return run is not None and run.moved_mm < -3 and run.stop != "no-voltage"


def _still(site: VirtualSite, trial: Trial, others: bool) -> Iterator[Complaint]:
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


def _together_only(site: VirtualSite, trial: Trial) -> Iterator[Complaint]:
    """Yield that a zone twitches and stops, and whether its drives would run one by one."""
    if any(run.stop in ("trip", "no-voltage") for run in trial.opened.runs.values()):
        yield Complaint("starts-then-stops", trial.zone, 2.0)
    site.close_all()
    alone = [it for it in trial.opened.runs if site.run_alone(it).moved_mm > 3]
    site.close_all()
    outputs = sorted({site.driving.output(it) for it in alone})
    yield from [Complaint("stops-when-many-move", it, 3.0) for it in outputs]


def _one_way(site: VirtualSite, trial: Trial, opens: bool) -> Iterator[Complaint]:
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


def _held(site: VirtualSite, trial: Trial) -> Iterator[Complaint]:
    """Yield that the zone is held closed, where something refuses to open it in fair weather."""
    by = trial.opened.refused_by
    if by and by.command in ("wind", "rain", "maintenance", "link"):
        fair = not site.around.raining and site.around.wind_m_s < 8
        if fair:
            yield Complaint("always-held-closed", trial.zone, 3.0)
            return
        yield Complaint("closes-not-opens", trial.zone, 2.0)
        yield Complaint("manual-ignored", trial.switch or trial.zone, 0.3)
