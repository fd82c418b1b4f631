"""Drives run to their ends, and stop where physics stops them."""

from __future__ import annotations

import pytest

from diag.virtual.faults import Fault
from diag.virtual.moving import BACK_OFF_MM
from diag.virtual.noticing_drives import design_end_mm
from tests.diag.virtual.sites import virtual


def test_a_full_travel_takes_stroke_over_speed() -> None:
    run = virtual().run_alone("d1")
    assert (run.stop, run.position_mm) == ("end", 300.0)
    assert run.seconds == pytest.approx(300.0 / 8.0, rel=0.05)


def test_a_smoke_command_is_faster_than_a_hand() -> None:
    site = virtual()
    by_hand = site.run_alone("d7").seconds
    site.close_all()
    assert site.run_alone("d7", speed="smoke").seconds == pytest.approx(by_hand * 8 / 12, rel=0.05)


def test_an_opening_limit_ends_the_travel() -> None:
    assert virtual().run_alone("d3").position_mm == 250.0


def test_a_swapped_pair_runs_reversed() -> None:
    site = virtual(Fault("polarity-swapped", "d3"), name="small")
    site.mover.positions["d3"] = 150.0
    assert site.run_alone("d3", way=1).moved_mm == pytest.approx(-150.0)
    site.mover.positions["d3"] = 150.0
    assert site.run_alone("d3", way=-1).moved_mm > 100.0


def test_a_drive_with_a_data_core_does_not_run_on_swapped_power() -> None:
    run = virtual(Fault("polarity-swapped", "d1")).run_alone("d1")
    assert (run.stop, run.moved_mm) == ("no-voltage", 0.0)


def test_something_in_the_way_stops_a_closing_drive_and_it_backs_off() -> None:
    site = virtual(Fault("obstruction", "w1"), seed=1)
    it = site.fitted.openings["w1"]
    it.blocked_way, it.blocked_at = -1, 0.5
    site.mover.positions["d1"] = 300.0
    run = site.run_alone("d1", way=-1)
    assert (run.stop, run.backed_off) == ("cut-out", True)
    assert run.position_mm == pytest.approx(150.0 + BACK_OFF_MM)


def test_a_lock_left_engaged_lets_the_drive_cut_out_at_once() -> None:
    run = virtual(Fault("lock-not-released", "w1"), name="workshop").run_alone("d3")
    assert (run.stop, run.moved_mm) == ("cut-out", 0.0)


def test_a_stiff_hinge_slows_a_little_and_stops_when_it_is_worse() -> None:
    mild = virtual(Fault("hinge-seized", "w1", 0.2)).run_alone("d1")
    severe = virtual(Fault("hinge-seized", "w1", 1.0)).run_alone("d1")
    assert mild.stop == "end"
    assert mild.seconds > virtual().run_alone("d1").seconds
    assert severe.stop == "cut-out"


def test_a_run_time_too_short_ends_the_travel_early() -> None:
    run = virtual(Fault("run-time-too-short", "out1", 1.0)).run_alone("d1")
    assert run.stop == "run-time"
    assert run.position_mm < 0.9 * 300.0


def test_two_drives_of_one_sash_that_drift_apart_stop_twisted() -> None:
    runs = virtual(Fault("drive-sync-lost", "rv1")).press("sw-a", "open").runs
    assert {runs["d7"].stop, runs["d8"].stop} == {"twist"}
    assert runs["d9"].stop == "end"


def test_a_stripped_gear_hums_and_moves_nothing() -> None:
    run = virtual(Fault("drive-gear-worn", "d1", 1.0)).run_alone("d1")
    assert (run.stop, run.moved_mm, run.noisy) == ("hum", 0.0, True)


def test_a_drive_cut_off_early_stops_at_its_usual_load() -> None:
    assert virtual(Fault("drive-overload-cut-out", "d1", 1.0)).run_alone("d1").stop == "cut-out"


def test_a_spring_shuts_a_damper_that_loses_its_supply() -> None:
    site = virtual(Fault("core-open", "k18"))
    site.mover.positions["d13"] = 200.0
    run = site.run_alone("d13")
    assert (run.stop, run.position_mm) == ("no-voltage", 0.0)


def test_an_output_that_drives_one_way_only_lets_its_drives_go_that_way_only() -> None:
    site = virtual(Fault("output-driver-failed", "out4"))
    it = site.fitted.outputs["out4"]
    it.opens, it.closes = False, True
    assert site.run_alone("d11").stop == "no-voltage"
    site.mover.positions["d11"] = 300.0
    assert site.run_alone("d11", way=-1).stop == "end"


def test_drives_on_one_trip_limit_start_alone_and_trip_together() -> None:
    site = virtual(Fault("output-overcurrent-trip", "out1", 0.6))
    assert site.run_alone("d1").stop == "end"
    site.close_all()
    assert {run.stop for run in site.press("sw-n", "open").runs.values()} == {"trip"}


def test_mains_drives_joined_bare_feed_each_other_back_and_one_alone_does_not() -> None:
    site = virtual(Fault("drives-back-feed", "o1"), name="workshop")
    together = site.press("s1", "open").runs
    assert {run.stop for run in together.values()} == {"hum"}
    site.close_all()
    alone = site.run_alone("d1")
    assert (alone.stop, alone.position_mm) == ("end", design_end_mm(site, "d1"))
