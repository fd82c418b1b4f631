"""The test rows of each part."""

from __future__ import annotations

from diag.sheet.build import proving_sheet, situation_of
from diag.sheet.proving_tests import TESTS
from diag.sheet.rows import Row, rows_of
from diag.site import Site
from knowledge.load import Knowledge
from tests.diag.sheet.builders import demo_part, described, ready


def rows(knowledge: Knowledge, site: Site | str, part: str) -> dict[str, Row]:
    """Return the rows of a part by check."""
    return {it.check: it for it in rows_of(knowledge, situation_of(ready(site)), part)}


def test_a_drive_is_proved_by_movement_time_voltage_and_current(knowledge: Knowledge) -> None:
    found = rows(knowledge, "small", "d1")

    assert list(found) == ["look-drive-behaviour", "time-full-travel", "volts-drive", "current-drive"]
    assert found["look-drive-behaviour"].movement == "Opens left window to 350 mm, then closes it again"
    assert found["time-full-travel"].reading == "About 35 s for 350 mm by hand, within 26 to 44 s"
    assert found["volts-drive"].unit == "V"


def test_a_positioner_is_proved_by_its_signal_too(knowledge: Knowledge) -> None:
    assert "signal-positioner" in rows(knowledge, "medium", "d13")
    assert "signal-positioner" not in rows(knowledge, "medium", "d7")


def test_a_limit_shows_in_the_movement(knowledge: Knowledge) -> None:
    assert "to 250 mm, its limit" in rows(knowledge, "medium", "d3")["look-drive-behaviour"].movement


def test_two_drives_on_an_opening_are_proved_in_step(knowledge: Knowledge) -> None:
    assert rows(knowledge, "medium", "rv1")["look-drives-in-step"].movement == "d7 and d8 start, run and stop together"
    assert "look-drives-in-step" not in rows(knowledge, "medium", "w1")


def test_only_a_supervised_line_is_measured_for_its_end(knowledge: Knowledge) -> None:
    assert "ohms-end-of-line" in rows(knowledge, "medium", "out3")
    assert "ohms-end-of-line" not in rows(knowledge, "medium", "out1")


def test_a_battery_nobody_described_is_not_tested(knowledge: Knowledge) -> None:
    assert "volts-battery-rest" in rows(knowledge, "medium", "c1")
    assert "volts-battery-rest" not in rows(knowledge, "small", "c1")


def test_only_a_zone_with_smoke_openings_is_proved_for_smoke(knowledge: Knowledge) -> None:
    found = rows(knowledge, "medium", "za")["try-test-smoke"]

    assert found.movement == "rv1, rv2 and rv3 open fully and stay open until reset"
    assert found.reading == "All smoke openings in place within 60 s"
    assert "try-test-smoke" not in rows(knowledge, "medium", "zn")


def test_nobody_is_asked_to_set_off_a_detector_to_see_a_lamp(knowledge: Knowledge) -> None:
    assert list(rows(knowledge, "medium", "sd1")) == ["ohms-detector-line"]


def test_a_switch_is_proved_as_it_is_set(knowledge: Knowledge) -> None:
    found = rows(knowledge, demo_part("small", "inputs", "sw-a", tap_does="step"), "sw-a")

    assert found["look-input-lamp"].movement == "Pressed open it opens windows; pressed close it closes windows"
    assert found["try-tap"].movement == "A press below 0.8 s moves windows a step"
    assert found["try-hold"].movement == "A press over 0.8 s runs windows to the end"


def test_insulation_is_tested_once_a_circuit(knowledge: Knowledge) -> None:
    assert list(rows(knowledge, "small", "k1")) == ["insulation-earth"]
    assert not rows(knowledge, "small", "k2")


def test_a_bare_drive_is_still_proved(knowledge: Knowledge) -> None:
    found = rows(knowledge, described(drives={"d1": {}}), "d1")

    assert found["look-drive-behaviour"].movement == "Opens its opening fully and closes it again"
    assert found["volts-drive"].reading == knowledge.checks["volts-drive"].expect_text


def test_every_test_names_a_check_of_its_kind_and_a_healthy_outcome(knowledge: Knowledge) -> None:
    for kind, tests in TESTS.items():
        for test in tests:
            check = knowledge.checks[test.check]
            healthy = {it.id: it.healthy for it in check.outcomes}
            assert check.at == kind
            assert all(healthy[it] in ("always", "usually") for it in test.passes), test.check


def test_every_drive_and_every_input_of_a_demo_site_is_tested(knowledge: Knowledge) -> None:
    for name in ("small", "medium"):
        site = ready(name)
        tested = {it.part for it in proving_sheet(knowledge, site).rows}
        untested = (set(site.site.drives) | set(site.site.inputs)) - tested
        assert all(site.site.inputs[it].kind == "link" for it in untested), untested


def test_no_row_is_without_a_word_of_what_to_expect(knowledge: Knowledge) -> None:
    for name in ("small", "medium"):
        for row in proving_sheet(knowledge, ready(name)).rows:
            assert row.movement or row.reading, row.ref


def test_no_two_rows_share_a_reference(knowledge: Knowledge) -> None:
    refs = [it.ref for it in proving_sheet(knowledge, ready("medium")).rows]

    assert len(refs) == len(set(refs))
