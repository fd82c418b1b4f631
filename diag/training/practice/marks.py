"""Mark a practice call-out part by part, and say which points are missing and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diag.training.practice.proving import speak_for
from diag.training.practice.run import Practice, findings_of

FOR_CAUSE, FOR_EVIDENCE, FOR_PROOF = 15, 15, 10
"""Points for the cause at the first try, for a check before it that speaks for it, and for proving the repair."""

FOR_TIME, FOR_SAFETY, FOR_PARTS = 20, 30, 10
"""Points for the minutes, half of them for a guess, for working safely, and for no needless repair."""

FOR_EACH_DANGER, FOR_EACH_REPAIR = 10, 5
"""Points lost for each danger that no precaution answered, and for each repair in vain; judgement."""

FOR_EACH_NEEDLESS, FOR_EACH_SPOILED, MOST_FOR_NEEDLESS = 1, 3, 15
"""Points lost for each precaution without use and each step that it spoiled, and the most of both: it is better to
be too careful than not careful enough; judgement."""


@dataclass(frozen=True, slots=True)
class Marks:
    """The points of a call-out by part, and what was counted for them."""

    for_cause: int
    for_evidence: int
    for_proof: int
    for_time: int
    for_safety: int
    for_parts: int
    needless_repairs: int
    dangers: int
    needless: int
    spoiled: int

    @property
    def points(self) -> int:
        """Return all points, of 100."""
        named = self.for_cause + self.for_evidence + self.for_proof
        return named + self.for_time + self.for_safety + self.for_parts


def marks_of(practice: Practice, planner_minutes: float) -> Marks:
    """Return the marks of a call-out, over or given up."""
    repairs = [it for it in practice.taken if it.step.kind == "repair"]
    in_vain = sum(not it.was_there for it in repairs)
    dangers = sum(len(it.dangers) for it in practice.taken)
    needless = sum(len(it.needless) for it in practice.taken)
    spoiled = sum(it.is_spoiled for it in practice.taken)
    lost = FOR_EACH_NEEDLESS * needless + FOR_EACH_SPOILED * spoiled
    safety = FOR_SAFETY - FOR_EACH_DANGER * dangers - min(MOST_FOR_NEEDLESS, lost)
    done, has_evidence = practice.is_mended, _has_evidence(practice)
    in_time = _for_time(practice.minutes, planner_minutes)
    return Marks(
        for_cause=FOR_CAUSE if repairs and repairs[0].was_there else FOR_CAUSE // 2 if done else 0,
        for_evidence=FOR_EVIDENCE if has_evidence else 0,
        for_proof=FOR_PROOF if practice.is_over else 0,
        for_time=0 if not done else in_time if has_evidence else in_time // 2,
        for_safety=max(0, safety) if done else 0,
        for_parts=max(0, FOR_PARTS - FOR_EACH_REPAIR * in_vain) if done else 0,
        needless_repairs=in_vain,
        dangers=dangers,
        needless=needless,
        spoiled=spoiled,
    )


def _for_time(minutes: float, planner_minutes: float) -> int:
    """Return all the points for the planner's minutes or fewer, half of them for twice as many."""
    return round(FOR_TIME * min(1.0, planner_minutes / minutes)) if minutes > 0 else 0


def _has_evidence(practice: Practice) -> bool:
    """Return whether what was found before the right repair spoke for its cause."""
    place = next((number for number, it in enumerate(practice.taken) if it.was_there), None)
    if place is None:
        return False
    step = practice.taken[place].step
    return speak_for(practice.reasoner, practice.reported(), findings_of(practice.taken[:place]), step.what, step.part)


def missing(practice: Practice, marks: Marks, planner_minutes: float) -> Iterator[str]:
    """Yield for each part of the score that is not full what is missing and why, in the trainee's language."""
    say, done = practice.said.say, practice.is_mended
    counts = {"unsafe": marks.dangers, "spoiled": marks.spoiled, "planner": practice.said.number(planner_minutes)}
    parts = (
        ("cause", FOR_CAUSE - marks.for_cause, "" if done else "-unnamed"),
        ("evidence", FOR_EVIDENCE - marks.for_evidence, ""),
        ("proof", FOR_PROOF - marks.for_proof, ""),
        ("time", FOR_TIME - marks.for_time, "-unsolved" if not done else "" if marks.for_evidence else "-guessed"),
        ("safety", FOR_SAFETY - marks.for_safety, "" if done else "-unsolved"),
        ("parts", FOR_PARTS - marks.for_parts, "" if done else "-unsolved"),
    )
    for part, lost, ending in parts:
        counted = marks.needless if part == "safety" else marks.needless_repairs
        if lost:
            yield say(f"missing-{part}{ending}", lost=lost, needless=counted, **counts)
