"""What an inspector compares over the whole site: the order of commands, and what is left undescribed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from diag.inspection.view import View, Words, listed, yes_no

ASKED: Final[Mapping[str, tuple[str, ...]]] = {
    "controllers": ("supply", "automatic_enabled"),
    "outputs": ("controller", "kind", "rated_current_a"),
    "drives": ("output", "opening", "supply_voltage_v", "min_voltage_v", "running_current_a"),
    "cables": ("from_", "to", "length_m", "area_mm2"),
    "openings": ("kind", "height_above_floor_m", "smoke"),
    "zones": ("openings", "hold_off_minutes", "automatic_enabled"),
    "inputs": ("kind", "zones", "command_class"),
}
"""The fields on which most of an inspection rests."""
SHOWN = 4


def site_words(view: View) -> Words:
    """Return the words and figures of the site as a whole."""
    undescribed = list(_undescribed(view))
    more = f" and {len(undescribed) - SHOWN} more" if len(undescribed) > SHOWN else ""
    return {
        "undescribed": "some" if undescribed else "none",
        "undescribed_count": float(len(undescribed)),
        "undescribed_list": ", ".join(undescribed[:SHOWN]) + more or None,
        **_order_words(view),
    }


def _undescribed(view: View) -> Iterator[str]:
    """Yield whole groups that are not described, controllers that may have a battery, then fields of parts."""
    for section, names in ASKED.items():
        if section not in view.site.model_fields_set:
            yield f"all {section}"
        lacking = [name for name in names if not view.has_all(section, name)]
        if lacking:
            for part, it in getattr(view.site, section).items():
                yield from (_said(part, name) for name in lacking if getattr(it, name) is None)
    for part, controller in view.site.controllers.items():
        if controller.supply and controller.supply.battery is None and controller.supply.has_battery is None:
            yield f"whether {part} has a battery"


def _said(part: str, name: str) -> str:
    words = name.rstrip("_").split("_")
    units = {"v", "a", "m", "mm2", "minutes"}
    return f"{' '.join(word for word in words if word not in units)} of {part}"


def _order_words(view: View) -> Words:
    order = view.site.precedence
    if not order:
        return {}
    unranked = _classes_used(view) - set(order)
    return {
        "strongest": order[0],
        "smoke_used": yes_no(_uses_smoke(view) or None),
        "ranking": "incomplete" if unranked else "complete",
        "unranked": listed(unranked) or None,
        "automatic_order": _above(order, "automatic", "manual"),
        "weather_order": _weather_order(view, order),
    }


def _classes_used(view: View) -> set[str]:
    classes = {it.command_class for it in view.site.inputs.values()}
    return {one for one in classes if one} | ({"schedule"} if view.site.schedules else set())


def _uses_smoke(view: View) -> bool:
    return "smoke" in _classes_used(view) or any(it.smoke for it in view.site.openings.values())


def _above(order: Sequence[str], one: str, other: str) -> str | None:
    """Return whether the first class is stronger than the second."""
    if one not in order or other not in order:
        return None
    return "above" if order.index(one) < order.index(other) else "below"


def _weather_order(view: View, order: Sequence[str]) -> str | None:
    """Return contradicts when manual outranks a weather whose lockout says that it refuses manual."""
    kinds = {it.kind for it in view.site.lockouts.values() if it.refuses_manual and it.kind in ("rain", "wind")}
    stronger = [kind for kind in kinds if kind and _above(order, "manual", kind) == "above"]
    return "contradicts" if stronger else "agrees"
