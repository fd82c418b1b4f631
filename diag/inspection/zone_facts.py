"""What an inspector compares at a zone: who commands it, what it moves, and what closes it in bad weather."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from diag.calculators.airflow import hinged_free_area_m2
from diag.inspection.view import View, Words, listed, some_none, yes_no
from diag.site import Opening, Zone

AUTOMATIC_KINDS = frozenset({"thermostat", "temperature", "co2"})
SMOKE_KINDS = frozenset({"detector-line", "call-point"})
MANUAL_KINDS = frozenset({"switch", "key-switch"})
NIGHT_FROM, NIGHT_UNTIL = "20:00", "07:00"


def zone_words(view: View, part: str) -> Words:
    """Return the words and figures of one zone."""
    it = view.site.zones[part]
    openings = [view.site.openings[one] for one in it.openings or ()]
    controllers = view.controllers_of_zone(part)
    return {
        "hold_off_minutes": it.hold_off_minutes,
        "automatic_enabled": yes_no(it.automatic_enabled),
        "night_cooling": yes_no(it.night_cooling),
        "floor_area_m2": it.floor_area_m2,
        "members": some_none(openings or it.fans or (), it.openings is not None),
        "moved": "some" if it.fans or controllers else _moved(view, it),
        "controllers": None if not controllers else "one" if len(controllers) == 1 else "several",
        "controller_ids": listed(controllers) or None,
        "controller_automatic": _controller_automatic(view, controllers),
        "free_share": _free_share(view, it),
        **_input_words(view, part),
        **_weather_words(view, part, openings),
        "smoke": _smoke(it, view.smoke_claims.get(part, frozenset())),
        **_clock_words(view, part, it),
    }


def _moved(view: View, it: Zone) -> str | None:
    drives = [drive for opening in it.openings or () for drive in view.topology.drives_of_opening(opening)]
    return some_none(drives, it.openings is not None and view.complete("drives", "opening"))


def _controller_automatic(view: View, controllers: Iterable[str]) -> str | None:
    claims = {view.site.controllers[one].automatic_enabled for one in controllers}
    return "off" if claims == {False} else None


def _input_words(view: View, part: str) -> Words:
    """Say who commands the zone: hands, sensors, the clock, a link, and for smoke."""
    ids = view.topology.inputs_of_zone(part)
    inputs = [view.site.inputs[one] for one in ids]
    kinds = {it.kind for it in inputs if it.kind}
    known = view.inputs_are_known
    others = [*view.topology.schedules_of_zone(part), *view.topology.links_of_zone(part)]
    others_known = known and view.complete("schedules", "zones") and view.complete("links", "zones")
    measuring = [one for one, it in zip(ids, inputs, strict=True) if it.kind in AUTOMATIC_KINDS]
    is_smoke_asked = not kinds.isdisjoint(SMOKE_KINDS) or any(it.command_class == "smoke" for it in inputs)
    return {
        "commands": some_none(kinds or others, others_known),
        "manual": some_none(kinds & MANUAL_KINDS, known),
        "automatic": some_none(measuring or others or kinds & {"link"}, others_known),
        "measuring": some_none(measuring, known),
        "automatic_inputs": listed(measuring) or None,
        "smoke_input": "some" if is_smoke_asked else some_none((), known and view.complete("inputs", "command_class")),
        "call_point": some_none(kinds & {"call-point"}, known),
    }


def _smoke(it: Zone, claims: Collection[bool | None]) -> str | None:
    if True in claims:
        return "yes"
    return "no" if it.openings is not None and None not in claims else None


def _weather_words(view: View, part: str, openings: Iterable[Opening]) -> Words:
    closed_by = view.closed_by_weather.get(part, frozenset())
    return {
        "roof_vent": yes_no(any(one.kind == "roof-vent" for one in openings)),
        "rain_closing": "some" if "rain" in closed_by else view.weather_left_out,
        "wind_closing": "some" if "wind" in closed_by else view.weather_left_out,
        "site_wind": "some" if "wind" in view.input_kinds else None,
    }


def _clock_words(view: View, part: str, it: Zone) -> Words:
    schedules = [view.site.schedules[one] for one in view.topology.schedules_of_zone(part)]
    known = view.complete("schedules", "zones") and view.complete("schedules", "does")
    opens = [one for one in schedules if one.does == "open"]
    at_night = [one for one in opens if one.at is None or one.at >= NIGHT_FROM or one.at < NIGHT_UNTIL]
    closes = [one for one in schedules if one.does == "close"]
    return {
        "clock_opening": some_none(opens, known),
        "clock_closing": some_none(closes, known),
        "night_opening": some_none(at_night, known) if it.night_cooling else None,
    }


def _free_share(view: View, it: Zone) -> float | None:
    """Return what the windows and vents leave open, as a share of the floor; None unless all is known."""
    if not it.floor_area_m2 or not it.openings or it.fans:
        return None
    areas = [_free_area_m2(view, part) for part in it.openings]
    return None if None in areas else sum(area for area in areas if area) / it.floor_area_m2


def _free_area_m2(view: View, part: str) -> float | None:
    it = view.site.openings[part]
    strokes = [view.site.drives[drive].stroke_mm for drive in view.topology.drives_of_opening(part)]
    if it.kind not in ("window", "roof-vent") or not (it.width_m and it.height_m) or not strokes or None in strokes:
        return None
    gap_mm = min([stroke for stroke in strokes if stroke] + ([it.opening_limit_mm] if it.opening_limit_mm else []))
    return hinged_free_area_m2(it.width_m, it.height_m, gap_mm / 1000.0)
