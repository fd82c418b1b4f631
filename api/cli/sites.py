"""Find the site a command is about: a file, or a demo site by name."""

from __future__ import annotations

from pathlib import Path

from diag.demo import demo_names, load_demo
from diag.site import Site
from diag.site_file import load_site

NO_SITE = Site(name="a site without description")


def open_site(name: str | None) -> Site:
    """Return the site of a file or demo name, or the site nobody described; raise DiagError."""
    if name is None:
        return NO_SITE
    if name in demo_names() and not Path(name).exists():
        return load_demo(name)
    return load_site(Path(name))
