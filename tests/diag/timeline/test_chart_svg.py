"""The chart is well-formed, says in words what it shows, and tells classes apart without colour."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from diag.timeline.chart_styles import STYLES
from diag.timeline.chart_svg import draw
from tests.diag.timeline.told import medium, plan_of, played

SVG = "{http://www.w3.org/2000/svg}"
BUSY_DAY = (
    "10:00,sw-n,open", "10:05,rain,on", "10:06,sw-n,open", "10:07,rain,off", "10:40,sd1,on", "10:41,sw-a,close",
    "10:45,bl1,write,open,zd", "10:50,ks,on", "10:55,ks,off",
)  # fmt: skip


def drawn(*lines: str) -> ElementTree.Element:
    plan = medium()
    return ElementTree.fromstring(draw(plan, played(plan, *lines), list(plan.zones)))


def texts(chart: ElementTree.Element) -> list[str]:
    return [it.text or "" for it in chart.iter(f"{SVG}text")]


def test_it_has_a_title_and_a_description_that_name_what_it_shows() -> None:
    chart = drawn(*BUSY_DAY)
    title, desc = chart.find(f"{SVG}title"), chart.find(f"{SVG}desc")

    assert chart.get("role") == "img"
    assert ((title is not None and title.text) or "").startswith("Who commanded what: Hallowbeck Library")
    assert "north reading room: " in ((desc is not None and desc.text) or "")
    assert chart.get("aria-labelledby") == "chart-title chart-desc"


def test_every_block_says_in_words_what_it_is() -> None:
    for group in drawn(*BUSY_DAY).iter(f"{SVG}g"):
        if group.find(f"{SVG}rect") is not None and group.find(f"{SVG}title") is not None:
            title = group.find(f"{SVG}title")
            assert title is not None
            assert re.match(r"\d\d:\d\d", title.text or "")


def test_every_pattern_used_is_defined_and_in_the_legend() -> None:
    chart = drawn(*BUSY_DAY)
    used = {it.get("fill", "")[7:-1] for it in chart.iter(f"{SVG}rect") if it.get("fill", "").startswith("url(#p-")}

    assert used == {(it.get("id") or "")[2:] for it in chart.iter(f"{SVG}pattern")}
    assert {STYLES[kind].says for kind in used} <= set(texts(chart))
    assert {"smoke", "maintenance", "rain", "manual", "link", "lockout", "nothing"} <= used


def test_patterns_differ_by_more_than_colour() -> None:
    paths = [it.path for it in STYLES.values()]

    assert len(set(paths) - {""}) == len([it for it in paths if it])
    assert paths.count("") == 2, "only hand commands and nothing are plain; nothing has a dashed outline"


def test_dark_text_stands_out_from_every_fill() -> None:
    """WCAG 2.2 success criterion 1.4.3 asks for a contrast of 4.5 to 1 (relative luminance as defined there)."""
    ink = luminance("#1a1a1a")

    for style in STYLES.values():
        assert (luminance(style.fill) + 0.05) / (ink + 0.05) >= 4.5


def luminance(colour: str) -> float:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (it / 12.92 if it <= 0.04045 else ((it + 0.055) / 1.055) ** 2.4 for it in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_refusals_are_numbered_and_listed() -> None:
    said = texts(drawn(*BUSY_DAY))

    assert "1  10:06, north reading room: North switch: asked to open; refused by rain lockout." in said
    assert "1" in said


def test_nothing_is_drawn_beyond_the_page() -> None:
    chart = drawn(*BUSY_DAY)
    width, height = float(chart.get("width", "")), float(chart.get("height", ""))

    for it in chart.iter(f"{SVG}rect"):
        assert float(it.get("x", "0")) + float(it.get("width", "0")) <= width
        assert float(it.get("y", "0")) + float(it.get("height", "0")) <= height
    assert max(float(it.get("y", "0")) for it in chart.iter(f"{SVG}text")) < height


def test_names_with_signs_of_markup_do_no_harm() -> None:
    plan = plan_of('zones: {z1: {name: "A & B <hall>", hold_off_minutes: 30}}\n')
    chart = ElementTree.fromstring(draw(plan, played(plan, "10:00,z1,open"), ["z1"]))

    assert "A & B <hall>" in texts(chart)


def test_thousands_of_changes_keep_the_chart_small() -> None:
    lines = []
    for minute in range(0, 1200):
        clock = f"{minute // 60:02}:{minute % 60:02}"
        lines += [f"{clock}:00,sw-n,open", f"{clock}:20,sw-n,close", f"{clock}:40,sw-n,stop"]
    plan = medium()
    it = played(plan, *lines)

    assert len(it.spans["zn"]) > 3600
    assert len(draw(plan, it, ["zn"])) < 100_000


def test_a_command_given_once_has_a_mark() -> None:
    plan = plan_of("zones: {z1: {hold_off_minutes: 0}}\ninputs: {sw: {kind: switch, zones: [z1]}}\n")
    chart = ElementTree.fromstring(draw(plan, played(plan, "10:00,sw,open"), ["z1"]))
    (mark,) = [it for it in chart.iter(f"{SVG}path") if it.get("class") == "once"]

    assert [it.text for it in mark] == ["10:00 to 10:00: open by sw"]


def test_the_signs_are_explained_only_where_they_are_drawn() -> None:
    plan = medium()
    quiet = draw(plan, played(plan, "10:05,sw-n,open"), ["zn"])
    busy = draw(plan, played(plan, "10:05,rain,on", "10:07,sw-n,open"), ["zn"])

    assert "Numbered rings" not in quiet
    assert "Diamonds" not in quiet
    assert "Numbered rings" in busy


def test_a_command_given_once_is_explained_and_drawn_over_what_follows_it() -> None:
    plan = medium()
    chart = draw(plan, played(plan, "2026-05-16 01:00,rain,off", until="2026-05-16 07:00"), ["zn"])

    assert "Diamonds: commands given once." in chart
    assert chart.count('fill="url(#p-nothing)"') > 1
    assert chart.index('class="once"') > chart.rindex('height="32"')
