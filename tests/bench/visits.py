"""A technician's visit to a virtual site: where they stand, how long they have been, what they found and tried."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from diag.crew import fetch_minutes
from diag.errors import DiagError
from diag.next_step import CALL_MINUTES
from diag.observations import THINK_SO, Case, Finding
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import Reasoning, open_case
from diag.scope import is_stand_in
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.journey import Cost
from diag.weighing import Weight, weigh

MOST_STEPS = 60

Opened = dict[tuple[tuple[str, str], ...], Reasoning]
"""A call-out opened, by the repairs that were tried; visits to the same one share it."""


@dataclass
class Visit:
    """A visit in progress; strategies act by `check`, `attempt` and `call`."""

    reasoner: Reasoner
    call_out: CallOut
    minutes: float = 0.0
    climbs: int = 0
    checks: int = 0
    place: str | None = None
    verified: bool = False
    over: bool = False
    findings: list[Finding] = field(default_factory=list)
    tried: list[tuple[str, str]] = field(default_factory=list)
    at_hand: set[str] = field(default_factory=set)
    checked_again: set[tuple[str, str]] = field(default_factory=set)
    log: list[str] = field(default_factory=list)
    course: list[float] = field(default_factory=list)
    """The minutes spent when each answer was there."""

    opened: Reasoning | None = None
    weighed: tuple[tuple[int, int], Weight] | None = None
    opened_before: Opened = field(default_factory=dict)

    @property
    def prepared(self) -> PreparedSite:
        """Return the site as the technician has it described."""
        return self.call_out.prepared

    def case(self) -> Case:
        """Return the case as it is known now, without the findings."""
        return replace(self.call_out.case(), repaired=tuple(self.tried))

    def reasoning(self) -> Reasoning:
        """Return the case as it is now, opened."""
        if self.opened is None:
            tried = tuple(self.tried)
            if tried not in self.opened_before:
                self.opened_before[tried] = open_case(self.reasoner, self.prepared, self.case())
            self.opened = self.opened_before[tried]
        return self.opened

    def weight(self) -> Weight:
        """Return the posterior after the findings so far."""
        now = (len(self.findings), len(self.tried))
        if self.weighed is None or self.weighed[0] != now:
            self.weighed = now, weigh(self.reasoner, self.reasoning(), self.findings)
        return self.weighed[1]

    def check(self, check: str, part: str) -> str:
        """Make a check: pay for it, note what it showed, and return the outcome."""
        self._pay(self.call_out.minutes(check, part, self.place))
        entry = self.reasoner.knowledge.checks[check]
        self.minutes += fetch_minutes(entry, self.at_hand)
        self.at_hand |= set(entry.tools)
        self.checks += 1
        self.course.append(self.minutes)
        reply = None
        if is_stand_in(part):
            typed, outcome, text = "cannot", "cannot", "no such part named"
        else:
            reply = self.call_out.answer(check, part)
            typed, outcome, text = reply.typed, reply.outcome or "cannot", reply.text
        sure = 1.0 if reply is None or reply.is_sure else THINK_SO
        self.findings.append(Finding(check, typed, part, sure))
        try:
            taken = self.weight().weighed
        except DiagError:
            taken = ()
        # read once: the outcome stands for the reading from here on
        outcome = taken[-1].finding.outcome if taken and reply and reply.outcome else outcome
        self.findings[-1] = Finding(check, outcome, part, sure)
        self.log.append(f"{self.minutes:6.0f} min  {check}@{part}: {text} [{outcome}]")
        return outcome

    def attempt(self, cause: str, part: str) -> bool:
        """Try a repair and see whether the complaint is gone; what was really mended makes older findings stale."""
        self._pay(self.call_out.repair_minutes(cause, part, self.place))
        tried = self.call_out.repair(cause, part)
        works = tried.works or (tried.was_there and self._is_no_fault(cause))
        if tried.was_there and not works:
            self.findings.clear()
        self.tried.append((cause, part))
        self.opened = None
        self.verified = self.over = works
        self.log.append(f"{self.minutes:6.0f} min  repair {cause}@{part}: {'works' if works else 'no change'}")
        return works

    def call(self) -> None:
        """Call for help: dear, and the end of the visit."""
        self.minutes += CALL_MINUTES
        self.over = True
        self.log.append(f"{self.minutes:6.0f} min  called for help")

    def _is_no_fault(self, cause: str) -> bool:
        """Return whether the cause is a designed behaviour: to explain it is the repair, though it shows as before."""
        return self.reasoner.knowledge.causes[cause].as_designed

    def _pay(self, cost: Cost) -> None:
        self.minutes += cost.minutes
        self.climbs += cost.climbs
        self.place = cost.place


Strategy = Callable[[Visit], None]
"""Does one thing on a visit: a check, an attempt or a call."""


def finish(visit: Visit, strategy: Strategy) -> Visit:
    """Let a strategy finish a visit; one that gets nowhere calls for help in the end."""
    for _ in range(MOST_STEPS):
        if visit.over:
            return visit
        strategy(visit)
    if not visit.over:
        visit.call()
    return visit
