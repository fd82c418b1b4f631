"""Ask what a reading at a part says."""

from __future__ import annotations

from collections.abc import Iterator
from random import Random

from diag.expectations import expect, in_short
from diag.observations import Finding
from diag.training.dice import pick, spread
from diag.training.draft import Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.readings import shown_reading, typed_reading
from diag.training.telling import check_at, outcome_id
from diag.training.workshop import Workshop
from knowledge.entries import Check
from knowledge.translations import EXPECT

EXPECTED_SHARE = 0.5
"""How often a reading as expected may be drawn at all: a sound one teaches less."""

SAME_CHECK = 2
"""A check needs more outcomes than this to ask about; others borrow what kindred checks mean."""


def draft_interpret_reading(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on the meaning of one reading; raise Refused."""
    check, part = _chosen(workshop, rng, topic)
    outcome = rng.choice(
        [it.id for it in check.outcomes if EXPECT not in it.label or rng.random() < EXPECTED_SHARE] or [""]
    )
    typed = typed_reading(workshop, check, part, outcome, rng) if outcome else None
    if typed is None:
        raise Refused("no reading belongs to this outcome alone")
    say, english = workshop.phrases.say, workshop.phrases.english
    means = {it.id: english("choices", it.means) for it in check.outcomes}
    text = expect(check, workshop.situation, part).text
    asks = say("check-asks", question=check.question) if workshop.phrases.language == "en" else ""
    told = say("read-at", said=check_at(workshop, check.id, part), asks=asks, reading=shown_reading(typed))
    shown = workshop.phrases.outcome(check, outcome)
    return Draft(
        kind="interpret-reading",
        topic=workshop.topic_of_part(part),
        stem=(say("site", site=workshop.prepared.site.name), told, *_told_at(workshop, level, in_short(text))),
        lead_in=say("interpret-reading"),
        key=Choice(outcome, means[outcome], english("why", f"The reading is “{shown}”.")),
        wrong=tuple(_wrong(workshop, check, outcome, in_short(text))),
        explanation=english("explanation", f"{_sentence(text)} {means[outcome]}"),
        references=(Reference("checks", check.id),),
        evidence={"check": check.id, "part": part, "typed": typed},
    )


def _wrong(workshop: Workshop, check: Check, outcome: str, expected: str) -> Iterator[Choice]:
    for it in check.outcomes:
        if it.id != outcome:
            yield Choice(it.id, it.means, _why(workshop, it.label, expected))


def _chosen(workshop: Workshop, rng: Random, topic: str | None) -> tuple[Check, str]:
    checks = [it for it in workshop.knowledge.checks.values() if it.reading and len(it.outcomes) > SAME_CHECK]
    fitting = [
        (check, parts)
        for check in checks
        if (parts := [it for it in parts_for(workshop, check) if topic in (None, workshop.topic_of_part(it))])
    ]
    if not fitting:
        raise Refused("no such part is read on this site")
    (check, parts), within = pick(fitting, spread(rng))
    return check, pick(parts, within)[0]


def parts_for(workshop: Workshop, check: Check) -> list[str]:
    """Return the described parts at which a check is made."""
    described = workshop.prepared.described
    return [
        part
        for part in sorted(workshop.topology.of_kind(check.at))
        if all(described.fields(part).get(name, "unknown") in allowed for name, allowed in check.where.items())
    ]


def _told_at(workshop: Workshop, level: Level, expected: str) -> list[str]:
    """At the first level the reading to expect is told; above it has to be worked out."""
    if level > 1:
        return []
    return [workshop.phrases.say("expected-here", expected=workshop.phrases.english("stem", expected))]


def _why(workshop: Workshop, label: str, expected: str) -> str:
    plain = label.replace(": {expect}", "").replace("{expect}", "as expected").rstrip(".")
    return workshop.phrases.english("why", f"That would be “{plain}”. To be expected here: {expected}.")


def _sentence(text: str) -> str:
    return text if text.endswith(".") else f"{text}."


def prove_interpret_reading(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the reading is classified again."""
    check, part, typed = (str(item.evidence[it]) for it in ("check", "part", "typed"))
    outcome = outcome_id(workshop, Finding(check, typed, part))
    if outcome != item.answer[0]:
        yield f"{typed} is {outcome}, not {item.answer[0]}"
