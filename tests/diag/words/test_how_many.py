"""How many are spoken of tells one dead drive, one dead zone and a dead site apart."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.hearing import load_intake
from diag.intake import Intake, understand
from diag.site_file import load_site
from diag.topology import Topology, read_topology

DEMO = Path(__file__).parents[3] / "diag/demo"


@pytest.fixture(scope="module")
def intake() -> Intake:
    """Return what the product understands text with."""
    return load_intake()


@pytest.fixture(scope="module")
def medium() -> Topology:
    """Return the medium demo site."""
    return read_topology(load_site(DEMO / "medium.yaml"))


@pytest.mark.parametrize(
    ("text", "symptom"),
    [
        ("the low window in the north room does nothing, the two others move", "drive-dead"),
        ("left window north side does not move, the other two do", "drive-dead"),
        ("nothing moves in the south room, other rooms ok", "zone-dead"),
        ("all the atrium vents are dead, the reading rooms work", "zone-dead"),
    ],
)
def test_a_named_window_is_no_zone_and_a_named_zone_is_no_drive(
    intake: Intake, medium: Topology, text: str, symptom: str
) -> None:
    assert understand(intake, text, medium).symptoms[0].symptom == symptom
