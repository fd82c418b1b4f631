"""Put faults into switches, sensors, detectors, their cores and their settings."""

from __future__ import annotations

from diag.virtual.spot import Faults, Spot, after_a_change, pick, slowly, wrong_from_the_start


def _contact_failed(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.contact, it.contact_side = "stuck-open", pick(spot.dice, ("open", "close", "both")) or "both"
    slowly(spot)


def _contact_stuck(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.contact, it.contact_side = "stuck-closed", spot.either("open", "close")


def _sides_swapped(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.swapped, it.terminals = True, spot.either("swapped", "tight-right")
    wrong_from_the_start(spot)


def _common_open(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.common_open, it.terminals = True, spot.either("loose", "tight-right", 0.4)


def _wire_open(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.wire_open, it.terminals = True, spot.either("loose", "tight-right", 0.4)
    it.contact_side = pick(spot.dice, ("open", "close")) or "open"


def _wire_short(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].wire_short = True
    spot.fitted.inputs[spot.part].contact_side = spot.either("open", "close")


def _input_elsewhere(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.wrong_terminal, it.terminals = True, "wrong-terminal"
    wrong_from_the_start(spot)


def _contact_kind(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].inverted_kind = True
    wrong_from_the_start(spot)
    spot.history.replaced = spot.either("switch-or-sensor", "none")


def _press_short(spot: Spot) -> None:
    """The set threshold outlasts the usual press, or people only tap it."""
    spot.fitted.inputs[spot.part].hold_threshold_s = spot.between(2.0, 4.0)
    after_a_change(spot)


def _key(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].key_turned = True


def _set_point(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    step = 3.0 if spot.topology.site.inputs[spot.part].unit != "ppm" else 500.0
    it.set_point = (it.set_point or 22.0) + step * spot.between(1.0, 3.0) * spot.either(1, -1, 0.7)
    after_a_change(spot)


def _placed(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.place = spot.either("sun-or-draught", "dead-air", 0.6)
    it.place_off = spot.between(2.5, 6.0) * (1 if it.place == "sun-or-draught" else -1)
    spot.history.began = "never-worked"


def _sheltered(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].place = "sheltered"
    spot.history.began = spot.either("never-worked", "after-work")


def _sensor_failed(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    if spot.dice.random() < 0.5:
        it.out_of_range = True
    else:
        it.frozen_at = 0.0


def _scaled(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].scale = spot.either(0.5, 1.8)
    wrong_from_the_start(spot)


def _other_signal(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].other_signal = True
    wrong_from_the_start(spot)
    spot.history.replaced = spot.either("switch-or-sensor", "none", 0.7)


def _rain_dirty(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].surface = "dirty"
    spot.history.cleaned = spot.dice.random() < 0.15
    slowly(spot)


def _heater(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].heater_warm = False
    spot.around.wet_lately = True
    spot.history.weather = "wet"


def _dew(spot: Spot) -> None:
    """Nothing is broken: a plate without heating stays wet from dew, fog and frost when all around is dry."""
    spot.fitted.inputs[spot.part].heater_warm = False
    spot.around.wet_lately = True
    spot.history.weather = spot.either("cold", "wet", 0.6)
    spot.history.comes_and_goes = True


def _bearing(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].bearing = spot.either("stiff", "damaged", 0.75)
    slowly(spot)


def _wind_limit(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].limit = spot.between(3.0, 1.0)
    spot.around.wind_m_s = 5.0
    spot.history.weather = spot.either("windy", "no-pattern", 0.6)
    after_a_change(spot)


def _drift(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].offset = spot.between(300.0, 900.0) * spot.either(1, -1, 0.6)
    slowly(spot)


def _detector_dirty(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].head = "dirty"
    spot.history.cleaned = spot.dice.random() < 0.15
    spot.history.alarm = spot.either("yes-not-reset", "no")


def _head_missing(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].head = "missing"
    spot.history.trades = spot.dice.random() < 0.6
    spot.history.began = "after-work"


def _line_end(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].end_of_line = spot.either("missing", "other-value")
    wrong_from_the_start(spot)


def _call_point(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].operated = True
    spot.history.alarm = spot.either("yes-not-reset", "no", 0.65)


def _not_assigned(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].zones = ()
    after_a_change(spot)


def _other_zone(spot: Spot) -> None:
    it = spot.fitted.inputs[spot.part]
    it.zones = tuple(filter(None, [pick(spot.dice, [zone for zone in spot.fitted.zones if zone not in it.zones])]))
    after_a_change(spot)


def _function(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].function = pick(spot.dice, ("inverted", "nothing", "other-function")) or "inverted"
    after_a_change(spot)


def _tap(spot: Spot) -> None:
    spot.fitted.inputs[spot.part].tap_stops = False
    after_a_change(spot)


INPUT_FAULTS: Faults = {
    "switch-contact-failed": ("input", _contact_failed),
    "switch-contact-stuck": ("input", _contact_stuck),
    "switch-open-close-swapped": ("input", _sides_swapped),
    "switch-common-open": ("input", _common_open),
    "input-wire-open": ("input", _wire_open),
    "input-wire-short": ("input", _wire_short),
    "input-on-wrong-terminal": ("input", _input_elsewhere),
    "contact-type-wrong": ("input", _contact_kind),
    "press-too-short": ("input", _press_short),
    "key-switch-off": ("input", _key),
    "thermostat-set-point": ("input", _set_point),
    "sensor-badly-placed": ("input", _placed),
    "weather-sensor-sheltered": ("input", _sheltered),
    "sensor-failed": ("input", _sensor_failed),
    "sensor-scaled-wrong": ("input", _scaled),
    "sensor-signal-mismatch": ("input", _other_signal),
    "rain-sensor-dirty": ("input", _rain_dirty),
    "rain-sensor-heater-failed": ("input", _heater),
    "rain-sensor-dew": ("input", _dew),
    "wind-sensor-stuck": ("input", _bearing),
    "wind-limit-too-low": ("input", _wind_limit),
    "co2-sensor-drifted": ("input", _drift),
    "detector-dirty": ("input", _detector_dirty),
    "detector-head-missing": ("input", _head_missing),
    "detector-end-of-line-wrong": ("input", _line_end),
    "call-point-operated": ("input", _call_point),
    "input-not-assigned": ("input", _not_assigned),
    "input-zone-wrong": ("input", _other_zone),
    "input-function-wrong": ("input", _function),
    "tap-function-missing": ("input", _tap),
}
