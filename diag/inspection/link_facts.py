"""What an inspector compares at building links and fans: addresses, priorities, ends, overloads and interlocks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from diag.inspection.view import View, Words, some_none
from diag.site import Fan, Link

SERIAL = frozenset({"bacnet-mstp", "modbus-rtu"})
ADDRESSES: Final[Mapping[str, tuple[int, int]]] = {"bacnet-mstp": (0, 127), "modbus-rtu": (1, 247)}
"""Masters of BACnet MS/TP (ASHRAE 135: Max_Master at most 127); Modbus over serial line (0 is broadcast)."""
USUAL_BAUD = frozenset({1200, 2400, 4800, 9600, 19200, 38400, 57600, 76800, 115200})
HIGH_OVERLOAD = 1.5


def link_words(view: View, part: str) -> Words:
    """Return the words and figures of one building link."""
    it = view.site.links[part]
    on_trunk = [name for name, one in view.site.links.items() if it.trunk and one.trunk == it.trunk]
    low, high = ADDRESSES.get(it.protocol or "", (None, None))
    return {
        "protocol": it.protocol,
        "wire": _wire(it),
        "address": None if it.address is None else float(it.address),
        "write_priority": None if it.write_priority is None else float(it.write_priority),
        "takes_priority": None if it.protocol is None else "yes" if it.protocol.startswith("bacnet") else "no",
        "termination": it.termination,
        "length_m": it.length_m,
        "speed_baud": None if it.speed_baud is None else float(it.speed_baud),
        "speed": None if it.speed_baud is None else "usual" if it.speed_baud in USUAL_BAUD else "odd",
        "address_range": _range(it.address, low, high),
        "lowest_address": None if low is None else float(low),
        "highest_address": None if high is None else float(high),
        "trunk_devices": float(len(on_trunk)) if on_trunk[:1] == [part] else None,
        "zones": some_none(it.zones or (), it.zones is not None),
    }


def _wire(it: Link) -> str | None:
    if it.protocol is None:
        return None
    return "serial" if it.protocol in SERIAL else "bus" if it.protocol == "knx" else "other"


def _range(address: int | None, low: int | None, high: int | None) -> str | None:
    if address is None or low is None or high is None:
        return None
    return "inside" if low <= address <= high else "outside"


def fan_words(view: View, part: str) -> Words:
    """Return the words and figures of one fan."""
    it = view.site.fans[part]
    output = view.site.outputs[it.output] if it.output else None
    return {
        "output": it.output,
        "output_kind": output.kind if output else None,
        "running_current_a": it.running_current_a,
        "overload_a": it.overload_a,
        "overload": _overload(it),
        "interlock": it.interlock,
        **_interlock_words(view, part, it),
    }


def _overload(it: Fan) -> str | None:
    if it.overload_a is None or it.running_current_a is None:
        return None
    if it.overload_a < it.running_current_a:
        return "below-running"
    return "far-above" if it.overload_a > it.running_current_a * HIGH_OVERLOAD else "ok"


def _interlock_words(view: View, part: str, it: Fan) -> Words:
    if it.interlock is None:
        return {}
    drives = some_none(view.topology.drives_of_opening(it.interlock), view.complete("drives", "opening"))
    zones = set(view.topology.zones_of_fan(part))
    others = set(view.topology.zones_of_opening(it.interlock))
    return {
        "interlock_drives": drives,
        "interlock_zone": None if not zones or not others else "same" if zones & others else "other",
    }
