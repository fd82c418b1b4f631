"""Printing a page as PDF with what the machine has."""

from __future__ import annotations

from pathlib import Path

import pytest

from api.sheet_pdf import NoPrinter, find_browser, print_pdf, print_with_browser
from tests.chromium import find_chromium, missing_message

PAGE = "<!doctype html><title>one</title><p>Proving sheet"


def test_a_browser_prints_a_page() -> None:
    if find_chromium() is None:
        pytest.skip(missing_message())

    assert print_pdf(PAGE, [print_with_browser]).startswith(b"%PDF-")


def test_weasyprint_prints_the_same_sheet() -> None:
    pytest.importorskip("weasyprint", exc_type=ImportError)
    from api.sheet_pdf import print_with_weasyprint

    assert (print_with_weasyprint(PAGE) or b"").startswith(b"%PDF-")


def test_a_named_browser_that_is_not_there_is_not_replaced_by_another(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHROMIUM", "no-such-browser")

    assert find_browser() is None


def test_without_any_printer_the_message_says_what_to_install() -> None:
    with pytest.raises(NoPrinter, match=r"--format html.*CHROMIUM.*ventsleuth\[sheet\]"):
        print_pdf(PAGE, [])


def test_a_browser_that_prints_nothing_is_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    broken = tmp_path / "browser"
    broken.write_text("#!/bin/sh\necho 'no display' >&2\n", encoding="utf-8")
    broken.chmod(0o755)
    monkeypatch.setenv("CHROMIUM", str(broken))

    with pytest.raises(NoPrinter, match=r"browser could not print: no display.*Nothing here can print PDF"):
        print_pdf(PAGE, [print_with_browser])
