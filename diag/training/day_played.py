"""Play a day of a question: when the zone opens by itself, and what stood until then."""

from __future__ import annotations

from datetime import datetime, time, timedelta

from diag.timeline.clock import moment
from diag.timeline.command import Span
from diag.timeline.events import LogEvent
from diag.timeline.plan import LockoutPlan
from diag.timeline.play import play
from diag.timeline.sentences import tell
from diag.training.day import CALM, STORM, Day
from diag.training.workshop import Workshop

LOOKED_AHEAD = timedelta(hours=8)


def lockout_of(workshop: Workshop, day: Day) -> LockoutPlan | None:
    """Return the lockout that the weather of the day makes."""
    if day.weather is None:
        return None
    parts = workshop.plan.lockouts_by_input.get(day.weather.part, ())
    return next((workshop.plan.lockouts[it] for it in parts), None)


def events_of(workshop: Workshop, day: Day) -> list[LogEvent]:
    """Return the day as events in order of time."""
    sensor = workshop.plan.inputs[day.sensor]
    events = [LogEvent(moment_of(workshop, day, day.asks) - sensor.threshold.delay, day.sensor, "on")]
    events += [LogEvent(moment_of(workshop, day, it), day.switch, "close", zone=day.zone) for it in day.presses]
    if day.weather:
        part, begins, ends = day.weather.part, day.weather.begins, day.weather.ends
        is_wind = workshop.plan.inputs[part].command_class == "wind"
        for at, event, value in ((begins, "on", STORM), (ends, "off", CALM)):
            name, reading = ("reading", float(value)) if is_wind else (event, None)
            events.append(LogEvent(moment_of(workshop, day, at), part, name, reading))
    return sorted(events, key=lambda it: it.at)


def moment_of(workshop: Workshop, day: Day, clock: str) -> datetime:
    """Return the moment of a time of that day."""
    local = datetime.combine(day.date, time.fromisoformat(clock))
    return moment(local, workshop.plan.time_zone)


def opens_at(workshop: Workshop, day: Day) -> str | None:
    """Return when the zone first opens by itself from the time asked on; None when it does not, or was open."""
    asked = moment_of(workshop, day, day.asked)
    timeline = play(workshop.plan, events_of(workshop, day), until=asked + LOOKED_AHEAD)
    for span in timeline.spans[day.zone]:
        if span.end > asked and _opens(span):
            at = span.start.astimezone(workshop.plan.time_zone)
            return None if span.start < asked or at.second else f"{at:%H:%M}"
    return None


def _opens(span: Span) -> bool:
    it = span.command
    return it is not None and it.command_class == "automatic" and it.action == "open" and not it.is_spent


def played(workshop: Workshop, day: Day) -> str:
    """Return what stood over the day up to the opening, in sentences."""
    events = events_of(workshop, day)
    begins, asked = (moment_of(workshop, day, it) for it in (min(day.asks, *day.presses, day.asked), day.asked))
    timeline = play(workshop.plan, events, start=begins, until=asked + LOOKED_AHEAD)
    said, opened = [], False
    for it in tell(workshop.plan, timeline, day.zone):
        if opened:
            break
        local = it.at.astimezone(workshop.plan.time_zone)
        said.append(f"{local:%H:%M} {it.says}")
        opened = f"{local:%H:%M}" == opens_at(workshop, day)
    return " ".join(said)
