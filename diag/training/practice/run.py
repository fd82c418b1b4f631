"""Run a practice call-out: the same request and the same steps always come to the same."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from random import Random

from diag.classify import outcome_of
from diag.errors import DiagError, UnknownCause, UnknownCheck, UnknownPart
from diag.observations import Case, Finding
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case
from diag.topology import SITE_PART
from diag.training.practice.proving import shows_it_gone
from diag.training.practice.steps import PRECAUTION_MINUTES, CallOutOver, NothingToProve, Step, Taken, UnfitPart
from diag.training.practice.switching import fitting, is_spoiled, needless, switched_off
from diag.training.practice.wording import PracticeWords
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.drawing import draw
from diag.virtual_checks.journey import PROOF_MINUTES
from diag.virtual_checks.people import PERFECT
from diag.virtual_checks.unsafe import Danger

DEAD_WORK = frozenset({"isolated", "battery-off", "proved-dead"})
SHOCK = "electric-shock"


@dataclass(frozen=True, slots=True)
class PracticeRequest:
    """Which call-out: the seed, the families of causes it may be about (none means all), and the draw of that seed.

    `language` is that in which it is told.
    """

    seed: int = 1
    topics: tuple[str, ...] = ()
    turn: int = 0
    language: str = "en"


@dataclass
class Practice:
    """A call-out under way: the virtual site, and the steps taken so far."""

    reasoner: Reasoner
    call: CallOut
    said: PracticeWords
    words: str
    """What the caller says."""

    taken: list[Taken] = field(default_factory=list)

    @property
    def prepared(self) -> PreparedSite:
        """Return the site as the trainee has it described."""
        return self.call.prepared

    @property
    def minutes(self) -> float:
        """Return the minutes spent."""
        return sum(it.minutes for it in self.taken)

    @property
    def climbs(self) -> int:
        """Return how often somebody climbed."""
        return sum(it.climbs for it in self.taken)

    @property
    def place(self) -> str | None:
        """Return where the trainee stands; None before the first walk."""
        return next((it.place for it in reversed(self.taken) if it.place), None)

    @property
    def is_over(self) -> bool:
        """Return whether somebody has shown that the complaint is gone."""
        return any(it.works for it in self.taken)

    @property
    def is_mended(self) -> bool:
        """Return whether the complaint is gone, shown or not."""
        return any(it.mended for it in self.taken)

    @property
    def to_prove(self) -> Taken | None:
        """Return the last repair, where nothing has shown yet whether it helped."""
        for it in reversed(self.taken):
            if it.works is not None:
                return None
            if it.step.kind == "repair":
                return it
        return None

    def case(self) -> Case:
        """Return what is known now: the report, and the repairs that were shown not to help."""
        shown = max((place for place, it in enumerate(self.taken) if it.works is not None), default=0)
        tried = [it for it in self.taken[:shown] if it.step.kind == "repair" and not it.mended]
        return replace(self.call.case(), repaired=tuple((it.step.what, it.step.part) for it in tried))

    def findings(self) -> tuple[Finding, ...]:
        """Return what the checks found."""
        return findings_of(self.taken)

    def reasoning(self) -> Reasoning:
        """Return the reasoning over what was reported, findings still unweighed."""
        return open_case(self.reasoner, self.prepared, self.case())

    def reported(self) -> Reasoning:
        """Return the reasoning over the report as it was before anything was tried."""
        return open_case(self.reasoner, self.prepared, replace(self.call.case(), repaired=()))

    def take(self, step: Step) -> Taken:
        """Return what came of a step; raise UnknownCheck, UnknownCause, UnknownPart, NothingToProve
        or CallOutOver.
        """
        if self.is_over:
            raise CallOutOver
        self._know(step)
        work = {"check": self._check, "repair": self._repair, "proof": self._prove}
        taken = work[step.kind](step)
        self.taken.append(taken)
        return taken

    def _know(self, step: Step) -> None:
        knowledge = self.reasoner.knowledge
        if step.kind == "check" and step.what not in knowledge.checks:
            raise UnknownCheck(step.what, knowledge.checks)
        if step.kind != "check" and step.what not in knowledge.causes:
            raise UnknownCause(step.what, knowledge.causes)
        kinds = self.prepared.topology.kinds
        if step.part is not None and step.part != SITE_PART and step.part not in kinds:
            raise UnknownPart(step.part, kinds)
        at = knowledge.checks[step.what].at if step.kind == "check" else SITE_PART
        if step.part is not None and at != SITE_PART and kinds.get(step.part) != at:
            raise UnfitPart(step.part, [it for it, kind in kinds.items() if kind == at])

    def _check(self, step: Step) -> Taken:
        dangers = self.call.unsafe(step.what, step.part)
        entry = self.reasoner.knowledge.checks[step.what]
        cost = self.call.minutes(step.what, step.part, self.place)
        spoiled = is_spoiled(entry, step.precautions)
        with switched_off(self.call, step.part or SITE_PART, step.precautions if spoiled else ()):
            reply = self.call.answer(step.what, step.part)
        gone = self.is_mended and not spoiled and shows_it_gone(self.call, step.what, step.part, reply.outcome)
        found = self.said.found(step.what, reply)
        says = self.said.say("switched-off", found=found) if spoiled else found
        return Taken(
            step=step,
            name=self.said.phrases.check(step.what),
            where=self.name(step.part),
            says=self.said.say("gone", found=found) if gone else says,
            minutes=cost.minutes + PRECAUTION_MINUTES * len(step.precautions),
            climbs=cost.climbs,
            place=cost.place,
            outcome=reply.outcome,
            typed=reply.outcome and _readable(self, step, reply.typed, reply.outcome),
            works=True if gone else None,
            dangers=_unanswered(dangers, step),
            needless=needless(step.precautions, [it.precaution for it in dangers], fitting(entry)),
            is_spoiled=spoiled,
        )

    def _repair(self, step: Step) -> Taken:
        dangers = self.unsafe_repair(step.what, step.part)
        entry = self.reasoner.knowledge.causes[step.what]
        cost = self.call.repair_minutes(step.what, step.part, self.place)
        tried = self.call.repair(step.what, step.part)
        return Taken(
            step=step,
            name=self.said.phrases.cause(step.what),
            where=self.name(step.part),
            says=self.said.say("explained" if entry.as_designed else "mended"),
            minutes=cost.minutes - PROOF_MINUTES + PRECAUTION_MINUTES * len(step.precautions),
            climbs=cost.climbs,
            place=cost.place,
            mended=tried.works,
            was_there=tried.was_there,
            dangers=_unanswered(dangers, step),
            needless=needless(step.precautions, [it.precaution for it in dangers], entry.cautions),
            is_as_designed=entry.as_designed,
        )

    def _prove(self, step: Step) -> Taken:
        """Return what the proving movement after the last repair shows: nothing where the power was switched off."""
        last = self.to_prove
        if last is None:
            raise NothingToProve
        spoiled = "isolated" in step.precautions
        return Taken(
            step=Step("proof", last.step.what, last.step.part, step.precautions),
            name=last.name,
            where=last.where,
            says=self._proof_says(last, spoiled),
            minutes=PROOF_MINUTES + PRECAUTION_MINUTES * len(step.precautions),
            climbs=0,
            place=last.place,
            works=None if spoiled else self.is_mended,
            needless=needless(step.precautions, ("clear-of-edges", "told-people", "safe-access"), ()),
            is_spoiled=spoiled,
            is_as_designed=last.is_as_designed,
        )

    def _proof_says(self, last: Taken, spoiled: bool) -> str:
        if self.is_mended and not spoiled:
            return self.said.say("works-explained" if last.is_as_designed else "works")
        left = ", ".join(dict.fromkeys(self.said.phrases.symptom(it.symptom) for it in self.call.left()))
        still = self.said.say("still", left=left or self.said.say("complaint"))
        return self.said.say("switched-off", found=self.said.say("no-movement")) if spoiled else still

    def unsafe_repair(self, cause: str, part: str | None, taken: frozenset[str] = frozenset()) -> tuple[Danger, ...]:
        """Return the dangers of a repair: none of what is as designed, dead work only where its cautions ask for it."""
        entry = self.reasoner.knowledge.causes[cause]
        if entry.as_designed:
            return ()
        found = self.call.unsafe_repair(cause, part or SITE_PART, taken)
        return tuple(it for it in found if it.precaution not in DEAD_WORK or SHOCK in entry.cautions)

    def name(self, part: str | None) -> str:
        """Return how people call a part."""
        return self.said.part(self.prepared.scope(()), part)


def findings_of(taken: Iterable[Taken]) -> tuple[Finding, ...]:
    """Return what these steps found; a check of what was switched off found nothing."""
    checks = [it for it in taken if it.step.kind == "check" and it.typed and not it.is_spoiled]
    return tuple(Finding(it.step.what, it.typed or "", it.step.part) for it in checks)


def _unanswered(dangers: tuple[Danger, ...], step: Step) -> tuple[Danger, ...]:
    return tuple(it for it in dangers if it.precaution not in step.precautions)


def _readable(practice: Practice, step: Step, typed: str, outcome: str) -> str:
    """Return what was read where a finding can hold it, else the outcome: some meters show no number."""
    question = practice.call.question(step.what, step.part or SITE_PART)
    try:
        return typed if outcome_of(question.check, typed, question.expectation) == outcome else outcome
    except DiagError:
        return outcome


def begin_practice(reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest) -> Practice:
    """Return the call-out of a request, nothing done yet.

    Raises NothingToNotice where the site can have none, or UnknownLanguage.
    """
    families = frozenset(request.topics)
    causes = frozenset(it.id for it in reasoner.knowledge.causes.values() if it.family in families) or None
    dice = Random(f"practise/{request.seed}/{request.turn}")
    call = draw(reasoner, prepared, dice, person=PERFECT, causes=causes)
    said = PracticeWords(reasoner.knowledge, request.language)
    return Practice(reasoner, call, said, _caller_says(said, call))


def _caller_says(said: PracticeWords, call: CallOut) -> str:
    """Return the report with where it is and what else the caller mentions.

    It is told by the names of symptoms: phrases of theirs may claim what is not so at this site.
    """
    scope = call.prepared.scope(())
    reported = [f"{said.phrases.symptom(it.symptom)}, {said.part(scope, it.part)}" for it in call.symptoms]
    told = [said.phrases.condition(it) for it in sorted(call.told)]
    return ". ".join(f"{it[:1].upper()}{it[1:]}" for it in (*reported, *told)) + "."


def replayed(reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest, steps: Iterable[Step]) -> Practice:
    """Return a call-out with steps taken before taken again."""
    practice = begin_practice(reasoner, prepared, request)
    for step in steps:
        practice.take(step)
    return practice


def open_options(practice: Practice) -> Sequence[tuple[str, str]]:
    """Return every check that somebody who knows the trade might think of here, with its part, in order of name."""
    options = [it for it in practice.reasoning().options.options if not it[1].startswith("?")]
    return sorted(options, key=lambda it: (practice.said.phrases.check(it[0]), it[1]))
