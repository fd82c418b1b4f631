"""Tell which answers of the stories change from one state of the knowledge base to another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from diag.chapters import compile_chapters
from diag.engine import Engine
from diag.errors import DiagError
from diag.reasoner import Reasoner, prepare_reasoner
from diag.stories import Sites, run_story, story_sites
from knowledge.entries import Story
from knowledge.load import Knowledge, load_knowledge, load_stories

CLEAR_CHANGE = 0.05
"""A change of the true cause's probability by less than this is not told."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What a story came out as: its leading cause, the place of the true cause if it is ranked, its probability."""

    leader: str
    rank: int | None
    probability: float


@dataclass(frozen=True, slots=True)
class Change:
    """A story whose answer differs, before and after; None where the story cannot be run on that knowledge."""

    story: str
    true_cause: str
    before: Answer | None
    after: Answer | None

    @property
    def is_worse(self) -> bool:
        """Return whether the true cause stands further down than before, or is not ranked any more."""
        return _place(self.after) > _place(self.before)

    @property
    def is_better(self) -> bool:
        """Return whether the true cause stands further up than before."""
        return _place(self.after) < _place(self.before)


@dataclass(frozen=True, slots=True)
class Difference:
    """The entries that came, went or changed, and the stories whose answer differs, of how many."""

    added: tuple[str, ...]
    removed: tuple[str, ...]
    changed: tuple[str, ...]
    stories: tuple[Change, ...]
    stories_run: int


def _place(answer: Answer | None) -> int:
    return answer.rank if answer and answer.rank else 1_000


def knowledge_difference(old_folder: Path, new_folder: Path) -> Difference:
    """Return the difference of two folders; raise BadKnowledge when one has faults.

    The stories are those of the new folder, or of the old one where the new one has none.
    """
    old, new = load_knowledge(old_folder), load_knowledge(new_folder)
    stories = load_stories(new_folder) or load_stories(old_folder)
    before, after = _entries(old), _entries(new)
    return Difference(
        added=tuple(sorted(set(after) - set(before))),
        removed=tuple(sorted(set(before) - set(after))),
        changed=tuple(sorted(it for it in set(before) & set(after) if before[it] != after[it])),
        stories=tuple(_changes(old, new, stories)),
        stories_run=len(stories),
    )


def _entries(knowledge: Knowledge) -> dict[str, object]:
    groups: Mapping[str, Mapping[str, object]] = {
        "symptom": knowledge.symptoms,
        "cause": knowledge.causes,
        "check": knowledge.checks,
        "caution": knowledge.cautions,
        "condition": knowledge.conditions,
        "deduction": knowledge.deductions,
        "fact": knowledge.facts,
        "table": {"words": knowledge.words},
    }
    return {f"{kind} {entry}": value for kind, entries in groups.items() for entry, value in entries.items()}


def _changes(old: Knowledge, new: Knowledge, stories: Mapping[str, Story]) -> Iterator[Change]:
    before, after = _answers(old, stories), _answers(new, stories)
    for name, story in stories.items():
        one, other = before[name], after[name]
        if _differ(one, other):
            yield Change(name, story.leads, one, other)


def _answers(knowledge: Knowledge, stories: Mapping[str, Story]) -> dict[str, Answer | None]:
    reasoner = prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)
    sites = story_sites()
    return {name: _answer(reasoner, sites, story) for name, story in stories.items()}


def _answer(reasoner: Reasoner, sites: Sites, story: Story) -> Answer | None:
    try:
        result = run_story(reasoner, sites, story)
    except DiagError:
        return None
    leader = result.top[0]
    at = f"@{leader.part}" if leader.part else ""
    return Answer(f"{leader.cause}{at}", result.rank, result.probability)


def _differ(one: Answer | None, other: Answer | None) -> bool:
    if one is None or other is None:
        return one is not other
    moved = abs(one.probability - other.probability) >= CLEAR_CHANGE
    return one.leader != other.leader or one.rank != other.rank or moved
