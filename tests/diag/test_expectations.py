"""What a check should show at a part of the demo sites."""

from __future__ import annotations

from typing import Any

import pytest

from diag.classify import BadReading, outcome_of
from diag.demo import load_demo
from diag.expectations import CALCULATORS, expect, in_short
from diag.facts import Situation
from diag.observations import Case, Expectation
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.site import Site
from knowledge.load import Knowledge
from tests.builders import NOON, reasoning_of

WITHOUT_A_CALCULATION = frozenset({"phases-fan", "test-fan-motor", "ohms-link-cable"})
"""What these show does not depend on the site: phase order, a motor's own windings, a cable nobody gives a size."""


def situation_of(site: PreparedSite) -> Situation:
    """Return a situation without a case."""
    return Situation(site.scope(()), site.described, Case(), (), ())


def expected(knowledge: Knowledge, site: PreparedSite, check: str, part: str) -> Expectation:
    """Return what to expect."""
    return expect(knowledge.checks[check], situation_of(site), part)


def outcome(knowledge: Knowledge, site: PreparedSite, check: str, part: str, typed: str) -> str:
    """Return the outcome of a typed reading at a part."""
    return outcome_of(knowledge.checks[check], typed, expected(knowledge, site, check, part))


def prepared(**parts: Any) -> PreparedSite:
    """Return a site with these parts, ready."""
    return prepare_site(Site.model_validate({"name": "site", **parts}), NOON.date())


def changed(site: str, group: str, part: str, **fields: object) -> PreparedSite:
    """Return a demo site with some fields of one part changed."""
    described = load_demo(site)
    parts = dict(getattr(described, group))
    parts[part] = parts[part].model_copy(update=fields)
    return prepare_site(described.model_copy(update={group: parts}), NOON.date())


def test_the_voltage_at_a_drive_comes_from_its_cable(knowledge: Knowledge, small: PreparedSite) -> None:
    text = expected(knowledge, small, "volts-drive", "d1").text

    assert in_short(text) == (
        "About 23.6 V while it runs alone, 23.2 V while all drives of this output run, no less than 20.4 V"
    )


def test_a_dead_drive_with_voltage_at_its_box_is_said_to_have_an_open_core(
    knowledge: Knowledge, small: PreparedSite
) -> None:
    """Only the neighbour's 0.9 A still loads the trunk: 24 V less 0.9 A x 2 x 14 m x 12.1 ohm/km is 23.7 V."""
    text = expected(knowledge, small, "volts-drive", "d1").text

    assert (
        "0 V here with 23.7 V at box above the left window (j1) means an open core in lead of the left window" in text
    )
    assert "0 V at both means the break lies before box above the left window (j1)" in text


def test_a_box_before_a_break_keeps_the_full_voltage(knowledge: Knowledge, small: PreparedSite) -> None:
    text = expected(knowledge, small, "volts-junction", "j1").text

    assert "24.0 V that does not fall on a command means no current flows: the break lies beyond the box" in text


def test_a_drive_on_mains_gets_no_words_about_signs(knowledge: Knowledge) -> None:
    site = prepared(
        controllers={"c1": {"supply": {"mains_voltage_v": 230, "rated_voltage_v": 24}}},
        outputs={"o1": {"controller": "c1", "kind": "three-core-230v"}},
        drives={"d1": {"output": "o1", "running_current_a": 0.3}},
        cables={"k1": {"from": "o1", "to": "d1", "length_m": 40, "area_mm2": 1.0, "conductor_class": 2}},
    )

    found = expected(knowledge, site, "volts-drive", "d1")

    assert "230 V while it runs alone, no less than 207 V" in found.text
    assert "exchanged" not in found.text
    assert outcome(knowledge, site, "volts-drive", "d1", "190 V") == "low"
    assert outcome(knowledge, site, "volts-output", "o1", "190 V") == "low"
    assert outcome(knowledge, site, "volts-output-unloaded", "o1", "25 V") == "low"


def test_a_drive_on_a_cable_nobody_measured_still_has_its_own_minimum(knowledge: Knowledge) -> None:
    site = changed("small", "cables", "k2", area_mm2=None)

    found = expected(knowledge, site, "volts-drive", "d1")

    assert found.text.startswith("At least 20.4 V while it runs")
    assert "k2: length and area" in found.text
    assert found.limits["drive-voltage-low-limit"] == 20.4


def test_a_box_is_low_when_the_drives_beyond_it_starve(knowledge: Knowledge, small: PreparedSite) -> None:
    """Lead k3, 5 m of 0.75 mm2 class 5 at 26.0 ohm/km, takes 0.9 A x 0.26 ohm = 0.23 V above 20.4 V."""
    limit = expected(knowledge, small, "volts-junction", "j1").limits["junction-voltage-low-limit"]

    assert limit == pytest.approx(20.4 + 0.9 * 2 * 5 * 26.0 / 1000)
    assert outcome(knowledge, small, "volts-junction", "j1", "20.5 V") == "low"
    assert outcome(knowledge, small, "volts-junction", "j1", "-20.5 V") == "low"
    assert outcome(knowledge, small, "volts-junction", "j1", "20.7 V") == "normal"


def test_a_joint_is_judged_by_the_current_through_it(knowledge: Knowledge, small: PreparedSite) -> None:
    """25 milliohm at the 1.8 A of two drives is 45 mV."""
    assert outcome(knowledge, small, "volts-across-joint", "j1", "40 mV") == "small"
    assert outcome(knowledge, small, "volts-across-joint", "j1", "-60 mV") == "large"


def test_the_resistance_of_a_core_is_that_of_iec_60228(knowledge: Knowledge, small: PreparedSite) -> None:
    """14 m of 1.5 mm2 class 2 at 12.1 ohm/km and 20 degrees is 0.169 ohm."""
    assert "0.17 ohm" in expected(knowledge, small, "ohms-core", "k1").text


def test_the_current_of_an_output_is_the_sum_of_its_drives(knowledge: Knowledge, medium: PreparedSite) -> None:
    text = expected(knowledge, medium, "current-output", "out1").text

    assert in_short(text) == "About 2.7 A with all 3 drives running; the output is rated 5 A"
    assert "1.8 A means that one of them draws nothing, 0.9 A that two do" in text


def test_a_drive_without_a_cut_off_is_held_back_at_half_as_much_again(knowledge: Knowledge) -> None:
    site = changed("small", "drives", "d1", cut_off_current_a=None)

    assert outcome(knowledge, site, "current-drive", "d1", "1.3 A") == "normal"
    assert outcome(knowledge, site, "current-drive", "d1", "1.4 A") == "high"


def test_a_fan_is_judged_by_its_overload(knowledge: Knowledge, medium: PreparedSite) -> None:
    assert outcome(knowledge, medium, "current-fan", "f1", "1.1 A") == "normal"
    assert outcome(knowledge, medium, "current-fan", "f1", "1.6 A") == "over"


def test_a_fan_without_a_plate_value_asks_for_the_outcome_instead(knowledge: Knowledge) -> None:
    site = changed("medium", "fans", "f1", running_current_a=None)

    with pytest.raises(BadReading, match="choose the outcome that fits"):
        outcome(knowledge, site, "current-fan", "f1", "1.1 A")


def test_the_whole_supply_is_judged_by_its_plate(knowledge: Knowledge, small: PreparedSite) -> None:
    assert outcome(knowledge, small, "current-supply-total", "c1", "4,9 A") == "normal"
    assert outcome(knowledge, small, "current-supply-total", "c1", "11 A") == "over-rating"


def test_a_reading_that_cannot_be_is_refused_with_the_plausible_range(
    knowledge: Knowledge, small: PreparedSite
) -> None:
    with pytest.raises(BadReading, match="between -60 and 60 V"):
        outcome(knowledge, small, "volts-drive", "d1", "2400 V")


def test_the_hold_off_says_when_automatic_works_again(reasoner: Reasoner, small: PreparedSite) -> None:
    situation = reasoning_of(reasoner, small, "automatic-ignored@za", events=["11:48=manual"]).situation
    text = expect(reasoner.knowledge.checks["ask-last-manual"], situation, "za").text

    assert text.endswith("30 minutes. The last one was at 11:48, so automatic works again at 12:18.")


@pytest.mark.parametrize(
    ("typed", "meaning"),
    [
        ("60 ohm", "short"),
        ("2k", "other-value"),
        ("5k1", "half"),
        ("9.6 kohm", "normal"),
        ("47k", "other-value"),
        ("1 Mohm", "open"),
    ],
)
def test_an_end_of_line_reading_is_told_apart(
    knowledge: Knowledge, medium: PreparedSite, typed: str, meaning: str
) -> None:
    """Two elements of 10 kilohm read 5; the window of one is 5 % (IEC 60062 letter J)."""
    assert outcome(knowledge, medium, "ohms-end-of-line", "out3", typed) == meaning


@pytest.mark.parametrize(
    ("typed", "meaning"),
    [
        ("90 ohm", "short"),
        ("476 ohm", "alarm-value"),
        ("909 ohm", "alarm-value"),
        ("1k2", "other-value"),
        ("10k", "normal"),
    ],
)
def test_a_detector_line_in_alarm_reads_its_resistor_beside_the_element(
    knowledge: Knowledge, medium: PreparedSite, typed: str, meaning: str
) -> None:
    """10 kilohm with 1 kilohm across it is 909.1 ohm; with two devices operated 476.2 ohm."""
    assert outcome(knowledge, medium, "ohms-detector-line", "sd1", typed) == meaning


def test_a_detector_line_without_described_resistor_keeps_the_usual_borders(knowledge: Knowledge) -> None:
    site = changed("medium", "inputs", "sd1", alarm_resistor_ohm=None)

    assert outcome(knowledge, site, "ohms-detector-line", "sd1", "680 ohm") == "alarm-value"


def test_a_supervised_line_adds_its_cable_to_the_upper_border(knowledge: Knowledge, medium: PreparedSite) -> None:
    """30 m of 6 mm2 (3.08 ohm/km) and 6 m of 1.5 mm2 class 5 (13.3 ohm/km) at 50 degrees, there and back."""
    loop = 2 * (30 * 3.08 + 6 * 13.3) / 1000 * (1 + 0.00393 * 30)

    assert expected(knowledge, medium, "ohms-end-of-line", "out3").limits["end-of-line-high"] == pytest.approx(
        10_500 + loop, abs=0.01
    )


def test_a_platinum_sensor_is_told_in_ohms_of_iec_60751(knowledge: Knowledge, medium: PreparedSite) -> None:
    """IEC 60751: 1077.9 ohm at 20 and 1097.3 ohm at 25 degrees for 1000 ohm at zero."""
    text = expected(knowledge, medium, "signal-sensor", "th1").text

    assert "1078 ohm at 20 °C, 1097 ohm at 25 °C" in text


def test_a_current_loop_is_told_where_it_has_failed(knowledge: Knowledge, medium: PreparedSite) -> None:
    """NAMUR NE 43; 10.8 of 40 m/s is 4 + 16 x 0.27 = 8.32 mA."""
    text = expected(knowledge, medium, "signal-sensor", "wind").text

    assert "At its set point of 10.8 m/s that is 8.32 mA" in text
    assert "3.6 mA or less, or 21 mA or more" in text


def test_a_voltage_signal_fed_by_a_current_never_falls_below_two_volts(
    knowledge: Knowledge, medium: PreparedSite
) -> None:
    """4 mA through 500 ohm."""
    assert "Never below 2 V" in expected(knowledge, medium, "signal-sensor", "co2").text


def test_a_carbon_dioxide_sensor_is_told_in_volts_outdoors(knowledge: Knowledge, medium: PreparedSite) -> None:
    """420 of 2000 ppm on 0 to 10 V."""
    assert "about 2.1 V" in expected(knowledge, medium, "co2-outdoors", "co2").text


@pytest.mark.parametrize(("ends", "reads"), [("one-end", "about 120 ohm"), ("none", "open")])
def test_a_link_described_with_too_few_end_resistors_is_told_what_it_reads(
    knowledge: Knowledge, ends: str, reads: str
) -> None:
    text = expected(knowledge, changed("medium", "links", "bl1", termination=ends), "ohms-link-pair", "bl1").text

    assert f"As described it would read {reads}" in text
    assert "about 40 ohm one too many" in text


def test_a_battery_is_told_how_long_it_should_stand_by_at_its_age(knowledge: Knowledge, medium: PreparedSite) -> None:
    """45 Ah at 0.25 A is 180 h fresh at 25 degrees; 231 days of five years take 2.5 %, 20 degrees 5.5 %: 166 h."""
    text = expected(knowledge, medium, "volts-battery-rest", "c1").text

    assert "about 166 h at its age; 72 h are asked for" in text


def test_a_twelve_volt_battery_has_borders_of_its_own(knowledge: Knowledge) -> None:
    site = prepared(controllers={"c1": {"supply": {"battery": {"voltage_v": 12}}}})

    assert outcome(knowledge, site, "volts-battery-rest", "c1", "12.7 V") == "normal"
    assert outcome(knowledge, site, "volts-battery-load", "c1", "10.5 V") == "drops"
    assert outcome(knowledge, site, "volts-charger", "c1", "13.6 V") == "normal"


def test_discovery_is_told_how_many_drives_it_can_see(knowledge: Knowledge, small: PreparedSite) -> None:
    text = expected(knowledge, small, "look-count-found", "out1").text

    assert text == "Discovery finds 2 of the 2 drives on this output."


def test_travel_is_slower_on_an_automatic_command(knowledge: Knowledge, small: PreparedSite) -> None:
    """Common practice, no source: automatic movement is slower than manual."""
    text = expected(knowledge, small, "time-full-travel", "d1").text

    assert "About 35 s for 350 mm by hand" in text
    assert "70 s on an automatic command" in text


def test_a_limited_opening_travels_no_further_than_its_limit(knowledge: Knowledge, medium: PreparedSite) -> None:
    """250 of 300 mm at 8 mm/s."""
    assert "About 31 s for 250 mm by hand" in expected(knowledge, medium, "time-full-travel", "d3").text


def test_a_stand_in_gets_the_words_of_the_entry(knowledge: Knowledge, small: PreparedSite) -> None:
    check = knowledge.checks["volts-drive"]

    assert expected(knowledge, small, "volts-drive", "?drive").text == check.expect_text


@pytest.mark.parametrize("site", ["small", "medium"])
def test_every_check_says_what_to_expect_at_every_part_it_fits(
    knowledge: Knowledge, site: str, request: pytest.FixtureRequest
) -> None:
    ready: PreparedSite = request.getfixturevalue(site)
    for check in knowledge.checks.values():
        for part, kind in ready.topology.kinds.items():
            if kind == check.at:
                short = in_short(expected(knowledge, ready, check.id, part).text)
                assert 1 < len(short) < 130, (check.id, part, short)


def test_every_expected_quantity_has_a_calculator_and_every_calculator_a_check(knowledge: Knowledge) -> None:
    assert {it.expects for it in knowledge.checks.values() if it.expects} == set(CALCULATORS)


def test_every_measuring_check_is_calculated(knowledge: Knowledge) -> None:
    measuring = [it for it in knowledge.checks.values() if it.kind == "measure"]

    assert {it.id for it in measuring if not it.expects} == WITHOUT_A_CALCULATION


@pytest.mark.parametrize("site", ["small", "medium"])
def test_the_borders_of_every_reading_rise_at_every_part(
    knowledge: Knowledge, site: str, request: pytest.FixtureRequest
) -> None:
    ready: PreparedSite = request.getfixturevalue(site)
    for check in knowledge.checks.values():
        for part, kind in ready.topology.kinds.items():
            if kind == check.at and check.reading:
                limits = expected(knowledge, ready, check.id, part).limits
                borders = [
                    limits.get(it.below, it.below_else) if isinstance(it.below, str) else it.below
                    for it in check.reading.bands[:-1]
                ]
                known = [it for it in borders if it is not None]
                assert known == sorted(known), (check.id, part, known)


def test_every_border_a_check_names_is_given_by_its_calculator(knowledge: Knowledge) -> None:
    """Each named border turns up on a demo site; a name misspelled would fall back to the usual value unseen."""
    sites = [prepare_site(load_demo(name), NOON.date()) for name in ("small", "medium")]
    for check in knowledge.checks.values():
        named = {it.below for it in check.reading.bands if isinstance(it.below, str)} if check.reading else set()
        given = {
            limit
            for site in sites
            for part, kind in site.topology.kinds.items()
            if kind == check.at
            for limit in expected(knowledge, site, check.id, part).limits
        }
        assert named <= given, (check.id, named - given)
