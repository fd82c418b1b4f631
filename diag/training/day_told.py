"""Tell a day of a question in sentences, and the times that mistakes lead to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.training.day import CALM, STORM, Day, clock_from, minutes_from
from diag.training.day_played import lockout_of
from diag.training.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Mistake:
    """A time that a mistake leads to, and the mistake in words."""

    at: str
    mistake: str


def tell_day(workshop: Workshop, day: Day) -> tuple[str, ...]:
    """Return the day in the sentences of a stem, in order of time."""
    say, zone = workshop.phrases.say, workshop.part(day.zone)
    told = [(day.asks, say("event-asks", time=day.asks, part=workshop.part(day.sensor)))]
    told += [(it, say("event-hand-close", time=it, zone=zone, part=workshop.part(day.switch))) for it in day.presses]
    told += _tell_weather(workshop, day)
    return (
        say("site", site=workshop.prepared.site.name),
        *_tell_settings(workshop, day),
        say("day", day=day.date.isoformat()),
        *(said for _, said in sorted(told)),
        say("moves-at-about", time=day.asked, zone=zone),
    )


def _tell_weather(workshop: Workshop, day: Day) -> list[tuple[str, str]]:
    if day.weather is None:
        return []
    part, begins, ends = day.weather.part, day.weather.begins, day.weather.ends
    kind = workshop.plan.inputs[part].command_class
    name = workshop.part(part)
    say = workshop.phrases.say
    return [
        (begins, say(f"event-{kind}-on", time=begins, part=name, value=STORM)),
        (ends, say(f"event-{kind}-off", time=ends, part=name, value=CALM)),
    ]


def _tell_settings(workshop: Workshop, day: Day) -> Iterator[str]:
    minutes = workshop.plan.zones[day.zone].hold_off.total_seconds() / 60
    yield workshop.phrases.say("hold-off", zone=workshop.part(day.zone), minutes=f"{minutes:g}")
    lockout = lockout_of(workshop, day)
    if lockout:
        yield from _tell_limit(workshop, day)
        release = lockout.threshold.release.total_seconds() / 60
        yield workshop.phrases.say("release", lockout=workshop.part(lockout.part), minutes=f"{release:g}")


def _tell_limit(workshop: Workshop, day: Day) -> Iterator[str]:
    """Yield from which reading the weather counts, where it is one that is read."""
    it = workshop.plan.inputs[day.weather.part] if day.weather else None
    if it is not None and it.command_class == "wind" and it.threshold.limit is not None:
        yield workshop.phrases.say("wind-limit", part=workshop.part(it.part), limit=f"{it.threshold.limit:g}")


def mistakes(workshop: Workshop, day: Day) -> Iterator[Mistake]:
    """Yield the times that usual mistakes lead to, the most usual first."""
    hold = int(workshop.plan.zones[day.zone].hold_off.total_seconds() // 60)
    asked = minutes_from(day.asked)
    yield Mistake(day.asked, "That forgets what keeps automatic out at that time.")
    yield from _about_presses([minutes_from(it) for it in day.presses], hold, asked)
    yield from _about_weather(workshop, day, hold)
    yield Mistake(clock_from(asked + 30), "Nothing counts from the moment of the question.")


def _about_presses(presses: list[int], hold: int, asked: int) -> Iterator[Mistake]:
    for it in presses[:-1]:
        yield Mistake(clock_from(it + hold), "Each hand command begins the time anew.")
    for it in presses[-1:]:
        yield Mistake(clock_from(it + hold), "Something else counts longer than this hand command.")
        yield Mistake(clock_from(it + 2 * hold), "The time counts once from the last hand command.")
        yield Mistake(clock_from(asked + hold), "The hold-off counts from the hand command, not from the question.")
        yield Mistake(clock_from(it + hold + 10), "Automatic is back as soon as the hold-off ends.")


def _about_weather(workshop: Workshop, day: Day, hold: int) -> Iterator[Mistake]:
    lockout = lockout_of(workshop, day)
    if day.weather is None or lockout is None:
        return
    begins, ends = minutes_from(day.weather.begins), minutes_from(day.weather.ends)
    release = int(lockout.threshold.release.total_seconds() // 60)
    yield Mistake(clock_from(ends), "The lockout stays for a while after its cause is over.")
    yield Mistake(clock_from(begins + release), "The release counts from the end of the cause, not from its begin.")
    yield Mistake(clock_from(ends + release), "Something else counts longer than this lockout.")
    yield Mistake(clock_from(ends + release + hold), "Weather starts no hold-off: a hand command does.")
