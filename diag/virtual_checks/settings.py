"""Read the settings and states that the controllers of a virtual site show."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.noticing_drives import design_time_s
from diag.virtual.panel import interlock_closed
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform


def _addresses(site: VirtualSite, output: str) -> Found:
    drives = [site.fitted.drives[it] for it in site.topology.consumers_of_output(output) if it in site.fitted.drives]
    known = [it.address for it in drives if it.addressable]
    return "unique" if len(set(known)) == len(known) else "duplicate"


def _automatic(site: VirtualSite, zone: str) -> Found:
    return "on" if site.fitted.zones[zone].automatic_enabled else "off"


def _comfort(site: VirtualSite, controller: str) -> Found:
    return "allowed" if site.fitted.controllers[controller].comfort_on_battery else "kept-back"


def _order(site: VirtualSite, _: str) -> Found:
    return "changed" if any(it.order_changed for it in site.fitted.controllers.values()) else "usual"


def _contact(site: VirtualSite, part: str) -> Found:
    return "opposite" if site.fitted.inputs[part].inverted_kind else "matches"


def _firmware(site: VirtualSite, output: str) -> Found:
    drives = [site.fitted.drives[it] for it in site.topology.consumers_of_output(output) if it in site.fitted.drives]
    return "known" if all(it.version_known for it in drives) else "unknown-version"


def _drive(site: VirtualSite, drive: str) -> Found:
    it = site.fitted.drives[drive]
    if it.inverted:
        return "direction-inverted"
    return "stroke-short" if it.stroke_share < 1 else "right"


def _expected(site: VirtualSite, output: str) -> Found:
    fitted = len([it for it in site.topology.consumers_of_output(output) if it in site.fitted.drives])
    expected = site.fitted.outputs[output].expected
    return "equal" if expected is None or expected == fitted else "differs"


def _hold_off(site: VirtualSite, zone: str) -> Found:
    return site.fitted.zones[zone].hold_off_minutes


def _remaining(site: VirtualSite, zone: str) -> Found:
    return site.commands.hold_off_left_min(zone)


def _threshold(site: VirtualSite, part: str) -> Found:
    return site.fitted.inputs[part].hold_threshold_s


def _assignment(site: VirtualSite, part: str) -> Found:
    now, meant = site.fitted.inputs[part].zones, tuple(site.topology.site.inputs[part].zones or ())
    if now == meant:
        return "right"
    return "none" if not now else "other-zone"


def _function(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    if not it.tap_stops:
        return "tap-empty"
    return {"right": "right", "inverted": "inverted"}.get(it.function, "other-function")


def _interlock(site: VirtualSite, fan: str) -> Found:
    closed = interlock_closed(site, fan)
    site.close_all()
    return "closed" if closed else "open"


def _link_address(site: VirtualSite, link: str) -> Found:
    return "unique" if site.fitted.links[link].address_unique else "duplicate"


def _link_map(site: VirtualSite, link: str) -> Found:
    return "right" if site.fitted.links[link].map_right else "wrong"


def _out_of_service(site: VirtualSite, link: str) -> Found:
    return "in-service" if site.fitted.links[link].in_service else "out-of-service"


def _link_priority(site: VirtualSite, link: str) -> Found:
    zones = site.topology.site.links[link].zones or ()
    return "held-above" if any(site.fitted.zones[it].held_by == "link" for it in zones) else "free"


def _link_speed(site: VirtualSite, link: str) -> Found:
    return "matches" if site.fitted.links[link].speed_matches else "differs"


def _lockouts(site: VirtualSite, zone: str) -> Found:
    standing = site.commands.lockouts(zone)
    if not standing:
        return "clear"
    return "standing-with-cause" if all(standing.values()) else "standing-without-cause"


def _limit(site: VirtualSite, zone: str) -> Found:
    return "none" if site.fitted.zones[zone].limit_mm is None else "set"


def _enabled(site: VirtualSite, output: str) -> Found:
    return "on" if site.fitted.outputs[output].enabled else "off"


def _kind(site: VirtualSite, output: str) -> Found:
    return "matches" if site.fitted.outputs[output].kind_fits else "differs"


def _run_time(site: VirtualSite, output: str) -> Found:
    drives = [it for it in site.topology.consumers_of_output(output) if it in site.fitted.drives]
    needed = max((design_time_s(site, it, site.driving.stroke(it)) for it in drives), default=0.0)
    return "shorter" if site.fitted.outputs[output].run_time_s < needed else "longer-than-travel"


def _range(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    return "differs" if it.scale != 1.0 or it.other_signal else "matches"


def _set_point(site: VirtualSite, part: str) -> Found:
    now, meant = site.fitted.inputs[part].set_point, site.topology.site.inputs[part].set_point
    if now is None or meant is None or abs(now - meant) < 1e-6:
        return "sensible"
    return "too-high" if now > meant else "too-low"


def _name(site: VirtualSite, controller: str) -> Found:
    return site.fitted.controllers[controller].settings_of


def _record(site: VirtualSite, controller: str) -> Found:
    it = site.fitted.controllers[controller]
    if site.luck("settings record") < 0.15:
        return "no-record"
    if it.settings_of != "this-site":
        return "factory-value" if it.settings_of == "defaults" else "other-value"
    return "as-recorded" if it.keeps_settings and it.user_may else "earlier-value"


def _standing(site: VirtualSite, zone: str) -> Found:
    standing = site.commands.standing(zone)
    if standing is None or standing.command == "automatic":
        return "automatic-or-none"
    return "manual" if standing.command == "manual" else "higher-class"


def _wind_limit(site: VirtualSite, part: str) -> Found:
    it = site.fitted.inputs[part]
    limit = it.limit or it.set_point
    return limit if limit is not None else "not-sure"


def _zone(site: VirtualSite, zone: str) -> Found:
    now, meant = site.fitted.zones[zone].openings, tuple(site.topology.site.zones[zone].openings or ())
    return "right" if now == meant else "wrong"


READING: Mapping[str, Perform] = {
    "compare-settings-record": _record,
    "read-addresses": _addresses,
    "read-automatic-enabled": _automatic,
    "read-comfort-on-battery": _comfort,
    "read-command-order": _order,
    "read-contact-type": _contact,
    "read-drive-firmware": _firmware,
    "read-drive-settings": _drive,
    "read-expected-count": _expected,
    "read-hold-off": _hold_off,
    "read-hold-off-remaining": _remaining,
    "read-hold-threshold": _threshold,
    "read-input-assignment": _assignment,
    "read-input-function": _function,
    "read-interlock": _interlock,
    "read-link-address": _link_address,
    "read-link-object-map": _link_map,
    "read-link-out-of-service": _out_of_service,
    "read-link-priority": _link_priority,
    "read-link-speed": _link_speed,
    "read-lockouts": _lockouts,
    "read-opening-limit": _limit,
    "read-output-enabled": _enabled,
    "read-output-kind": _kind,
    "read-run-time": _run_time,
    "read-sensor-range": _range,
    "read-set-point": _set_point,
    "read-site-name-in-settings": _name,
    "read-standing-command": _standing,
    "read-wind-limit": _wind_limit,
    "read-zone-assignment": _zone,
}
"""For each setting or shown state: what it reads."""
