"""The drawing of an output's circuit."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from diag.sheet.build import situation_of
from diag.sheet.circuit_svg import draw_circuit
from diag.site import Site
from tests.diag.sheet.builders import demo_part, ready

SVG = "{http://www.w3.org/2000/svg}"


def drawn(site: Site | str, output: str) -> ElementTree.Element:
    """Return the drawing, read as XML."""
    return ElementTree.fromstring(draw_circuit(situation_of(ready(site)), output))


def words(drawing: ElementTree.Element) -> list[str]:
    """Return what is written in the drawing."""
    return [it.text or "" for it in drawing.iter(f"{SVG}text")]


def test_every_node_shows_its_voltage_with_all_drives_running() -> None:
    """By hand: trunk 14 m of 1.5 mm2 at 12.1 ohm/km, 1.8 A; leads 3 and 5 m of 0.75 mm2 at 26.0 ohm/km, 0.9 A each."""
    box = 24 - 1.8 * 2 * 14 * 12.1 / 1000
    expected = {f"{it:.1f} V" for it in (24, box, box - 0.9 * 2 * 3 * 26 / 1000, box - 0.9 * 2 * 5 * 26 / 1000)}

    found = {it for it in words(drawn("small", "out1")) if re.fullmatch(r"[\d.]+ V", it)}

    assert found == expected


def test_a_cable_shows_its_size_its_current_and_what_it_takes() -> None:
    found = words(drawn("small", "out1"))

    assert "k1  14 m · 1.5 mm²" in found
    assert "1.8 A, takes 0.6 V" in found


def test_a_drive_that_gets_too_little_says_so_in_words() -> None:
    site = demo_part("small", "cables", "k1", length_m=90)

    assert any(it.startswith("too low, needs 20.4 V") for it in words(drawn(site, "out1")))


def test_what_is_not_described_is_drawn_without_volts() -> None:
    found = words(drawn(demo_part("small", "cables", "k1", area_mm2=None), "out1"))

    assert "k1  14 m · size ?" in found
    assert not [it for it in found if re.fullmatch(r"[\d.]+ V", it)]
    assert found.count("not worked out") == 2


def test_the_drawing_tells_its_parts_to_those_who_cannot_see_it() -> None:
    drawing = drawn("small", "out1")
    labels = (drawing.get("aria-labelledby") or "").split()

    told = {it.get("id"): it.text or "" for it in drawing if it.tag in (f"{SVG}title", f"{SVG}desc")}
    assert set(labels) == set(told)
    assert "drive of the left window fed from box above the left window, 23.2 V with all running." in told["d-out1"]


@pytest.mark.parametrize("output", ["out1", "out2", "out3", "out4", "out5", "out6"])
def test_nothing_is_drawn_outside_the_picture(output: str) -> None:
    drawing = drawn("medium", output)
    _, _, width, height = map(float, (drawing.get("viewBox") or "").split())

    for box in drawing.iter(f"{SVG}rect"):
        x, y, w, h = (float(box.get(name) or "nan") for name in ("x", "y", "width", "height"))
        assert x >= 0
        assert y >= 0
        assert x + w <= width
        assert y + h <= height


def test_a_name_with_markup_is_drawn_as_text() -> None:
    site = demo_part("small", "drives", "d1", name="<script>alert(1)</script> & co")

    assert any("<script>" in it for it in words(drawn(site, "out1")))
