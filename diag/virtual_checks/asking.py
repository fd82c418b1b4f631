"""Ask the people at a virtual site; they answer from its history and from what they see."""

from __future__ import annotations

from collections.abc import Mapping

from diag.virtual.as_meant import is_as_meant
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found, Perform
from diag.virtual_checks.operating_controllers import better_alone
from diag.virtual_checks.operating_zones import open_and_close
from diag.virtual_checks.trials import fresh


def _both_ways(site: VirtualSite, zone: str) -> Found:
    opened, closed = open_and_close(site, zone)
    meant = len(site.drives_of(zone))
    opens, closes = full(opened, meant), full(closed, meant)
    if opens and closes:
        return "neither"
    return "both-fail" if not opens and not closes else "close-fails" if opens else "open-fails"


def full(stops: list[str], meant: int) -> bool:
    """Return whether every drive that is meant to move came to its end."""
    return len(stops) >= meant > 0 and all(it == "end" for it in stops)


def _one_or_all(site: VirtualSite, zone: str) -> Found:
    wrong: dict[str, tuple[int, int]] = {}
    for other in site.fitted.zones:
        opened, closed = open_and_close(site, other)
        openings = site.topology.site.zones[other].openings or ()
        drives = sum(len(site.topology.drives_of_opening(it)) for it in openings)
        if drives:
            good = min(sum(it == "end" for it in opened), sum(it == "end" for it in closed))
            wrong[other] = (max(0, drives - good), drives)
    bad = [it for it, (count, _) in wrong.items() if count]
    if len(bad) > 1:
        return "several-zones"
    count, drives = wrong.get(zone, (0, 1))
    if count == 0:
        return "whole-zone"
    return "one-drive" if count == 1 and drives > 1 else "whole-zone" if count == drives else "part-of-zone"


def _other_command(site: VirtualSite, zone: str) -> Found:
    """Return whether the panel moves the zone both ways from half open."""
    with fresh(site, 0.5):
        opened = site.command_at_panel(zone, "open").moved
    with fresh(site, 0.5):
        closed = site.command_at_panel(zone, "close").moved
    return "other-source-works" if opened and closed else "none-works"


def _many(site: VirtualSite, output: str) -> Found:
    return "only-many" if better_alone(site, output) else "no-difference"


def _cleaning(site: VirtualSite, _: str) -> Found:
    return "yes" if site.history.cleaned else "no"


def _duration(site: VirtualSite, _: str) -> Found:
    if site.history.recovers:
        return "recovers-after-rest"
    return "comes-and-goes" if site.history.comes_and_goes else "stays"


def _last_manual(site: VirtualSite, zone: str) -> Found:
    ago = site.fitted.zones[zone].manual_minutes_ago
    if ago is None:
        return "none-known" if site.luck("last hand") < 0.5 else "longer-ago"
    meant = site.topology.site.zones[zone].hold_off_minutes or 0.0
    if site.luck("last hand") < 0.2:
        return "none-known"
    return "within-hold-off" if ago < meant else "longer-ago"


def _link_user(site: VirtualSite, link: str) -> Found:
    held = any(site.fitted.zones[it].held_by == "link" for it in site.topology.site.links[link].zones or ())
    if site.luck("link user") < 0.15:
        return "not-known"
    return "manual-value-left" if held or site.fitted.links[link].forced_by_hand else "nobody"


def _other_nodes(site: VirtualSite, link: str) -> Found:
    if site.luck("other nodes") < 0.1:
        return "not-known"
    return "offline-too" if site.fitted.links[link].others_offline else "online"


def _normal(site: VirtualSite, zone: str) -> Found:
    return "as-described" if is_as_meant(site, zone) else "differs"


def _trades(site: VirtualSite, _: str) -> Found:
    return "yes" if site.history.trades else "no"


def _replaced(site: VirtualSite, _: str) -> Found:
    return site.history.replaced


def _power_cut(site: VirtualSite, _: str) -> Found:
    return "yes" if site.history.power_cut else "no"


def _recent_alarm(site: VirtualSite, _: str) -> Found:
    return site.history.alarm


def _settings(site: VirtualSite, _: str) -> Found:
    return site.history.settings


def _since(site: VirtualSite, _: str) -> Found:
    return site.history.began


def _weather(site: VirtualSite, _: str) -> Found:
    return site.history.weather


def _pattern(site: VirtualSite, zone: str) -> Found:
    if any(it.clock_off_minutes == 60 for it in site.fitted.controllers.values()):
        return "one-hour-off"
    if any(it.clock_off_minutes for it in site.fitted.controllers.values()):
        return "out-of-hours"
    if site.fitted.zones[zone].programme != "right":
        return "same-time"
    placed = any(site.fitted.inputs[it].place == "sun-or-draught" for it in site.topology.inputs_of_zone(zone))
    if placed:
        return "same-time"
    return "season" if site.around.at.month in (11, 12, 1, 2) else "no-pattern"


ASKING: Mapping[str, Perform] = {
    "ask-both-directions": _both_ways,
    "ask-one-or-all": _one_or_all,
    "ask-other-command": _other_command,
    "ask-many-running": _many,
    "ask-cleaning": _cleaning,
    "ask-duration": _duration,
    "ask-last-manual": _last_manual,
    "ask-link-user": _link_user,
    "ask-other-nodes": _other_nodes,
    "ask-normal-behaviour": _normal,
    "ask-other-trades": _trades,
    "ask-part-replaced": _replaced,
    "ask-power-cut": _power_cut,
    "ask-recent-alarm": _recent_alarm,
    "ask-settings-changed": _settings,
    "ask-since-when": _since,
    "ask-weather": _weather,
    "ask-time-pattern": _pattern,
}
"""For each question: what people answer."""
