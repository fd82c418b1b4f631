"""Say what a site description leaves open and how a timeline took it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from diag.timeline.command import Timeline
from diag.timeline.log_times import LogTimes
from diag.timeline.names import name_of
from diag.timeline.plan import Plan
from diag.timeline.prepare import USUAL_HOLD_OFF_MINUTES

LISTED = 5


def assumptions(plan: Plan, timeline: Timeline | None = None) -> tuple[str, ...]:
    """Return a sentence for each thing that was taken as usual or as clear because nobody says."""
    return (
        *_about_order(plan),
        *_about_clock(plan),
        *_about_hold_off(plan),
        *_about_inputs(plan),
        *_about_lockouts(plan),
        *_about_schedules(plan),
        *_about_unheard(plan, timeline.unheard if timeline else ()),
    )


def about_times(times: LogTimes) -> tuple[str, ...]:
    """Return a sentence when the log gave times of the hour that came twice without saying which."""
    count = times.read_as_second
    if not count:
        return ()
    lines = f"{count} line{'s' if count > 1 else ''} in the hour that came twice"
    return (
        f"{lines}: read as the second time round, since an earlier line was later. "
        "Write an offset such as +00:00 to be sure.",
    )


def _about_order(plan: Plan) -> Iterator[str]:
    given = plan.site.precedence
    listed = ", ".join(plan.order)
    if given is None:
        yield f"The site gives no order of precedence. Taken, strongest first: {listed} (common practice, no source)."
    elif len(given) < len(plan.order):
        left_out = ", ".join(it for it in plan.order if it not in given)
        yield f"The site's order of precedence leaves out {left_out}. Taken, strongest first: {listed}."
    passing = plan.order[: plan.order.index("smoke")]
    if passing and given is not None:
        yield (
            f"By this site's order {', '.join(passing)} passes smoke. "
            "Have a person competent in smoke ventilation confirm it before anything is changed."
        )


def _about_clock(plan: Plan) -> Iterator[str]:
    if plan.site.time_zone is None:
        yield "The site gives no time zone. Times are taken as a clock that never changes."


def _about_hold_off(plan: Plan) -> Iterator[str]:
    unknown = [zone for zone, it in plan.zones.items() if not it.is_hold_off_known]
    if unknown:
        yield (
            f"The hold-off of {_names(plan, unknown)} is not described. "
            f"{USUAL_HOLD_OFF_MINUTES:g} minutes are taken (common practice, no source)."
        )


def _about_inputs(plan: Plan) -> Iterator[str]:
    inputs = plan.site.inputs
    classless = [part for part, it in inputs.items() if it.command_class is None]
    if classless:
        yield f"The command class of {_names(plan, classless)} is not described. Taken by the kind of input."
    idle = [
        part for part, it in inputs.items()
        if it.active_does is None and plan.inputs[part].command_class not in ("manual", "link")
    ]  # fmt: skip
    if idle:
        yield f"What happens when active is not described for {_names(plan, idle)}. The usual movement is taken."


def _about_lockouts(plan: Plan) -> Iterator[str]:
    held = [
        part for part, it in plan.site.lockouts.items() if it.kind in ("rain", "wind") and it.release_minutes is None
    ]
    if held:
        yield f"How long a lockout stands afterwards is not described for {_names(plan, held)}. Taken to end at once."
    unsure = [part for part, it in plan.site.lockouts.items() if it.refuses and it.refuses_manual is None]
    if unsure:
        yield f"Whether hand commands are refused is not described for {_names(plan, unsure)}. Taken by the order."


def _about_schedules(plan: Plan) -> Iterator[str]:
    silent = [part for part in plan.site.schedules if part not in plan.schedules]
    if silent:
        yield f"Not played, for want of a time or an action: {_names(plan, silent)}."


def _about_unheard(plan: Plan, unheard: Sequence[str]) -> Iterator[str]:
    if unheard:
        yield f"Nothing was reported for {_names(plan, unheard)}. Taken as clear."


def _names(plan: Plan, parts: Iterable[str]) -> str:
    names = [name_of(plan, part) for part in parts]
    more = len(names) - LISTED
    return ", ".join(names[:LISTED]) + (f" and {more} more" if more > 0 else "")
