"""Put faults into cables, boxes, drives and openings."""

from __future__ import annotations

from diag.calculators.conductors import core_resistance_ohm
from diag.virtual.spot import Faults, Spot, after_a_change, pick, slowly, wrong_from_the_start


def _core_open(spot: Spot) -> None:
    spot.fitted.cables[spot.part].out_open = True
    spot.fitted.cables[spot.part].damage_shows = spot.dice.random() < 0.25


def _core_short(spot: Spot) -> None:
    cable = spot.fitted.cables[spot.part]
    cable.short_ohm = spot.between(0.6, 0.05)
    cable.damage_shows = spot.dice.random() < 0.5
    spot.history.trades = spot.dice.random() < 0.3
    for output in _fused_outputs(spot):
        spot.fitted.outputs[output].fuse_whole = spot.dice.random() < 0.5


def _fused_outputs(spot: Spot) -> list[str]:
    """Return the outputs above a cable that have a fuse, which may act before their trip does."""
    outputs = spot.topology.site.outputs
    fed = {spot.topology.output_of(it) for it in spot.topology.fed_through(spot.part)}
    return sorted(it for it in fed if it in outputs and outputs[it].fuse_a is not None)


def below_a(spot: Spot) -> float:
    """Return what the drives beyond a cable draw together while they run, at least a little."""
    drives = spot.topology.site.drives
    listed = [drives[it] for it in spot.topology.fed_through(spot.part) if it in drives]
    return max(0.3, sum(it.running_current_a or 1.0 for it in listed))


def sound_core_ohm(spot: Spot) -> float:
    """Return the resistance of one core of the cable as drawn."""
    it = spot.topology.site.cables[spot.part]
    return core_resistance_ohm(it.length_m or 10.0, it.area_mm2 or 1.5, it.conductor_class or 2, 20.0)


def _loose_terminal(spot: Spot) -> None:
    """A joint that carries, but badly: warm, with a resistance that changes with every vibration."""
    cable = spot.topology.site.cables[spot.part]
    spot.fitted.cables[spot.part].added_ohm = spot.between(3.0, 9.0) / below_a(spot)
    spot.history.comes_and_goes = spot.dice.random() < 0.75
    box = cable.from_ if cable.from_ in spot.fitted.junctions else None
    if box and spot.dice.random() < 0.6:
        spot.fitted.junctions[box].looks_loose = True
    elif cable.from_ in spot.fitted.outputs:
        spot.fitted.outputs[cable.from_].terminals = "loose"
    elif cable.to in spot.fitted.drives:
        spot.fitted.drives[cable.to].terminals = "loose"


def _undersized(spot: Spot) -> None:
    drop_v = spot.between(3.0, 8.0)
    spot.fitted.cables[spot.part].area_share = min(0.5, 2 * sound_core_ohm(spot) * below_a(spot) / drop_v)
    wrong_from_the_start(spot)


def _data_core_open(spot: Spot) -> None:
    spot.fitted.cables[spot.part].data_open = True
    spot.history.began = pick(spot.dice, ("after-work", "never-worked", "suddenly")) or "suddenly"


def _earth_leakage(spot: Spot) -> None:
    cable = spot.fitted.cables[spot.part]
    cable.earth_mohm = spot.between(0.045, 0.002)
    cable.damage_shows = spot.dice.random() < 0.5
    spot.history.weather = spot.either("wet", "no-pattern")
    spot.around.wet_lately = spot.history.weather == "wet"


def _box_wet(spot: Spot) -> None:
    spot.fitted.junctions[spot.part].leak_ohm = spot.between(60.0, 6.0)
    for cable, it in spot.topology.site.cables.items():
        if it.from_ == spot.part:
            spot.fitted.cables[cable].earth_mohm = spot.between(0.2, 0.01)
    spot.around.wet_lately = True
    spot.history.weather, spot.history.comes_and_goes = "wet", spot.dice.random() < 0.75
    slowly(spot)


def _noise(spot: Spot) -> None:
    for part in spot.topology.inputs_of_controller(spot.part):
        it = spot.fitted.inputs[part]
        it.jumps = spot.topology.site.inputs[part].signal in ("0-10v", "4-20ma", "pt1000", "ntc-10k")
    for part in spot.topology.links_of_controller(spot.part):
        spot.fitted.links[part].noisy = spot.dice.random() < 0.5
    spot.history.began, spot.history.comes_and_goes = spot.either("after-work", "never-worked"), True


def _polarity(spot: Spot) -> None:
    for cable in _last_cable(spot):
        spot.fitted.cables[cable].swapped = True
    spot.fitted.drives[spot.part].terminals = spot.either("swapped", "tight-right", 0.85)
    wrong_from_the_start(spot)
    spot.history.replaced = spot.either("drive", "none", 0.45)


def _last_cable(spot: Spot) -> list[str]:
    path = spot.topology.supply_path(spot.part)
    return [path[0]] if path and path[0] in spot.fitted.cables else []


def _data_swapped(spot: Spot) -> None:
    for cable in _last_cable(spot):
        spot.fitted.cables[cable].data_swapped = True
    spot.fitted.drives[spot.part].terminals = spot.either("swapped", "wrong-terminal", 0.75)
    wrong_from_the_start(spot)
    spot.history.replaced = spot.either("drive", "none")


def _motor(spot: Spot) -> None:
    spot.fitted.drives[spot.part].motor = "open" if spot.severity > 0.4 else "weak"
    slowly(spot)


def _electronics(spot: Spot) -> None:
    spot.fitted.drives[spot.part].board = "dead"


def _gear(spot: Spot) -> None:
    spot.fitted.drives[spot.part].gear = "stripped" if spot.severity > 0.35 else "slips"
    slowly(spot)


def _cut_out_early(spot: Spot) -> None:
    spot.fitted.drives[spot.part].cut_off_share = spot.between(0.8, 0.55)


def _hot(spot: Spot) -> None:
    spot.fitted.drives[spot.part].is_hot = True
    spot.history.recovers = True
    spot.history.weather = spot.either("hot", "no-pattern", 0.4)


def _reference(spot: Spot) -> None:
    stroke = spot.topology.site.drives[spot.part].stroke_mm or 300.0
    spot.fitted.drives[spot.part].reference_off_mm = stroke * spot.between(0.15, 0.5)
    spot.history.power_cut = spot.dice.random() < 0.5


def _stroke(spot: Spot) -> None:
    spot.fitted.drives[spot.part].stroke_share = spot.between(0.8, 0.35)
    after_a_change(spot)
    spot.history.replaced = spot.either("drive", "none")


def _inverted(spot: Spot) -> None:
    spot.fitted.drives[spot.part].inverted = True
    after_a_change(spot)


def _other_voltage(spot: Spot) -> None:
    spot.fitted.drives[spot.part].other_voltage = True
    wrong_from_the_start(spot)
    spot.history.replaced = spot.either("drive", "none", 0.8)


def _not_addressable(spot: Spot) -> None:
    spot.fitted.drives[spot.part].addressable = False
    wrong_from_the_start(spot)
    spot.history.replaced = spot.either("drive", "none")


def _duplicate(spot: Spot) -> None:
    topology = spot.topology
    output = topology.output_of(spot.part)
    others = [it for it in topology.consumers_of_output(output or "") if it != spot.part and it in spot.fitted.drives]
    other = pick(spot.dice, others)
    if other:
        spot.fitted.drives[spot.part].address = spot.fitted.drives[other].address
    spot.history.replaced = spot.either("drive", "none")
    spot.history.began = "after-work"


def _firmware(spot: Spot) -> None:
    spot.fitted.drives[spot.part].version_known = False
    spot.history.replaced, spot.history.began = spot.either("drive", "controller", 0.75), "after-work"


def _end_switch(spot: Spot) -> None:
    spot.fitted.drives[spot.part].end_switch = False


def _linkage(spot: Spot) -> None:
    spot.fitted.drives[spot.part].shaft_slips = True


def _hinge(spot: Spot) -> None:
    spot.fitted.openings[spot.part].hinge_drag = spot.between(0.2, 1.2)
    slowly(spot)


def _frame(spot: Spot) -> None:
    spot.fitted.openings[spot.part].frame_drag = spot.between(0.25, 1.3)
    slowly(spot)


def _load(spot: Spot) -> None:
    opening = spot.fitted.openings[spot.part]
    opening.load = spot.between(0.6, 1.6)
    spot.around.snow = spot.dice.random() < 0.5
    spot.around.wind_m_s = 3.0 if spot.around.snow else 9.0
    spot.history.weather = "cold" if spot.around.snow else "windy"
    spot.history.comes_and_goes = True


def _seal_stuck(spot: Spot) -> None:
    spot.fitted.openings[spot.part].stuck_closed = spot.either("frozen", "painted", 0.6)
    frozen = spot.fitted.openings[spot.part].stuck_closed == "frozen"
    spot.history.weather = "cold" if frozen else "no-pattern"
    spot.history.trades = not frozen


def _seal_worn(spot: Spot) -> None:
    spot.fitted.openings[spot.part].seal_flat = True
    slowly(spot)


def _lock(spot: Spot) -> None:
    spot.fitted.openings[spot.part].lock = "engaged"


def _obstruction(spot: Spot) -> None:
    opening = spot.fitted.openings[spot.part]
    opening.blocked_way = spot.either(-1, 1, 0.65)
    opening.blocked_at = round(spot.dice.uniform(0.03, 0.85), 2)
    spot.history.trades = spot.dice.random() < 0.2


def _bracket(spot: Spot) -> None:
    spot.fitted.openings[spot.part].bracket_loose = True


def _blades(spot: Spot) -> None:
    spot.fitted.openings[spot.part].blades_stuck = True


def _out_of_step(spot: Spot) -> None:
    drive = pick(spot.dice, spot.topology.drives_of_opening(spot.part))
    if drive:
        spot.fitted.drives[drive].lags = True
    spot.history.replaced = spot.either("drive", "none")


FIELD_FAULTS: Faults = {
    "core-open": ("cable", _core_open),
    "core-short": ("cable", _core_short),
    "loose-terminal": ("cable", _loose_terminal),
    "cable-undersized": ("cable", _undersized),
    "data-core-open": ("cable", _data_core_open),
    "earth-leakage": ("cable", _earth_leakage),
    "junction-box-wet": ("junction", _box_wet),
    "induced-noise": ("controller", _noise),
    "polarity-swapped": ("drive", _polarity),
    "data-core-swapped": ("drive", _data_swapped),
    "drive-motor-failed": ("drive", _motor),
    "drive-electronics-failed": ("drive", _electronics),
    "drive-gear-worn": ("drive", _gear),
    "drive-overload-cut-out": ("drive", _cut_out_early),
    "drive-thermal-cut-out": ("drive", _hot),
    "drive-reference-lost": ("drive", _reference),
    "drive-stroke-set-wrong": ("drive", _stroke),
    "drive-direction-set-wrong": ("drive", _inverted),
    "drive-voltage-mismatch": ("drive", _other_voltage),
    "drive-not-addressable": ("drive", _not_addressable),
    "drive-address-duplicate": ("drive", _duplicate),
    "drive-firmware-mismatch": ("drive", _firmware),
    "drive-end-switch-failed": ("drive", _end_switch),
    "damper-linkage-slipped": ("drive", _linkage),
    "drive-sync-lost": ("opening", _out_of_step),
    "hinge-seized": ("opening", _hinge),
    "frame-distorted": ("opening", _frame),
    "snow-or-wind-load": ("opening", _load),
    "seal-stuck": ("opening", _seal_stuck),
    "seal-worn": ("opening", _seal_worn),
    "lock-not-released": ("opening", _lock),
    "obstruction": ("opening", _obstruction),
    "bracket-loose": ("opening", _bracket),
    "damper-blade-stuck": ("opening", _blades),
}
