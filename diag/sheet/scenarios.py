"""List every way a described site can be commanded or held, as events a timeline plays."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta

from diag.site import Input, Lockout
from diag.timeline.clock import moment, moment_on
from diag.timeline.events import LogEvent
from diag.timeline.plan import Ids, InputPlan, LockoutPlan, Plan
from diag.timeline.recurring import Calendar
from diag.timeline.start import begin

YEAR = 2025
"""The year the matrix is played in; only its weekdays and the days of clock change depend on it."""

MOMENT = timedelta(minutes=1)
PRESS_APART = timedelta(seconds=5)
SENSORS = frozenset({"thermostat", "temperature", "co2", "wind"})


@dataclass(frozen=True, slots=True)
class Scenario:
    """One cause: what it is called, the part and class it comes from, the zones it can reach, its events.

    What stands is read at `seen_at`. `lasts` says that it stands on, so that what passes it can be asked.
    """

    says: str
    part: str
    command_class: str
    zones: Ids
    events: tuple[LogEvent, ...]
    seen_at: datetime
    lasts: bool = True

    @property
    def given_at(self) -> datetime:
        """Return the moment of the last event, or when playing begins where there is none."""
        return self.events[-1].at if self.events else self.seen_at - MOMENT

    @property
    def starts_at(self) -> datetime:
        """Return when playing begins: just before the first event, or the moment a calendar or programme turns."""
        return (self.events[0].at if self.events else self.seen_at) - MOMENT


def scenarios(plan: Plan) -> tuple[Scenario, ...]:
    """Return the causes of a site in the order of its precedence: inputs, lockouts of their own, time programmes."""
    start = quiet_moment(plan)
    found = [
        *(it for part in plan.site.inputs for it in _of_input(plan, part, start)),
        *(it for part in plan.lockouts for it in _of_lockout(plan, part, start)),
        *(it for part in plan.schedules for it in _of_schedule(plan, part)),
    ]
    return tuple(sorted(found, key=lambda it: plan.order.index(it.command_class)))


def quiet_moment(plan: Plan) -> datetime:
    """Return a moment at which nothing stands by calendar or programme, from a noon in June on.

    Where there is none, the first one tried; `is_quiet` then says so.
    """
    days = [datetime(YEAR, 6, 11) + timedelta(days=step) for step in range(0, 364, 7)]
    moments = [moment(day + timedelta(hours=hour), plan.time_zone) for hour in (12, 4, 20) for day in days]
    return next((at for at in moments if is_quiet(plan, at)), moments[0])


def is_quiet(plan: Plan, at: datetime) -> bool:
    """Return whether no calendar has a lockout stand and no programme commands a zone at a moment."""
    calendars = (it.calendar for it in plan.lockouts.values() if it.calendar)
    if any(it.has(at, plan.time_zone) for it in calendars):
        return False
    return all(state.current is None for state in begin(plan, at).zones.values())


def _name(plan: Plan, part: str) -> str:
    site = plan.site
    groups = (site.inputs, site.lockouts, site.schedules, site.links)
    described = next((group[part] for group in groups if part in group), None)
    name = getattr(described, "name", None) or part
    return name[:1].upper() + name[1:]


def _of_input(plan: Plan, part: str, start: datetime) -> Iterator[Scenario]:
    it, planned = plan.site.inputs[part], plan.inputs[part]
    if not planned.zones:
        return
    if planned.command_class == "manual":
        yield from _by_hand(plan, it, planned, start)
    elif planned.command_class == "link":
        yield from _by_link(plan, planned, start)
    elif planned.command_class == "smoke":
        yield from _by_smoke(plan, planned, start)
    else:
        yield from _by_condition(plan, it, planned, start)


def _by_hand(plan: Plan, it: Input, planned: InputPlan, start: datetime) -> Iterator[Scenario]:
    name, threshold_s = _name(plan, planned.part), it.hold_threshold_s
    held_s = None if threshold_s is None else threshold_s + 1.0
    for event, does in (("open", it.open_does), ("close", it.close_does)):
        if does != "nothing" and not (does is None and it.active_does):
            press = LogEvent(start, planned.part, event, held_s)
            yield _scenario(f"{name}: held on {event}" if held_s else f"{name}: {event}", planned, (press,))
    if it.active_does and it.active_does != "nothing":
        yield _scenario(f"{name}: operated", planned, (LogEvent(start, planned.part, "on"),))
    if threshold_s and it.tap_does:
        first = LogEvent(start, planned.part, "open", held_s)
        tap = LogEvent(start + PRESS_APART, planned.part, "close", threshold_s / 2)
        yield _scenario(f"{name}: short press while it opens", planned, (first, tap), lasts=False)


def _scenario(
    says: str, planned: InputPlan, events: tuple[LogEvent, ...], wait: timedelta = MOMENT, lasts: bool = True
) -> Scenario:
    seen_at = events[-1].at + wait
    return Scenario(says, planned.part, planned.command_class, planned.zones, events, seen_at, lasts)


def _by_link(plan: Plan, planned: InputPlan, start: datetime) -> Iterator[Scenario]:
    name = _name(plan, planned.part)
    for event in ("open", "close"):
        yield _scenario(f"{name}: {event} written", planned, (LogEvent(start, planned.part, event),))
    written = LogEvent(start, planned.part, "open")
    given_back = LogEvent(start + MOMENT, planned.part, "relinquish")
    yield _scenario(f"{name}: open withdrawn", planned, (written, given_back), lasts=False)


def _by_smoke(plan: Plan, planned: InputPlan, start: datetime) -> Iterator[Scenario]:
    name, part = _name(plan, planned.part), planned.part
    alarm = LogEvent(start, part, "on")
    yield _scenario(f"{name}: in alarm", planned, (alarm,))
    over = LogEvent(start + MOMENT, part, "off")
    yield _scenario(f"{name}: alarm over, not reset", planned, (alarm, over), lasts=False)
    reset = LogEvent(start + 2 * MOMENT, part, "reset")
    yield _scenario(f"{name}: alarm over and reset", planned, (alarm, over, reset), lasts=False)


def _by_condition(plan: Plan, it: Input, planned: InputPlan, start: datetime) -> Iterator[Scenario]:
    """Yield a sensor or key switch made and, for comfort sensors, back again; lockouts with other limits follow."""
    name, wait = _name(plan, planned.part), planned.threshold.delay + MOMENT
    limits = sorted({limit for limit in _upper_limits(plan, planned) if limit is not None})
    made = _made(it, planned, start, max(limits, default=None))
    yield _scenario(f"{name}: {_made_words(it, max(limits, default=None))}", planned, (made,), wait)
    if planned.command_class == "automatic":
        limit = planned.threshold.limit
        value = None if limit is None else limit - planned.threshold.dead_band
        back = _made(it, planned, start + wait, value, event="off")
        words = "no longer so" if value is None else f"back at {_amount(value, it)} or less"
        yield _scenario(f"{name}: {words}", planned, (made, back), lasts=False)
    for lockout in plan.lockouts.values():
        if lockout.input == planned.part and not lockout.threshold.is_upper:
            yield from _too_low(plan, it, lockout, start)


def _upper_limits(plan: Plan, planned: InputPlan) -> Iterator[float | None]:
    yield planned.threshold.limit
    for lockout in plan.lockouts.values():
        if lockout.input == planned.part and lockout.threshold.is_upper:
            yield lockout.threshold.limit


def _too_low(plan: Plan, it: Input, lockout: LockoutPlan, start: datetime) -> Iterator[Scenario]:
    limit = lockout.threshold.limit
    if limit is None or lockout.input is None:
        return
    event = LogEvent(start, lockout.input, "reading", limit)
    seen_at = start + lockout.threshold.delay + MOMENT
    says = f"{_name(plan, lockout.input)}: {_amount(limit, it)} or less"
    yield Scenario(says, lockout.part, lockout.command_class, lockout.zones, (event,), seen_at)


def _made(it: Input, planned: InputPlan, at: datetime, value: float | None, event: str = "on") -> LogEvent:
    if it.kind in SENSORS and value is not None:
        return LogEvent(at, planned.part, "reading", value)
    return LogEvent(at, planned.part, event)


def _made_words(it: Input, limit: float | None) -> str:
    if it.kind in SENSORS and limit is not None:
        return f"{_amount(limit, it)} or more"
    return {"rain": "wet", "key-switch": "turned", "wind": "windy"}.get(it.kind or "", "operated")


def _amount(value: float, it: Input) -> str:
    return f"{value:g} {'°C' if it.unit == 'C' else it.unit or ''}".rstrip()


def _of_lockout(plan: Plan, part: str, start: datetime) -> Iterator[Scenario]:
    """Yield a lockout that hangs on no input: by its calendar, or simply standing."""
    it = plan.lockouts[part]
    if it.input is not None:
        return
    name = _name(plan, part)
    if it.calendar is None:
        event = LogEvent(start, part, "on")
        yield Scenario(f"{name}: standing", part, it.command_class, it.zones, (event,), start + MOMENT)
    else:
        says = f"{name}: {_when(plan.site.lockouts[part])}"
        yield Scenario(says, part, it.command_class, it.zones, (), _inside(plan, it.calendar))


def _when(it: Lockout) -> str:
    days = f"{_day(it.from_day)} to {_day(it.until_day)}" if it.from_day and it.until_day else ""
    times = f"{it.from_time} to {it.until_time}" if it.from_time and it.until_time else ""
    return ", ".join(filter(None, (days, times)))


def _day(month_day: str) -> str:
    return f"{datetime.strptime(f'2024-{month_day}', '%Y-%m-%d'):%-d %B}"


def _inside(plan: Plan, calendar: Calendar) -> datetime:
    """Return a moment in a calendar: at noon where it can be, else just after it begins on some day."""
    clock = calendar.times.start if calendar.times else time(12)
    days = (datetime(YEAR, 6, 11).date() + timedelta(days=step) for step in range(366))
    return next(
        at for day in days if calendar.has(at := moment_on(day, clock, plan.time_zone) + MOMENT, plan.time_zone)
    )


def _of_schedule(plan: Plan, part: str) -> Iterator[Scenario]:
    """Yield a time programme at its next run of the year; the programmes of a timeline run by themselves."""
    it = plan.schedules[part]
    run = it.programme.next_run(datetime(YEAR, 1, 1, tzinfo=UTC), plan.time_zone)
    if run is not None and it.does in ("open", "close"):
        local = run.astimezone(plan.time_zone)
        days = plan.site.schedules[part].days
        says = f"{_name(plan, part)}: {local:%H:%M}{_weekdays(days)}"
        seen_at = run + MOMENT / 2
        yield Scenario(says, part, "schedule", it.zones, (), seen_at, lasts=it.does == "open")


def _weekdays(days: Iterable[str] | None) -> str:
    listed = list(days or ())
    return f" on {', '.join(it.capitalize() for it in listed)}" if 0 < len(listed) < 7 else " every day"
