"""Print a page as PDF, with WeasyPrint where it is installed or else with Chromium, and say what is missing."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Sequence
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory

from api.system_packages import Lack, install_command, system_family
from diag.errors import DiagError

BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
CHROMIUM = Lack("Chromium", dict.fromkeys(("debian", "fedora", "alpine"), ("chromium",)))
PANGO = Lack(
    "Pango, which WeasyPrint draws text with",
    {"debian": ("libpango-1.0-0", "libpangoft2-1.0-0"), "fedora": ("pango",), "alpine": ("pango",)},
)
MOST_SECONDS = 120


class NoPrinter(DiagError):
    """Nothing on this machine can print a page as PDF."""

    def __init__(self, reason: str = "") -> None:
        self.reason = reason
        family = system_family()
        known = family != "macos"  # the command for macOS brings a compiler and nothing else
        browser = (known and install_command([CHROMIUM], family)) or "install Chromium"
        pango = (known and install_command([PANGO], family)) or f"install {PANGO.what}"
        super().__init__(
            f"{reason}Nothing here can print PDF. Use --format html and print it from a browser, or do one of these: "
            f"{browser} (or name a browser in CHROMIUM); or install the optional “sheet” packages with "
            f"pip install 'ventsleuth[sheet]' and {pango}."
        )


def print_with_weasyprint(page: str) -> bytes | None:
    """Return the page as PDF, or None without WeasyPrint; raise NoPrinter when a library it needs is missing."""
    if find_spec("weasyprint") is None:
        return None
    try:
        printed: bytes = import_module("weasyprint").HTML(string=page).write_pdf()
    except OSError as error:  # its libraries are loaded when it is imported
        raise NoPrinter(f"WeasyPrint is installed but a library it needs is not: {error}. ") from None
    return printed


def find_browser() -> str | None:
    """Return the path of the browser that CHROMIUM names, or of the first one found."""
    named = os.environ.get("CHROMIUM")
    return next((found for it in ([named] if named else BROWSERS) if (found := shutil.which(it))), None)


def print_with_browser(page: str) -> bytes | None:
    """Return the page as PDF, or None without a browser; raise NoPrinter when it does not print."""
    browser = find_browser()
    if browser is None:
        return None
    with TemporaryDirectory() as folder:
        source, target = Path(folder, "sheet.html"), Path(folder, "sheet.pdf")
        source.write_text(page, encoding="utf-8")
        said = _run((browser, *OPTIONS, *_for_root(), f"--user-data-dir={folder}/profile"), source, target)
        if not target.is_file():
            raise NoPrinter(f"{browser} could not print: {said or 'no reason given'}. ")
        return target.read_bytes()


OPTIONS = ("--headless", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--no-pdf-header-footer")


def _for_root() -> tuple[str, ...]:
    """Return what a browser needs to be run by root at all; the page it prints has no script."""
    return ("--no-sandbox",) if hasattr(os, "geteuid") and os.geteuid() == 0 else ()


def _run(command: tuple[str, ...], source: Path, target: Path) -> str:
    """Let a browser print a file and return the last thing it complained of."""
    words = [*command, f"--print-to-pdf={target}", source.as_uri()]
    try:
        done = subprocess.run(words, capture_output=True, check=False, timeout=MOST_SECONDS)
    except subprocess.TimeoutExpired:
        return f"it took longer than {MOST_SECONDS} s"
    return " ".join(done.stderr.decode(errors="replace").strip().splitlines()[-1:])


PRINTERS: tuple[Callable[[str], bytes | None], ...] = (print_with_weasyprint, print_with_browser)


def print_pdf(page: str, printers: Sequence[Callable[[str], bytes | None]] = PRINTERS) -> bytes:
    """Return the page as PDF from the first printer that is there; raise NoPrinter, which says what to install."""
    refusals = []
    for printer in printers:
        try:
            printed = printer(page)
        except NoPrinter as refusal:
            refusals.append(refusal.reason)
        else:
            if printed is not None:
                return printed
    raise NoPrinter("".join(refusals))
