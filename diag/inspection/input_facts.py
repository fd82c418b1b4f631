"""What an inspector compares at an input: what it does, for whom, and whether its signal and figures make sense."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from operator import attrgetter
from typing import Any, Final, NamedTuple

from diag.calculators.supervised_lines import SupervisedLine, hidden_states
from diag.inspection.view import Described, View, Words, listed, some_none, yes_no
from diag.site import Input

USUAL_C = (15.0, 28.0)
"""Set points between which rooms are opened: judgement, about the comfort range of EN 16798-1."""
MAKES_KEPT = 1024
FITTING_SIGNALS: Final[Mapping[str, frozenset[str]]] = {
    "switch": frozenset({"contact", "data"}),
    "key-switch": frozenset({"contact", "data"}),
    "thermostat": frozenset({"contact", "pt1000", "ntc-10k", "0-10v", "4-20ma", "data"}),
    "temperature": frozenset({"pt1000", "ntc-10k", "0-10v", "4-20ma", "data"}),
    "rain": frozenset({"contact", "0-10v", "4-20ma", "data"}),
    "wind": frozenset({"pulse", "0-10v", "4-20ma", "contact", "data"}),
    "co2": frozenset({"0-10v", "4-20ma", "contact", "data"}),
    "detector-line": frozenset({"contact", "data"}),
    "call-point": frozenset({"contact", "data"}),
    "link": frozenset({"data", "contact"}),
}
"""How each kind of input can speak: common practice, no source."""
FITTING_UNITS: Final[Mapping[str, frozenset[str]]] = {
    "thermostat": frozenset({"C"}),
    "temperature": frozenset({"C"}),
    "wind": frozenset({"m/s"}),
    "co2": frozenset({"ppm"}),
    "rain": frozenset({"mm/h", "%"}),
}


class Make(NamedTuple):
    """What an input is, wherever it stands: its fields of these names. A site has few makes and many inputs."""

    kind: str | None
    contact: str | None
    command_class: str | None
    active_does: str | None
    hold_does: str | None
    tap_does: str | None
    open_does: str | None
    close_does: str | None
    hold_threshold_s: float | None
    set_point: float | None
    dead_band: float | None
    delay_minutes: float | None
    range_low: float | None
    range_high: float | None
    signal: str | None
    unit: str | None
    heated: bool | None
    end_of_line_ohm: float | None
    alarm_resistor_ohm: float | None


_read_make = attrgetter(*Make._fields)


def input_words(view: View, part: str) -> Described:
    """Return the words and figures of one input."""
    it = view.site.inputs[part]
    own: Words = {
        "zones": some_none(it.zones or (), it.zones is not None),
        "acts": _acts(view, part, it),
        "smoke_zones": _smoke_zones(view, it),
        **_elsewhere(view, it),
        **_link_words(view, it),
    }
    return _shared_words(_read_make(it)), own


def shared_input_fields() -> frozenset[str]:
    """Return the fields that inputs of one make share."""
    return frozenset(_shared_words((None,) * len(Make._fields)))


@lru_cache(maxsize=MAKES_KEPT)
def _shared_words(make: tuple[Any, ...]) -> Words:
    """Return what can be said of every input of this make."""
    it = Make._make(make)
    return {
        "kind": it.kind,
        "contact": it.contact,
        "command_class": it.command_class,
        "active_does": it.active_does,
        "hold_does": it.hold_does,
        "tap_does": it.tap_does,
        "hold_threshold_s": it.hold_threshold_s,
        "set_point": it.set_point,
        "set_point_band": None if it.set_point is None else _band(it.set_point),
        "dead_band": it.dead_band,
        "delay_minutes": it.delay_minutes,
        "range_low": it.range_low,
        "range_high": it.range_high,
        "signal": it.signal,
        "unit": it.unit,
        "heated": yes_no(it.heated),
        "ways": _ways(it),
        "signal_fit": _fit(it.signal, FITTING_SIGNALS.get(it.kind or "")),
        "unit_fit": _fit(it.unit, FITTING_UNITS.get(it.kind or "")),
        **_range_words(it),
        **_line_words(it),
    }


def _band(set_point_c: float) -> str:
    """Return whether a temperature is one that rooms are opened at; read only for inputs that measure one."""
    return "usual" if USUAL_C[0] <= set_point_c <= USUAL_C[1] else "odd"


def _acts(view: View, part: str, it: Input) -> str | None:
    """Return never when every action given is nothing and no lockout uses it."""
    given = {it.open_does, it.close_does, it.tap_does, it.hold_does, it.active_does} - {None}
    if given != {"nothing"}:
        return "some" if given else None
    return "never" if view.complete("lockouts", "kind") and part not in view.watched_inputs else "some"


def _ways(it: Make) -> str | None:
    """Return how the two directions of a switch stand: both, reversed, same, or one only."""
    opens, closes = it.open_does, it.close_does
    if opens is None or closes is None:
        return None
    if (opens, closes) == ("close", "open"):
        return "reversed"
    if "nothing" in (opens, closes):
        return None if opens == closes else "one-only"
    return "same" if opens == closes and opens in ("open", "close") else "both"


def _fit(found: str | None, fitting: frozenset[str] | None) -> str | None:
    return None if found is None or fitting is None else "fits" if found in fitting else "odd"


def _smoke_zones(view: View, it: Input) -> str | None:
    """Return whether any zone of the input holds a smoke opening; none only when all openings say so."""
    claims = {claim for zone in it.zones or () for claim in view.smoke_claims.get(zone, ())}
    if True in claims:
        return "some"
    return "none" if claims == {False} else None


def _range_words(it: Make) -> Words:
    low, high, point = it.range_low, it.range_high, it.set_point
    if low is None or high is None:
        return {"range": None, "set_point_range": None}
    within = None if point is None else "inside" if low <= point <= high else "outside"
    return {"range": "empty" if low == high else "spans", "set_point_range": within}


def _line_words(it: Make) -> Words:
    """Say what a supervised line cannot tell apart; a contact without a resistor is not described, not a fault."""
    if it.end_of_line_ohm is None or it.alarm_resistor_ohm is None:
        return dict.fromkeys(("end_of_line_ohm", "alarm_resistor_ohm", "line", "line_hides"))
    is_closed = it.contact == "normally-closed"
    line = SupervisedLine(
        it.end_of_line_ohm, it.alarm_resistor_ohm, contact="normally closed" if is_closed else "normally open"
    )
    hidden = hidden_states(line)
    return {
        "end_of_line_ohm": it.end_of_line_ohm,
        "alarm_resistor_ohm": it.alarm_resistor_ohm,
        "line": "ambiguous" if hidden else "clear",
        "line_hides": "; ".join(hidden) or None,
    }


def _elsewhere(view: View, it: Input) -> Words:
    """Say which zones hang on other controllers than the input."""
    if it.controller is None or it.kind == "link":
        return {}
    zones = [zone for zone in it.zones or () if _moved_elsewhere(view, zone, it.controller)]
    return {"elsewhere": yes_no(bool(zones)), "elsewhere_zones": listed(zones) or None}


def _moved_elsewhere(view: View, zone: str, controller: str) -> bool:
    controllers = view.controllers_of_zone(zone)
    return bool(controllers) and controller not in controllers


def _link_words(view: View, it: Input) -> Words:
    link = view.site.links[it.link] if it.link else None
    if link is None or link.zones is None or it.zones is None:
        return {}
    missing = set(it.zones) ^ set(link.zones)
    return {"link": it.link, "link_zones": "differ" if missing else "same", "link_zone_ids": listed(missing) or None}
