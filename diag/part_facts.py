"""What a site description says of each part, as the fields that rules may ask for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from types import MappingProxyType

from diag.rules import UNKNOWN
from diag.site import Controller, Fan, Input, Lockout, Opening, Output, Schedule, Zone
from diag.site_circuits import DriveSupply, drive_supplies, total_running_a, total_starting_a
from diag.standing import hold_off_length
from diag.topology import Topology

OLD_BATTERY_YEARS = 4.0
RECENT_DAYS = 60
NEW_SITE_YEARS, OLD_SITE_YEARS = 1.0, 8.0
LONG_HOLD_S = 2.0
LONG_RELEASE_MINUTES = 120.0
HIGH_SET_POINT_C, LOW_SET_POINT_C = 27.0, 18.0
LOW_WIND_LIMIT_M_S = 5.0
DAYS_A_YEAR = 365.25

Fields = Mapping[str, str]


@dataclass(frozen=True)
class DescribedFacts:
    """Fields of facts that do not change with time, worked out once for each part and kept."""

    topology: Topology
    today: date | None = None
    fields: Callable[[str], Fields] = field(init=False, repr=False)
    common: Callable[[str], Fields] = field(init=False, repr=False)
    supplies: Callable[[str], Mapping[str, DriveSupply]] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "fields", cache(self._fields))
        object.__setattr__(self, "common", cache(self._common))
        object.__setattr__(self, "supplies", cache(self._supplies))

    def _fields(self, part: str) -> Fields:
        kind = self.topology.kind(part)
        describe = getattr(self, f"_{kind}", None)
        return MappingProxyType(describe(part) if describe else {})

    def _common(self, group: str) -> Fields:
        """Return, for a kind of part (or input-KIND), the fields on which all described parts of it agree."""
        kind, _, sub_kind = group.partition("-")
        members = [self.fields(part) for part in self.topology.of_kind(kind)]
        members = [fields for fields in members if not sub_kind or fields["kind"] == sub_kind]
        agreed = dict(members[0]) if members else {}
        for fields in members[1:]:
            agreed = {name: value for name, value in agreed.items() if fields[name] == value}
        return MappingProxyType(agreed | ({"kind": sub_kind} if sub_kind else {}))

    def _supplies(self, output: str) -> Mapping[str, DriveSupply]:
        return drive_supplies(self.topology, output)

    def _site(self, _: str) -> Fields:
        site = self.topology.site
        return {"kind": site.kind or UNKNOWN, "age": self._age(site.commissioned)}

    def _age(self, since: date | None) -> str:
        years = self._years(since)
        if years is None:
            return UNKNOWN
        return "new" if years < NEW_SITE_YEARS else "old" if years > OLD_SITE_YEARS else "settled"

    def _years(self, since: date | None) -> float | None:
        return (self.today - since).days / DAYS_A_YEAR if since and self.today else None

    def _controller(self, part: str) -> Fields:
        it: Controller = self.topology.site.controllers[part]
        battery = it.supply.battery if it.supply else None
        has_battery = True if battery else it.supply.has_battery if it.supply else None
        years = self._years(battery.installed) if battery else None
        outputs = self.topology.outputs_of_controller(part)
        return {
            "battery": _yes_no(has_battery),
            "battery_age": UNKNOWN if years is None else "old" if years >= OLD_BATTERY_YEARS else "young",
            "supply_loading": self._supply_loading(it, outputs),
            "serves_smoke": _yes_no(it.serves_smoke),
            "comfort_on_battery": _yes_no(it.comfort_on_battery),
            "outputs": _count(outputs, UNKNOWN),
        }

    def _supply_loading(self, it: Controller, outputs: Iterable[str]) -> str:
        drives = [drive for output in outputs for drive in self._drives(output)]
        return _loading(total_running_a(self.topology, drives), it.supply.rated_current_a if it.supply else None)

    def _drives(self, output: str) -> list[str]:
        return [it for it in self.topology.consumers_of_output(output) if self.topology.kind(it) == "drive"]

    def _output(self, part: str) -> Fields:
        it: Output = self.topology.site.outputs[part]
        drives = self._drives(part)
        described = [self.topology.site.drives[drive] for drive in drives]
        zones = {zone for drive in described if drive.opening for zone in self._zones_of(drive.opening)}
        zones |= {zone for fan in self.topology.consumers_of_output(part) for zone in self.topology.zones_of_fan(fan)}
        return {
            "zones": _count(zones, UNKNOWN),
            "kind": it.kind or UNKNOWN,
            "supervised": _yes_no(it.supervised),
            "enabled": _yes_no(it.enabled),
            "fused": "yes" if it.fuse_a else UNKNOWN,
            "drives": _count(drives, "none" if self.topology.describes("drive") else UNKNOWN),
            "expected_count": _equal(it.expected_drives, len(drives) if drives else None),
            "addressable_drives": _how_many([drive.addressable for drive in described]),
            "mixed": _mixed([(drive.supply_voltage_v, drive.addressable) for drive in described]),
            "loading": _loading(total_running_a(self.topology, drives), it.rated_current_a),
            "starting": _loading(total_starting_a(self.topology, drives), it.trip_current_a),
        }

    def _zones_of(self, opening: str) -> tuple[str, ...]:
        return self.topology.zones_of_opening(opening)

    def _drive(self, part: str) -> Fields:
        it = self.topology.site.drives[part]
        output = self.topology.site.outputs[it.output] if it.output else None
        opening = self.topology.site.openings[it.opening] if it.opening else None
        supply = self.supplies(it.output).get(part) if it.output else None
        return {
            "output_kind": (output.kind if output else None) or UNKNOWN,
            "opening_kind": (opening.kind if opening else None) or UNKNOWN,
            "addressable": _yes_no(it.addressable),
            "paired": _yes_no(len(self.topology.drives_of_opening(it.opening)) > 1 if it.opening else None),
            "voltage_margin": supply.margin if supply else UNKNOWN,
            "supply_match": self._supply_match(part),
            "speeds": _speeds(it.manual_speed_mm_s, it.automatic_speed_mm_s),
            "replaced": self._recently(it.replaced),
            "smoke": _yes_no(opening.smoke if opening else None),
        }

    def _supply_match(self, drive: str) -> str:
        it = self.topology.site.drives[drive]
        kind = self.topology.site.outputs[it.output].kind if it.output else None
        if kind is None or it.supply_voltage_v is None or kind.startswith("positioner"):
            return UNKNOWN
        return _yes_no((it.supply_voltage_v > 60) == (kind == "three-core-230v"))

    def _recently(self, replaced: date | None) -> str:
        if replaced is None or self.today is None:
            return UNKNOWN
        return "recently" if (self.today - replaced).days <= RECENT_DAYS else "no"

    def _opening(self, part: str) -> Fields:
        it: Opening = self.topology.site.openings[part]
        zones = [self.topology.site.zones[zone] for zone in self._zones_of(part)]
        limits = [it.opening_limit_mm, *(zone.opening_limit_mm for zone in zones)]
        return {
            "kind": it.kind or UNKNOWN,
            "hinge": it.hinge or UNKNOWN,
            "locks": _yes_no(None if it.locks is None else it.locks > 0),
            "drives": _count(self.topology.drives_of_opening(part), UNKNOWN),
            "opening_limit": "set" if any(limits) else UNKNOWN,
            "smoke": _yes_no(it.smoke),
            "moves": "yes",
        }

    def _zone(self, part: str) -> Fields:
        it: Zone = self.topology.site.zones[part]
        openings = [self.topology.site.openings[opening] for opening in it.openings or ()]
        limits = [it.opening_limit_mm, *(opening.opening_limit_mm for opening in openings)]
        return {
            "hold_off_length": hold_off_length(it.hold_off_minutes),
            "automatic": {True: "enabled", False: "disabled", None: UNKNOWN}[it.automatic_enabled],
            **self._zone_inputs(part),
            "opening_limit": "set" if any(limits) else UNKNOWN,
            "scheduled": self._scheduled(part),
            "smoke": _yes_no(_any_true([opening.smoke for opening in openings])),
            "outputs": _count({self.topology.output_of(it) for it in self.topology.consumers_of_zone(part)}, UNKNOWN),
        }

    def _zone_inputs(self, zone: str) -> Fields:
        kinds = {self.topology.site.inputs[part].kind for part in self.topology.inputs_of_zone(zone)}
        described = self.topology.describes("input")
        groups = {
            "manual_input": {"switch", "key-switch"},
            "automatic_input": {"thermostat", "temperature", "co2"},
            "rain_input": {"rain"},
            "wind_input": {"wind"},
        }
        return {name: _yes_no(bool(kinds & group) if described else None) for name, group in groups.items()}

    def _scheduled(self, zone: str) -> str:
        return _yes_no(bool(self.topology.schedules_of_zone(zone)) if self.topology.describes("schedule") else None)

    def _input(self, part: str) -> Fields:
        it: Input = self.topology.site.inputs[part]
        return {
            "kind": it.kind or UNKNOWN,
            "assigned": _yes_no(None if it.zones is None else bool(it.zones)),
            "contact": it.contact or UNKNOWN,
            "tap": _set(it.tap_does),
            "hold": _set(it.hold_does),
            "hold_threshold": _above(it.hold_threshold_s, LONG_HOLD_S),
            "signal": it.signal or UNKNOWN,
            "scaling": "set" if it.range_low is not None and it.range_high is not None else UNKNOWN,
            "heated": _yes_no(it.heated),
            "supervised": "yes" if it.end_of_line_ohm else UNKNOWN,
            "set_point": _set_point(it),
            "limit": self._wind_limit(part),
        }

    def _wind_limit(self, part: str) -> str:
        lockouts = self.topology.site.lockouts.values()
        limits = [it.limit for it in lockouts if it.input == part and it.kind == "wind" and it.limit is not None]
        if not limits:
            return UNKNOWN
        return "low" if min(limits) <= LOW_WIND_LIMIT_M_S else "usual"

    def _lockout(self, part: str) -> Fields:
        it: Lockout = self.topology.site.lockouts[part]
        return {
            "kind": it.kind or UNKNOWN,
            "refuses": it.refuses or UNKNOWN,
            "forces": it.forces or UNKNOWN,
            "refuses_manual": _yes_no(it.refuses_manual),
            "release": _above(it.release_minutes, LONG_RELEASE_MINUTES),
        }

    def _schedule(self, part: str) -> Fields:
        it: Schedule = self.topology.site.schedules[part]
        return {"does": it.does or UNKNOWN}

    def _link(self, part: str) -> Fields:
        it = self.topology.site.links[part]
        wires = {"bacnet-mstp": "serial", "modbus-rtu": "serial", "knx": "bus", "contacts": "contacts"}
        wire = wires.get(it.protocol, "network") if it.protocol else UNKNOWN
        priority = _yes_no(it.protocol.startswith("bacnet") if it.protocol else None)
        return {"wire": wire, "priority": priority, "termination": it.termination or UNKNOWN}

    def _fan(self, part: str) -> Fields:
        it: Fan = self.topology.site.fans[part]
        return {
            "phases": {1: "one", 3: "three", None: UNKNOWN}[it.phases],
            "coupling": it.coupling or UNKNOWN,
            "speed_controller": _yes_no(it.speed_controller),
            "interlock": "yes" if it.interlock else UNKNOWN,
        }


def describe_facts(topology: Topology, today: date | None = None) -> DescribedFacts:
    """Return the fields of every part; ages are unknown when today is."""
    return DescribedFacts(topology, today)


def _yes_no(claim: bool | None) -> str:
    return UNKNOWN if claim is None else "yes" if claim else "no"


def _count(parts: Iterable[object], when_none: str) -> str:
    number = len(list(parts))
    return when_none if number == 0 else "one" if number == 1 else "several"


def _set(action: str | None) -> str:
    return UNKNOWN if action is None else "none" if action == "nothing" else "set"


def _above(value: float | None, limit: float) -> str:
    return UNKNOWN if value is None else "long" if value > limit else "usual"


def _equal(expected: int | None, found: int | None) -> str:
    if expected is None or found is None:
        return UNKNOWN
    return "equal" if expected == found else "differs"


def _loading(total: float | None, rated: float | None) -> str:
    if total is None or rated is None:
        return UNKNOWN
    return "over" if total > rated else "ok"


def _how_many(claims: list[bool | None]) -> str:
    if not claims or None in claims:
        return UNKNOWN
    return "all" if all(claims) else "some" if any(claims) else "none"


def _mixed(kinds: list[tuple[object, object]]) -> str:
    if not kinds or any(None in kind for kind in kinds):
        return UNKNOWN
    return _yes_no(len(set(kinds)) > 1)


def _speeds(manual: float | None, automatic: float | None) -> str:
    if manual is None or automatic is None:
        return UNKNOWN
    return "slower-automatic" if automatic < manual else "same"


def _any_true(claims: list[bool | None]) -> bool | None:
    if True in claims:
        return True
    return None if not claims or None in claims else False


def _set_point(it: Input) -> str:
    if it.set_point is None or it.kind not in ("thermostat", "temperature"):
        return UNKNOWN
    return "high" if it.set_point > HIGH_SET_POINT_C else "low" if it.set_point < LOW_SET_POINT_C else "usual"
