"""What an inspector compares at a drive: its volts, its currents, its speeds and its signal."""

from __future__ import annotations

from diag.calculators.travel import SMOKE_OPEN_S, smoke_verdict
from diag.inspection.view import View, Words, against, some_none, yes_no
from diag.site import Drive, Opening
from diag.site_circuits import supply_voltage_v

THIN_V = 1.0
LOW_CUT_OFF, HIGH_CUT_OFF = 1.3, 2.0
"""Times running current between which a drive's own cut-out acts: common practice, no source."""
SIGNALS = {"positioner-0-10v": "0-10v", "positioner-4-20ma": "4-20ma"}


def drive_words(view: View, part: str) -> Words:
    """Return the words and figures of one drive."""
    it = view.site.drives[part]
    output = view.site.outputs[it.output] if it.output else None
    opening = view.site.openings[it.opening] if it.opening else None
    return {
        "output": it.output,
        "opening": it.opening,
        "output_kind": output.kind if output else None,
        "addressable": yes_no(it.addressable),
        "signal": it.signal,
        "smoke": yes_no(opening.smoke) if opening else None,
        "cable": some_none(view.topology.supply_path(part), _cables_are_known(view)),
        "signal_fit": _signal_fit(it, output.kind if output else None),
        **_voltage_words(view, part, it),
        **_current_words(it),
        **_speed_words(it, opening),
    }


def _cables_are_known(view: View) -> bool:
    return bool(view.site.cables) and view.complete("cables", "to") and view.complete("cables", "from_")


def _voltage_words(view: View, part: str, it: Drive) -> Words:
    supply = supply_voltage_v(view.topology, it.output) if it.output else None
    running, starting = view.running_v.get(part), view.starting_v.get(part)
    lost = None if running is None or supply is None else 1.0 - running / supply
    return {
        "supply_v": supply,
        "supply_voltage_v": it.supply_voltage_v,
        "range": _range(it),
        "min_voltage_v": it.min_voltage_v,
        "max_voltage_v": it.max_voltage_v,
        "running_v": running,
        "starting_v": starting,
        "lost_share": lost,
        "voltage": _margin(running, it.min_voltage_v),
        "start_voltage": against(it.min_voltage_v, starting, "short"),
        "supply_fit": _supply_fit(supply, it),
    }


def _range(it: Drive) -> str | None:
    if it.supply_voltage_v is None or it.min_voltage_v is None or it.max_voltage_v is None:
        return None
    low, high = it.min_voltage_v / it.supply_voltage_v, it.max_voltage_v / it.supply_voltage_v
    return "odd" if low < 0.5 or high > 2.0 else "usual"


def _margin(volts: float | None, least: float | None) -> str | None:
    if volts is None or least is None:
        return None
    return "short" if volts < least else "thin" if volts < least + THIN_V else "ok"


def _supply_fit(supply: float | None, it: Drive) -> str | None:
    low = it.min_voltage_v if it.min_voltage_v is not None else it.supply_voltage_v and it.supply_voltage_v * 0.7
    high = it.max_voltage_v if it.max_voltage_v is not None else it.supply_voltage_v and it.supply_voltage_v * 1.3
    if supply is None or low is None or high is None:
        return None
    return "above" if supply > high else "below" if supply < low else "fits"


def _current_words(it: Drive) -> Words:
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


def _speed_words(it: Drive, opening: Opening | None) -> Words:
    takes = None
    if it.stroke_mm and it.smoke_speed_mm_s:
        takes = smoke_verdict(it.stroke_mm, it.smoke_speed_mm_s).takes_s
    return {
        "stroke_mm": it.stroke_mm,
        "manual_speed_mm_s": it.manual_speed_mm_s,
        "automatic_speed_mm_s": it.automatic_speed_mm_s,
        "smoke_speed_mm_s": it.smoke_speed_mm_s,
        "smoke_travel_s": takes,
        "smoke_travel": against(takes, SMOKE_OPEN_S, "late") if opening and opening.smoke else None,
        "automatic_speed": against(it.automatic_speed_mm_s, it.manual_speed_mm_s, "faster"),
        "smoke_speed": against(it.manual_speed_mm_s, it.smoke_speed_mm_s, "slower"),
    }


def _signal_fit(it: Drive, kind: str | None) -> str | None:
    """Return whether the drive follows the signal its output gives: fits, other, part of it, or none is given."""
    if it.signal is None or kind is None:
        return None
    given = SIGNALS.get(kind)
    if given is None:
        return "none-given"
    if it.signal == given:
        return "fits"
    return "part" if (given, it.signal) == ("0-10v", "2-10v") else "other"
