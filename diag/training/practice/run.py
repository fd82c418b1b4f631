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
from diag.training.practice.steps import PRECAUTION_MINUTES, CallOutOver, Step, Taken
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.drawing import draw
from diag.virtual_checks.people import PERFECT
from diag.wording import name_part


@dataclass(frozen=True, slots=True)
class PracticeRequest:
    """Which call-out: the seed, the families of causes it may be about (none means all), and the draw of that seed."""

    seed: int = 1
    topics: tuple[str, ...] = ()
    turn: int = 0


@dataclass
class Practice:
    """A call-out under way: the virtual site, and the steps taken so far."""

    reasoner: Reasoner
    call: CallOut
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
        """Return whether the complaint is gone."""
        return any(it.works for it in self.taken)

    def case(self) -> Case:
        """Return what is known now: the report, and the repairs that did not help."""
        tried = [(it.step.what, it.step.part) for it in self.taken if it.step.kind == "repair" and not it.works]
        return replace(self.call.case(), repaired=tuple(tried))

    def findings(self) -> tuple[Finding, ...]:
        """Return what the checks found."""
        checks = [it for it in self.taken if it.step.kind == "check" and it.typed]
        return tuple(Finding(it.step.what, it.typed or "", it.step.part) for it in checks)

    def reasoning(self) -> Reasoning:
        """Return the reasoning over what was reported, findings still unweighed."""
        return open_case(self.reasoner, self.prepared, self.case())

    def take(self, step: Step) -> Taken:
        """Return what came of a step; raise UnknownCheck, UnknownCause, UnknownPart or CallOutOver."""
        if self.is_over:
            raise CallOutOver
        self._know(step)
        taken = self._check(step) if step.kind == "check" else self._repair(step)
        self.taken.append(taken)
        return taken

    def _know(self, step: Step) -> None:
        knowledge = self.reasoner.knowledge
        if step.kind == "check" and step.what not in knowledge.checks:
            raise UnknownCheck(step.what, knowledge.checks)
        if step.kind == "repair" and step.what not in knowledge.causes:
            raise UnknownCause(step.what, knowledge.causes)
        kinds = self.prepared.topology.kinds
        if step.part is not None and step.part != SITE_PART and step.part not in kinds:
            raise UnknownPart(step.part, kinds)

    def _check(self, step: Step) -> Taken:
        dangers = self.call.unsafe(step.what, step.part, frozenset(step.precautions))
        cost = self.call.minutes(step.what, step.part, self.place)
        reply = self.call.answer(step.what, step.part)
        return Taken(
            step=step,
            name=self.reasoner.knowledge.checks[step.what].name,
            where=self.name(step.part),
            says=reply.text,
            minutes=cost.minutes + PRECAUTION_MINUTES * len(step.precautions),
            climbs=cost.climbs,
            place=cost.place,
            outcome=reply.outcome,
            typed=reply.outcome and _readable(self, step, reply.typed, reply.outcome),
            dangers=dangers,
        )

    def _repair(self, step: Step) -> Taken:
        cost = self.call.repair_minutes(step.what, step.part, self.place)
        tried = self.call.repair(step.what, step.part)
        left = ", ".join(self.reasoner.knowledge.symptoms[it.symptom].name for it in tried.left)
        return Taken(
            step=step,
            name=self.reasoner.knowledge.causes[step.what].name,
            where=self.name(step.part),
            says="It works again." if tried.works else f"Still there: {left or 'the complaint'}.",
            minutes=cost.minutes,
            climbs=cost.climbs,
            place=cost.place,
            works=tried.works,
            was_there=tried.was_there,
        )

    def name(self, part: str | None) -> str:
        """Return how people call a part."""
        return name_part(self.prepared.scope(()), part or SITE_PART)


def _readable(practice: Practice, step: Step, typed: str, outcome: str) -> str:
    """Return what was read where a finding can hold it, else the outcome: some meters show no number."""
    question = practice.call.question(step.what, step.part or SITE_PART)
    try:
        return typed if outcome_of(question.check, typed, question.expectation) == outcome else outcome
    except DiagError:
        return outcome


def begin_practice(reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest) -> Practice:
    """Return the call-out of a request, nothing done yet; raise NothingToNotice where the site can have none."""
    families = frozenset(request.topics)
    causes = frozenset(it.id for it in reasoner.knowledge.causes.values() if it.family in families) or None
    dice = Random(f"practise/{request.seed}/{request.turn}")
    call = draw(reasoner, prepared, dice, person=PERFECT, causes=causes)
    return Practice(reasoner, call, _caller_says(reasoner, call))


def _caller_says(reasoner: Reasoner, call: CallOut) -> str:
    """Return the report with where it is and what else the caller mentions.

    It is told by the names of symptoms: phrases of theirs may claim what is not so at this site.
    """
    scope = call.prepared.scope(())
    said = [
        f"{reasoner.knowledge.symptoms[it.symptom].name}: {name_part(scope, it.part or SITE_PART)}"
        for it in call.symptoms
    ]
    told = [reasoner.knowledge.conditions[it].name for it in sorted(call.told)]
    return ". ".join(f"{it[:1].upper()}{it[1:]}" for it in (*said, *told)) + "."


def replayed(reasoner: Reasoner, prepared: PreparedSite, request: PracticeRequest, steps: Iterable[Step]) -> Practice:
    """Return a call-out with steps taken before taken again."""
    practice = begin_practice(reasoner, prepared, request)
    for step in steps:
        practice.take(step)
    return practice


def open_options(practice: Practice) -> Sequence[tuple[str, str]]:
    """Return every check that somebody who knows the trade might think of here, with its part, in order of name."""
    checks = practice.reasoner.knowledge.checks
    options = [it for it in practice.reasoning().options.options if not it[1].startswith("?")]
    return sorted(options, key=lambda it: (checks[it[0]].name, it[1]))
