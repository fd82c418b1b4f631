"""What an inspector compares at cables and boxes: cores, areas, the current carried, and whether anything is fed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from diag.inspection.view import View, Words, against, yes_no
from diag.inspection.voltages import is_known_area

CARRIES_A: Final[Mapping[float, float]] = {
    0.5: 3.0, 0.75: 6.0, 1.0: 10.0, 1.5: 14.5, 2.5: 19.5, 4.0: 26.0, 6.0: 34.0, 10.0: 46.0, 16.0: 61.0,
}  # fmt: skip
"""Continuous amperes of two loaded copper cores, PVC, in conduit in an insulating wall (IEC 60364-5-52 table B.52.2,
method A1, from memory); below 1.5 mm2 as for flexible cords (from memory)."""

LEAST_CORES: Final[Mapping[str, int]] = {
    "reversing-24v": 2, "data-24v": 3, "three-core-230v": 3, "positioner-0-10v": 3, "positioner-4-20ma": 3,
    "fan-contact": 2,
}  # fmt: skip
"""Open and close by polarity; two and data; open, close and neutral; supply, common and signal; there and back."""


def cable_words(view: View, part: str) -> Words:
    """Return the words and figures of one cable."""
    it = view.site.cables[part]
    fed = view.topology.fed_through(part) or tuple(one for one in [it.to] if one and _consumes(view, one))
    output = _output_of(view, fed)
    kind = view.site.outputs[output].kind if output else None
    carried = view.currents_a(fed)
    cores = LEAST_CORES.get(kind or "")
    return {
        "length_m": it.length_m,
        "area_mm2": it.area_mm2,
        "conductor_class": None if it.conductor_class is None else float(it.conductor_class),
        "temperature_c": it.temperature_c,
        "cores": None if it.cores is None else float(it.cores),
        "data_core": yes_no(it.data_core),
        "output_kind": kind,
        "to_kind": view.topology.kinds.get(it.to) if it.to else None,
        "feeds_addressable": _any(view, fed),
        "least_cores": None if cores is None else float(cores),
        "core_count": against(cores, it.cores, "short"),
        "area": _area(it.area_mm2, it.conductor_class),
        "carried_a": carried,
        "carries_a": CARRIES_A.get(it.area_mm2 or 0.0),
        "load": against(carried, CARRIES_A.get(it.area_mm2 or 0.0), "over"),
        **_taper(view, part),
    }


def _consumes(view: View, part: str) -> bool:
    return part in view.site.drives or part in view.site.fans


def _output_of(view: View, fed: tuple[str, ...]) -> str | None:
    outputs = {view.topology.output_of(part) for part in fed}
    return outputs.pop() if len(outputs) == 1 else None


def _any(view: View, fed: tuple[str, ...]) -> str | None:
    drives = view.site.drives
    return "yes" if any(drives[part].addressable for part in fed if part in drives) else None


def _area(area_mm2: float | None, conductor_class: int | None) -> str | None:
    if area_mm2 is None:
        return None
    return "known" if is_known_area(area_mm2, conductor_class) else "odd"


def _taper(view: View, part: str) -> Words:
    """Compare with the cable before it: a trunk is not thinner than what it feeds."""
    it = view.site.cables[part]
    above = view.cable_into.get(it.from_) if it.from_ else None
    own, before = it.area_mm2, view.site.cables[above].area_mm2 if above else None
    return {"before": above, "before_mm2": before, "taper": against(own, before, "grows")}


def junction_words(view: View, part: str) -> Words:
    """Return the words and figures of one box."""
    it = view.site.junctions[part]
    return {
        "joint_resistance_ohm": it.joint_resistance_ohm,
        "outdoors": yes_no(it.outdoors),
        "feeds": "some" if part in view.cable_starts else "none" if view.complete("cables", "from_") else None,
        "fed": "some" if part in view.cable_into else "none" if view.complete("cables", "to") else None,
    }
