"""What stands after hands, sensors, lockouts, programmes, smoke and the building link, and what was refused.

Expected orders of events follow the written meaning of the site description; hold-off: common practice, no source.
"""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

import pytest

from diag.timeline.events import LogEvent
from diag.timeline.play import play
from diag.timeline.player import OutOfOrder
from tests.diag.timeline.told import at, events, medium, plan_of, played, refused, stood

SWITCH = "sw: {kind: switch, zones: [z1], command_class: manual}"
WARM = "th: {kind: thermostat, zones: [z1], command_class: automatic, active_does: open, set_point: 23, dead_band: 2}"
WET = "rain: {kind: rain, zones: [z1], command_class: rain, active_does: close}"
SMOKE = (
    "sd: {kind: detector-line, zones: [z1], active_does: open}, cp: {kind: call-point, zones: [z1], active_does: open}"
)
BOTH = f"inputs: {{{SWITCH}, {WARM}}}\n"


def test_a_hand_command_keeps_automatic_out_until_its_hold_off_ends() -> None:
    plan = plan_of(BOTH)
    it = played(plan, "10:05,sw,close", "10:20,th,reading,24", until="11:00")

    assert stood(plan, it) == ["10:05 close sw", "10:35 open th"]
    assert refused(plan, it) == ["10:20 open th: outranked sw"]


def test_the_last_hand_command_starts_the_hold_off_anew() -> None:
    plan = plan_of(BOTH)
    it = played(plan, "10:00,th,reading,24", "10:05,sw,close", "10:20,sw,stop", until="11:00")

    assert stood(plan, it) == ["10:00 open th", "10:05 close sw", "10:20 stop sw", "10:50 open th"]


def test_a_tap_stops_a_moving_zone() -> None:
    plan = medium()
    it = played(plan, "10:05,sw-n,open,1.2", "10:05:10,sw-n,open,0.3", until="10:10")

    assert stood(plan, it, "zn") == ["10:05 open sw-n", "10:05:10 stop sw-n"]


def test_a_press_that_is_set_to_do_nothing_is_refused_and_starts_no_hold_off() -> None:
    plan = plan_of("inputs: {sw: {kind: switch, zones: [z1], tap_does: nothing, hold_threshold_s: 0.8}}\n")
    it = played(plan, "10:05,sw,open,0.2", until="10:10")

    assert stood(plan, it) == ["10:05 nothing"]
    assert refused(plan, it) == ["10:05 nothing sw: nothing sw"]


def test_without_hold_off_a_hand_command_moves_once_and_a_sensor_acts_when_it_asks_anew() -> None:
    plan = plan_of(f"zones: {{z1: {{hold_off_minutes: 0}}}}\n{BOTH}")
    it = played(
        plan,
        "10:00,th,reading,24",
        "10:05,sw,close",
        "10:20,th,reading,20",
        "10:30,th,reading,24",
        until="11:00",
    )

    assert stood(plan, it) == [
        "10:00 open th", "10:05 close sw once", "10:05 held by th", "10:20 close th", "10:30 open th"
    ]  # fmt: skip


def test_a_thermostat_asks_after_its_delay_and_closes_when_cooler_by_the_dead_band() -> None:
    plan = medium()
    it = played(plan, "10:00,th1,reading,23.5", "10:30,th1,reading,21.5", "10:40,th1,reading,21", until="11:00")

    assert stood(plan, it, "zn") == ["10:00 nothing", "10:03 open th1", "10:40 close th1"]


def test_any_sensor_that_asks_to_open_prevails_over_one_that_is_content() -> None:
    plan = plan_of(f"inputs: {{{WARM}, co2: {{kind: co2, zones: [z1], set_point: 1000, dead_band: 200}}}}\n")
    it = played(plan, "10:00,th,reading,20", "10:10,co2,reading,1200", "10:20,co2,reading,700", until="10:30")

    assert stood(plan, it) == ["10:00 close th", "10:10 open co2", "10:20 close th"]


RAINY = f"""
inputs: {{{SWITCH}, {WARM}, {WET}}}
lockouts:
  lo: {{kind: rain, input: rain, zones: [z1], refuses: open, forces: close, refuses_manual: %s, release_minutes: 10}}
"""


def test_rain_closes_refuses_hands_and_stands_until_its_release() -> None:
    plan = plan_of(RAINY % "true")
    it = played(plan, "10:00,th,on", "10:20,rain,on", "10:22,sw,open", "10:25,rain,off", until="11:00")

    assert stood(plan, it) == ["10:00 open th", "10:20 close rain", "10:25 close lo", "10:35 open th"]
    assert refused(plan, it) == ["10:22 open sw: lockout lo"]
    assert [(span.start, span.end) for span in it.lockouts] == [(at(plan, "10:20"), at(plan, "10:35"))]


def test_a_hand_command_that_rain_overrode_does_not_move_the_zone_again() -> None:
    plan = plan_of(RAINY % "true")
    it = played(plan, "10:00,sw,open", "10:05,rain,on", "10:06,rain,off", until="11:00")

    assert stood(plan, it) == [
        "10:00 open sw", "10:05 close rain", "10:06 close lo", "10:16 held by sw", "10:30 nothing"
    ]  # fmt: skip


def test_where_rain_does_not_refuse_hands_a_later_hand_command_passes_it() -> None:
    plan = plan_of(RAINY % "false")
    it = played(plan, "10:00,sw,open", "10:20,rain,on", "10:22,sw,open", until="11:00")

    assert stood(plan, it) == ["10:00 open sw", "10:20 close rain", "10:22 open sw", "10:52 close rain"]
    assert it.refusals == ()


def test_wind_stands_from_its_limit_until_it_is_back_and_the_release_is_over() -> None:
    plan = medium()
    it = played(
        plan, "10:00,wind,reading,10.7", "10:01,wind,reading,10.8", "10:10,wind,reading,9", "10:20,wind,reading,8.8",
        until="11:00",
    )  # fmt: skip

    assert stood(plan, it, "za") == [
        "10:00 nothing",
        "10:01 close wind",
        "10:20 close lo-wind",
        "10:40 nothing",
    ]


def test_maintenance_stops_all_comfort_movement_but_not_smoke() -> None:
    plan = medium()
    it = played(
        plan, "10:00,ks,on", "10:05,sw-a,open", "10:10,th1,on", "10:20,sd1,on", "10:30,sd1,off", "10:31,cp1,reset",
        "10:40,ks,off", until="11:00",
    )  # fmt: skip

    assert stood(plan, it, "za") == ["10:00 stop ks", "10:20 open sd1", "10:31 stop ks", "10:40 open th1"]
    assert "10:05 open sw-a: lockout lo-service" in refused(plan, it)


def test_smoke_stands_until_reset_and_a_reset_in_alarm_is_refused() -> None:
    plan = plan_of(f"inputs: {{{SWITCH}, {SMOKE}}}\n")
    it = played(
        plan,
        "10:00,sd,on",
        "10:05,sw,close",
        "10:10,sd,reset",
        "10:20,sd,off",
        "10:30,cp,reset",
        until="11:00",
    )

    assert stood(plan, it) == ["10:00 open sd", "10:30 nothing"]
    assert refused(plan, it) == ["10:05 close sw: outranked sd", "10:10 open sd: in-alarm sd"]


def test_a_call_point_is_shown_above_a_detector() -> None:
    plan = plan_of(f"inputs: {{{SMOKE}}}\n")
    it = played(plan, "10:00,sd,on", "10:05,cp,on", until="10:10")

    assert [span.command and span.command.level for span in it.spans["z1"]] == [2, 1]


def test_the_order_of_the_site_decides_and_not_the_usual_one() -> None:
    plan = plan_of(f"precedence: [smoke, manual, rain, automatic]\ninputs: {{{SWITCH}, {WET}}}\n")
    it = played(plan, "10:00,rain,on", "10:05,sw,open", until="11:00")

    assert stood(plan, it) == ["10:00 close rain", "10:05 open sw", "10:35 close rain"]


def test_a_lockout_spoken_of_by_its_own_name_forces_and_is_released_as_described() -> None:
    plan = plan_of(RAINY % "true")
    it = played(plan, "10:00,lo,on", "10:05,sw,open", "10:10,lo,off", until="10:30")

    assert stood(plan, it) == ["10:00 close lo", "10:20 nothing"]
    assert refused(plan, it) == ["10:05 open sw: lockout lo"]


def test_a_lockout_that_forces_nothing_commands_nothing() -> None:
    plan = medium()
    it = played(plan, "10:00,lo-service,on", "10:05,sw-d,open", "10:10,lo-service,off", until="10:30")

    assert stood(plan, it, "zd") == ["10:00 nothing"]
    assert refused(plan, it) == ["10:05 open sw-d: lockout lo-service"]


def test_a_smoke_lockout_stands_until_the_reset() -> None:
    plan = plan_of(
        f"precedence: [maintenance, smoke]\ninputs: {{{SWITCH}, {SMOKE}}}\n"
        "lockouts: {lo: {kind: smoke, input: sd, zones: [z1], refuses: close, refuses_manual: true}}\n"
    )
    it = played(plan, "10:00,sd,on", "10:05,sd,off", "10:10,sw,close", "10:20,cp,reset", "10:30,sw,close")

    assert [(span.start, span.end) for span in it.lockouts] == [(at(plan, "10:00"), at(plan, "10:20"))]
    assert refused(plan, it) == ["10:10 close sw: lockout lo"]
    assert stood(plan, it) == ["10:00 open sd", "10:20 nothing", "10:30 close sw", "11:00 nothing"]


SEASON = """
lockouts:
  lo: {kind: season, zones: [z1], refuses: open, refuses_manual: false, from_day: 11-01, until_day: 02-28}
"""


def test_a_season_lockout_refuses_sensors_but_not_hands_and_begins_at_midnight() -> None:
    plan = plan_of(BOTH + SEASON)
    it = played(plan, "2026-10-31 23:00,th,on", "2026-11-01 00:30,sw,open", until="2026-11-01 02:00")

    assert stood(plan, it) == ["23:00 open th", "00:00 nothing", "00:30 open sw", "01:00 nothing"]


def test_a_night_lockout_that_forces_and_refuses_hands_prevails_over_a_hand_command_of_before() -> None:
    plan = plan_of(
        f"inputs: {{{SWITCH}}}\nlockouts: {{lo: {{kind: night, zones: [z1], refuses: open, forces: close, "
        "refuses_manual: true, from_time: '22:00', until_time: '06:00'}}\n"
    )
    it = played(plan, "21:50,sw,open", "22:05,sw,open", until="22:30")

    assert stood(plan, it) == ["21:50 open sw", "22:00 close lo"]
    assert refused(plan, it) == ["22:05 open sw: lockout lo"]


def test_a_lockout_that_forces_nothing_leaves_a_hand_command_of_before_and_its_hold_off() -> None:
    plan = plan_of(
        f"{BOTH}lockouts: {{lo: {{kind: night, zones: [z1], refuses: open, forces: nothing, "
        "refuses_manual: true, from_time: '22:00', until_time: '06:00'}}\n"
    )
    it = played(plan, "21:50,sw,open", "21:55,th,reading,20", until="22:30")

    assert stood(plan, it) == ["21:50 open sw", "22:20 close th"]


def test_a_hand_command_that_passed_rain_and_was_then_overridden_passes_it_no_more() -> None:
    plan = plan_of((RAINY % "false").replace("inputs: {", f"inputs: {{{SMOKE}, "))
    it = played(plan, "10:00,rain,on", "10:05,sw,open", "10:10,sd,on", "10:15,sd,off", "10:20,cp,reset")

    assert stood(plan, it)[:4] == ["10:00 close rain", "10:05 open sw", "10:10 open sd", "10:20 close rain"]


def test_a_stop_by_hand_is_never_refused_by_a_lockout() -> None:
    plan = medium()
    it = played(plan, "10:00,lo-service,on", "10:05,sw-d,stop", until="10:10")

    assert stood(plan, it, "zd") == ["10:00 nothing", "10:05 stop sw-d"]


COLD = """
inputs: {out: {kind: temperature, zones: [], dead_band: 1}, sw: {kind: switch, zones: [z1]}}
lockouts: {lo: {kind: temperature, input: out, zones: [z1], refuses: open, refuses_manual: true, limit: 5}}
"""


def test_a_temperature_lockout_that_refuses_to_open_acts_below_its_limit() -> None:
    plan = plan_of(COLD)
    told = [
        LogEvent(at(plan, "10:00"), "out", "reading", 4.0),
        *events(plan, "10:05,sw,open", "10:06,sw,close"),
    ]

    assert refused(plan, play(plan, told)) == ["10:05 open sw: lockout lo"]


PROGRAMME = """
schedules:
  morning: {zones: [z1], days: [mon, tue], at: '07:00', does: open}
  evening: {zones: [z1], days: [mon, tue], at: '18:00', does: close}
"""


def test_a_programmes_open_stands_until_its_close_which_leaves_the_zone_free() -> None:
    plan = plan_of(PROGRAMME + BOTH)
    it = played(plan, "06:00,sw,stop", "19:00,th,on", until="20:00")

    assert stood(plan, it) == [
        "06:00 stop sw", "06:30 nothing", "07:00 open morning", "18:00 close evening once", "18:00 nothing",
        "19:00 open th",
    ]  # fmt: skip


def test_a_programme_that_ran_before_the_log_still_stands() -> None:
    plan = plan_of(PROGRAMME + BOTH)
    it = played(plan, "12:00,sw,close", until="13:00")

    assert stood(plan, it) == ["12:00 close sw", "12:30 open morning"]
    assert it.due["z1"].part == "evening"


def test_a_programmes_close_that_a_hand_outranks_is_not_made_up_for() -> None:
    plan = plan_of(PROGRAMME + BOTH)
    it = played(plan, "17:50,sw,open", until="19:00")

    assert stood(plan, it) == ["17:50 open sw", "18:20 nothing"]
    assert refused(plan, it) == ["18:00 close evening: outranked sw"]


def test_automatic_switched_off_refuses_sensors_until_it_is_on() -> None:
    plan = plan_of(BOTH)
    it = played(plan, "10:00,z1,automatic-off", "10:05,th,on", "10:20,z1,automatic-on", until="10:30")

    assert stood(plan, it) == ["10:00 nothing", "10:20 open th"]
    assert refused(plan, it) == ["10:05 open th: automatic-off z1"]


def test_automatic_that_the_settings_keep_off_stays_off() -> None:
    plan = plan_of(f"zones: {{z1: {{hold_off_minutes: 30, automatic_enabled: false}}}}\n{BOTH}")
    it = played(plan, "10:00,z1,automatic-on", "10:05,th,on", until="10:30")

    assert stood(plan, it) == ["10:00 nothing"]


def test_the_link_stands_at_its_priority_until_relinquished_and_zero_is_a_command() -> None:
    plan = medium()
    it = played(
        plan, "10:00,bl1,write,100,zd,9", "10:10,bl1,write,0,zd,8", "10:20,bl1,relinquish,,zd,9",
        "10:30,bl1,relinquish,,zd,8", until="10:40",
    )  # fmt: skip

    assert stood(plan, it, "zd") == ["10:00 open bl1", "10:10 close bl1", "10:30 nothing"]


def test_a_write_without_priority_goes_to_the_links_own() -> None:
    plan = medium()
    it = played(plan, "10:00,bms,write,open,zd", "10:10,bl1,relinquish,,zd,9", until="10:20")

    assert stood(plan, it, "zd") == ["10:00 open bms", "10:10 nothing"]


def test_every_moment_of_every_zone_is_in_exactly_one_span() -> None:
    plan = medium()
    it = played(plan, "09:00,sw-n,open", "10:00,rain,on", "10:05,rain,off", "12:00,th1,on", until="23:00")

    for spans in it.spans.values():
        lasting = [span for span in spans if span.end > span.start]
        assert (lasting[0].start, lasting[-1].end) == (it.start, it.end)
        assert all(one.end == other.start for one, other in pairwise(lasting))


def test_what_was_before_the_start_counts_but_is_not_shown() -> None:
    plan = plan_of(BOTH)
    told = events(plan, "10:05,sw,open", "10:06,sw,close")
    it = play(plan, told, at(plan, "10:20"), at(plan, "10:50"))

    assert stood(plan, it) == ["10:20 close sw", "10:36 nothing"]
    assert [span.command and span.command.since for span in it.spans["z1"]] == [at(plan, "10:06"), None]


def test_events_out_of_order_are_refused() -> None:
    plan = plan_of(BOTH)
    told = events(plan, "10:05,sw,open", "10:06,sw,close")

    with pytest.raises(OutOfOrder, match="sort them"):
        play(plan, reversed(told))


def test_without_events_only_the_calendar_plays() -> None:
    plan = plan_of(PROGRAMME)
    it = play(plan, [], at(plan, "06:00"), at(plan, "08:00"))

    assert stood(plan, it) == ["06:00 nothing", "07:00 open morning"]


def test_an_end_before_the_first_event_shows_nothing() -> None:
    plan = plan_of(BOTH)
    it = played(plan, "10:00,sw,open", until="09:00")

    assert (it.end, stood(plan, it)) == (at(plan, "09:00"), [])


def test_lockouts_that_nobody_spoke_of_are_named() -> None:
    assert played(medium(), "10:00,rain,on").unheard == ("lo-wind", "lo-service")


LONDON = "time_zone: Europe/London\n"


@pytest.mark.parametrize(
    ("before", "after"),
    [("2026-10-25 00:50", "01:20 BST"), ("2026-03-29 00:50", "02:20 BST"), ("2026-05-04 00:50", "01:20")],
)
def test_a_hold_off_lasts_as_long_over_a_clock_change(before: str, after: str) -> None:
    plan = plan_of(LONDON + BOTH)
    it = played(plan, f"{before},sw,open", until=None)
    spans = it.spans["z1"]

    assert spans[0].end - spans[0].start == timedelta(minutes=30)
    assert stood(plan, it)[1] == f"{after} nothing"


def test_a_night_lockout_of_the_long_night_lasts_nine_hours() -> None:
    plan = plan_of(
        LONDON + f"inputs: {{{WARM}}}\n"
        "lockouts: {lo: {kind: night, zones: [z1], refuses: open, from_time: '22:00', until_time: '06:00'}}\n"
    )
    it = played(plan, "2026-10-24 21:00,th,on", until="2026-10-25 09:00")

    assert [(span.end - span.start) / timedelta(hours=1) for span in it.lockouts] == [9]


def test_a_programme_in_the_repeated_hour_runs_once() -> None:
    plan = plan_of(LONDON + "schedules: {early: {zones: [z1], at: '01:30', does: close}}\n")
    it = play(plan, [], at(plan, "2026-10-25 00:00"), at(plan, "2026-10-25 04:00"))

    assert stood(plan, it).count("01:30 BST close early once") == 1
    assert len([span for span in it.spans["z1"] if span.start == span.end]) == 1
