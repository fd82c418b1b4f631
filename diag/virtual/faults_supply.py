"""Put faults into the supply of a controller, its battery, its board and its outputs."""

from __future__ import annotations

from diag.virtual.spot import Faults, Spot, after_a_change, pick, slowly, wrong_from_the_start


def _mains_absent(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.isolator_on = False
    controller.breaker_trips_again = spot.dice.random() < 0.2
    controller.battery_charge = spot.either(0.8, 0.0, 0.6)
    spot.history.power_cut = spot.dice.random() < 0.4


def _mains_lead_open(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.mains_lead = spot.either("loose-or-off", "wrong-terminal", 0.85)
    controller.battery_charge = spot.either(0.8, 0.0, 0.5)
    spot.history.trades = spot.dice.random() < 0.5


def _supply_fuse_blown(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].fuse_whole = False
    spot.fitted.controllers[spot.part].battery_charge = spot.either(0.8, 0.0, 0.5)


def _power_unit_failed(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.unit_voltage_share = 0.0 if spot.severity > 0.45 else spot.between(0.8, 0.4)
    controller.inside = spot.either("burnt", "clean-dry", 0.25)
    controller.battery_charge = spot.either(0.8, 0.0, 0.5)


def _power_unit_overloaded(spot: Spot) -> None:
    supply = spot.topology.site.controllers[spot.part].supply
    rated = (supply.rated_current_a if supply else None) or 10.0
    spot.fitted.controllers[spot.part].extra_load_a = rated * spot.between(0.55, 0.9)
    spot.history.began = spot.either("after-work", "gradually", 0.6)


def _battery_discharged(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.battery_charge = spot.between(0.15, 0.0)
    controller.isolator_on = spot.dice.random() < 0.6
    spot.history.power_cut = spot.dice.random() < 0.8


def _battery_aged(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.battery_health = spot.between(0.45, 0.08)
    controller.battery_is_old = spot.dice.random() < 0.85
    slowly(spot)


def _battery_disconnected(spot: Spot) -> None:
    spot.fitted.controllers[spot.part].battery_linked = False
    spot.history.began = spot.either("after-work", "suddenly")


def _charger_failed(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.charger_share = spot.either(0.0, 0.9)
    controller.battery_charge = spot.between(0.35, 0.03)


def _comfort_kept_back(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.comfort_on_battery = False
    controller.isolator_on = False
    spot.history.power_cut = True


def _board_failed(spot: Spot) -> None:
    controller = spot.fitted.controllers[spot.part]
    controller.board = "dead" if spot.severity > 0.5 else "deaf"
    controller.inside = pick(spot.dice, ["clean-dry", "clean-dry", "wet", "burnt"]) or "clean-dry"


def running_a(spot: Spot) -> float:
    """Return what the drives of an output draw together while they run."""
    drives = spot.topology.site.drives
    listed = [drives[it] for it in spot.topology.consumers_of_output(spot.part) if it in drives]
    return sum(it.running_current_a or 1.0 for it in listed)


def _output_fuse(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].fuse_whole = False
    spot.fitted.outputs[spot.part].lamp_follows = spot.dice.random() < 0.8


def _driver_failed(spot: Spot) -> None:
    output = spot.fitted.outputs[spot.part]
    way = pick(spot.dice, ["both", "open", "close"])
    output.opens = way == "close"
    output.closes = way == "open"
    output.lamp_follows = spot.dice.random() < 0.75


def _stuck_on(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].stuck = spot.either("open", "close")
    spot.fitted.outputs[spot.part].lamp_follows = spot.dice.random() < 0.4


def _trips_early(spot: Spot) -> None:
    described = spot.topology.site.outputs[spot.part]
    trips_at = described.trip_current_a or described.rated_current_a or described.fuse_a or 10.0
    spot.fitted.outputs[spot.part].trip_share = running_a(spot) * spot.between(0.95, 0.5) / trips_at


def _overloaded(spot: Spot) -> None:
    rated = spot.topology.site.outputs[spot.part].rated_current_a or 5.0
    spot.fitted.outputs[spot.part].extra_load_a = rated * spot.between(1.08, 1.4) - running_a(spot)
    spot.history.began = spot.either("after-work", "never-worked")


def _kind_differs(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].kind_fits = False
    after_a_change(spot)


def _not_enabled(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].enabled = False
    after_a_change(spot)


def _end_missing(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].end_of_line = "missing"
    wrong_from_the_start(spot)


def _end_wrong(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].end_of_line = spot.either(
        "wrong-value", spot.either("wrong-place", "two-fitted"), 1 / 3
    )
    wrong_from_the_start(spot)


def _data_too_long(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].data_length = spot.either("too-long", "too-branched", 0.6)
    spot.history.began, spot.history.comes_and_goes = spot.either("never-worked", "after-work"), True


def _crossed(spot: Spot) -> None:
    site = spot.topology.site
    mine = site.outputs[spot.part]
    others = [it for it, other in site.outputs.items() if it != spot.part and other.kind == mine.kind]
    other = pick(spot.dice, others)
    if other is None:
        spot.fitted.outputs[spot.part].terminals = "wrong-terminal"
        return
    spot.fitted.outputs[spot.part].crossed_with, spot.fitted.outputs[other].crossed_with = other, spot.part
    wrong_from_the_start(spot)


def _wrong_terminal(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].terminals = "wrong-terminal"
    wrong_from_the_start(spot)


def _expects_other_count(spot: Spot) -> None:
    output = spot.fitted.outputs[spot.part]
    count = len(spot.topology.consumers_of_output(spot.part))
    output.expected = max(0, count + spot.either(1, -1))
    after_a_change(spot)


def _run_time_short(spot: Spot) -> None:
    output = spot.fitted.outputs[spot.part]
    drives = [spot.topology.site.drives.get(it) for it in spot.topology.consumers_of_output(spot.part)]
    slowest = [(it.stroke_mm or 300) / (it.manual_speed_mm_s or 8) for it in drives if it and not it.full_travel_s]
    output.run_time_s = max(slowest, default=60.0) * spot.between(0.8, 0.4)
    after_a_change(spot)


def _back_feeds(spot: Spot) -> None:
    spot.fitted.outputs[spot.part].back_feeds = True
    wrong_from_the_start(spot)


SUPPLY_FAULTS: Faults = {
    "mains-absent": ("controller", _mains_absent),
    "mains-lead-open": ("controller", _mains_lead_open),
    "supply-fuse-blown": ("controller", _supply_fuse_blown),
    "power-unit-failed": ("controller", _power_unit_failed),
    "power-unit-overloaded": ("controller", _power_unit_overloaded),
    "battery-discharged": ("controller", _battery_discharged),
    "battery-aged": ("controller", _battery_aged),
    "battery-disconnected": ("controller", _battery_disconnected),
    "charger-failed": ("controller", _charger_failed),
    "battery-reserve-kept": ("controller", _comfort_kept_back),
    "controller-board-failed": ("controller", _board_failed),
    "output-fuse-blown": ("output", _output_fuse),
    "output-driver-failed": ("output", _driver_failed),
    "output-stuck-on": ("output", _stuck_on),
    "output-overcurrent-trip": ("output", _trips_early),
    "output-overloaded": ("output", _overloaded),
    "output-type-mismatch": ("output", _kind_differs),
    "output-not-enabled": ("output", _not_enabled),
    "end-of-line-missing": ("output", _end_missing),
    "end-of-line-wrong": ("output", _end_wrong),
    "data-cable-too-long": ("output", _data_too_long),
    "circuits-crossed": ("output", _crossed),
    "core-on-wrong-terminal": ("output", _wrong_terminal),
    "expected-count-wrong": ("output", _expects_other_count),
    "run-time-too-short": ("output", _run_time_short),
    "drives-back-feed": ("output", _back_feeds),
}
