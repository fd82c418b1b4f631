"""What an inspector compares at a drive: its volts, its currents, its speeds and its signal."""

from __future__ import annotations

from functools import lru_cache
from operator import attrgetter
from typing import Any, NamedTuple

from diag.calculators.travel import SMOKE_OPEN_S, smoke_verdict
from diag.inspection.view import Described, View, Words, against, yes_no

MAKES_KEPT = 1024

THIN_V = 1.0
LOW_CUT_OFF, HIGH_CUT_OFF = 1.3, 2.0
"""Times running current between which a drive's own cut-out acts: common practice, no source."""
SIGNALS = {"positioner-0-10v": "0-10v", "positioner-4-20ma": "4-20ma"}


class Make(NamedTuple):
    """What a drive is, wherever it hangs: its fields of these names. A site has few makes and many drives."""

    addressable: bool | None
    signal: str | None
    supply_voltage_v: float | None
    min_voltage_v: float | None
    max_voltage_v: float | None
    running_current_a: float | None
    starting_current_a: float | None
    cut_off_current_a: float | None
    stroke_mm: float | None
    manual_speed_mm_s: float | None
    automatic_speed_mm_s: float | None
    smoke_speed_mm_s: float | None


_read_make = attrgetter(*Make._fields)


def drive_words(view: View, part: str) -> Described:
    """Return the words and figures of one drive."""
    it = view.site.drives[part]
    kind = view.site.outputs[it.output].kind if it.output else None
    smoke = view.site.openings[it.opening].smoke if it.opening else None
    supply = view.supply_v(it.output) if it.output else None
    shared = _shared_words(_read_make(it), kind, smoke, supply)
    own = _voltage_words(view, part, supply, it.min_voltage_v)
    own["output"], own["opening"] = it.output, it.opening
    own["cable"] = "some" if part in view.paths else view.uncabled
    return shared, own


def shared_drive_fields() -> frozenset[str]:
    """Return the fields that drives of one make share."""
    return frozenset(_shared_words((None,) * len(Make._fields), None, None, None))


@lru_cache(maxsize=MAKES_KEPT)
def _shared_words(make: tuple[Any, ...], output_kind: str | None, smoke: bool | None, supply_v: float | None) -> Words:
    """Return what can be said of every drive of this make on such an output."""
    it = Make._make(make)
    return {
        "output_kind": output_kind,
        "addressable": yes_no(it.addressable),
        "signal": it.signal,
        "smoke": yes_no(smoke),
        "signal_fit": _signal_fit(it.signal, output_kind),
        "supply_v": supply_v,
        "supply_voltage_v": it.supply_voltage_v,
        "range": _range(it),
        "min_voltage_v": it.min_voltage_v,
        "max_voltage_v": it.max_voltage_v,
        "supply_fit": _supply_fit(supply_v, it),
        **_current_words(it),
        **_speed_words(it, smoke),
    }


def _voltage_words(view: View, part: str, supply: float | None, least: float | None) -> Words:
    running, starting = view.running_v.get(part), view.starting_v.get(part)
    return {
        "running_v": running,
        "starting_v": starting,
        "lost_share": None if running is None or supply is None else 1.0 - running / supply,
        "voltage": _margin(running, least),
        "start_voltage": against(least, starting, "short"),
    }


def _range(it: Make) -> str | None:
    if it.supply_voltage_v is None or it.min_voltage_v is None or it.max_voltage_v is None:
        return None
    low, high = it.min_voltage_v / it.supply_voltage_v, it.max_voltage_v / it.supply_voltage_v
    return "odd" if low < 0.5 or high > 2.0 else "usual"


def _margin(volts: float | None, least: float | None) -> str | None:
    if volts is None or least is None:
        return None
    return "short" if volts < least else "thin" if volts < least + THIN_V else "ok"


def _supply_fit(supply: float | None, it: Make) -> str | None:
    low = it.min_voltage_v if it.min_voltage_v is not None else it.supply_voltage_v and it.supply_voltage_v * 0.7
    high = it.max_voltage_v if it.max_voltage_v is not None else it.supply_voltage_v and it.supply_voltage_v * 1.3
    if supply is None or low is None or high is None:
        return None
    return "above" if supply > high else "below" if supply < low else "fits"


def _current_words(it: Make) -> Words:
    running, starting, cut_off = it.running_current_a, it.starting_current_a, it.cut_off_current_a
    share = cut_off / running if cut_off and running else None
    return {
        "running_current_a": running,
        "starting_current_a": starting,
        "cut_off_current_a": cut_off,
        "cut_off_times": share,
        "cut_off": _cut_off(share),
        "start_cut_off": against(starting, cut_off, "above"),
        "start_figure": against(running, starting, "below-running"),
    }


def _cut_off(share: float | None) -> str | None:
    if share is None:
        return None
    if share <= 1.0:
        return "below-running"
    return "near" if share < LOW_CUT_OFF - 1e-9 else "high" if share > HIGH_CUT_OFF + 1e-9 else "ok"


def _speed_words(it: Make, smoke: bool | None) -> Words:
    takes = None
    if it.stroke_mm and it.smoke_speed_mm_s:
        takes = smoke_verdict(it.stroke_mm, it.smoke_speed_mm_s).takes_s
    return {
        "stroke_mm": it.stroke_mm,
        "manual_speed_mm_s": it.manual_speed_mm_s,
        "automatic_speed_mm_s": it.automatic_speed_mm_s,
        "smoke_speed_mm_s": it.smoke_speed_mm_s,
        "smoke_travel_s": takes,
        "smoke_travel": against(takes, SMOKE_OPEN_S, "late") if smoke else None,
        "automatic_speed": against(it.automatic_speed_mm_s, it.manual_speed_mm_s, "faster"),
        "smoke_speed": against(it.manual_speed_mm_s, it.smoke_speed_mm_s, "slower"),
    }


def _signal_fit(signal: str | None, kind: str | None) -> str | None:
    """Return whether the drive follows the signal its output gives: fits, other, part of it, or none is given."""
    if signal is None or kind is None:
        return None
    given = SIGNALS.get(kind)
    if given is None:
        return "none-given"
    if signal == given:
        return "fits"
    return "part" if (given, signal) == ("0-10v", "2-10v") else "other"
