"""The `sheet` command, as its users run it."""

from __future__ import annotations

import csv
from io import StringIO
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from api.cli.sheet import command
from diag.errors import DiagError
from tests.chromium import find_chromium, missing_message


def run(*words: str) -> Result:
    """Run the command; refusals are raised, as the command line itself words them."""
    return CliRunner().invoke(command, [*words], catch_exceptions=False)


def form(folder: Path, *results: tuple[str, str, str], site: str = "small") -> str:
    """Write the form of a site with these (check, part, result) filled in and return its path."""
    rows = list(csv.DictReader(StringIO(run(site, "--format", "csv").stdout)))
    for check, part, result in results:
        next(it for it in rows if (it["check"], it["part"]) == (check, part))["result"] = result
    target = folder / "results.csv"
    with target.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0].keys())
        writer.writeheader()
        writer.writerows(rows)
    return str(target)


def test_the_sheet_is_printed_as_a_page() -> None:
    done = run("small")

    assert done.exit_code == 0
    assert done.stdout.startswith("<!doctype html>")


def test_the_same_day_gives_the_same_sheet() -> None:
    assert run("medium", "--on", "2026-05-04").stdout == run("medium", "--on", "2026-05-04").stdout


def test_a_sheet_is_written_to_a_file(tmp_path: Path) -> None:
    done = run("small", "-o", str(tmp_path / "sheet.html"))

    assert "54 tests" in done.stdout
    assert (tmp_path / "sheet.html").read_text(encoding="utf-8").endswith("</html>\n")


def test_a_pdf_is_printed(tmp_path: Path) -> None:
    if find_chromium() is None:
        pytest.skip(missing_message())

    run("small", "--format", "pdf", "-o", str(tmp_path / "sheet.pdf"))

    assert (tmp_path / "sheet.pdf").read_bytes().startswith(b"%PDF-")


def test_results_as_expected_end_well(tmp_path: Path) -> None:
    done = run("small", "--results", form(tmp_path, ("volts-drive", "d1", "23 V"), ("try-tap", "sw-a", "ok")))

    assert done.exit_code == 0
    assert done.stdout == "2 as expected, 0 different, 0 not clear, 52 still to do.\n"


def test_a_different_result_says_what_it_means_and_how_to_go_on(tmp_path: Path) -> None:
    done = run("small", "--results", form(tmp_path, ("volts-drive", "d1", "0 V")))

    assert done.exit_code == 1
    assert "drive of the left window (d1): 0 V." in done.stdout
    assert "Open core, open joint" in done.stdout
    assert "--finding volts-drive@d1=none" in done.stdout


def test_faulty_results_are_refused_with_their_lines(tmp_path: Path) -> None:
    with pytest.raises(DiagError, match=r"line \d+: “banana” is no result of volts-drive"):
        run("small", "--results", form(tmp_path, ("volts-drive", "d1", "banana")))


def test_a_day_that_is_none_is_refused() -> None:
    with pytest.raises(DiagError, match="is not a time"):
        run("small", "--on", "yesterday")
