"""The word files hold together: every idea that a pattern needs can be said, every symptom has patterns."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.words.patterns import read_patterns
from knowledge.lexicon import BadLexicon, Lexicon, load_lexicon
from knowledge.load import load_symptoms

ACTS = ("opens", "closes")
WORKED_OUT = frozenset({"contrary", "counted-fewer", "counted-more", "starts-stops"})
PREFIXES = ("no-", "asked-", "good-", "bad-")


@pytest.fixture(scope="module")
def lexicon() -> Lexicon:
    """Return the words the product uses."""
    return load_lexicon()


def test_every_symptom_has_patterns_and_sayings(lexicon: Lexicon) -> None:
    symptoms, _ = load_symptoms()
    assert set(symptoms) <= set(lexicon.symptoms)
    assert set(symptoms) <= set(lexicon.sayings)


def test_patterns_are_of_known_symptoms_and_circumstances(lexicon: Lexicon) -> None:
    symptoms, conditions = load_symptoms()
    assert set(lexicon.symptoms) <= set(symptoms)
    assert set(lexicon.told) <= set(conditions)


def test_every_idea_of_a_pattern_is_known(lexicon: Lexicon) -> None:
    patterns = [*read_patterns(lexicon.symptoms).values(), *read_patterns(lexicon.told).values()]
    used = {idea for group in patterns for it in group for idea in it.explains | it.absent}
    unknown = {idea for idea in used if not _is_known(idea, lexicon)}
    assert unknown == set()


def _is_known(idea: str, lexicon: Lexicon) -> bool:
    stem = next((idea.removeprefix(it) for it in PREFIXES if idea.startswith(it)), idea)
    verdicts = {"auto", "hand", "link", "open", "close", "mains", "battery", "tap", "hold"}
    return idea in lexicon.concepts or idea in WORKED_OUT or stem in lexicon.concepts or stem in verdicts


def test_implied_ideas_are_known(lexicon: Lexicon) -> None:
    unknown = {wider for it in lexicon.concepts.values() for wider in it.implies} - set(lexicon.concepts)
    assert unknown == set()


def test_a_faulty_word_file_is_refused_with_its_line(tmp_path: Path) -> None:
    faulty = "concepts:\n  - {id: window, role: thingy, says: window}\n"
    (tmp_path / "lexicon.yaml").write_text(faulty, encoding="utf-8")
    with pytest.raises(BadLexicon) as refused:
        load_lexicon(tmp_path)
    assert refused.value.faults[0].line == 2
    assert refused.value.faults[0].where == "concepts.0.role"
