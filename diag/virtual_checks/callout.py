"""One virtual call-out: what was reported, what a person finds there, and what a repair does."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from random import Random

from diag.errors import UnknownCheck
from diag.expectations import expect
from diag.facts import Situation
from diag.observations import Case, Observed
from diag.reasoner import PreparedSite, Reasoner
from diag.scope import is_stand_in
from diag.virtual.complaint import Complaint
from diag.virtual.equivalents import is_right, mends
from diag.virtual.faults import Fault
from diag.virtual.noticing import complaints
from diag.virtual.site import VirtualSite
from diag.virtual_checks.found import Found
from diag.virtual_checks.journey import Cost, check_cost, repair_cost
from diag.virtual_checks.people import Person
from diag.virtual_checks.performing import performances
from diag.virtual_checks.reply import Question, Reply, hear
from diag.virtual_checks.unsafe import Danger, dangers, repair_dangers
from knowledge.entries import Check

ON_DISPLAY = frozenset(
    {
        "look-clock", "look-count-found", "look-fault-log", "look-last-command-source", "look-position-shown",
        "look-rain-state", "look-schedule", "look-wind-state", "try-discovery-again", "try-discovery-single",
        "try-set-and-read-back", "try-sign-in-level", "try-reset-alarm", "compare-thermometer", "co2-outdoors",
    }
)  # fmt: skip
"""Checks, besides those of settings, that read the controller's display."""


@dataclass(frozen=True, slots=True)
class Tried:
    """What a repair did: whether its cause was there, whether the complaint is gone, and what people still notice."""

    was_there: bool
    works: bool
    left: tuple[Observed, ...]


@dataclass
class CallOut:
    """A virtual site with hidden faults, the complaint about it, and the person who answers from there."""

    reasoner: Reasoner
    prepared: PreparedSite
    site: VirtualSite
    symptoms: tuple[Observed, ...]
    told: frozenset[str]
    at: datetime
    seed: int
    person: Person
    repaired: list[tuple[str, str | None]] = field(default_factory=list)
    asked: Counter[tuple[str, str]] = field(default_factory=Counter)
    noticed_before: dict[frozenset[Fault], tuple[Observed, ...]] = field(default_factory=dict)
    """What people notice, by the faults that are mended; copies of a call-out may share it."""

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Return what is really wrong, mended or not."""
        return self.site.faults

    def case(self) -> Case:
        """Return what a diagnosis knows before any check, with the repairs that did not help."""
        return Case(symptoms=self.symptoms, told=self.told, at=self.at, repaired=tuple(self.repaired))

    def answer(self, check: str, part: str | None = None) -> Reply:
        """Return what the person says after a check; asked again, they look again.

        Raises UnknownCheck for a check the knowledge does not have.
        """
        place = self._part(check, part)
        question = self.question(check, place)
        self.asked[check, place] += 1
        dice = Random(f"{self.seed}/{check}/{place}/{self.asked[check, place]}")
        return hear(question, self._found(check, place, dice), self.person, dice)

    def truth(self, check: str, part: str | None = None) -> str | None:
        """Return the outcome that is really so, every fault showing, without noise or mistakes."""
        place = self._part(check, part)
        self.site.show_all()
        return self.question(check, place).outcome(self._perform(check, place, Random(self.seed)))

    def question(self, check: str, part: str) -> Question:
        """Return the check with what is to be expected at the part, as the description says."""
        entry = self._entry(check)
        situation = Situation(self.prepared.scope(()), self.prepared.described, self.case(), (), ())
        return Question(entry, expect(entry, situation, part))

    def _found(self, check: str, part: str, dice: Random) -> Found:
        self.site.dice = dice
        self.site.settle()
        return self._perform(check, part, dice)

    def _perform(self, check: str, part: str, dice: Random) -> Found:
        perform = performances().get(check)
        if perform is None or is_stand_in(part) or self._is_dark(check, part):
            return "not-sure"
        self.site.dice = dice
        return perform(self.site, part)

    def _is_dark(self, check: str, part: str) -> bool:
        """Return whether a check asks for the display of a controller that shows nothing."""
        if self._entry(check).kind != "settings" and check not in ON_DISPLAY:
            return False
        controller = self.prepared.scope(()).controller_near(part)
        return not is_stand_in(controller) and not self.site.bus(controller).alive

    def _part(self, check: str, part: str | None) -> str:
        """Return the part a check is made at: as said, or the only one of its kind."""
        if part is not None and not is_stand_in(part):
            return part
        return self.prepared.scope(()).one(self._entry(check).at)

    def _entry(self, check: str) -> Check:
        found = self.reasoner.knowledge.checks.get(check)
        if found is None:
            raise UnknownCheck(check, self.reasoner.knowledge.checks)
        return found

    def repair(self, cause: str, part: str | None) -> Tried:
        """Mend a cause at a part and prove it: every fault that is left shows itself in the proof."""
        self.site.show_all()
        mended = mends(self.site, cause, part) if part else ()
        for fault in mended:
            self.site.repair(fault.cause, fault.part)
        left = self.left()
        still = {(it.symptom, it.part) for it in left}
        works = bool(mended) and not any((it.symptom, it.part) in still for it in self.symptoms)
        self.repaired.append((cause, part))
        return Tried(bool(mended), works, left)

    def left(self) -> tuple[Observed, ...]:
        """Return all that people would still notice, the most noticed first."""
        self.site.show_all()
        mended = frozenset(self.site.repaired)
        if mended not in self.noticed_before:
            self.note(complaints(self.site))
        return self.noticed_before[mended]

    def note(self, noticed: Sequence[Complaint]) -> None:
        """Keep what people notice with the faults that are there now."""
        told = tuple(Observed(it.symptom, it.part) for it in by_weight(noticed))
        self.noticed_before[frozenset(self.site.repaired)] = told

    def again(self, person: Person | None = None) -> CallOut:
        """Return the call-out as it was before anybody came; with another person there if one is given."""
        site = VirtualSite(self.site.topology.site, self.site.faults, self.site.seed, self.site.topology)
        return replace(
            self,
            site=site,
            person=person or self.person,
            repaired=[],
            asked=Counter(),
            noticed_before=self.noticed_before,
        )

    def is_right(self, cause: str, part: str | None) -> bool:
        """Return whether this cause at this part is there and not mended yet."""
        self.site.show_all()
        return part is not None and is_right(self.site, cause, part)

    def minutes(self, check: str, part: str | None, place: str | None = None) -> Cost:
        """Return what a check costs somebody who stands at a place."""
        return check_cost(self.reasoner, self.prepared, check, self._part(check, part), place)

    def repair_minutes(self, cause: str, part: str | None, place: str | None = None) -> Cost:
        """Return what a repair and its proof cost somebody who stands at a place."""
        return repair_cost(self.reasoner, self.prepared, cause, part or "?", place)

    def unsafe(self, check: str, part: str | None, taken: frozenset[str] = frozenset()) -> tuple[Danger, ...]:
        """Return the dangers of making a check here and now without the precautions that were taken."""
        return dangers(self.site, self._entry(check), self._part(check, part), taken)

    def unsafe_repair(self, cause: str, part: str, taken: frozenset[str] = frozenset()) -> tuple[Danger, ...]:
        """Return the dangers of a repair here and now without the precautions that were taken."""
        return repair_dangers(self.site, self.reasoner.knowledge.causes[cause], part, taken)


def by_weight(noticed: Sequence[Complaint]) -> list[Complaint]:
    """Return complaints, those first that people name before others."""
    return sorted(noticed, key=lambda it: (-it.weight, it.symptom, it.part))
