"""Symptoms are placed on the part their rules speak of."""

from __future__ import annotations

import pytest

from diag.reasoner import PreparedSite, Reasoner
from tests.builders import reasoning_of


@pytest.mark.parametrize(
    ("said", "placed"),
    [
        ("drive-dead@d1", {"d1"}),
        ("drive-dead@w1", {"d1"}),
        ("drive-dead@za", {"?drive"}),
        ("zone-dead@w1", {"za"}),
        ("automatic-ignored@th1", {"za", "zb"}),
        ("site-dead", {"c1"}),
        ("runs-reversed", {"?drive", "?zone"}),
        ("manual-ignored", {"?input-switch", "?zone"}),
        ("manual-ignored@za", {"za"}),
        ("one-button-dead@za", {"sw-a"}),
        ("sensor-reads-wrong", {"th1", "rain1"}),
        ("not-tight@d4", {"rv1"}),
        ("panel-dark@d1", {"c1"}),
    ],
)
def test_a_symptom_is_placed_on_parts_it_is_about(
    reasoner: Reasoner, small: PreparedSite, said: str, placed: set[str]
) -> None:
    assert {it.part for it in reasoning_of(reasoner, small, said).situation.placed} == placed


def test_an_unnamed_drive_belongs_to_the_zone_that_was_named(reasoner: Reasoner, medium: PreparedSite) -> None:
    situation = reasoning_of(reasoner, medium, "drive-dead@zn").situation

    assert situation.scope.one("zone") == "zn"
    assert situation.scope.zones_of("?drive") == ("zn",)


def test_findings_at_one_part_make_the_case_about_that_part(reasoner: Reasoner, medium: PreparedSite) -> None:
    situation = reasoning_of(reasoner, medium, "drive-dead", findings=["volts-drive@d3=none"]).situation

    assert {it.part for it in situation.placed} == {"d3"}
