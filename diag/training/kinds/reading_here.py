"""Ask what a meter shows at a part of this site, where the calculators work it out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from random import Random

from diag.training.dice import pick, spread
from diag.training.draft import Draft, Refused
from diag.training.figures.circuit import CIRCUIT
from diag.training.figures.figure import Asked, Figure, Setting, keep_setting
from diag.training.figures.lines import LINES
from diag.training.figures.movement import MOVEMENT
from diag.training.item import Choice, Item, Level, Reference
from diag.training.workshop import Workshop

ASKED: Mapping[str, Asked] = {**CIRCUIT, **LINES, **MOVEMENT}
BY_LEVEL: Mapping[Level, frozenset[str]] = {
    1: frozenset({"core-broken", "total-current", "travel", "supervised-line"}),
    2: frozenset({"core-broken", "cores-swapped", "loop", "sensor-signal", "supervised-line", "travel"}),
    3: frozenset({"bad-joint", "cores-swapped", "loop", "sensor-signal", "sensor-ohms", "supervised-line"}),
}
MOST_WEIGHT = 12
"""How much the number of its settings weighs when a kind of reading is chosen, so that none crowds the others out."""

ALWAYS_ALIKE = frozenset({"supervised-line", "total-current"})
"""Readings without a number of their own: a setting of theirs always gives the same question."""

SELDOMER = 8
"""How many times as seldom these are asked for each setting: judgement."""

CHECKS: Mapping[str, str] = {
    "core-broken": "volts-drive",
    "cores-swapped": "volts-drive",
    "bad-joint": "volts-across-joint",
    "total-current": "current-output",
    "loop": "ohms-core",
    "supervised-line": "ohms-end-of-line",
    "sensor-ohms": "signal-sensor",
    "sensor-signal": "signal-sensor",
    "travel": "time-full-travel",
}
"""The check whose page tells how each reading is taken, where the knowledge base has it."""


def draft_reading_here(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on a reading; raise Refused."""
    asked, setting = _chosen(workshop, rng, level, topic)
    figure = asked.figure(workshop, setting)
    english = workshop.phrases.english
    wrong = [Choice(figure.text(it.value), figure.text(it.value), english("why", it.mistake)) for it in figure.wrong()]
    key = Choice(figure.text(figure.right), figure.text(figure.right), english("why", figure.because))
    values = {figure.text(it): it for it in (figure.right, *(guess.value for guess in figure.wrong()))}
    check = CHECKS[asked.name]
    return Draft(
        kind="reading-here",
        topic=workshop.topic_of_part(figure.part),
        stem=(workshop.phrases.say("site", site=workshop.prepared.site.name), figure.says),
        lead_in=workshop.phrases.say("reading-here"),
        key=key,
        wrong=tuple(wrong),
        explanation=english("explanation", figure.because),
        references=(Reference("checks", check),) if check in workshop.knowledge.checks else (),
        evidence={"asked": asked.name, "setting": keep_setting(setting)},
        rising=values,
    )


def _chosen(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> tuple[Asked, Setting]:
    """Return what to ask, from every kind of reading, but seldom from one with few settings here."""
    found: dict[str, list[Setting]] = {}
    for name in sorted(BY_LEVEL[level]):
        settings = [it for it in ASKED[name].settings(workshop, rng) if _fits(workshop, ASKED[name], it, topic)]
        found |= {name: settings} if settings else {}
    if not found:
        raise Refused("nothing of this topic can be worked out here")
    name, within = _weighted({it: _weight(it, len(settings)) for it, settings in found.items()}, spread(rng))
    return ASKED[name], pick(found[name], within)[0]


def _weighted(weights: Mapping[str, float], share: float) -> tuple[str, float]:
    """Return the name at this share of all the weight, and how far within its own weight that lies."""
    at = share * sum(weights.values())
    for name, weight in weights.items():
        if at < weight:
            return name, at / weight
        at -= weight
    return next(reversed(list(weights))), 0.0


def _weight(name: str, settings: int) -> float:
    return min(settings, MOST_WEIGHT) / (SELDOMER if name in ALWAYS_ALIKE else 1)


def _fits(workshop: Workshop, asked: Asked, setting: Setting, topic: str | None) -> bool:
    return topic is None or topic == workshop.topic_of_part(asked.figure(workshop, setting).part)


def prove_reading_here(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the reading is worked out again."""
    setting = item.evidence["setting"]
    assert isinstance(setting, tuple)
    figure: Figure = ASKED[str(item.evidence["asked"])].figure(workshop, setting)
    if figure.text(figure.right) != item.key.text:
        yield f"{figure.text(figure.right)} is right, not {item.key.text}"
    for it in item.wrong:
        if abs(float(it.text.split()[0]) - figure.right) <= figure.apart * 0.9:
            yield f"{it.text} is too near to {item.key.text}"
