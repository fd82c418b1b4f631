"""What an inspector compares at an opening: who can be hurt by it, what moves it, and whether its drives agree."""

from __future__ import annotations

from diag.inspection.view import View, Words, listed, some_none, yes_no
from diag.site import Drive, Opening


def opening_words(view: View, part: str) -> Words:
    """Return the words and figures of one opening."""
    it = view.site.openings[part]
    drives = view.topology.drives_of_opening(part)
    zones = view.topology.zones_of_opening(part)
    return {
        "kind": it.kind,
        "smoke": yes_no(it.smoke),
        "height_above_floor_m": it.height_above_floor_m,
        "protection": _protection(it),
        "moves_unseen": "yes" if any(map(view.moves_unseen, zones)) else None,
        "drives": some_none(drives, view.complete("drives", "opening")),
        "zones": _zones(view, zones),
        "zone_ids": listed(zones) if len(zones) > 1 else None,
        **_limit_words(view, part, drives),
        **(_pair_words(view, drives) if len(drives) > 1 else {}),
    }


def _protection(it: Opening) -> str:
    if it.closing_protection is None:
        return "not-described"
    if not it.closing_protection:
        return "none"
    return "hold-to-run-only" if it.closing_protection == ["hold-to-run"] else "some"


def _zones(view: View, zones: tuple[str, ...]) -> str | None:
    if len(zones) > 1:
        return "several"
    return some_none(zones, bool(view.site.zones) and view.complete("zones", "openings"))


def _limit_words(view: View, part: str, drives: tuple[str, ...]) -> Words:
    """Compare the smallest limit, of the opening or its zones, with the longest stroke."""
    strokes = [view.site.drives[drive].stroke_mm for drive in drives]
    longest = max((stroke for stroke in strokes if stroke), default=None)
    zones = [view.site.zones[zone].opening_limit_mm for zone in view.topology.zones_of_opening(part)]
    limits = [limit for limit in (view.site.openings[part].opening_limit_mm, *zones) if limit is not None]
    figures: Words = {"stroke_mm": longest, "limit_mm": min(limits, default=None)}
    if longest is None or None in strokes:
        return figures
    if not limits:
        return {**figures, "limit": "not-described"}
    return {**figures, "limit": "binds" if min(limits) < longest else "without-effect"}


def _pair_words(view: View, drives: tuple[str, ...]) -> Words:
    members = [view.site.drives[drive] for drive in drives]
    return {
        "pair": listed(drives),
        "pair_sync": "lost" if any(it.synchronised is False for it in members) else "ok",
        "pair_travel": "differs" if _differ(members) else "same",
        "pair_outputs": "differ" if len({it.output for it in members} - {None}) > 1 else "same",
        "pair_outputs_ids": listed({it.output for it in members if it.output}) or None,
    }


def _differ(members: list[Drive]) -> bool:
    fields = ("stroke_mm", "manual_speed_mm_s", "automatic_speed_mm_s", "smoke_speed_mm_s", "full_travel_s")
    return any(len({getattr(it, name) for it in members} - {None}) > 1 for name in fields)
