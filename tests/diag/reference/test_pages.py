"""Every entry has a page that says all of it, safely, with links that lead somewhere."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from diag.reference.pages import KINDS, entry_page, index_page, missing_page, say_bands
from diag.reference.search import all_entries
from diag.reference.views import view_check
from knowledge.load import Knowledge, load_knowledge
from tests.diag.tiny_knowledge import spoilt, write_knowledge

VOID = {"meta", "link", "input", "br", "hr", "img"}


class Reader(HTMLParser):
    """Gathers the links, headings and open tags of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self.headings: list[int] = []
        self.open: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.links += [value or "" for name, value in attributes if name == "href"]
        self.headings += [int(tag[1])] if re.fullmatch("h[1-6]", tag) else []
        self.open += [] if tag in VOID else [tag]

    def handle_endtag(self, tag: str) -> None:
        """Close a tag, which must be the one opened last."""
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def pages() -> dict[str, str]:
    """Return every page by its address."""
    knowledge = load_knowledge()
    return {it.address: entry_page(knowledge, it.kind, it.id) for it in all_entries(knowledge)}


def test_every_page_is_well_formed_with_headings_in_order(pages: dict[str, str]) -> None:
    for address, page in pages.items():
        read = Reader(page)

        assert read.open == [], address
        assert read.headings.count(1) == 1, address
        assert all(later - earlier <= 1 for earlier, later in zip(read.headings, read.headings[1:], strict=False)), (
            address
        )


def test_every_link_between_pages_leads_to_a_page(pages: dict[str, str], knowledge: Knowledge) -> None:
    linked = {link for page in [*pages.values(), index_page(knowledge)] for link in Reader(page).links}
    targets = {it.removeprefix("/reference/") for it in linked if it.removeprefix("/reference/").split("/")[0] in KINDS}

    assert targets == set(pages)


def test_causes_checks_and_symptoms_link_both_ways(pages: dict[str, str], knowledge: Knowledge) -> None:
    for cause in knowledge.causes.values():
        for evidence in cause.checks:
            assert f"/reference/checks/{evidence.check}" in pages[f"causes/{cause.id}"]
            shown = {outcome for outcome, word in evidence.outcomes.items() if word != "never"}
            assert (f"/reference/causes/{cause.id}" in pages[f"checks/{evidence.check}"]) == bool(shown)
    for symptom in knowledge.symptoms:
        found = set(re.findall(r"/reference/causes/([a-z0-9-]+)", pages[f"symptoms/{symptom}"]))
        assert found
        assert all(f"/reference/symptoms/{symptom}" in pages[f"causes/{cause}"] for cause in found)


def test_the_page_of_a_cause_says_meaning_remedy_proof_cautions_and_examples(knowledge: Knowledge) -> None:
    page = entry_page(knowledge, "Cause", "core-open")
    cause = knowledge.causes["core-open"]

    assert all(text in page for text in (cause.means, *cause.remedy, *cause.proof))
    assert all(knowledge.cautions[it].defer in page for it in cause.cautions)
    assert "A drive&#39;s own cable is suspected when the drive is dead" in page
    assert "Cable c1 is the cable that feeds drive d1 alone" in page
    assert knowledge.version in page


def test_cautions_come_before_the_steps_they_belong_to(knowledge: Knowledge) -> None:
    page = entry_page(knowledge, "Check", "volts-mains")

    assert page.index("Caution: Electric shock") < page.index("Prove the tester first")


def test_an_outcome_that_never_shows_is_not_listed(knowledge: Knowledge) -> None:
    words = {word for causes in view_check(knowledge, "volts-drive").shows.values() for _, word in causes}

    assert "never" not in words


def test_texts_are_escaped(tmp_path: Path) -> None:
    nasty = "The <script>alert(1)</script> drive"
    knowledge = load_knowledge(
        write_knowledge(tmp_path, spoilt("symptoms/movement.yaml", "name: One drive does not move", f"name: {nasty}"))
    )
    pages = (
        entry_page(knowledge, "Symptom", "drive-dead")
        + index_page(knowledge, "<script>")
        + missing_page(knowledge, "<script>")
    )

    assert "<script" not in pages
    assert "The &lt;script&gt;alert(1)&lt;/script&gt; drive" in pages


def test_no_page_has_scripts_or_styles_of_its_own(pages: dict[str, str]) -> None:
    for address, page in pages.items():
        assert "<script" not in page, address
        assert "<style" not in page, address
        assert not re.search(r"\sstyle=|\son[a-z]+=", page), address


def test_bands_say_what_a_reading_means(knowledge: Knowledge) -> None:
    assert say_bands(knowledge.checks["volts-mains"]) == [
        "Below 50 V: none or nearly none",
        "Below about 207 V: too low",
        "Above that: as expected",
    ]


def test_a_missing_page_names_the_nearest(knowledge: Knowledge) -> None:
    assert "/reference/causes/core-open" in missing_page(knowledge, "core-opn")
