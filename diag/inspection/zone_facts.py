"""What an inspector compares at a zone: who commands it, what it moves, and what closes it in bad weather."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from diag.calculators.airflow import hinged_free_area_m2
from diag.inspection.view import View, Words, listed, some_none, yes_no
from diag.site import Input, Lockout, Zone

AUTOMATIC_KINDS = frozenset({"thermostat", "temperature", "co2"})
MANUAL_KINDS = frozenset({"switch", "key-switch"})
NIGHT_FROM, NIGHT_UNTIL = "20:00", "07:00"


def zone_words(view: View, part: str) -> Words:
    """Return the words and figures of one zone."""
    it = view.site.zones[part]
    members = (*(it.openings or ()), *(it.fans or ()))
    inputs = [view.site.inputs[one] for one in view.topology.inputs_of_zone(part)]
    controllers = view.controllers_of_zone(part)
    return {
        "hold_off_minutes": it.hold_off_minutes,
        "automatic_enabled": yes_no(it.automatic_enabled),
        "night_cooling": yes_no(it.night_cooling),
        "floor_area_m2": it.floor_area_m2,
        "members": some_none(members, it.openings is not None),
        "moved": "some" if it.fans or controllers else some_none(_drives(view, it), _movers_are_known(view, it)),
        "controllers": None if not controllers else "one" if len(controllers) == 1 else "several",
        "controller_ids": listed(controllers) or None,
        "controller_automatic": _controller_automatic(view, controllers),
        "free_share": _free_share(view, it),
        **_command_words(view, part, inputs),
        **_smoke_words(view, part, inputs),
        **_weather_words(view, part, inputs),
        **_clock_words(view, part, it),
    }


def _drives(view: View, it: Zone) -> list[str]:
    return [drive for opening in it.openings or () for drive in view.topology.drives_of_opening(opening)]


def _movers_are_known(view: View, it: Zone) -> bool:
    return it.openings is not None and view.complete("drives", "opening")


def _controller_automatic(view: View, controllers: Iterable[str]) -> str | None:
    claims = [view.site.controllers[one].automatic_enabled for one in controllers]
    return "off" if claims and all(claim is False for claim in claims) else None


def _inputs_are_known(view: View) -> bool:
    return view.complete("inputs", "zones") and view.complete("inputs", "kind")


def _command_words(view: View, part: str, inputs: Sequence[Input]) -> Words:
    kinds = {it.kind for it in inputs if it.kind}
    known = _inputs_are_known(view)
    others = [*view.topology.schedules_of_zone(part), *view.topology.links_of_zone(part)]
    others_known = view.complete("schedules", "zones") and view.complete("links", "zones")
    askers = [*(kinds & AUTOMATIC_KINDS), *(kinds & {"link"}), *others]
    return {
        "commands": some_none([*kinds, *others], known and others_known),
        "manual": some_none(kinds & MANUAL_KINDS, known),
        "automatic": some_none(askers, known and others_known),
        "measuring": some_none(kinds & AUTOMATIC_KINDS, known),
        "automatic_inputs": listed(_of_kinds(view, part, AUTOMATIC_KINDS)) or None,
    }


def _of_kinds(view: View, part: str, kinds: frozenset[str]) -> list[str]:
    return [one for one in view.topology.inputs_of_zone(part) if view.site.inputs[one].kind in kinds]


def _smoke_words(view: View, part: str, inputs: Sequence[Input]) -> Words:
    known = _inputs_are_known(view)
    smoke = [it for it in inputs if it.command_class == "smoke" or it.kind in ("detector-line", "call-point")]
    return {
        "smoke": _smoke(view, part),
        "smoke_input": some_none(smoke, known and view.complete("inputs", "command_class")),
        "call_point": some_none([it for it in smoke if it.kind == "call-point"], known),
    }


def _smoke(view: View, part: str) -> str | None:
    if view.has_smoke_opening(part):
        return "yes"
    openings = view.site.zones[part].openings
    known = openings is not None and all(view.site.openings[it].smoke is False for it in openings)
    return "no" if known else None


def _weather_words(view: View, part: str, inputs: Sequence[Input]) -> Words:
    lockouts = [view.site.lockouts[one] for one in view.topology.lockouts_of_zone(part)]
    return {
        "roof_vent": yes_no(view.has_roof_vent(part)),
        "rain_closing": _closing(view, inputs, lockouts, "rain"),
        "wind_closing": _closing(view, inputs, lockouts, "wind"),
        "site_wind": "some" if "wind" in view.input_kinds else None,
    }


def _closing(view: View, inputs: Sequence[Input], lockouts: Sequence[Lockout], weather: str) -> str | None:
    """Return whether rain or wind closes the zone, by its sensor or by a lockout that forces it closed."""
    closing = any(it.kind == weather and it.active_does in (None, "close", "run-to-end") for it in inputs)
    forced = any(it.kind == weather and it.forces in (None, "close") for it in lockouts)
    known = _inputs_are_known(view) and view.complete("lockouts", "zones") and view.complete("lockouts", "kind")
    return some_none([1] if closing or forced else [], known)


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
