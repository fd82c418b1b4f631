"""The demo sites by name: two files to copy from and a campus built on request."""

from __future__ import annotations

from pathlib import Path

from diag.campus import build_campus
from diag.errors import UnknownSite
from diag.site import Site
from diag.site_file import load_site

FILES = {"small": "small.yaml", "medium": "medium.yaml"}
CAMPUS = "campus"


def demo_names() -> tuple[str, ...]:
    """Return the names of the demo sites, smallest first."""
    return (*FILES, CAMPUS)


def demo_path(name: str) -> Path:
    """Return the file of a hand-written demo site; raise UnknownSite for any other name."""
    if name not in FILES:
        raise UnknownSite(name, FILES)
    return Path(__file__).with_name(FILES[name])


def load_demo(name: str) -> Site:
    """Return the demo site of that name; raise UnknownSite when there is none."""
    if name == CAMPUS:
        return build_campus()
    if name not in FILES:
        raise UnknownSite(name, demo_names())
    return load_site(demo_path(name))
