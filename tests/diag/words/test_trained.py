"""The shipped weights come from the labelled phrases as they are, and tell what a sentence means."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from diag.words.marks import ALL_BUCKETS
from diag.words.trained import NOTHING, load_trained, weigh_words
from knowledge.load import load_symptoms
from tests.bench.train_words import fingerprint, train
from tests.bench.word_items import ALL_BUILD, Item, read_items

FEW = 6


def test_the_weights_were_made_from_the_phrases_as_they_are_now() -> None:
    """When this fails, run `python -m tests.bench.train_words`."""
    assert load_trained().made_from == fingerprint(read_items(ALL_BUILD))


def test_every_symptom_that_phrases_mean_is_known() -> None:
    symptoms, _ = load_symptoms()
    assert {*load_trained().meanings} - {NOTHING} <= set(symptoms)


def test_training_twice_gives_the_same_weights() -> None:
    items = _some_phrases()
    one, other = train(items), train(items)
    assert np.array_equal(one.weights, other.weights)
    assert np.array_equal(one.bias, other.bias)


def test_training_learns_the_phrases_it_was_given() -> None:
    items = _some_phrases()
    trained = train(items)
    right = [_likeliest(weigh_words(trained, item.text.split())) == item.symptoms[0] for item in items]
    assert sum(right) >= 0.9 * len(right)


def test_a_checksum_changes_with_a_phrase_and_with_its_meaning() -> None:
    item = _some_phrases()[0]
    other_text, other_meaning = (
        dataclasses.replace(item, text="x"),
        dataclasses.replace(item, symptoms=("moves-slowly",)),
    )
    assert len({fingerprint([item]), fingerprint([other_text]), fingerprint([other_meaning])}) == 3


@pytest.mark.parametrize(
    ("text", "means"),
    [
        ("the roof vent does not close", "opens-not-closes"),
        ("motor makes a grinding noise", "noisy"),
        ("the boiler makes a banging noise", NOTHING),
        ("das fenster bleibt offen", "opens-not-closes"),
    ],
)
def test_the_surest_meaning_of_a_plain_sentence(text: str, means: str) -> None:
    assert _likeliest(weigh_words(load_trained(), text.split())) == means


def test_what_follows_what_tells_more_than_the_words_alone() -> None:
    words = ["it", "does"]
    said = weigh_words(load_trained(), words, (frozenset({"vent", "opening"}), frozenset({"no-close"})))
    assert said["opens-not-closes"] > weigh_words(load_trained(), words)["opens-not-closes"]


def test_no_words_are_no_evidence() -> None:
    assert weigh_words(load_trained(), []) == {}


def test_one_row_of_weights_stands_for_each_mark() -> None:
    trained = load_trained()
    assert trained.weights.shape == (ALL_BUCKETS, len(trained.meanings))
    assert trained.rarity.shape == (ALL_BUCKETS,)


def _some_phrases() -> list[Item]:
    texts = {
        "noisy": "squeaks loudly, grinds when opening, awful racket, rattles and knocks, squeals, loud motor",
        "moves-slowly": "very slow, takes ages, crawls along, slower than before, sluggish, snail pace",
        "panel-dark": "panel is dark, no lamps lit, display blank, box is dead, no lights on, screen black",
    }
    return [
        Item(text.strip(), (symptom,), (), "any", False, None, None)
        for symptom, joined in texts.items()
        for text in joined.split(",")[:FEW]
    ]


def _likeliest(evidence: dict[str, float] | object) -> str:
    assert isinstance(evidence, dict)
    return max(evidence, key=lambda meaning: evidence[meaning])
