"""Numbers and orders that a published standard gives, against what the entries ask for and expect.

Values marked so were not read in the standard itself: they are from memory or from public secondary pages.
"""

from __future__ import annotations

import re

import pytest

from diag.calculators.insulation import insulation_test
from diag.calculators.rs485 import END_OHM, pair_resistance_ohm
from diag.calculators.signals import loop_state
from diag.calculators.temperature_sensors import Platinum, resistance_ohm
from diag.calculators.travel import SMOKE_OPEN_S, smoke_verdict
from diag.calculators.wind import beaufort_bounds_m_s, beaufort_force
from diag.classify import outcome_of
from diag.observations import Expectation
from knowledge.entries import Check
from knowledge.load import Knowledge

NO_SITE = Expectation("")
FIVE_RULES = ("disconnect mains", "lock off", "prove dead", "earth and short-circuit", "cover live parts")
"""EN 50110-1 clause 6.2, in its order, from memory."""
PT1000 = Platinum(1000.0)
ASKS_DEAD = re.compile(r"\bprove (?:[\w' ]+ )?dead\b", re.IGNORECASE)


def outcome(check: Check, reading: str) -> str:
    """Return the outcome of a reading where the site is not described."""
    return outcome_of(check, reading, NO_SITE)


def test_the_five_safety_rules_stand_in_order(knowledge: Knowledge) -> None:
    text = knowledge.cautions["electric-shock"].text.lower()
    places = [text.find(rule) for rule in FIVE_RULES]

    assert -1 not in places
    assert places == sorted(places)
    assert "battery" in text, "a battery is a second source"


def test_they_are_shown_wherever_dead_working_is_asked(knowledge: Knowledge) -> None:
    checks = [it.id for it in knowledge.checks.values() if ASKS_DEAD.search(it.how)]
    causes = [it.id for it in knowledge.causes.values() if ASKS_DEAD.search(" ".join(it.remedy))]

    assert len(checks) >= 15
    assert len(causes) >= 15
    assert [it for it in checks if "electric-shock" not in knowledge.checks[it].hazards] == []
    assert [it for it in causes if "electric-shock" not in knowledge.causes[it].cautions] == []


@pytest.mark.parametrize(("seconds", "result"), [("60", "within-60s"), ("61", "slow"), ("12", "within-60s")])
def test_smoke_openings_have_sixty_seconds(knowledge: Knowledge, seconds: str, result: str) -> None:
    """EN 12101-2: 60 s to the fire-open position, from memory."""
    assert outcome(knowledge.checks["try-test-smoke"], seconds) == result
    assert SMOKE_OPEN_S == 60
    assert smoke_verdict(600, 10).is_soon_enough
    assert not smoke_verdict(600, 9.9).is_soon_enough


@pytest.mark.parametrize(
    ("nominal_v", "extra_low", "test_v", "least_mohm"),
    [(24, True, 250, 0.5), (230, False, 500, 1.0), (400, False, 500, 1.0), (690, False, 1000, 1.0)],
)
def test_insulation_is_tested_as_published(
    knowledge: Knowledge, nominal_v: float, extra_low: bool, test_v: float, least_mohm: float
) -> None:
    """IEC 60364-6, minimum insulation resistance, from public secondary pages."""
    test = insulation_test(nominal_v, is_extra_low=extra_low)
    check = knowledge.checks["insulation-earth"]
    limits = Expectation("", {"insulation-least": test.least_mohm})

    assert (test.test_v, test.least_mohm) == (test_v, least_mohm)
    assert outcome_of(check, f"{least_mohm} Mohm", limits) == "good"
    assert outcome_of(check, f"{0.99 * least_mohm:g} Mohm", limits) == "low"


def test_texts_on_insulation_say_the_published_values(knowledge: Knowledge) -> None:
    how = knowledge.checks["insulation-earth"].how
    proof = " ".join(knowledge.causes["earth-leakage"].proof)

    assert "250 V DC for extra-low voltage" in how
    assert "500 V DC for mains" in how
    assert "0.5 megohm at 250 V for extra-low voltage, at least 1 megohm at 500 V for mains" in proof


@pytest.mark.parametrize(
    ("force", "from_m_s", "sign"), [(2, 1.6, "leaves rustle from about 2 m/s"), (5, 8.0, "sway from about 8 m/s")]
)
def test_signs_of_wind_are_those_of_the_beaufort_scale(
    knowledge: Knowledge, force: int, from_m_s: float, sign: str
) -> None:
    """WMO Beaufort scale: leaves rustle at force 2, small trees sway at force 5, from public secondary pages."""
    assert beaufort_bounds_m_s(force)[0] == from_m_s
    assert sign in knowledge.checks["look-wind-state"].how.lower()


def test_a_low_wind_limit_lies_within_a_gentle_breeze(knowledge: Knowledge) -> None:
    """WMO Beaufort scale: force 3 is 3.4 to 5.4 m/s, from public secondary pages."""
    check = knowledge.checks["read-wind-limit"]
    low = next(it for it in check.reading.bands if it.below is not None) if check.reading else None

    assert low is not None
    assert isinstance(low.below, float)
    assert beaufort_force(low.below) == 3
    assert "at most 5 m/s" in knowledge.facts["input"].fields["limit"].says


@pytest.mark.parametrize(("ends", "ohm", "result"), [(2, 60, "sixty"), (1, 120, "one-twenty"), (3, 40, "forty")])
def test_a_serial_pair_reads_its_terminators(knowledge: Knowledge, ends: int, ohm: float, result: str) -> None:
    """TIA-485 practice: 120 ohm at both ends, from memory."""
    assert END_OHM == 120
    assert pair_resistance_ohm(ends) == pytest.approx(ohm)
    assert outcome(knowledge.checks["ohms-link-pair"], f"{ohm} ohm") == result


def test_the_remedy_for_termination_is_120_ohm_at_each_end(knowledge: Knowledge) -> None:
    assert "Leave 120 ohm at each end" in " ".join(knowledge.causes["link-termination-wrong"].remedy)


@pytest.mark.parametrize(
    ("temperature_c", "ohm"), [(-20, 921.60), (0, 1000.00), (20, 1077.94), (25, 1097.35), (50, 1193.97)]
)
def test_a_pt1000_follows_the_published_table(temperature_c: float, ohm: float) -> None:
    """IEC 60751, ten times the table of the Pt100, from public secondary pages."""
    assert resistance_ohm(PT1000, temperature_c) == pytest.approx(ohm, abs=0.01)


def test_the_check_of_a_sensor_says_the_value_of_the_table(knowledge: Knowledge) -> None:
    said = knowledge.checks["signal-sensor"].expect_text

    assert f"{resistance_ohm(PT1000, 20.0):.0f} ohm for a PT1000 at 20 °C" in said


def test_the_limits_of_a_current_loop_are_those_of_ne_43(knowledge: Knowledge) -> None:
    """NAMUR NE 43: up to 3.6 mA or from 21 mA a failure is signalled, from public secondary pages."""
    (outside,) = [it for it in knowledge.checks["signal-sensor"].outcomes if it.id == "out-of-range"]

    assert "3.6 or above 21 mA" in outside.means
    assert [loop_state(it) for it in (3.6, 21.0)] == ["failed low", "failed high"]
