"""Put wrong settings, and commands that somebody left standing, into zones and controllers."""

from __future__ import annotations

from diag.virtual.spot import Faults, Spot, after_a_change, pick, slowly


def _automatic_off(spot: Spot) -> None:
    spot.fitted.zones[spot.part].automatic_enabled = False
    after_a_change(spot)


def _hold_off_long(spot: Spot) -> None:
    zone = spot.fitted.zones[spot.part]
    zone.hold_off_minutes = spot.between(360.0, 1440.0)
    zone.manual_minutes_ago = zone.hold_off_minutes * spot.dice.uniform(0.15, 0.8)
    after_a_change(spot)


def _hold_off_runs(spot: Spot) -> None:
    """Nothing is wrong: somebody used the switch a while ago, so automatic waits."""
    zone = spot.fitted.zones[spot.part]
    zone.manual_minutes_ago = zone.hold_off_minutes * spot.dice.uniform(0.1, 0.7)
    zone.manual_action = "close"


def _lockout_stands(spot: Spot) -> None:
    """Nothing is wrong: rain, wind, season or a turned key refuses, as designed."""
    topology = spot.topology
    kinds = {topology.site.lockouts[it].kind for it in topology.lockouts_of_zone(spot.part)}
    kind = pick(spot.dice, sorted(kinds & {"rain", "wind", "season"}, key=str))
    if kind == "wind":
        spot.around.wind_m_s, spot.history.weather = 14.0, "windy"
    elif kind == "season":
        spot.around.move_to(month=1)
        spot.around.outdoor_c, spot.history.weather = 4.0, "cold"
    elif kind == "rain":
        spot.around.raining, spot.history.weather = True, "wet"


def _as_meant(spot: Spot) -> None:
    """Nothing is wrong: automatic moves are slow on purpose, and somebody wonders."""
    spot.history.puzzled_by = spot.part


def _limit(spot: Spot) -> None:
    zone = spot.fitted.zones[spot.part]
    zone.limit_mm = 300.0 * spot.between(0.6, 0.2)
    spot.history.settings = spot.either("no", "changed", 0.7)


def _screen(spot: Spot) -> None:
    spot.fitted.zones[spot.part].screen = "clogged"
    spot.history.cleaned = spot.dice.random() < 0.15
    slowly(spot)


def _zone_parts(spot: Spot) -> None:
    """Exchange all openings of two zones, or put some of another zone in this one."""
    mine = spot.fitted.zones[spot.part]
    other = pick(spot.dice, [it for it in spot.fitted.zones if it != spot.part and spot.fitted.zones[it].openings])
    if other is None:
        mine.openings = ()
        return
    theirs = spot.fitted.zones[other]
    if spot.dice.random() < 0.5:
        mine.openings, theirs.openings = theirs.openings, mine.openings
    else:
        mine.openings = (*mine.openings, theirs.openings[0])
    after_a_change(spot)


def _programme(spot: Spot) -> None:
    zone = spot.fitted.zones[spot.part]
    zone.programme = spot.either("wrong", "missing", 0.7)
    zone.programme_late_min = spot.between(60.0, 600.0) if zone.programme == "wrong" else 0.0
    after_a_change(spot)


def _higher(spot: Spot) -> None:
    zone = spot.fitted.zones[spot.part]
    links = spot.topology.links_of_zone(spot.part)
    zone.held_by = "link" if links and spot.dice.random() < 0.7 else "maintenance"
    zone.held_action = "close"


def _lockout_stuck(spot: Spot) -> None:
    spot.fitted.zones[spot.part].stuck_lockout = True


def _order(spot: Spot) -> None:
    for controller in spot.fitted.controllers.values():
        controller.order_changed = True
    after_a_change(spot)


def _alarm(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].smoke_latched = True
    spot.history.alarm = spot.either("yes-not-reset", "yes-reset", 0.7)


def _clock(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].clock_off_minutes = spot.either(60.0, 437.0, 0.6)
    spot.history.power_cut = spot.dice.random() < 0.5


def _access(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].user_may = False


def _not_saved(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].keeps_settings = False
    spot.history.power_cut, spot.history.settings = spot.dice.random() < 0.7, spot.either("changed", "no", 0.7)


def _reset(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.settings_of = "defaults"
    controller.clock_off_minutes = spot.either(500.0, 0.0, 0.6)
    for part in spot.topology.inputs_of_controller(spot.part):
        spot.fitted.inputs[part].zones = ()
    spot.history.settings, spot.history.began = spot.either("restored", "no", 0.6), "after-work"


def _from_elsewhere(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].settings_of = "other-site"
    parts = [it for it in spot.topology.inputs_of_controller(spot.part) if spot.fitted.inputs[it].zones]
    for part in parts[: max(1, len(parts) // 2)]:
        spot.fitted.inputs[part].zones = spot.fitted.inputs[part].zones[:0]
    for part in spot.topology.outputs_of_controller(spot.part):
        spot.fitted.outputs[part].expected = 1
    spot.history.settings, spot.history.began = "copied", "after-work"


SETTING_FAULTS: Faults = {
    "as-designed": ("zone", _as_meant),
    "hold-off-active": ("zone", _hold_off_runs),
    "lockout-active": ("zone", _lockout_stands),
    "automatic-disabled": ("zone", _automatic_off),
    "hold-off-too-long": ("zone", _hold_off_long),
    "opening-limit-set": ("zone", _limit),
    "insect-screen-clogged": ("zone", _screen),
    "zone-assignment-wrong": ("zone", _zone_parts),
    "schedule-wrong": ("zone", _programme),
    "higher-command-active": ("zone", _higher),
    "lockout-stuck": ("zone", _lockout_stuck),
    "command-order-wrong": ("zone", _order),
    "alarm-latched": ("controller", _alarm),
    "clock-wrong": ("controller", _clock),
    "access-level-too-low": ("controller", _access),
    "settings-not-saved": ("controller", _not_saved),
    "settings-reset": ("controller", _reset),
    "settings-from-elsewhere": ("controller", _from_elsewhere),
}
