"""Ask which check to make next: the one that tells most about the cause for the minutes it takes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from random import Random

from diag.next_checks import ANSWER_MINUTES
from diag.observations import NextCheck
from diag.planning import information_bits
from diag.reasoning import place_of_check
from diag.training.draft import Draft, Refused
from diag.training.item import Choice, Item, Level, Reference
from diag.training.scenarios import Scene, answer_of, draw_scene, found_by, reopened, weight_of
from diag.training.telling import check_at, keep_case, tell_case
from diag.training.workshop import Workshop

MOST_OF_BEST: Mapping[Level, float] = {1: 0.35, 2: 0.5, 3: 0.7}
"""How much a wrong check may tell for its minutes, as a share of the best."""

NEVER_BEST = frozenset({"ask-normal-behaviour"})
NOT_WHEN_DEAD = frozenset({"ask-both-directions"})
DEAD = frozenset({"site-dead", "zone-dead", "drive-dead", "panel-dark"})
"""Where nothing moves, which direction fails is known, and asking whether it is normal teaches nothing; judgement."""

CHEAP_SHARE = 0.75
"""In how many questions a wrong check is as cheap as the best one."""

LITTLE_BITS = 0.05
MOST_TEMPTING, MOST_CHEAP = 4, 4
"""How many of each lead the wrong checks: those that tell much but take long, and those as cheap as the best."""

TEMPTING_BITS = 0.15
"""A check that tells this much tempts, though it takes long; judgement."""


@dataclass(frozen=True, slots=True)
class Worth:
    """A check at a part with what it tells in bits and its minutes, those on foot apart."""

    check: str
    part: str
    bits: float
    minutes: float
    walk_minutes: float

    @property
    def rate(self) -> float:
        """Return bits a minute, answering included."""
        return self.bits / (ANSWER_MINUTES + self.minutes + self.walk_minutes)


def draft_next_check(workshop: Workshop, rng: Random, level: Level, topic: str | None) -> Draft:
    """Return a question on the next check; raise Refused."""
    causes = [it for it in workshop.knowledge.causes.values() if topic in (None, it.family)]
    scene = draw_scene(workshop, rng, causes)
    if scene is None:
        raise Refused("the cause cannot show at this site")
    scene = _some_way_on(workshop, scene, level, rng)
    offered = answer_of(scene, workshop).next
    worths = worths_of(workshop, scene)
    if not offered or not worths or (offered[0].check, offered[0].part) != (worths[0].check, _known(worths[0].part)):
        raise Refused("no check is clearly best")
    key, about = worths[0], offered[0]
    if key.check in NEVER_BEST or (
        key.check in NOT_WHEN_DEAD and any(it.symptom in DEAD for it in scene.case.symptoms)
    ):
        raise Refused("the best check here is none to teach")
    return Draft(
        kind="next-check",
        topic=topic or workshop.cause(scene.cause).family,
        stem=(*tell_case(workshop, scene.case), *_standing(workshop, scene)),
        lead_in=workshop.phrases.say("next-check"),
        key=Choice(_id(key), _text(workshop, key), _why(workshop, about)),
        wrong=tuple(_wrong(workshop, worths, level)),
        explanation=_why(workshop, about),
        references=(Reference("checks", key.check),),
        evidence={**keep_case(scene.case), "share": MOST_OF_BEST[level]},
        fits=_with_a_cheap_one(worths) if rng.random() < CHEAP_SHARE else None,
    )


def _with_a_cheap_one(worths: list[Worth]) -> Callable[[Sequence[Choice]], bool]:
    """Return whether one of the wrong checks takes no longer than the best: minutes alone are no sign."""
    minutes = {_id(it): it.minutes + it.walk_minutes for it in worths}
    key = minutes[_id(worths[0])]
    return lambda wrong: any(minutes[it.id] <= key for it in wrong)


def _known(part: str) -> str | None:
    return None if part.startswith("?") else part


def _some_way_on(workshop: Workshop, scene: Scene, level: Level, rng: Random) -> Scene:
    """Return the call-out after as many findings as the level asks for."""
    for _ in range(rng.randrange(level + 1)):
        for check in answer_of(scene, workshop).next:
            found = found_by(workshop, scene, check.check, check.part)
            if found is not None:
                scene = scene.told(found)
                break
    return scene


def worths_of(workshop: Workshop, scene: Scene) -> list[Worth]:
    """Return every open check, best for its minutes first."""
    weight, reasoning = weight_of(scene, workshop), scene.reasoning
    bits = information_bits(weight.probabilities, reasoning.options)
    start = standing_at(workshop, scene)
    walks = workshop.prepared.walks
    found = [
        Worth(
            check,
            part,
            float(bits[place]),
            workshop.check(check).minutes,
            walks.minutes(start, reasoning.places[place]),
        )
        for place, (check, part) in enumerate(reasoning.options.options)
        if (check, part) not in weight.answered and place not in reasoning.known
    ]
    return sorted(found, key=lambda it: (-round(it.rate, 9), it.check, it.part))


def standing_at(workshop: Workshop, scene: Scene) -> str | None:
    """Return the place of the last check that was made at a place; None before the first."""
    reasoner, situation = workshop.reasoner, scene.reasoning.situation
    answered = weight_of(scene, workshop).answered
    places = (place_of_check(reasoner, workshop.prepared, situation, *it) for it in reversed(answered))
    return next((it for it in places if it), None)


def _standing(workshop: Workshop, scene: Scene) -> list[str]:
    place = standing_at(workshop, scene)
    if place is None:
        return []
    return [workshop.phrases.say("at-place", place=workshop.prepared.site.places[place].name or place)]


def _wrong(workshop: Workshop, worths: list[Worth], level: Level) -> Iterator[Choice]:
    """Yield checks that tell much less for their minutes: those that tempt first, each check once."""
    best, seen = worths[0], {worths[0].check}
    low = [it for it in worths if it.rate <= MOST_OF_BEST[level] * best.rate]
    cheap = [it for it in low if it.minutes + it.walk_minutes <= best.minutes + best.walk_minutes][:MOST_CHEAP]
    tempting = sorted(low, key=lambda it: (it.bits < TEMPTING_BITS, -it.bits, it.check, it.part))
    for it in (*tempting[:MOST_TEMPTING], *cheap, *tempting[MOST_TEMPTING:]):
        if it.check not in seen:
            seen.add(it.check)
            yield Choice(_id(it), _text(workshop, it), workshop.phrases.english("why", _why_not(it, best)))


def _why_not(it: Worth, best: Worth) -> str:
    minutes = it.minutes + it.walk_minutes
    if it.bits < LITTLE_BITS:
        return "The causes that are left would nearly all show the same here, so it tells next to nothing now."
    tells = "It tells more, but" if it.bits > best.bits else "It tells less and"
    times = f"{best.rate / it.rate:.1f} times as much"
    taken = "a minute" if minutes == 1 else f"{minutes:g} minutes"
    return f"{tells} takes {taken}. For each minute the best check tells {times}."


def _why(workshop: Workshop, check: NextCheck) -> str:
    return workshop.phrases.english("explanation", f"{check.why_now} {check.question}")


def _text(workshop: Workshop, it: Worth) -> str:
    said = check_at(workshop, it.check, it.part)
    if it.walk_minutes:
        return workshop.phrases.say("cost-walk", name=said, minutes=f"{it.minutes:g}", walk=f"{it.walk_minutes:g}")
    return workshop.phrases.say("cost", name=said, minutes=f"{it.minutes:g}")


def _id(it: Worth) -> str:
    return f"{it.check}@{it.part}"


def prove_next_check(workshop: Workshop, item: Item) -> Iterator[str]:
    """Yield what keeps the item from being right when the plan is made again."""
    scene = reopened(workshop, item.evidence)
    first = answer_of(scene, workshop).next[0]
    rates = {_id(it): it.rate for it in worths_of(workshop, scene)}
    if item.answer[0].partition("@")[0] != first.check:
        yield f"the plan begins with {first.check}"
    for it in item.wrong:
        if rates[it.id] > float(str(item.evidence["share"])) * rates[item.answer[0]] + 1e-9:
            yield f"{it.id} tells too much for its minutes"
