"""Ask when a zone opens by itself after what was commanded: at the time asked about, or else later."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from diag.training.day import Day, draw_day, keep_day, kept_day
from diag.training.day_played import opens_at, played
from diag.training.day_told import mistakes, tell_day
from diag.training.draft import Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.workshop import Workshop


def draft_moves_at(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on the time of the next automatic opening; raise Refused."""
    if topic not in (None, "settings", "input"):
        raise Refused("times are about settings and inputs")
    day = draw_day(workshop, rng, level)
    if day is None:
        raise Refused("no zone opens by itself here")
    right = opens_at(workshop, day)
    if right is None:
        raise Refused("it does not open by itself that day")
    guesses = {it.at: it for it in mistakes(workshop, day) if it.at != right and it.at >= day.asked}
    said = played(workshop, day)
    return Draft(
        kind="moves-at",
        topic=topic or "settings",
        stem=tell_day(workshop, day),
        lead_in=workshop.phrases.say("moves-at", zone=workshop.part(day.zone)),
        key=Choice(right, right, workshop.phrases.english("why", said)),
        wrong=tuple(Choice(it.at, it.at, workshop.phrases.english("why", it.mistake)) for it in guesses.values()),
        explanation=workshop.phrases.english("explanation", said),
        references=_references(day),
        evidence=keep_day(day),
        rising={it: float(it.replace(":", ".")) for it in (right, *guesses)},
    )


def _references(day: Day) -> tuple[Reference, ...]:
    found = [Reference("causes", "hold-off-active")] if day.presses else []
    return (*found, *([Reference("causes", "lockout-active")] if day.weather else []))


def prove_moves_at(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the day is played again."""
    day = kept_day(item.evidence)
    right = opens_at(workshop, day)
    if right != item.answer[0]:
        yield f"it opens at {right}, not at {item.answer[0]}"
