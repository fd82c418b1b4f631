"""Short ways to describe a site, change it and inspect it."""

from __future__ import annotations

from copy import deepcopy
from datetime import date
from typing import Any

from diag.demo import demo_path
from diag.inspection.findings import Finding
from diag.inspection.run import Inspector, inspect
from diag.inspection.view import View
from diag.site_file import site_from_data
from diag.topology import read_topology
from knowledge.located import read_located_file

TODAY = date(2026, 5, 4)


def demo_data(name: str) -> dict[str, Any]:
    """Return a demo site as plain data."""
    data: dict[str, Any] = deepcopy(read_located_file(demo_path(name)).data)
    return data


def view_of(**sections: object) -> View:
    """Return the view of a site that has only these sections."""
    return View(read_topology(site_from_data({"name": "Test hall", **sections})), TODAY)


def findings_of(inspector: Inspector, data: dict[str, Any]) -> tuple[Finding, ...]:
    """Return all that is found in a description."""
    return inspect(inspector, site_from_data(data), TODAY).findings


def found(inspector: Inspector, data: dict[str, Any]) -> set[tuple[str, str]]:
    """Return rule and part of all that is found in a description."""
    return {(it.rule, it.part) for it in findings_of(inspector, data)}
