"""Understand what a person typed: symptoms, parts, circumstances and times, or say kindly that it was not understood."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from diag.observations import Observed
from diag.topology import Topology
from diag.words.chips import make_chips
from diag.words.choosing import part_for
from diag.words.cleaning import Word, clean_text, split_words
from diag.words.counting import compared_numbers
from diag.words.ideas import Mention, find_ideas
from diag.words.part_finding import NamedPart, find_parts
from diag.words.patterns import Pattern, is_met, read_patterns, score_patterns
from diag.words.roles import Features, resolve_roles
from diag.words.site_names import SiteNames, build_site_names
from diag.words.spelling import Correction, mend_words
from diag.words.times import said_times
from diag.words.understood import PartQuestion, SaidTime, Understood
from diag.words.vocabulary import Vocabulary, build_vocabulary
from knowledge.entries import Symptom, ToldCondition
from knowledge.lexicon import Concept, Lexicon

LEAST_SCORE = 0.5
"""A best symptom scored less is taken for no symptom at all."""
CLAUSE_SHARE = 0.97
"""A symptom met only within one clause counts a little less than one met by the whole."""
MOST_SYMPTOMS = 8
SITES_KEPT = 8
CORE = frozenset(
    "opening drive fan damper smoke-opening call-point detector rain-device wind-device discovery link automatic "
    "key-switch panel switch".split()
)
WHY_NOT = (
    "This was not understood as a fault of a motorised window, vent, damper, fan or their control. "
    "Say which part and what it does, such as: the roof vent does not close."
)
_KIND_IDEAS = {
    "drive": "drive", "zone": "zone", "output": "output", "controller": "panel", "link": "link", "fan": "fan",
    "cable": "line", "junction": "line", "schedule": "clock", "lockout": "neutral",
}  # fmt: skip
_OPENING_IDEAS = {"window": "window", "roof-vent": "vent", "louvre": "louvre", "damper": "damper"}
_INPUT_IDEAS = {
    "switch": "switch", "key-switch": "key-switch", "thermostat": "wall-thermostat", "rain": "rain-sensor",
    "wind": "wind-sensor", "temperature": "sensor", "co2": "air-quality", "detector-line": "detector",
    "call-point": "call-point", "link": "link",
}  # fmt: skip


@dataclass(frozen=True)
class Intake:
    """All that understanding needs, ready to use; names of sites already met are kept."""

    symptoms: Mapping[str, Symptom]
    concepts: Mapping[str, Concept]
    vocabulary: Vocabulary
    patterns: tuple[Pattern, ...]
    told: tuple[Pattern, ...]
    sites: dict[int, tuple[Topology, SiteNames]] = field(default_factory=dict, repr=False, compare=False)


def build_intake(
    symptoms: Mapping[str, Symptom], conditions: Mapping[str, ToldCondition], lexicon: Lexicon
) -> Intake:
    """Return what understanding needs, from the knowledge base's symptoms, circumstances and words."""
    known = {name: patterns for name, patterns in lexicon.symptoms.items() if name in symptoms}
    told = {name: patterns for name, patterns in lexicon.told.items() if name in conditions}
    return Intake(
        symptoms=symptoms,
        concepts=lexicon.concepts,
        vocabulary=build_vocabulary(lexicon),
        patterns=read_patterns(known),
        told=read_patterns(told),
    )


def understand(intake: Intake, text: str, topology: Topology | None = None) -> Understood:
    """Return what the text means: symptoms best first, parts, circumstances and times; never raises."""
    cleaned, note = clean_text(text)
    names = _site_names(intake, topology)
    words, corrections = mend_words(
        split_words(cleaned), intake.vocabulary, names.vocabulary if names else frozenset()
    )
    named = find_parts(words, names) if names else ()
    mentions = _mentions(words, named, intake.vocabulary, topology)
    features = _features(mentions, words, intake)
    clauses = tuple(_clause_scores(intake, mentions, features))
    scores = _merged(score_patterns(intake.patterns, features, intake.concepts), clauses)
    observed = _observed(intake, scores, mentions, features, topology)
    ideas = frozenset().union(*features)
    understood = Understood(
        recognised=_is_recognised(observed, ideas, named),
        symptoms=observed,
        told=frozenset(pattern.means for pattern in intake.told if is_met(pattern, ideas)),
        said_times=tuple(_times(cleaned, words, mentions, features)),
        parts=tuple(dict.fromkeys(part for it in named for part in it.parts)),
        asks=_questions(cleaned, words, named),
        frame=make_chips(cleaned, words, mentions, features, intake.concepts, _part_labels(topology)),
        corrections=corrections,
        note=note,
    )
    return understood if understood.recognised else _declined(understood, cleaned)


def _declined(understood: Understood, text: str) -> Understood:
    return replace(understood, symptoms=(), unrecognised=text or None, why_not=WHY_NOT)


def _site_names(intake: Intake, topology: Topology | None) -> SiteNames | None:
    if topology is None:
        return None
    kept = intake.sites.get(id(topology))
    if kept is None or kept[0] is not topology:
        if len(intake.sites) >= SITES_KEPT:
            intake.sites.clear()
        kept = intake.sites[id(topology)] = topology, build_site_names(topology)
    return kept[1]


def _mentions(
    words: Sequence[Word], named: Sequence[NamedPart], vocabulary: Vocabulary, topology: Topology | None
) -> tuple[Mention, ...]:
    """Return the ideas between the named parts, and a mention for each of those."""
    found: list[Mention] = []
    at = 0
    for it in named:
        found += _moved(find_ideas(words[at : it.first], vocabulary), at)
        part = it.parts[0] if len(it.parts) == 1 else None
        ideas = (_part_idea(it.parts[0], topology),) if topology else ()
        found.append(Mention(tuple(idea for idea in ideas if idea), it.first, it.last, part=part))
        at = it.last + 1
    return (*found, *_moved(find_ideas(words[at:], vocabulary), at))


def _moved(mentions: Sequence[Mention], by: int) -> Iterator[Mention]:
    for mention in mentions:
        yield replace(mention, first=mention.first + by, last=mention.last + by)


def _part_idea(part: str, topology: Topology) -> str:
    kind = topology.kind(part)
    described = topology.parts[part]
    if kind == "opening":
        return _OPENING_IDEAS.get(getattr(described, "kind", None) or "", "window")
    if kind == "input":
        return _INPUT_IDEAS.get(getattr(described, "kind", None) or "", "switch")
    return _KIND_IDEAS.get(kind, "zone")


def _features(mentions: Sequence[Mention], words: Sequence[Word], intake: Intake) -> Features:
    features = resolve_roles(mentions, intake.concepts, words)
    ideas = frozenset().union(*features)
    if ideas & {"discovery", "addressable", "drive"}:
        counted = compared_numbers([word.text for word in words], intake.vocabulary)
        if counted:
            return (*features, frozenset({counted}))
    return features


def _clause_scores(
    intake: Intake, mentions: Sequence[Mention], features: Features
) -> Iterator[dict[str, float]]:
    """Yield the scores of each clause, when there are several."""
    starts = [0, *(place + 1 for place, mention in enumerate(mentions) if _parts_clauses(mention)), len(mentions)]
    if len(starts) < 3:
        return
    for start, end in zip(starts, starts[1:], strict=False):
        clause = features[start:end]
        if sum(map(bool, clause)) > 1:
            yield score_patterns(intake.patterns, clause, intake.concepts)


def _parts_clauses(mention: Mention) -> bool:
    return not mention.ideas or mention.has("joining")


def _merged(whole: Mapping[str, float], clauses: Sequence[Mapping[str, float]]) -> dict[str, float]:
    merged = dict(whole)
    for clause in clauses:
        for symptom, score in clause.items():
            merged[symptom] = max(merged.get(symptom, 0.0), score * CLAUSE_SHARE)
    return merged


def _observed(
    intake: Intake,
    scores: Mapping[str, float],
    mentions: Sequence[Mention],
    features: Features,
    topology: Topology | None,
) -> tuple[Observed, ...]:
    best = sorted(scores.items(), key=lambda it: (-it[1], it[0]))[:MOST_SYMPTOMS]
    kinds = topology.kinds if topology else {}
    return tuple(
        Observed(symptom, part_for(intake.symptoms[symptom], mentions, features, kinds), round(min(score, 1.0), 3))
        for symptom, score in best
        if score > 0
    )


def _is_recognised(observed: Sequence[Observed], ideas: frozenset[str], named: Sequence[NamedPart]) -> bool:
    if not observed or observed[0].score < LEAST_SCORE:
        return False
    if "foreign" in ideas and not any(it.is_exact for it in named):
        return False
    return "elsewhere" not in ideas or bool(ideas & CORE)


def _times(
    text: str, words: Sequence[Word], mentions: Sequence[Mention], features: Features
) -> Iterator[SaidTime]:
    ideas = frozenset().union(*features)
    if not ideas & {"by-hand", "used-by-hand", "press"}:
        return
    inputs = [mention.part for mention in mentions if mention.part and mention.has("switch")]
    named = inputs or [mention.part for mention in mentions if mention.part]
    yield from said_times(text, named[0] if named else None)


def _questions(text: str, words: Sequence[Word], named: Sequence[NamedPart]) -> tuple[PartQuestion, ...]:
    return tuple(
        PartQuestion(text[words[it.first].start : words[it.last].end], it.parts) for it in named if len(it.parts) > 1
    )


def _part_labels(topology: Topology | None) -> Mapping[str, str]:
    return {part: topology.name(part) for part in topology.parts} if topology else {}
