"""Short ways to the sheet of a demo site in a test."""

from __future__ import annotations

from typing import Any

from diag.demo import load_demo
from diag.reasoner import PreparedSite, prepare_site
from diag.site import Site
from diag.timeline.plan import Plan
from diag.timeline.prepare import prepare
from tests.builders import NOON


def demo_with(demo: str, /, **fields: Any) -> Site:
    """Return a demo site with some of its own fields changed."""
    return load_demo(demo).model_copy(update=fields)


def demo_part(demo: str, group: str, part: str, /, **fields: Any) -> Site:
    """Return a demo site with some fields of one part changed."""
    site = load_demo(demo)
    parts = dict(getattr(site, group))
    parts[part] = parts[part].model_copy(update=fields)
    return site.model_copy(update={group: parts})


def described(**parts: Any) -> Site:
    """Return a site with these parts."""
    return Site.model_validate({"name": "site", **parts})


def ready(site: Site | str) -> PreparedSite:
    """Return a site, or a demo by name, ready for a day in May 2026."""
    return prepare_site(load_demo(site) if isinstance(site, str) else site, NOON.date())


def plan_of(site: Site | str) -> Plan:
    """Return a site, or a demo by name, ready for playing."""
    return prepare(load_demo(site) if isinstance(site, str) else site)
