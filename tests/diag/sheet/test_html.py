"""The sheet as a page."""

from __future__ import annotations

from html.parser import HTMLParser

import pytest

from diag.reasoner import PreparedSite
from diag.sheet.build import proving_sheet
from diag.sheet.html import page_styles, sheet_page
from diag.sheet.html_tests import keep_units
from diag.site import Site
from knowledge.load import Knowledge
from tests.diag.sheet.builders import demo_part, demo_with, described, ready

EMPTY = frozenset({"meta", "br"})


class Outline(HTMLParser):
    """Notes tags, attributes and text, and any tag that is closed out of turn."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str | None]] = []
        self.astray: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.astray.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def outline(knowledge: Knowledge, site: Site | str) -> Outline:
    """Return the outline of a site's page."""
    found = Outline()
    found.feed(sheet_page(proving_sheet(knowledge, ready(site))))
    found.close()
    return found


@pytest.mark.parametrize("site", ["small", "medium"])
def test_every_tag_is_closed_in_turn(knowledge: Knowledge, site: str) -> None:
    found = outline(knowledge, site)

    assert (found.astray, found.open) == ([], [])


@pytest.mark.parametrize("site", ["small", "medium"])
def test_the_page_needs_neither_script_nor_anything_from_outside(knowledge: Knowledge, site: str) -> None:
    found = outline(knowledge, site)

    assert not {"script", "link", "img", "iframe"} & set(found.tags)
    assert not [name for name, _ in found.attributes if name.startswith("on") or name in ("src", "href", "style")]


def test_every_id_on_the_page_is_used_once(knowledge: Knowledge) -> None:
    ids = [value for name, value in outline(knowledge, "medium").attributes if name == "id"]

    assert len(ids) == len(set(ids)) > 0


def test_names_with_markup_are_shown_as_text(knowledge: Knowledge) -> None:
    site = demo_part("small", "drives", "d1", name="</td><script>x</script>")
    found = outline(knowledge, site.model_copy(update={"name": "A </style><b> library"}))

    assert "script" not in found.tags
    assert "</td><script>x</script>" in found.text
    assert (found.astray, found.open) == ([], [])


def test_a_name_cannot_end_the_style_it_is_printed_by(knowledge: Knowledge) -> None:
    site = demo_with("small", name='Quote " and \\ and </style>')
    foot = page_styles(proving_sheet(knowledge, ready(site)))[1]

    assert "</" not in foot
    assert foot.count('"') == 2


def test_the_page_shows_every_row_the_cautions_and_the_matrix(knowledge: Knowledge, medium: PreparedSite) -> None:
    found = outline(knowledge, "medium")

    for row in proving_sheet(knowledge, medium).rows:
        assert row.check in found.text
    assert "Smoke ventilation." in found.text
    assert "still opened by: smoke alarm" in found.text


def test_the_smoke_caution_is_left_out_only_where_no_smoke_is_served(knowledge: Knowledge) -> None:
    unknown = demo_part("small", "controllers", "c1", serves_smoke=None)

    assert "Smoke ventilation." not in outline(knowledge, "small").text
    assert "Smoke ventilation." in outline(knowledge, unknown).text


def test_a_number_is_never_parted_from_its_unit() -> None:
    assert keep_units("About 23.6 V in 35 s over 20 mm, 10 kilohm") == (
        "About 23.6\u00a0V in 35\u00a0s over 20\u00a0mm, 10\u00a0kilohm"
    )


def test_a_site_without_parts_still_has_a_page(knowledge: Knowledge) -> None:
    found = outline(knowledge, described())

    assert (found.astray, found.open) == ([], [])
    assert "no parts" in found.text


def test_the_same_site_gives_the_same_page_byte_for_byte(knowledge: Knowledge) -> None:
    one, other = (sheet_page(proving_sheet(knowledge, ready("medium"))) for _ in range(2))

    assert one == other
