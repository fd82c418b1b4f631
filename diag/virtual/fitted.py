"""The condition of every part as fitted: sound when built, changed by faults."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from diag.site import Site

Terminals = Literal["tight-right", "loose", "wrong-terminal", "swapped"]


@dataclass(slots=True)
class ControllerCondition:
    """Supply, battery and board of a controller, and the settings that it holds for itself."""

    isolator_on: bool = True
    breaker_trips_again: bool = False
    mains_lead: Literal["sound", "loose-or-off", "wrong-terminal"] = "sound"
    fuse_whole: bool = True
    unit_voltage_share: float = 1.0
    unit_current_share: float = 1.0
    extra_load_a: float = 0.0
    has_battery: bool = False
    battery_charge: float = 1.0
    battery_health: float = 1.0
    battery_linked: bool = True
    battery_is_old: bool = False
    charger_share: float = 1.0
    board: Literal["sound", "dead", "deaf"] = "sound"
    inside: Literal["clean-dry", "wet", "burnt"] = "clean-dry"
    clock_off_minutes: float = 0.0
    keeps_settings: bool = True
    settings_of: Literal["this-site", "other-site", "defaults"] = "this-site"
    user_may: bool = True
    comfort_on_battery: bool = True
    smoke_latched: bool = False
    order_changed: bool = False


@dataclass(slots=True)
class OutputCondition:
    """The stages, fuse, terminals and settings of an output."""

    fuse_whole: bool = True
    opens: bool = True
    closes: bool = True
    lamp_follows: bool = True
    stuck: Literal["open", "close"] | None = None
    trip_share: float = 1.0
    enabled: bool = True
    kind_fits: bool = True
    run_time_s: float = 180.0
    expected: int | None = None
    extra_load_a: float = 0.0
    terminals: Terminals = "tight-right"
    crossed_with: str | None = None
    end_of_line: Literal["right", "missing", "wrong-value", "wrong-place", "two-fitted"] = "right"
    data_length: Literal["within-limit", "too-long", "too-branched"] = "within-limit"
    back_feeds: bool = False
    line_looks_broken: bool = False


@dataclass(slots=True)
class CableCondition:
    """The cores of a cable: breaks, added resistance, contact with each other and with earth."""

    out_open: bool = False
    data_open: bool = False
    added_ohm: float = 0.0
    swapped: bool = False
    data_swapped: bool = False
    short_ohm: float | None = None
    earth_mohm: float = 200.0
    damage_shows: bool = False
    area_share: float = 1.0
    noisy: bool = False


@dataclass(slots=True)
class JunctionCondition:
    """Water in a box, and how well its joints carry."""

    leak_ohm: float | None = None
    added_ohm: float = 0.0
    looks_loose: bool = False


@dataclass(slots=True)
class DriveCondition:
    """Motor, gear, board and own settings of a drive."""

    motor: Literal["sound", "open", "weak"] = "sound"
    board: Literal["sound", "dead"] = "sound"
    gear: Literal["sound", "slips", "stripped"] = "sound"
    cut_off_share: float = 1.0
    is_hot: bool = False
    reference_off_mm: float = 0.0
    stroke_share: float = 1.0
    inverted: bool = False
    lags: bool = False
    other_voltage: bool = False
    addressable: bool = False
    address: int | None = None
    version_known: bool = True
    end_switch: bool = True
    terminals: Terminals = "tight-right"
    shaft_slips: bool = False


@dataclass(slots=True)
class OpeningCondition:
    """What hinders an opening, each as the share of the drive's force that it takes or where it stops it."""

    hinge_drag: float = 0.0
    frame_drag: float = 0.0
    load: float = 0.0
    stuck_closed: Literal["no", "frozen", "painted"] = "no"
    lock: Literal["released", "engaged"] = "released"
    blocked_at: float | None = None
    blocked_way: int = -1
    blades_stuck: bool = False
    bracket_loose: bool = False
    seal_flat: bool = False


@dataclass(slots=True)
class InputCondition:
    """Contacts, cores, sensing element and settings of an input."""

    contact: Literal["sound", "stuck-open", "stuck-closed"] = "sound"
    contact_side: Literal["open", "close", "both"] = "both"
    common_open: bool = False
    wire_open: bool = False
    wire_short: bool = False
    swapped: bool = False
    wrong_terminal: bool = False
    terminals: Terminals = "tight-right"
    inverted_kind: bool = False
    key_turned: bool = False
    set_point: float | None = None
    scale: float = 1.0
    offset: float = 0.0
    frozen_at: float | None = None
    out_of_range: bool = False
    other_signal: bool = False
    place: Literal["fair", "sun-or-draught", "dead-air", "sheltered"] = "fair"
    place_off: float = 0.0
    surface: Literal["clean", "dirty"] = "clean"
    heater_warm: bool = True
    bearing: Literal["spins", "stiff", "damaged"] = "spins"
    head: Literal["seated", "missing", "dirty"] = "seated"
    end_of_line: Literal["right", "missing", "other-value"] = "right"
    operated: bool = False
    zones: tuple[str, ...] = ()
    function: Literal["right", "other-function", "inverted", "nothing"] = "right"
    tap_stops: bool = True
    hold_threshold_s: float = 0.8
    limit: float | None = None
    jumps: bool = False


@dataclass(slots=True)
class ZoneCondition:
    """The settings of a zone and the commands that others left standing."""

    automatic_enabled: bool = True
    hold_off_minutes: float = 0.0
    limit_mm: float | None = None
    openings: tuple[str, ...] = ()
    fans: tuple[str, ...] = ()
    programme: Literal["right", "wrong", "missing"] = "right"
    programme_late_min: float = 0.0
    screen: Literal["none-fitted", "clean", "clogged"] = "none-fitted"
    held_by: Literal["link", "maintenance"] | None = None
    held_action: Literal["open", "close", "stop"] = "close"
    stuck_lockout: bool = False
    manual_minutes_ago: float | None = None
    manual_action: Literal["open", "close", "stop"] = "close"


@dataclass(slots=True)
class LinkCondition:
    """Cable, plug, pair, settings and far end of a building link."""

    cable_open: bool = False
    plugged: bool = True
    pair_swapped: bool = False
    end_resistors: int = 2
    address_unique: bool = True
    speed_matches: bool = True
    map_right: bool = True
    in_service: bool = True
    forced_by_hand: bool = False
    others_offline: bool = False
    head_end_up: bool = True
    noisy: bool = False


@dataclass(slots=True)
class FanCondition:
    """Motor, belt, phases, overload and speed controller of a fan."""

    overload: Literal["set", "tripped"] = "set"
    belt: Literal["sound", "slipping", "broken"] = "sound"
    phases_exchanged: bool = False
    speed_controller: Literal["ready", "fault"] = "ready"
    motor: Literal["sound", "winding-bad", "capacitor-bad", "bearing-stiff"] = "sound"
    chain_open: bool = False


@dataclass(slots=True)
class History:
    """What people at the site can tell: when it began, who worked there, what comes and goes with it."""

    began: Literal["never-worked", "after-work", "suddenly", "gradually"] = "suddenly"
    trades: bool = False
    replaced: Literal["none", "drive", "controller", "switch-or-sensor", "power-unit"] = "none"
    settings: Literal["no", "changed", "copied", "restored"] = "no"
    power_cut: bool = False
    cleaned: bool = True
    weather: Literal["no-pattern", "cold", "wet", "windy", "hot"] = "no-pattern"
    comes_and_goes: bool = False
    recovers: bool = False
    alarm: Literal["no", "yes-reset", "yes-not-reset"] = "no"
    puzzled_by: str | None = None
    """The zone whose designed behaviour somebody takes for a fault."""


@dataclass(slots=True)
class Fitted:
    """The conditions of all parts of a site, by id, and what people can tell."""

    controllers: dict[str, ControllerCondition]
    outputs: dict[str, OutputCondition]
    cables: dict[str, CableCondition]
    junctions: dict[str, JunctionCondition]
    drives: dict[str, DriveCondition]
    openings: dict[str, OpeningCondition]
    inputs: dict[str, InputCondition]
    zones: dict[str, ZoneCondition]
    links: dict[str, LinkCondition]
    fans: dict[str, FanCondition]
    history: History = field(default_factory=History)


def sound_parts(site: Site) -> Fitted:
    """Return every part sound and set as described; what is not described is taken as a usual installation has it."""
    return Fitted(
        controllers={
            part: ControllerCondition(
                has_battery=bool(it.supply and (it.supply.has_battery or it.supply.battery)),
                comfort_on_battery=it.comfort_on_battery is not False,
            )
            for part, it in site.controllers.items()
        },
        outputs={
            part: OutputCondition(run_time_s=it.run_time_s or 180.0, expected=it.expected_drives)
            for part, it in site.outputs.items()
        },
        cables={part: CableCondition() for part in site.cables},
        junctions={part: JunctionCondition() for part in site.junctions},
        drives={
            part: DriveCondition(addressable=bool(it.addressable), address=it.address)
            for part, it in site.drives.items()
        },
        openings={part: OpeningCondition() for part in site.openings},
        inputs=_sound_inputs(site),
        zones=_sound_zones(site),
        links={part: LinkCondition() for part in site.links},
        fans={part: FanCondition() for part in site.fans},
    )


def _sound_inputs(site: Site) -> dict[str, InputCondition]:
    limits = {it.input: it.limit for it in site.lockouts.values() if it.input}
    return {
        part: InputCondition(
            set_point=it.set_point,
            zones=tuple(it.zones or ()),
            hold_threshold_s=it.hold_threshold_s or 0.8,
            tap_stops=it.tap_does in ("stop", None),
            limit=limits.get(part),
        )
        for part, it in site.inputs.items()
    }


def _sound_zones(site: Site) -> dict[str, ZoneCondition]:
    return {
        part: ZoneCondition(
            hold_off_minutes=it.hold_off_minutes or 0.0,
            limit_mm=it.opening_limit_mm,
            openings=tuple(it.openings or ()),
            fans=tuple(it.fans or ()),
        )
        for part, it in site.zones.items()
    }
