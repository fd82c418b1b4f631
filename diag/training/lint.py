"""Hold questions to published rules of item writing.

Guide: the item-writing guide of the National Board of Medical Examiners (NBME), on flaws that help the test-wise and
flaws of irrelevant difficulty. HDR: the taxonomy of Haladyna, Downing and Rodriguez (2002); its numbers from memory.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from diag.training.item import Item

FEWEST_CHOICES, MOST_CHOICES = 3, 5
LONGEST_KEY = 1.5
"""How many times the mean length of the wrong answers the right one may have."""

SHORT = 14
"""Characters by which lengths may differ without anybody taking it for a sign: judgement."""

WIDEST = 2.5
"""How many times the shortest option the longest may have."""

LETTERS_OF_A_WORD = 4
FEWEST_SHARED, FAR_MORE = 3, 1.5
"""Words that the right answer shares with the others before they converge on it: so many, and so many times as many."""

ABSOLUTE = frozenset(
    {"always", "never", "completely", "absolutely", "totally", "entirely"}
    | {"immer", "nie", "niemals", "völlig", "absolut", "altid", "aldrig", "fuldstændig"}
)
VAGUE = frozenset(
    {"usually", "often", "rarely", "sometimes", "frequently", "seldom"}
    | {"oft", "manchmal", "selten", "ofte", "sjældent"}
)
NEGATIVE = re.compile(r"\b(not|no|never|except|nicht|kein|keine|ikke|ingen|undtagen|außer)\b", re.IGNORECASE)
CATCH_ALL = re.compile(
    r"\b(all|none|both) of (the above|these|them)\b|\b(alle|keine) der genannten\b|\b(alle|ingen) af de nævnte\b",
    re.IGNORECASE,
)
WORD = re.compile(r"[^\W\d_]+")
NUMBER = re.compile(r"^(-?\d+(?:[.,]\d+)?)(?:\s*([^\W\d]\S*|%|°C))?$")
CLOCK = re.compile(r"^\d{2}:\d{2}$")
ENDINGS = ("ings", "ing", "ers", "er", "ed", "es", "en", "s")


@dataclass(frozen=True, slots=True)
class LintFault:
    """A rule that an item breaks, and what breaks it."""

    rule: str
    says: str


def faults_of(item: Item) -> tuple[LintFault, ...]:
    """Return every rule that an item breaks, with what breaks it; empty when it is sound."""
    rules = CHOICE_RULES if item.response == "choice" else OTHER_RULES
    return tuple(LintFault(name, says) for name, rule in rules.items() for says in rule(item))


def _one_key(item: Item) -> Iterator[str]:
    ids = [it.id for it in item.choices]
    if len(set(ids)) != len(ids):
        yield "two choices stand for the same"
    if len(item.answer) != 1 or item.answer[0] not in ids:
        yield "there is not exactly one right answer"


def _enough_choices(item: Item) -> Iterator[str]:
    if not FEWEST_CHOICES <= len(item.choices) <= MOST_CHOICES:
        yield f"there are {len(item.choices)} choices"


def _different_texts(item: Item) -> Iterator[str]:
    texts = [it.text.casefold() for it in item.choices]
    if len(set(texts)) != len(texts):
        yield "two choices read the same"


def _a_question(item: Item) -> Iterator[str]:
    if not item.lead_in.endswith("?"):
        yield "the lead-in is no question, so it cannot be answered with the choices covered"


def _no_negative_lead_in(item: Item) -> Iterator[str]:
    yield from (f"“{it[0]}” is not emphasised" for it in NEGATIVE.finditer(item.lead_in) if not it[0].isupper())


def _no_catch_all(item: Item) -> Iterator[str]:
    yield from (it.text for it in item.choices if CATCH_ALL.search(it.text))


def _no_absolute_words(item: Item) -> Iterator[str]:
    yield from (it.text for it in item.choices if ABSOLUTE & set(_words(it.text)))


def _no_vague_words(item: Item) -> Iterator[str]:
    yield from (it.text for it in item.choices if VAGUE & set(_words(it.text)))


def _no_long_key(item: Item) -> Iterator[str]:
    key, wrong = len(item.key.text), [len(it.text) for it in item.wrong]
    mean = sum(wrong) / len(wrong)
    if key > LONGEST_KEY * mean and key - mean > SHORT:
        yield f"the right answer has {key} characters, the wrong ones {mean:.0f}"


def _like_lengths(item: Item) -> Iterator[str]:
    lengths = sorted(len(it.text) for it in item.choices)
    if lengths[-1] > WIDEST * lengths[0] and lengths[-1] - lengths[0] > 2 * SHORT:
        yield f"from {lengths[0]} to {lengths[-1]} characters"


def _no_clang(item: Item) -> Iterator[str]:
    echoed = echoes((*item.stem, item.lead_in), item.key.text, [it.text for it in item.wrong])
    yield from (f"“{word}” of the stem is in the right answer alone" for word in sorted(echoed))


def echoes(asked: Iterable[str], key: str, others: Iterable[str]) -> frozenset[str]:
    """Return the words of what is asked that the right answer has and no other one has."""
    only_in_key = _content(key).difference(*map(_content, others))
    return only_in_key & frozenset().union(*map(_content, asked)) if only_in_key else frozenset()


def _no_lone_negative(item: Item) -> Iterator[str]:
    negative = [it for it in item.choices if NEGATIVE.search(it.text)]
    if len(negative) == 1 and negative[0].id == item.key.id:
        yield "the right answer alone is negative"


def _no_overlap(item: Item) -> Iterator[str]:
    if _numbers(item) or _are_clocks(item):
        return
    said = [(it.text, set(_words(it.text))) for it in item.choices]
    for text, words in said:
        if any(words < other for _, other in said):
            yield f"“{text}” is contained in another choice"


def _no_convergence(item: Item) -> Iterator[str]:
    """Yield when the right answer has far more words in common with the others than any of them has."""
    words = {it.id: _content(it.text) for it in item.choices}
    shared = {one: sum(len(words[one] & words[it]) for it in words if it != one) for one in words}
    key = shared.pop(item.key.id)
    if key >= FEWEST_SHARED and key >= FAR_MORE * max(shared.values()):
        yield "the right answer has most in common with the others"


def _in_order(item: Item) -> Iterator[str]:
    numbers = _numbers(item)
    if numbers and list(numbers) != sorted(numbers):
        yield "numbers do not rise"
    if _are_clocks(item) and item.is_rising and any(one.text > two.text for one, two in pairwise(item.choices)):
        yield "times do not rise"


def _one_unit(item: Item) -> Iterator[str]:
    found = [NUMBER.match(it.text) for it in item.choices]
    if all(found) and len({it[2] for it in found if it}) > 1:
        yield "the numbers are in more than one unit"
    if any(found) and not all(found):
        yield "some choices are numbers and some are not"


def _one_form(item: Item) -> Iterator[str]:
    if len({it.text.endswith(".") for it in item.choices}) > 1:
        yield "some choices are sentences and some are not"
    if len({it.text[:1].islower() for it in item.choices}) > 1:
        yield "some choices begin with a capital and some do not"


def _wrong_is_explained(item: Item) -> Iterator[str]:
    yield from (f"“{it.text}” has no reason" for it in item.choices if not it.why.strip())


def _short_enough(item: Item) -> Iterator[str]:
    if any(len(it.text) > 160 for it in item.choices):
        yield "a choice is longer than 160 characters"


def _sound_order(item: Item) -> Iterator[str]:
    shown = tuple(it.id for it in item.choices)
    if item.response == "order" and sorted(shown) != sorted(item.answer):
        yield "the right order does not hold the choices"
    if item.response == "order" and shown == item.answer:
        yield "the choices are shown in their right order"


def _sound_match(item: Item) -> Iterator[str]:
    if item.response != "match":
        return
    if len(item.answer) != len(item.prompts) or not set(item.answer) <= {it.id for it in item.choices}:
        yield "a prompt has no right choice"
    if len(set(item.answer)) != len(item.answer):
        yield "one choice is right for two prompts"
    if len(item.choices) <= len(item.prompts):
        yield "there is no spare choice, so the last pair is given away"


def _words(text: str) -> list[str]:
    return [it.casefold() for it in WORD.findall(text)]


@lru_cache(16384)
def _content(text: str) -> frozenset[str]:
    """Return the stems of the words that carry meaning: those of four letters and more, without their endings."""
    return frozenset(_stem(it) for it in _words(text) if len(it) >= LETTERS_OF_A_WORD and it not in LITTLE)


LITTLE = frozenset(
    {"that", "this", "with", "from", "have", "been", "does", "each", "into", "onto", "over", "than", "then", "them"}
    | {"they", "there", "what", "when", "where", "which", "while", "will", "your", "nearly", "right", "wrong"}
    | {"eine", "einen", "einer", "einem", "oder", "nicht", "sind", "wird", "eller", "ikke"}
)


def _stem(word: str) -> str:
    for ending in ENDINGS:
        if word.endswith(ending) and len(word) - len(ending) >= LETTERS_OF_A_WORD:
            return word[: -len(ending)]
    return word


def _numbers(item: Item) -> Sequence[float]:
    found = [NUMBER.match(it.text) for it in item.choices]
    if not all(found):
        return ()
    return [float(it[1].replace(",", ".")) for it in found if it]


def _are_clocks(item: Item) -> bool:
    return all(CLOCK.match(it.text) for it in item.choices)


Rule = Callable[[Item], Iterator[str]]

CHOICE_RULES: Mapping[str, Rule] = {
    "one right answer (HDR 19)": _one_key,
    "three options or more (HDR 18)": _enough_choices,
    "choices differ (HDR 22)": _different_texts,
    "a question that can be answered with the choices covered (NBME; HDR 15)": _a_question,
    "no negative lead-in unless emphasised (NBME; HDR 17)": _no_negative_lead_in,
    "no all or none of the above (NBME; HDR 25, 26)": _no_catch_all,
    "no absolute words (NBME; HDR 28a)": _no_absolute_words,
    "no vague words of frequency (NBME)": _no_vague_words,
    "the right answer is not the long one (NBME; HDR 24, 28d)": _no_long_key,
    "options of like length (HDR 24)": _like_lengths,
    "no word of the stem in the right answer alone (NBME; HDR 28b)": _no_clang,
    "no lone negative that gives the answer away (HDR 27)": _no_lone_negative,
    "options do not overlap (HDR 22)": _no_overlap,
    "no convergence (NBME)": _no_convergence,
    "options in logical order (HDR 21)": _in_order,
    "numbers in one unit (NBME)": _one_unit,
    "options of one form (NBME; HDR 23, 28c)": _one_form,
    "every option has its reason (HDR 29)": _wrong_is_explained,
    "options are short (NBME)": _short_enough,
}

OTHER_RULES: Mapping[str, Rule] = {
    "choices differ (HDR 22)": _different_texts,
    "a question that can be answered with the choices covered (NBME; HDR 15)": _a_question,
    "no negative lead-in unless emphasised (NBME; HDR 17)": _no_negative_lead_in,
    "an order that has to be found": _sound_order,
    "pairs with a spare choice (HDR, matching)": _sound_match,
    "every option has its reason (HDR 29)": _wrong_is_explained,
    "options are short (NBME)": _short_enough,
}
