"""Run whole call-outs through the reasoning and tell how often the true cause leads."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache

from diag.case_text import read_event, read_finding, read_now, read_symptom
from diag.demo import load_demo
from diag.diagnose import answer
from diag.errors import DiagError, UnknownName
from diag.observations import Case, RankedCause
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.reasoning import open_case
from diag.site import Site
from knowledge.entries import Story

BARE = "bare"
"""The name of the site of which nothing is described."""

SHOWN = 3

Sites = Callable[[str, date | None], PreparedSite]
"""Gives a site by its name, ready for a day: the ages of its parts hang on it."""


class BadStory(DiagError):
    """A story that says too little to be run, or names something that does not exist."""


class UnknownStory(UnknownName):
    """No story has this name."""

    thing = "story"


@dataclass(frozen=True, slots=True)
class StoryResult:
    """How one story came out: the place of its true cause from 1 on, None when it is not ranked at all."""

    name: str
    leads: str
    rank: int | None
    probability: float
    top: tuple[RankedCause, ...]
    """The leading causes, best first; `probability` is that of the true cause at its best place."""


@dataclass(frozen=True, slots=True)
class Shares:
    """How many stories there are, and the share of them right first and within the first three."""

    stories: int
    first: float
    first_three: float


def story_sites() -> Sites:
    """Return a source of the demo sites and the bare site that keeps each one ready for the day asked for."""

    @cache
    def site(name: str, day: date | None) -> PreparedSite:
        return prepare_site(Site(name=BARE) if name == BARE else load_demo(name), day)

    return site


def story_time(story: Story) -> datetime | None:
    """Return the full date and time of a story, None when it names none; raise BadStory for a time of day alone."""
    if story.at is None:
        return None
    at = read_now(story.at, date.min)
    if at is None or at.year == date.min.year:
        raise BadStory(f"“{story.at}” has no date; write it as 2026-05-04T12:00.")
    return at


def story_case(story: Story) -> Case:
    """Return the case of a story; raise BadStory, BadCaseText or BadTime when it cannot be read."""
    if not story.symptoms:
        raise BadStory(f"“{story.name}” names no symptom; write at least one under `symptoms`.")
    at = story_time(story)
    if story.events and at is None:
        raise BadStory(f"“{story.name}” has events and no time; write the time asked about under `at`.")
    return Case(
        symptoms=tuple(read_symptom(it) for it in story.symptoms),
        told=frozenset(story.told),
        findings=tuple(read_finding(it) for it in story.findings),
        events=tuple(read_event(it, at) for it in story.events) if at else (),
        at=at,
    )


def run_story(reasoner: Reasoner, sites: Sites, story: Story, name: str = "") -> StoryResult:
    """Return where the true cause of a story stands after its findings; raise DiagError when it cannot be run."""
    case = story_case(story)
    prepared = sites(story.site, case.at.date() if case.at else None)
    causes = answer(reasoner, open_case(reasoner, prepared, case), case.findings).causes
    rank = next((place for place, it in enumerate(causes, start=1) if _is_meant(it, story)), None)
    return StoryResult(
        name=name or story.name,
        leads=story.leads,
        rank=rank,
        probability=causes[rank - 1].probability if rank else 0.0,
        top=causes[:SHOWN],
    )


def run_stories(reasoner: Reasoner, sites: Sites, stories: Mapping[str, Story]) -> Iterator[StoryResult]:
    """Yield the result of every story, in the order given; raise BadStory with the name of one that cannot be run."""
    for name, story in stories.items():
        try:
            yield run_story(reasoner, sites, story, name)
        except DiagError as error:
            raise BadStory(f"{name}: {error}") from error


def shares(results: Iterable[StoryResult]) -> Shares:
    """Return the shares right first and in the first three; zero of both where there is no story."""
    ranks = [it.rank for it in results]
    count = len(ranks) or 1
    return Shares(
        stories=len(ranks),
        first=sum(it == 1 for it in ranks) / count,
        first_three=sum(it is not None and it <= SHOWN for it in ranks) / count,
    )


def _is_meant(cause: RankedCause, story: Story) -> bool:
    return cause.cause == story.leads and story.leads_at in (None, cause.part)
