"""Say hold-offs, lockouts, time programmes and the order of commands in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from diag.expectations.words import listed
from diag.site import Input
from diag.timeline.names import CLASS_NAMES, name_of
from diag.timeline.plan import LockoutPlan, Plan, SchedulePlan


def order_words(plan: Plan) -> str:
    """Return the order of the command classes, those that this site has in it."""
    used = _commanding(plan) | {it.command_class for it in plan.lockouts.values()}
    names = [CLASS_NAMES[it] for it in plan.order if it in used]
    return f"Strongest first: {', '.join(names)}. A stronger command passes every weaker one."


def _commanding(plan: Plan) -> set[str]:
    """Return the command classes that some input, link or time programme of this site has."""
    return {it.command_class for it in plan.inputs.values()} | ({"schedule"} if plan.schedules else set())


def hold_off_words(plan: Plan) -> Iterator[str]:
    """Yield how long a hand command keeps weaker commands out, once for zones that agree."""
    weaker = plan.order[plan.order.index("manual") + 1 :]
    kept_out = listed(CLASS_NAMES[it] for it in weaker if it in _commanding(plan))
    by_minutes: dict[float | None, list[str]] = {}
    for zone, it in plan.zones.items():
        minutes = it.hold_off.total_seconds() / 60 if it.is_hold_off_known else None
        by_minutes.setdefault(minutes, []).append(name_of(plan, zone))
    for minutes, zones in by_minutes.items():
        if minutes is None:
            yield f"{_capital(listed(zones))}: the hold-off is not described."
        elif minutes == 0:
            yield f"{_capital(listed(zones))}: no hold-off; the next command of any class counts."
        elif kept_out:
            yield f"{_capital(listed(zones))}: a hand command keeps {kept_out} out for {minutes:g} minutes."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def lockout_words(plan: Plan) -> Iterator[str]:
    """Yield, for each lockout, when it stands, what it refuses to whom, what it forces, and when it ends."""
    for it in plan.lockouts.values():
        zones = listed(name_of(plan, zone) for zone in it.zones) or "no zone"
        parts = [_when(plan, it), *_does(plan, it), _until(it)]
        yield f"{_capital(name_of(plan, it.part))}, for {zones}: {'; '.join(part for part in parts if part)}."


def _when(plan: Plan, it: LockoutPlan) -> str:
    described = plan.site.lockouts[it.part]
    if it.input:
        watched = plan.site.inputs.get(it.input)
        limit = "" if it.threshold.limit is None else f" at {_amount(it.threshold.limit, watched)}"
        beyond = "" if not limit else " or more" if it.threshold.is_upper else " or less"
        return f"stands on {name_of(plan, it.input)}{limit}{beyond}"
    days = f"from {_day(described.from_day)} to {_day(described.until_day)}" if described.from_day else ""
    times = f"from {described.from_time} to {described.until_time}" if described.from_time else ""
    return f"stands {' '.join(filter(None, (days, times)))}" if days or times else "when it stands is not described"


def _amount(value: float, it: Input | None) -> str:
    unit = (it.unit if it else None) or ""
    return f"{value:g} {'°C' if unit == 'C' else unit}".rstrip()


def _day(month_day: str | None) -> str:
    if month_day is None:
        return "a day not described"
    day = datetime.strptime(f"2024-{month_day}", "%Y-%m-%d")
    return f"{day.day} {day:%B}"


def _does(plan: Plan, it: LockoutPlan) -> Iterator[str]:
    if it.actions:
        words = {"open": "opening", "close": "closing"}
        actions = listed(words[action] for action in sorted(it.actions, reverse=True))
        refused = listed(CLASS_NAMES[name] for name in plan.order if name in it.classes & _commanding(plan))
        yield f"refuses {actions} to {refused or 'nobody'}"
    if it.forces:
        yield "closes" if it.forces == "close" else "opens"
    if it.is_passed_by_hand:
        yield "a hand command still counts"


def _until(it: LockoutPlan) -> str:
    minutes = it.threshold.release.total_seconds() / 60
    return f"ends {minutes:g} minutes after its cause" if minutes else ""


def schedule_words(plan: Plan) -> Iterator[str]:
    """Yield what each time programme does and when."""
    for part, described in plan.site.schedules.items():
        it = plan.schedules.get(part)
        if it is None:
            yield f"{_capital(name_of(plan, part))}: its time or its action is not described."
        else:
            season = _season(described.from_day, described.until_day)
            yield f"{_capital(name_of(plan, part))}: {_runs(plan, it)}{season}."


def _runs(plan: Plan, it: SchedulePlan) -> str:
    does = {"automatic-on": "switches automatic on for", "automatic-off": "switches automatic off for"}
    zones = listed(name_of(plan, zone) for zone in it.zones)
    days = plan.site.schedules[it.part].days
    on = f" on {listed(day.capitalize() for day in days)}" if days and len(days) < 7 else " every day"
    return f"{does.get(it.does, f'{it.does}s')} {zones} at {it.programme.at:%H:%M}{on}"


def _season(first: str | None, last: str | None) -> str:
    return f", from {_day(first)} to {_day(last)}" if first and last else ""
