"""Build a described campus of any size: the same site for the same numbers, on any machine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from random import Random
from typing import Any, TypeVar

from diag.site import Site

Fields = dict[str, Any]
Sections = dict[str, dict[str, Fields]]
Item = TypeVar("Item")

HOUSES = ("Alder", "Birch", "Cedar", "Damson", "Elder", "Fir", "Gorse", "Hazel", "Ivy", "Juniper")
ROOMS = ("reading bay", "study room", "map room", "newspaper room", "music room", "workshop", "lecture room")
CONTROLLERS_ON_TRUNK = 20
DRIVES_ON_OUTPUT = (2, 3, 4, 5)
SUPPLY_SIZES_A = (5, 10, 16, 24, 32, 48, 64, 96, 128, 192, 256, 512, 1024, 2048, 4096, 8192)
AREAS_MM2 = (1.5, 2.5, 4.0, 6.0, 10.0)
ALLOWED_DROP_V = 1.8
COPPER_OHM_MM2_PER_M = 0.0206
"""IEC 60228 class 2 maximum of 1.5 mm2, 12.1 ohm/km, times its area, at 50 C."""


@dataclass(frozen=True, slots=True)
class DriveKind:
    """What the drives on one kind of output have in common."""

    output: str
    supply_voltage_v: float
    running_current_a: float
    cut_off_current_a: float
    area_mm2: float
    cores: int
    motion: Fields
    opening: str


TRAVEL: Fields = {"stroke_mm": 300, "manual_speed_mm_s": 8, "automatic_speed_mm_s": 4}
LONG_TRAVEL: Fields = {"stroke_mm": 500, "manual_speed_mm_s": 10, "automatic_speed_mm_s": 5}
KINDS = (
    DriveKind("data-24v", 24, 0.9, 1.4, 0.75, 3, {**TRAVEL, "addressable": True}, "window"),
    DriveKind("data-24v", 24, 1.0, 1.5, 1.0, 3, {**LONG_TRAVEL, "addressable": True}, "roof-vent"),
    DriveKind("reversing-24v", 24, 1.0, 1.6, 1.0, 2, {**TRAVEL, "addressable": False}, "window"),
    DriveKind("reversing-24v", 24, 1.2, 1.9, 1.5, 2, {**LONG_TRAVEL, "addressable": False}, "roof-vent"),
    DriveKind("three-core-230v", 230, 0.25, 0.4, 1.0, 4, {**TRAVEL, "addressable": False}, "louvre"),
    DriveKind("positioner-0-10v", 24, 0.2, 0.3, 0.75, 4, {"full_travel_s": 90, "signal": "0-10v"}, "damper"),
)
SWITCH: Fields = {
    "kind": "switch",
    "contact": "normally-open",
    "command_class": "manual",
    "open_does": "open",
    "close_does": "close",
    "tap_does": "stop",
    "hold_does": "run-to-end",
    "hold_threshold_s": 0.8,
}
THERMOSTAT: Fields = {
    "kind": "thermostat",
    "command_class": "automatic",
    "active_does": "open",
    "signal": "pt1000",
    "set_point": 23,
    "dead_band": 2,
    "unit": "C",
}
RAIN: Fields = {
    "kind": "rain",
    "command_class": "rain",
    "active_does": "close",
    "signal": "contact",
    "contact": "normally-closed",
    "heated": True,
}
SECTIONS = (
    "places", "controllers", "outputs", "drives", "openings", "junctions", "cables", "zones", "inputs",
    "lockouts", "links",
)  # fmt: skip


def build_campus(controllers: int = 40, drives: int = 1000, seed: int = 7) -> Site:
    """Return a campus of this size; raise ValueError unless each controller can have a drive."""
    if not 1 <= controllers <= drives:
        raise ValueError(f"controllers is {controllers}; allowed: 1 to the number of drives, {drives}")
    campus: Sections = {section: {} for section in SECTIONS}
    random = Random(seed)
    for number in range(1, controllers + 1):
        first = (number - 1) * drives // controllers
        _add_controller(campus, random, number, number * drives // controllers - first)
    return Site.model_validate(
        {
            "name": "Wrenfield Campus",
            "kind": "library",
            "time_zone": "Etc/UTC",
            "precedence": ["rain", "manual", "link", "automatic"],
            **campus,
        }
    )


def _add_controller(campus: Sections, random: Random, number: int, drives: int) -> None:
    controller = f"c{number}"
    _add_places(campus, number)
    sizes = list(_output_sizes(random, drives))
    zones = [_add_output(campus, random, number, index, size) for index, size in enumerate(sizes, start=1)]
    campus["controllers"][controller] = {
        "name": f"{_house(number)} controller",
        "place": f"p{number}",
        "automatic_enabled": True,
        "serves_smoke": False,
        "supply": _supply(campus, controller),
    }
    _add_shared_inputs(campus, number, zones)


def _add_places(campus: Sections, number: int) -> None:
    house = _house(number)
    walks = {f"h{number}": 2, f"r{number}": 6}
    if number > 1:
        walks[f"p{number - 1}"] = 4
    plant = {"name": f"{house} plant room", "access": "floor", "walk_minutes": walks}
    hall = {"name": f"{house} rooms", "access": "steps", "walk_minutes": {f"r{number}": 5}}
    campus["places"] |= {
        f"p{number}": plant,
        f"h{number}": hall,
        f"r{number}": {"name": f"{house} roof", "access": "roof"},
    }


def _add_output(campus: Sections, random: Random, number: int, index: int, drives: int) -> str:
    """Add an output with its drives, cables, zone and switch; return the zone."""
    kind = _pick(random, KINDS)
    output, zone = f"o{number}-{index}", f"z{number}-{index}"
    campus["outputs"][output] = {
        "name": f"{_house(number)} output {index}",
        "place": f"p{number}",
        "controller": f"c{number}",
        "kind": kind.output,
        "rated_current_a": _at_least(SUPPLY_SIZES_A, drives * kind.cut_off_current_a),
        "run_time_s": 150,
        "enabled": True,
        "supervised": False,
        "expected_drives": drives,
    }
    openings = _add_drives(campus, random, output, kind, drives, number)
    campus["zones"][zone] = {
        "name": f"{_house(number)} {_pick(random, ROOMS)} {index}",
        "openings": openings,
        "hold_off_minutes": 30,
        "automatic_enabled": True,
    }
    switch = {"name": f"switch of zone {number}-{index}", "place": f"h{number}", "controller": f"c{number}"}
    campus["inputs"][f"sw{number}-{index}"] = {**switch, "zones": [zone], **SWITCH}
    return zone


def _add_drives(campus: Sections, random: Random, output: str, kind: DriveKind, count: int, number: int) -> list[str]:
    """Add the drives of an output, each on an opening and fed from the output's box; return the openings."""
    box, place = f"j-{output}", f"r{number}" if kind.opening == "roof-vent" else f"h{number}"
    campus["junctions"][box] = {"place": place, "outdoors": kind.opening == "roof-vent"}
    campus["cables"][f"k-{output}"] = {"from": output, "to": box, **_trunk(random, kind, count)}
    openings = []
    for address in range(1, count + 1):
        serial = len(campus["drives"]) + 1
        drive, opening = f"d{serial}", f"w{serial}"
        campus["drives"][drive] = {
            "output": output,
            "opening": opening,
            "place": place,
            **_rating(kind, address),
        }
        campus["openings"][opening] = _opening(kind, place, serial)
        campus["cables"][f"k{serial}"] = {"from": box, "to": drive, **_lead(random, kind)}
        openings.append(opening)
    return openings


def _add_shared_inputs(campus: Sections, number: int, zones: list[str]) -> None:
    here: Fields = {"controller": f"c{number}", "zones": zones}
    house, link = _house(number), f"bl{number}"
    campus["inputs"] |= {
        f"th{number}": {"name": f"{house} thermostat", "place": f"h{number}", **here, **THERMOSTAT},
        f"rain{number}": {"name": f"{house} rain sensor", "place": f"r{number}", **here, **RAIN},
        f"bms{number}": {
            "name": f"{house} link commands", "place": f"p{number}", **here, "kind": "link", "link": link,
            "command_class": "link", "open_does": "open", "close_does": "close", "signal": "data",
        },
    }  # fmt: skip
    campus["lockouts"][f"lo{number}"] = {
        "name": f"{house} rain lockout", "kind": "rain", "input": f"rain{number}", "zones": zones,
        "refuses": "open", "forces": "close", "refuses_manual": True, "release_minutes": 10,
    }  # fmt: skip
    trunk, position = divmod(number - 1, CONTROLLERS_ON_TRUNK)
    campus["links"][link] = {
        "name": f"{house} link", "place": f"p{number}", **here, "protocol": "bacnet-mstp",
        "address": position + 1, "trunk": f"trunk {trunk + 1}", "speed_baud": 38400, "parity": "none",
        "termination": "both-ends", "length_m": 300,
    }  # fmt: skip


def _supply(campus: Sections, controller: str) -> Fields:
    outputs = {name: fields for name, fields in campus["outputs"].items() if fields["controller"] == controller}
    needed_a = sum(fields["rated_current_a"] for fields in outputs.values())
    return {
        "mains_voltage_v": 230,
        "rated_voltage_v": 24,
        "rated_current_a": _at_least(SUPPLY_SIZES_A, needed_a),
        "standing_current_a": 0.2,
        "has_battery": False,
    }


def _output_sizes(random: Random, drives: int) -> Iterator[int]:
    while drives > 0:
        size = min(drives, _pick(random, DRIVES_ON_OUTPUT))
        yield size
        drives -= size


def _trunk(random: Random, kind: DriveKind, drives: int) -> Fields:
    length_m = 8 + _pick(random, range(30))
    loop_ohm_mm2 = 2 * length_m * COPPER_OHM_MM2_PER_M
    area_mm2 = _at_least(AREAS_MM2, loop_ohm_mm2 * drives * kind.cut_off_current_a / ALLOWED_DROP_V)
    return {"length_m": length_m, "area_mm2": area_mm2, **_cable(kind, conductor_class=2)}


def _lead(random: Random, kind: DriveKind) -> Fields:
    return {
        "length_m": 2 + _pick(random, range(6)),
        "area_mm2": kind.area_mm2,
        **_cable(kind, conductor_class=5),
    }


def _cable(kind: DriveKind, conductor_class: int) -> Fields:
    return {
        "conductor_class": conductor_class,
        "temperature_c": 40,
        "cores": kind.cores,
        "data_core": kind.output == "data-24v",
    }


def _rating(kind: DriveKind, address: int) -> Fields:
    rating: Fields = {
        "supply_voltage_v": kind.supply_voltage_v,
        "min_voltage_v": round(kind.supply_voltage_v * 0.8, 1),
        "max_voltage_v": round(kind.supply_voltage_v * 1.2, 1),
        "running_current_a": kind.running_current_a,
        "cut_off_current_a": kind.cut_off_current_a,
        **kind.motion,
    }
    return {**rating, "address": address} if kind.output == "data-24v" else rating


def _opening(kind: DriveKind, place: str, serial: int) -> Fields:
    return {
        "name": f"{kind.opening.replace('-', ' ')} {serial}",
        "place": place,
        "kind": kind.opening,
        "height_above_floor_m": 5.2 if kind.opening == "roof-vent" else 2.9,
        "smoke": False,
    }


def _house(number: int) -> str:
    name = HOUSES[(number - 1) % len(HOUSES)]
    return f"{name} House {(number - 1) // len(HOUSES) + 1}"


def _pick(random: Random, items: Sequence[Item]) -> Item:
    """Return one of the items; only `random()` is promised to give the same numbers in every Python."""
    return items[int(random.random() * len(items))]


def _at_least(sizes: Sequence[float], needed: float) -> float:
    """Return the smallest size that is enough, or the largest there is."""
    return next((size for size in sizes if size >= needed), sizes[-1])
