"""What a check should show at a part of the demo sites."""

from __future__ import annotations

import pytest

from diag.expectations import CALCULATORS, expect
from diag.reasoner import PreparedSite, Reasoner
from tests.builders import reasoning_of


def expected(reasoner: Reasoner, site: PreparedSite, check: str, part: str, symptom: str, **known: object) -> str:
    """Return the words of what to expect."""
    situation = reasoning_of(reasoner, site, symptom, **known).situation
    return expect(reasoner.knowledge.checks[check], situation, part).text


def test_the_voltage_at_a_drive_comes_from_its_cable(reasoner: Reasoner, small: PreparedSite) -> None:
    text = expected(reasoner, small, "volts-drive", "d1", "drive-dead@d1")

    assert (
        text
        == "About 23.6 V while it runs alone, 23.2 V while all drives of this output run. Below 20.4 V it may not run."
    )


def test_the_resistance_of_a_core_is_that_of_iec_60228(reasoner: Reasoner, small: PreparedSite) -> None:
    """14 m of 1.5 mm2 class 2 at 12.1 ohm/km and 20 degrees is 0.169 ohm."""
    assert "0.17 ohm" in expected(reasoner, small, "ohms-core", "k1", "drive-dead@d1")


def test_the_current_of_an_output_is_the_sum_of_its_drives(reasoner: Reasoner, medium: PreparedSite) -> None:
    text = expected(reasoner, medium, "current-output", "out1", "discovery-finds-zero@out1")

    assert text == "About 2.7 A with all 3 drives running; the output is rated 5 A."


def test_the_hold_off_says_when_automatic_works_again(reasoner: Reasoner, small: PreparedSite) -> None:
    text = expected(reasoner, small, "ask-last-manual", "za", "automatic-ignored@za", events=["11:48=manual"])

    assert text.endswith("30 minutes. The last one was at 11:48, so automatic works again at 12:18.")


def test_a_supervised_line_reads_its_element_within_five_per_cent(reasoner: Reasoner, medium: PreparedSite) -> None:
    text = expected(reasoner, medium, "ohms-end-of-line", "out3", "drive-line-fault@out3")

    assert "within 9.5 kilohm to 10.5 kilohm" in text


def test_discovery_is_told_how_many_drives_it_can_see(reasoner: Reasoner, small: PreparedSite) -> None:
    text = expected(reasoner, small, "look-count-found", "out1", "discovery-finds-zero@out1")

    assert text == "Discovery finds 2 of the 2 drives on this output."


def test_travel_is_slower_on_an_automatic_command(reasoner: Reasoner, small: PreparedSite) -> None:
    """Common practice, no source: automatic movement is slower than manual."""
    text = expected(reasoner, small, "time-full-travel", "d1", "moves-slowly@d1")

    assert text == "About 35 s for 350 mm by hand, 70 s on an automatic command."


def test_a_stand_in_gets_the_words_of_the_entry(reasoner: Reasoner, small: PreparedSite) -> None:
    check = reasoner.knowledge.checks["volts-drive"]

    assert expected(reasoner, small, "volts-drive", "?drive", "drive-dead") == check.expect_text


@pytest.mark.parametrize("site", ["small", "medium"])
def test_every_check_says_what_to_expect_at_every_part_it_fits(
    reasoner: Reasoner, site: str, request: pytest.FixtureRequest
) -> None:
    prepared: PreparedSite = request.getfixturevalue(site)
    for symptom in reasoner.knowledge.symptoms:
        reasoning = reasoning_of(reasoner, prepared, symptom)
        for check, part in reasoning.options.options:
            assert expect(reasoner.knowledge.checks[check], reasoning.situation, part).text


def test_every_calculator_serves_a_check(reasoner: Reasoner) -> None:
    asked = {it.expects for it in reasoner.knowledge.checks.values()}

    assert set(CALCULATORS) <= asked
