"""Find names in the stories that stand for nothing: sites, symptoms, circumstances, parts, checks, outcomes, causes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

from diag.case_text import read_event, read_finding, read_symptom
from diag.classify import BadReading, outcome_of
from diag.demo import demo_names, load_demo
from diag.errors import (
    DiagError,
    UnknownCause,
    UnknownCheck,
    UnknownName,
    UnknownOutcome,
    UnknownPart,
    UnknownSite,
    UnknownSymptom,
)
from diag.observations import Expectation, Finding
from diag.scope import is_stand_in
from diag.stories import BARE, story_time
from diag.topology import SITE_PART, read_topology
from knowledge.entries import Story
from knowledge.faults import Fault
from knowledge.load import Knowledge, Stories

Path = tuple[str | int, ...]
Named = tuple[Path, DiagError]
"""Where in a story, and what is wrong there."""

Kinds = Mapping[str, str]
"""The kind of each part of a site."""


class UnknownCircumstance(UnknownName):
    """No circumstance has this id."""

    thing = "circumstance"


class WrongPart(DiagError):
    """A check at a part of another kind than it is made at."""

    def __init__(self, check: str, right: str, part: str, kind: str) -> None:
        super().__init__(f"{check} is for the kind {right}; {part} is of the kind {kind}.")


def check_stories(stories: Stories, knowledge: Knowledge) -> list[Fault]:
    """Return every fault by file and line, without running a story."""
    faults = [
        stories.files[f"Story:{name}"].fault(path, str(error))
        for name, story in stories.stories.items()
        for path, error in _wrong(knowledge, story)
    ]
    return sorted(faults, key=lambda it: (it.source, it.line, it.column, it.message))


@cache
def _kinds(site: str) -> Kinds:
    return {} if site == BARE else read_topology(load_demo(site)).kinds


def _wrong(knowledge: Knowledge, story: Story) -> Iterator[Named]:
    sites = (BARE, *demo_names())
    if story.site not in sites:
        yield ("site",), UnknownSite(story.site, sites)
        return
    kinds = _kinds(story.site)
    if knowledge.current("Cause", story.leads) not in knowledge.causes:
        yield ("leads",), UnknownCause(story.leads, knowledge.causes)
    yield from _of_part(("leads-at",), story.leads_at, kinds)
    for place, condition in enumerate(story.told):
        if condition not in knowledge.conditions:
            yield ("told", place), UnknownCircumstance(condition, knowledge.conditions)
    yield from _of_symptoms(knowledge, story, kinds)
    yield from _of_findings(knowledge, story, kinds)
    yield from _of_events(story, kinds)


def _of_part(path: Path, part: str | None, kinds: Kinds) -> Iterator[Named]:
    if part and not is_stand_in(part) and part != SITE_PART and part not in kinds:
        yield path, UnknownPart(part, kinds)


def _of_symptoms(knowledge: Knowledge, story: Story, kinds: Kinds) -> Iterator[Named]:
    for place, text in enumerate(story.symptoms):
        path: Path = ("symptoms", place)
        try:
            said = read_symptom(text)
        except DiagError as error:
            yield path, error
            continue
        symptom = knowledge.symptoms.get(knowledge.current("Symptom", said.symptom))
        if symptom is None:
            yield path, UnknownSymptom(said.symptom, knowledge.symptoms)
        yield from _of_part(path, said.part, kinds)


def _of_findings(knowledge: Knowledge, story: Story, kinds: Kinds) -> Iterator[Named]:
    for place, text in enumerate(story.findings):
        path: Path = ("findings", place)
        try:
            finding = read_finding(text)
        except DiagError as error:
            yield path, error
            continue
        yield from _of_part(path, finding.part, kinds)
        yield from ((path, error) for error in _finding_errors(knowledge, finding, kinds))


def _finding_errors(knowledge: Knowledge, finding: Finding, kinds: Kinds) -> Iterator[DiagError]:
    check = knowledge.checks.get(knowledge.current("Check", finding.check))
    if check is None:
        yield UnknownCheck(finding.check, knowledge.checks)
        return
    try:
        outcome_of(check, finding.outcome, Expectation(check.expect_text))
    except UnknownOutcome as error:
        yield error
    except BadReading:
        pass  # what is right may hang on the site, so that only the run can tell
    kind = kinds.get(finding.part or "")
    if kind is not None and kind != check.at:
        yield WrongPart(finding.check, check.at, str(finding.part), kind)


def _of_events(story: Story, kinds: Kinds) -> Iterator[Named]:
    try:
        at = story_time(story)
    except DiagError as error:
        yield ("at",), error
        return
    for place, text in enumerate(story.events if at else ()):
        try:
            yield from _of_part(("events", place), read_event(text, at).part, kinds)  # type: ignore[arg-type]
        except DiagError as error:
            yield ("events", place), error
