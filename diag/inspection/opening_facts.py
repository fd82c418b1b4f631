"""What an inspector compares at an opening: who can be hurt by it, what moves it, and whether its drives agree."""

from __future__ import annotations

from functools import lru_cache
from typing import Any, NamedTuple

from diag.inspection.view import Described, View, Words, listed, some_none, yes_no
from diag.site import Drive, Opening

MAKES_KEPT = 1024


class Pair(NamedTuple):
    """How the drives of one opening go together."""

    sync: str
    travel: str
    outputs: str


class Make(NamedTuple):
    """What decides about an opening, whichever it is. A site has many openings and few that differ in this."""

    kind: str | None
    smoke: bool | None
    height_above_floor_m: float | None
    protection: str
    moves_unseen: bool
    drives: str | None
    zones: str | None
    strokes_mm: tuple[float | None, ...]
    limits_mm: tuple[float | None, ...]
    pair: Pair | None


def opening_words(view: View, part: str) -> Described:
    """Return the words and figures of one opening."""
    it = view.site.openings[part]
    drives = view.topology.drives_of_opening(part)
    zones = view.topology.zones_of_opening(part)
    make = (
        it.kind,
        it.smoke,
        it.height_above_floor_m,
        _protection(it),
        not view.zones_moved_unseen.isdisjoint(zones),
        "some" if drives else some_none(drives, view.complete("drives", "opening")),
        "some" if len(zones) == 1 else _zones(view, zones),
        tuple([view.site.drives[drive].stroke_mm for drive in drives]),
        (it.opening_limit_mm, *[view.site.zones[zone].opening_limit_mm for zone in zones]),
        _pair(view, drives) if len(drives) > 1 else None,
    )
    own: Words = {"pair": listed(drives), "pair_outputs_ids": _outputs(view, drives)} if len(drives) > 1 else {}
    if len(zones) > 1:
        own["zone_ids"] = listed(zones)
    return _shared_words(make), own


def shared_opening_fields() -> frozenset[str]:
    """Return the fields that openings share which do not differ in what decides about them."""
    return frozenset(_shared_words((None, None, None, "not-described", False, None, None, (), (), None)))


@lru_cache(maxsize=MAKES_KEPT)
def _shared_words(make: tuple[Any, ...]) -> Words:
    """Return what can be said of every opening of which these things are so."""
    it = Make._make(make)
    return {
        "kind": it.kind,
        "smoke": yes_no(it.smoke),
        "height_above_floor_m": it.height_above_floor_m,
        "protection": it.protection,
        "moves_unseen": "yes" if it.moves_unseen else None,
        "drives": it.drives,
        "zones": it.zones,
        **_limit_words(it),
        "pair_sync": it.pair.sync if it.pair else None,
        "pair_travel": it.pair.travel if it.pair else None,
        "pair_outputs": it.pair.outputs if it.pair else None,
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


def _limit_words(it: Make) -> Words:
    """Compare the smallest limit, of the opening or its zones, with the longest stroke."""
    longest = max((stroke for stroke in it.strokes_mm if stroke), default=None)
    limit = min((limit for limit in it.limits_mm if limit is not None), default=None)
    verdict = None
    if longest is not None and None not in it.strokes_mm:
        verdict = "not-described" if limit is None else "binds" if limit < longest else "without-effect"
    return {"stroke_mm": longest, "limit_mm": limit, "limit": verdict}


def _pair(view: View, drives: tuple[str, ...]) -> Pair:
    members = [view.site.drives[drive] for drive in drives]
    return Pair(
        sync="lost" if any(it.synchronised is False for it in members) else "ok",
        travel="differs" if _differ(members) else "same",
        outputs="differ" if len({it.output for it in members} - {None}) > 1 else "same",
    )


def _outputs(view: View, drives: tuple[str, ...]) -> str | None:
    return listed({it for it in (view.site.drives[drive].output for drive in drives) if it}) or None


def _differ(members: list[Drive]) -> bool:
    fields = ("stroke_mm", "manual_speed_mm_s", "automatic_speed_mm_s", "smoke_speed_mm_s", "full_travel_s")
    return any(len({getattr(it, name) for it in members} - {None}) > 1 for name in fields)
