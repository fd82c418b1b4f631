"""What an inspector compares at a zone: who commands it, what it moves, and what closes it in bad weather."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import lru_cache
from operator import attrgetter
from typing import Any, NamedTuple

from diag.calculators.airflow import hinged_free_area_m2
from diag.inspection.view import Described, Known, View, Words, listed, some_none, yes_no
from diag.site import Zone

MAKES_KEPT = 1024
AUTOMATIC_KINDS = frozenset({"thermostat", "temperature", "co2"})
SMOKE_KINDS = frozenset({"detector-line", "call-point"})
MANUAL_KINDS = frozenset({"switch", "key-switch"})
NIGHT_FROM, NIGHT_UNTIL = "20:00", "07:00"


class Make(NamedTuple):
    """What a zone is set to: its fields of these names."""

    hold_off_minutes: float | None
    automatic_enabled: bool | None
    night_cooling: bool | None
    floor_area_m2: float | None


class Place(NamedTuple):
    """Who commands a zone and what it moves; a site has many zones and few that differ in this."""

    members: str | None
    moved: str | None
    controllers: str | None
    controller_automatic: str | None
    input_kinds: frozenset[str | None]
    input_classes: frozenset[str | None]
    has_others: bool
    """Whether a time programme or a building link commands it."""
    smoke: str | None
    has_roof_vent: bool
    closed_by: frozenset[str]
    clock: tuple[tuple[str | None, str | None], ...]
    """What each of its time programmes does, and when."""
    known: Known
    site_wind: bool
    weather_left_out: str | None


_read_make = attrgetter(*Make._fields)


def zone_words(view: View, part: str) -> Described:
    """Return the words and figures of one zone."""
    it = view.site.zones[part]
    openings = view.site.openings
    controllers = view.controllers_of_zone(part)
    inputs = [(one, view.site.inputs[one]) for one in view.topology.inputs_of_zone(part)]
    schedules = [view.site.schedules[one] for one in view.topology.schedules_of_zone(part)]
    place = (
        "some" if it.openings or it.fans else some_none((), it.openings is not None),
        "some" if it.fans or controllers else _moved(view, it),
        None if not controllers else "one" if len(controllers) == 1 else "several",
        _controller_automatic(view, controllers),
        frozenset([one.kind for _, one in inputs]),
        frozenset([one.command_class for _, one in inputs]),
        bool(schedules or view.topology.links_of_zone(part)),
        _smoke(it, view.smoke_claims.get(part, frozenset())),
        any(openings[one].kind == "roof-vent" for one in it.openings or ()),
        view.closed_by_weather.get(part, frozenset()),
        tuple([(one.does, one.at) for one in schedules]),
        view.known,
        "wind" in view.input_kinds,
        view.weather_left_out,
    )
    measuring = [name for name, one in inputs if one.kind in AUTOMATIC_KINDS]
    own: Words = {
        "controller_ids": listed(controllers) or None,
        "automatic_inputs": listed(measuring) or None,
        "free_share": _free_share(view, it) if it.floor_area_m2 else None,
    }
    return _shared_words(_read_make(it), place), own


def shared_zone_fields() -> frozenset[str]:
    """Return the fields that zones set and commanded alike share."""
    nobody = frozenset[Any]()
    nothing = (None, None, None, None, nobody, nobody, False, None, False, nobody, (), Known(), False, None)
    return frozenset(_shared_words((None,) * len(Make._fields), nothing))


@lru_cache(maxsize=MAKES_KEPT)
def _shared_words(make: tuple[Any, ...], where: tuple[Any, ...]) -> Words:
    """Return what can be said of every zone set and commanded like this."""
    it, place = Make._make(make), Place._make(where)
    return {
        "hold_off_minutes": it.hold_off_minutes,
        "automatic_enabled": yes_no(it.automatic_enabled),
        "night_cooling": yes_no(it.night_cooling),
        "floor_area_m2": it.floor_area_m2,
        "members": place.members,
        "moved": place.moved,
        "controllers": place.controllers,
        "controller_automatic": place.controller_automatic,
        "smoke": place.smoke,
        **_command_words(place),
        **_weather_words(place),
        **_clock_words(it, place),
    }


def _moved(view: View, it: Zone) -> str | None:
    drives = [drive for opening in it.openings or () for drive in view.topology.drives_of_opening(opening)]
    return some_none(drives, it.openings is not None and view.complete("drives", "opening"))


def _controller_automatic(view: View, controllers: Iterable[str]) -> str | None:
    claims = {view.site.controllers[one].automatic_enabled for one in controllers}
    return "off" if claims == {False} else None


def _command_words(place: Place) -> Words:
    """Say who commands the zone: hands, sensors, the clock, a link, and for smoke."""
    kinds, known = place.input_kinds - {None}, place.known
    others_known = known.inputs and known.others
    is_smoke_asked = bool(kinds & SMOKE_KINDS) or "smoke" in place.input_classes
    return {
        "commands": "some" if place.has_others else some_none(kinds, others_known),
        "manual": some_none(kinds & MANUAL_KINDS, known.inputs),
        "automatic": "some" if place.has_others else some_none(kinds & {*AUTOMATIC_KINDS, "link"}, others_known),
        "measuring": some_none(kinds & AUTOMATIC_KINDS, known.inputs),
        "smoke_input": "some" if is_smoke_asked else some_none((), known.inputs and known.classes),
        "call_point": some_none(kinds & {"call-point"}, known.inputs),
    }


def _smoke(it: Zone, claims: Collection[bool | None]) -> str | None:
    if True in claims:
        return "yes"
    return "no" if it.openings is not None and None not in claims else None


def _weather_words(place: Place) -> Words:
    return {
        "roof_vent": yes_no(place.has_roof_vent),
        "rain_closing": "some" if "rain" in place.closed_by else place.weather_left_out,
        "wind_closing": "some" if "wind" in place.closed_by else place.weather_left_out,
        "site_wind": "some" if place.site_wind else None,
    }


def _clock_words(it: Make, place: Place) -> Words:
    opens = [at for does, at in place.clock if does == "open"]
    at_night = [at for at in opens if at is None or at >= NIGHT_FROM or at < NIGHT_UNTIL]
    closes = [at for does, at in place.clock if does == "close"]
    return {
        "clock_opening": some_none(opens, place.known.clock),
        "clock_closing": some_none(closes, place.known.clock),
        "night_opening": some_none(at_night, place.known.clock) if it.night_cooling else None,
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
