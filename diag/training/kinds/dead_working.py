"""Ask for the order of the steps of safe dead working, as the caution on electric shock gives them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from random import Random

from diag.topology import SITE_PART
from diag.training.dice import pick, spread
from diag.training.draft import Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.sources import shown_source
from diag.training.workshop import Workshop
from knowledge.entries import Cause

CAUTION = "electric-shock"
SENTENCE = re.compile(r"(?<=\.)\s+")
SAID_BEFORE = 3
"""Sentences of the caution before its first step: what is live, and that the order counts."""

STEPS = 5
STEPS_ASKED = {1: 4, 2: 5, 3: 5}


def steps_of(workshop: Workshop) -> tuple[str, ...]:
    """Return the steps in their order, as sentences; raise Refused where the caution has another shape."""
    steps = SENTENCE.split(workshop.phrases.caution(CAUTION).strip())[SAID_BEFORE:]
    if len(steps) != STEPS:
        raise Refused("the caution does not give five steps")
    return tuple(steps)


def draft_dead_working(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft | Item:
    """Return a question on the order, or on the step that comes next; raise Refused."""
    cause, part = _work(workshop, rng, topic)
    if rng.random() < 0.5:
        return _which_next(workshop, rng, cause, part)
    return _in_order(workshop, rng, level, cause, part)


def _work(workshop: Workshop, rng: Random, topic: str | None) -> tuple[Cause, str]:
    """Return a cause whose repair is dead work, and a part of the site where it can be."""
    causes = [it for it in workshop.knowledge.causes.values() if CAUTION in it.cautions and topic in (None, it.family)]
    there = [(it, sorted(workshop.topology.of_kind(it.sits_at))) for it in causes if it.sits_at != SITE_PART]
    fitting = [it for it in there if it[1]]
    if not fitting:
        raise Refused("no dead work of this topic")
    (cause, parts), within = pick(fitting, spread(rng))
    return cause, pick(parts, within)[0]


def _stem(workshop: Workshop, cause: Cause, part: str, *more: str) -> tuple[str, ...]:
    say = workshop.phrases.say
    task = workshop.phrases.cause(cause.id)
    task = task if workshop.phrases.language == "de" else f"{task[:1].lower()}{task[1:]}"
    return (
        say("site", site=workshop.prepared.site.name),
        say("dead-task", part=workshop.part(part or SITE_PART), task=task),
        *more,
    )


def _choices(workshop: Workshop, steps: Sequence[str], numbers: Sequence[int]) -> list[Choice]:
    english = workshop.phrases.english
    return [
        Choice(f"step-{it}", steps[it], english("why", f"It is step {it + 1} of {STEPS} in EN 50110-1, clause 6.2."))
        for it in numbers
    ]


def _in_order(workshop: Workshop, rng: Random, level: Level, cause: Cause, part: str) -> Item:
    steps = steps_of(workshop)
    numbers = sorted(rng.sample(range(STEPS), STEPS_ASKED[level]))
    right = [f"step-{it}" for it in numbers]
    choices = _choices(workshop, steps, numbers)
    while [it.id for it in choices] == right:
        rng.shuffle(choices)
    return Item(
        kind="dead-working",
        level=level,
        topic=cause.family,
        site=workshop.prepared.site.name,
        language=workshop.phrases.language,
        stem=_stem(workshop, cause, part),
        lead_in=workshop.phrases.say("dead-working"),
        choices=tuple(choices),
        answer=tuple(right),
        explanation=_because(workshop),
        references=(Reference("cautions", CAUTION), Reference("causes", cause.id)),
        evidence={"steps": tuple(str(it) for it in numbers)},
        response="order",
        in_english=() if workshop.phrases.language == "en" else ("why",),
    )


def _which_next(workshop: Workshop, rng: Random, cause: Cause, part: str) -> Draft:
    steps = steps_of(workshop)
    done = rng.randrange(STEPS - 2)
    before = (
        workshop.phrases.say("dead-done", step=" ".join(steps[:done])) if done else workshop.phrases.say("dead-start")
    )
    key, *later = _choices(workshop, steps, range(done, STEPS))
    rng.shuffle(later)
    return Draft(
        kind="dead-working",
        topic=cause.family,
        stem=_stem(workshop, cause, part, before),
        lead_in=workshop.phrases.say("dead-next"),
        key=key,
        wrong=tuple(later),
        explanation=_because(workshop),
        references=(Reference("cautions", CAUTION), Reference("causes", cause.id)),
        evidence={"done": done},
    )


def _because(workshop: Workshop) -> str:
    caution = workshop.phrases.caution(CAUTION)
    return f"{caution} ({shown_source(workshop.knowledge.cautions[CAUTION].source)})"


def prove_dead_working(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the caution is read again."""
    order = {text: place for place, text in enumerate(steps_of(workshop))}
    texts = {it.id: it.text for it in item.choices}
    if item.response == "order":
        places = [order[texts[it]] for it in item.answer]
        yield from ["the order is not that of the caution"] if places != sorted(places) else []
        return
    done = int(str(item.evidence["done"]))
    if order[item.key.text] != done:
        yield f"“{item.key.text}” is not the next step"
    yield from (f"“{it.text}” is not later" for it in item.wrong if order[it.text] <= done)
