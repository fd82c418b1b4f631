"""What is taken for granted is said."""

from __future__ import annotations

from diag.timeline.assumptions import assumptions
from tests.diag.timeline.told import medium, plan_of, played


def test_a_site_described_in_full_needs_no_assumption() -> None:
    assert assumptions(medium()) == ()


def test_an_absent_order_and_hold_off_are_said_with_what_is_taken() -> None:
    said = assumptions(plan_of("zones: {z1: {name: hall}}\n"))

    assert said == (
        "The site gives no order of precedence. Taken, strongest first: smoke, maintenance, wind, rain, manual, "
        "link, schedule, automatic (common practice, no source).",
        "The site gives no time zone. Times are taken as a clock that never changes.",
        "The hold-off of hall is not described. 30 minutes are taken (common practice, no source).",
    )


def test_an_order_that_lets_comfort_pass_smoke_is_pointed_out() -> None:
    said = assumptions(plan_of("precedence: [manual, smoke, rain]\ntime_zone: Etc/UTC\n"))

    assert "leaves out maintenance, wind, link, schedule, automatic" in said[0]
    assert said[1] == (
        "By this site's order manual passes smoke. "
        "Have a person competent in smoke ventilation confirm it before anything is changed."
    )


def test_what_inputs_lockouts_and_programmes_leave_open_is_said() -> None:
    said = assumptions(
        plan_of(
            "inputs: {r: {kind: rain, zones: [z1]}}\nschedules: {s: {zones: [z1], at: '07:00'}}\n"
            "lockouts: {lo: {kind: rain, input: r, zones: [z1], refuses: open}}\n"
        )
    )

    assert said[2:] == (
        "The command class of r is not described. Taken by the kind of input.",
        "What happens when active is not described for r. The usual movement is taken.",
        "How long a lockout stands afterwards is not described for lo. Taken to end at once.",
        "Whether hand commands are refused is not described for lo. Taken by the order.",
        "Not played, for want of a time or an action: s.",
    )


def test_lockouts_the_log_is_silent_about_are_said_to_be_taken_as_clear() -> None:
    plan = medium()

    assert assumptions(plan, played(plan, "10:00,rain,on")) == (
        "Nothing was reported for wind lockout, service lockout. Taken as clear.",
    )
