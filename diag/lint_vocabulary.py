"""Say what is wrong with a fact that a rule asks for or a case gives: its kind, its fields, the words in them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence

from knowledge.entries import FieldShape
from knowledge.faults import advice, nearest, suggestion
from knowledge.load import Knowledge

Path = tuple[str | int, ...]
Note = tuple[Path, str]
"""Where in an entry, and what is wrong there."""

SEE_FACTS = "See facts.yaml."
LISTS: Mapping[str, str] = {
    "symptom": "See the list: ventsleuth knowledge coverage.",
    "cause": "See the folders in causes/.",
    "condition": "See conditions.yaml.",
}
"""Where all names of a kind of entry stand."""


def note_fact(
    knowledge: Knowledge, kind: str, words: Mapping[str, Sequence[str]], deduced: Collection[str]
) -> Iterator[Note]:
    """Yield what the vocabulary lacks of a fact with these words in its fields, by the path from the fact's line.

    `deduced` are the words that derive rules make known.
    """
    shape = knowledge.facts.get(kind)
    if shape is None:
        yield (), _no_fact(knowledge, kind)
        return
    for field, said in words.items():
        if field not in shape.fields:
            yield (kind,), f"{kind} has no field {field}{advice(field, shape.fields, SEE_FACTS)}"
            continue
        known = _known_words(knowledge, shape.fields[field], deduced)
        for word in said:
            if known is not None and word not in known and not word.startswith("$"):
                instead = _instead(knowledge, shape.fields[field], word, known)
                yield (kind, field), f"{kind} {field} is never {word}{instead}"


def _no_fact(knowledge: Knowledge, kind: str) -> str:
    holders = [it for it, shape in knowledge.facts.items() if kind in shape.fields]
    if holders and not nearest(kind, knowledge.facts):
        return f"there is no fact {kind}. It is a field of {' and of '.join(holders[:3])}."
    return f"there is no fact {kind}{advice(kind, knowledge.facts, SEE_FACTS)}"


def _known_words(knowledge: Knowledge, shape: FieldShape, deduced: Collection[str]) -> Collection[str] | None:
    entries: Mapping[str, Collection[str]] = {
        "symptom": knowledge.symptoms,
        "cause": knowledge.causes,
        "condition": knowledge.conditions,
    }
    if shape.entry:
        return entries[shape.entry]
    if shape.words is not None:
        return shape.words
    return None if shape.part else deduced


def _instead(knowledge: Knowledge, shape: FieldShape, word: str, known: Collection[str]) -> str:
    """Return what to write: the nearest word; a circumstance is also found by what people say of it."""
    if shape.entry is None:
        return advice(word, known, SEE_FACTS)
    found = nearest(word, known)
    if shape.entry == "condition" and not found:
        said = {text: it.id for it in knowledge.conditions.values() for text in (it.name, *it.phrases)}
        found = tuple(dict.fromkeys(said[it] for it in nearest(word, said)))
    return suggestion(found) or f". {LISTS[shape.entry]}"
