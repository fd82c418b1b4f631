"""Hold-offs, lockouts and programmes in sentences."""

from __future__ import annotations

from diag.sheet.zone_words import hold_off_words, lockout_words, order_words, schedule_words
from tests.diag.sheet.builders import demo_part, demo_with, described, plan_of


def test_zones_with_the_same_hold_off_share_a_sentence() -> None:
    assert list(hold_off_words(plan_of("small"))) == [
        "Windows and roof vents: a hand command keeps automatic out for 30 minutes."
    ]


def test_a_hold_off_nobody_described_is_not_made_up() -> None:
    said = list(hold_off_words(plan_of(demo_part("small", "zones", "zb", hold_off_minutes=None))))

    assert "Roof vents: the hold-off is not described." in said


def test_a_lockout_says_when_to_whom_and_until_when() -> None:
    assert list(lockout_words(plan_of("small"))) == [
        "Rain lockout, for windows and roof vents: stands on rain sensor; refuses opening to hand command and "
        "automatic; closes; ends 10 minutes after its cause."
    ]


def test_a_season_says_its_days_and_that_a_hand_passes() -> None:
    said = next(it for it in lockout_words(plan_of("medium")) if it.startswith("Winter"))

    assert "stands from 1 November to 28 February" in said
    assert "a hand command still counts" in said


def test_a_wind_lockout_says_its_limit() -> None:
    said = next(it for it in lockout_words(plan_of("medium")) if it.startswith("Wind"))

    assert "stands on wind sensor at 10.8 m/s or more" in said
    assert "ends 20 minutes after its cause" in said


def test_a_programme_says_its_days_and_its_season() -> None:
    said = list(schedule_words(plan_of("medium")))

    assert "Archive airing opens: opens archive air at 07:00 on Tue and Fri." in said
    assert said[0].endswith("at 23:00 every day, from 15 May to 15 September.")


def test_the_order_names_only_what_the_site_has() -> None:
    assert order_words(plan_of("small")).startswith("Strongest first: rain, hand command, automatic.")


def test_the_order_follows_the_description() -> None:
    site = demo_with("small", precedence=["manual", "rain", "automatic"])

    assert order_words(plan_of(site)).startswith("Strongest first: hand command, rain, automatic.")


def test_a_site_without_zones_has_nothing_to_say() -> None:
    plan = plan_of(described())

    assert [*hold_off_words(plan), *lockout_words(plan), *schedule_words(plan)] == []
