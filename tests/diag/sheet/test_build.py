"""What a sheet is made of."""

from __future__ import annotations

from diag.reasoner import PreparedSite
from diag.sheet.build import proving_sheet
from diag.sheet.sheet import Cautions, Methods, Picture, Section
from diag.site import Schedule
from knowledge.load import Knowledge
from tests.diag.sheet.builders import demo_part, ready


def section(knowledge: Knowledge, site: PreparedSite, title: str) -> Section:
    """Return the section whose title starts so."""
    return next(it for it in proving_sheet(knowledge, site).sections if it.title.startswith(title))


def test_the_cautions_come_first(knowledge: Knowledge, medium: PreparedSite) -> None:
    first = proving_sheet(knowledge, medium).sections[0]

    assert first.title == "Before you start"
    assert isinstance(first.blocks[0], Cautions)


def test_every_hazard_of_every_test_is_among_the_cautions(knowledge: Knowledge, medium: PreparedSite) -> None:
    sheet = proving_sheet(knowledge, medium)
    cautions = sheet.sections[0].blocks[0]
    assert isinstance(cautions, Cautions)

    needed = {knowledge.cautions[hazard].name for row in sheet.rows for hazard in knowledge.checks[row.check].hazards}
    assert {it.name for it in cautions.warnings} == needed


def test_every_test_on_the_sheet_is_explained_once(knowledge: Knowledge, medium: PreparedSite) -> None:
    sheet = proving_sheet(knowledge, medium)
    methods = sheet.sections[-1].blocks[0]
    assert isinstance(methods, Methods)

    assert [it.check for it in methods.methods] == list(dict.fromkeys(row.check for row in sheet.rows))


def test_every_output_has_its_drawing(knowledge: Knowledge, medium: PreparedSite) -> None:
    for output in medium.site.outputs:
        found = next(it for it in proving_sheet(knowledge, medium).sections if f"({output})" in it.title)
        assert isinstance(found.blocks[0], Picture)


def test_a_drawing_without_volts_says_what_is_missing(knowledge: Knowledge) -> None:
    site = ready(demo_part("small", "cables", "k1", area_mm2=None))
    picture = section(knowledge, site, "Output 1").blocks[0]

    assert isinstance(picture, Picture)
    assert picture.notes == ("Volts are not worked out, as these are not described: k1: length and area.",)


def test_what_was_taken_for_a_cable_is_said_below_its_drawing(knowledge: Knowledge, small: PreparedSite) -> None:
    picture = section(knowledge, small, "Output 3").blocks[0]

    assert isinstance(picture, Picture)
    assert "Taken where not described: 20 degrees." in picture.notes[0]


def test_a_programme_that_hides_weaker_causes_is_said_above_the_matrix(
    knowledge: Knowledge, small: PreparedSite
) -> None:
    programme = {"s1": Schedule(zones=["za"], at="06:00", does="open")}
    busy = ready(small.site.model_copy(update={"schedules": programme}))

    assert "hides what is weaker" in section(knowledge, busy, "Cause and effect").intro
    assert "hides what is weaker" not in section(knowledge, small, "Cause and effect").intro
