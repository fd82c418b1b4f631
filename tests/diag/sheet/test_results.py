"""Results typed back and read as findings."""

from __future__ import annotations

import csv
from io import StringIO

import pytest

from diag.observations import Finding
from diag.reasoner import PreparedSite, Reasoner
from diag.sheet.build import proving_sheet
from diag.sheet.results import COLUMNS, BadResults, Result, decode_results, read_results, results_form
from knowledge.load import Knowledge
from tests.builders import causes_of, diagnosis_of


def form_with(knowledge: Knowledge, site: PreparedSite, **results: str) -> str:
    """Return the form of a site with results filled in; a name is CHECK__PART with _ for -."""
    rows = list(csv.DictReader(StringIO(results_form(proving_sheet(knowledge, site).rows))))
    for row in rows:
        row["result"] = results.pop(f"{row['check']}__{row['part']}".replace("-", "_"), "")
    assert not results
    text = StringIO()
    writer = csv.DictWriter(text, COLUMNS, lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def read(knowledge: Knowledge, site: PreparedSite, text: str) -> tuple[Result, ...]:
    """Return the results of a text."""
    return read_results(text, knowledge, site, proving_sheet(knowledge, site).rows)


def refused(knowledge: Knowledge, site: PreparedSite, *lines: str) -> list[str]:
    """Return the faults of a file with these lines below its heading."""
    with pytest.raises(BadResults) as caught:
        read(knowledge, site, "\n".join(("check,part,result", *lines)))
    return [str(it) for it in caught.value.faults]


def test_the_form_has_a_line_for_every_row(knowledge: Knowledge, small: PreparedSite) -> None:
    sheet = proving_sheet(knowledge, small)
    lines = list(csv.DictReader(StringIO(results_form(sheet.rows))))

    assert [f"{it['check']}@{it['part']}" for it in lines] == [row.ref for row in sheet.rows]
    assert all(it["expected"] and not it["result"] for it in lines)


def test_an_empty_form_has_no_results(knowledge: Knowledge, medium: PreparedSite) -> None:
    assert read(knowledge, medium, form_with(knowledge, medium)) == ()


def test_a_reading_becomes_a_finding_by_what_is_expected_there(knowledge: Knowledge, small: PreparedSite) -> None:
    found = read(knowledge, small, form_with(knowledge, small, volts_drive__d1="23,1 V", volts_drive__d2="18"))

    assert [it.finding for it in found] == [Finding("volts-drive", "normal", "d1"), Finding("volts-drive", "low", "d2")]
    assert [it.has_passed for it in found] == [True, False]


@pytest.mark.parametrize("typed", ["ok", "OK", "yes", "Moves fully", "moves"])
def test_ok_stands_for_what_the_sheet_expects(knowledge: Knowledge, small: PreparedSite, typed: str) -> None:
    found = read(knowledge, small, form_with(knowledge, small, look_drive_behaviour__d1=typed))

    assert [(it.finding.outcome, it.has_passed) for it in found] == [("moves", True)]


def test_a_test_that_was_not_clear_neither_passes_nor_fails(knowledge: Knowledge, small: PreparedSite) -> None:
    found = read(knowledge, small, form_with(knowledge, small, look_drive_behaviour__d1="not-sure"))

    assert [it.has_passed for it in found] == [None]


def test_a_check_the_sheet_does_not_ask_for_is_taken_as_well(knowledge: Knowledge, small: PreparedSite) -> None:
    found = read(knowledge, small, "check,part,result\nvolts-junction,j1,0 V\n")

    assert [(it.finding, it.has_passed) for it in found] == [(Finding("volts-junction", "none", "j1"), None)]


def test_every_faulty_line_is_named_with_what_is_allowed(knowledge: Knowledge, small: PreparedSite) -> None:
    faults = refused(
        knowledge,
        small,
        "volts-drve,d1,ok",
        "volts-drive,d1,24.1 V",
        "volts-drive,c1,ok",
        "current-drive,d1,banana",
        "look-drive-behaviour,d1,fail",
        "volts-drive,d2,2400 V",
    )

    assert [it.partition(":")[0] for it in faults] == ["line 2", "line 4", "line 5", "line 6", "line 7"]
    assert "Did you mean volts-drive" in faults[0]
    assert "there is d1, d2, d3, d4, d5" in faults[1]
    assert "write a reading in A, ok, or one of normal, none, high" in faults[2]
    assert "does not say how look-drive-behaviour failed" in faults[3]
    assert "between -60 and 60 V" in faults[4]


def test_a_file_without_the_needed_columns_says_which_it_lacks(knowledge: Knowledge, small: PreparedSite) -> None:
    with pytest.raises(BadResults, match="must name the columns check, part, result; add part"):
        read(knowledge, small, "check,result\nvolts-drive,ok\n")


def test_an_empty_file_is_refused(knowledge: Knowledge, small: PreparedSite) -> None:
    with pytest.raises(BadResults, match="line 1"):
        read(knowledge, small, "")


def test_two_different_results_of_one_test_are_refused(knowledge: Knowledge, small: PreparedSite) -> None:
    faults = refused(knowledge, small, "volts-drive,d1,23 V", "volts-drive,d1,0 V")

    assert faults == ["line 3: volts-drive at d1 has another result in line 2; keep the one that counts"]


def test_a_file_as_a_spreadsheet_saves_it_is_read(knowledge: Knowledge, small: PreparedSite) -> None:
    """With a byte-order mark, capitals in the heading, spaces and line ends of another system."""
    text = "\ufeffCheck, Part ,Result\r\nvolts-drive, d1 ,23 V\r\n"

    assert [it.finding.outcome for it in read(knowledge, small, text)] == ["normal"]


def test_a_file_with_semicolons_is_read(knowledge: Knowledge, small: PreparedSite) -> None:
    """Spreadsheets set to a decimal comma write them."""
    text = "check;part;result\nvolts-drive;d1;23,1 V\n"

    assert [it.finding.outcome for it in read(knowledge, small, text)] == ["normal"]


def test_a_file_in_another_encoding_is_refused_with_its_line() -> None:
    with pytest.raises(BadResults, match="line 2: not UTF-8 text"):
        decode_results("check,part,result\nvolts-drive,d1,23 \u00b5V\n".encode("latin-1"))


def test_a_file_that_is_no_csv_is_refused(knowledge: Knowledge, small: PreparedSite) -> None:
    with pytest.raises(BadResults, match="not a line of a CSV file"):
        read(knowledge, small, "check,part,result\nvolts-drive,d1," + "9" * 200_000)


def test_results_count_in_a_diagnosis(reasoner: Reasoner, small: PreparedSite) -> None:
    knowledge = reasoner.knowledge
    form = form_with(
        knowledge, small, volts_output__out1="24 V", volts_drive__d1="0 V", look_drive_behaviour__d1="silent"
    )
    findings = [f"{it.finding.check}@{it.finding.part}={it.finding.outcome}" for it in read(knowledge, small, form)]

    causes = causes_of(diagnosis_of(reasoner, small, "drive-dead@d1", findings=findings))

    assert causes[0] == "core-open"
