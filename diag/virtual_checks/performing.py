"""Every check that can be made at a virtual site, by its id."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from diag.virtual_checks import (
    asking,
    exchanging,
    looking_field,
    looking_inputs,
    looking_panel,
    measuring_lines,
    measuring_running,
    measuring_signals,
    measuring_supply,
    operating_controllers,
    operating_drives,
    operating_inputs,
    operating_zones,
    settings,
)
from diag.virtual_checks.found import Perform


@cache
def performances() -> Mapping[str, Perform]:
    """Return for each check what a person does at a part of a site, giving an outcome or a reading in its unit."""
    return {
        **asking.ASKING,
        **looking_panel.AT_PANEL,
        **looking_inputs.AT_INPUTS,
        **looking_field.IN_FIELD,
        **measuring_lines.LINES,
        **measuring_running.RUNNING,
        **measuring_signals.SIGNALS,
        **measuring_supply.SUPPLIES,
        **operating_controllers.CONTROLLERS,
        **operating_drives.DRIVES,
        **operating_inputs.INPUTS,
        **operating_zones.ZONES,
        **exchanging.EXCHANGES,
        **settings.READING,
    }
