"""Put faults into building links and fans."""

from __future__ import annotations

from diag.virtual.spot import Faults, Spot, after_a_change, pick, wrong_from_the_start


def _link_cable(spot: Spot) -> None:
    link = spot.fitted.links[spot.part]
    link.plugged = spot.dice.random() < 0.45
    link.cable_open = link.plugged
    link.others_offline = link.cable_open and spot.dice.random() < 0.5


def _link_pair(spot: Spot) -> None:
    spot.fitted.links[spot.part].pair_swapped = True
    wrong_from_the_start(spot)


def _link_ends(spot: Spot) -> None:
    link = spot.fitted.links[spot.part]
    link.end_resistors = spot.either(1, 3)
    link.others_offline = spot.dice.random() < 0.5
    spot.history.comes_and_goes = spot.dice.random() < 0.8


def _link_address(spot: Spot) -> None:
    spot.fitted.links[spot.part].address_unique = False
    spot.history.comes_and_goes, spot.history.settings = True, spot.either("copied", "changed", 0.6)


def _link_speed(spot: Spot) -> None:
    spot.fitted.links[spot.part].speed_matches = False
    after_a_change(spot)


def _link_map(spot: Spot) -> None:
    spot.fitted.links[spot.part].map_right = False
    after_a_change(spot)


def _link_held(spot: Spot) -> None:
    for zone in spot.topology.site.links[spot.part].zones or ():
        spot.fitted.zones[zone].held_by, spot.fitted.zones[zone].held_action = "link", "close"


def _link_out_of_service(spot: Spot) -> None:
    link = spot.fitted.links[spot.part]
    link.in_service, link.forced_by_hand = False, spot.dice.random() < 0.5


def _link_head_end(spot: Spot) -> None:
    link = spot.fitted.links[spot.part]
    link.head_end_up, link.others_offline = False, True
    spot.history.power_cut = spot.dice.random() < 0.5


def _fan_overload(spot: Spot) -> None:
    spot.fitted.fans[spot.part].overload = "tripped"


def _fan_belt(spot: Spot) -> None:
    spot.fitted.fans[spot.part].belt = spot.either("slipping", "broken")


def _fan_phases(spot: Spot) -> None:
    spot.fitted.fans[spot.part].phases_exchanged = True
    wrong_from_the_start(spot)


def _fan_controller(spot: Spot) -> None:
    spot.fitted.fans[spot.part].speed_controller = "fault"
    spot.history.power_cut = spot.dice.random() < 0.5


def _fan_chain(spot: Spot) -> None:
    spot.fitted.fans[spot.part].chain_open = True


def _fan_motor(spot: Spot) -> None:
    fan = spot.fitted.fans[spot.part]
    fan.motor = pick(spot.dice, ("winding-bad", "capacitor-bad", "bearing-stiff")) or "winding-bad"
    fan.overload = spot.either("set", "tripped")


LINK_FAULTS: Faults = {
    "link-cable-open": ("link", _link_cable),
    "link-pair-swapped": ("link", _link_pair),
    "link-termination-wrong": ("link", _link_ends),
    "link-address-duplicate": ("link", _link_address),
    "link-speed-mismatch": ("link", _link_speed),
    "link-object-wrong": ("link", _link_map),
    "link-priority-held": ("link", _link_held),
    "link-device-out-of-service": ("link", _link_out_of_service),
    "link-gateway-down": ("link", _link_head_end),
    "fan-overload-tripped": ("fan", _fan_overload),
    "fan-belt-broken": ("fan", _fan_belt),
    "fan-phase-order": ("fan", _fan_phases),
    "fan-drive-fault": ("fan", _fan_controller),
    "fan-interlock-open": ("fan", _fan_chain),
    "fan-motor-failed": ("fan", _fan_motor),
}
