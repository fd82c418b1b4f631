"""Every text of the knowledge base that people read, with its place in its entry."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from knowledge.entries import Cause, Check, RuleEntry, Symptom
from knowledge.load import Knowledge

Path = tuple[str | int, ...]
Placed = tuple[Path, str]


@dataclass(frozen=True, slots=True)
class UserText:
    """A text, the kind and id of its entry, and the path to it inside the entry."""

    kind: str
    entry: str
    path: Path
    text: str


def user_texts(knowledge: Knowledge) -> Iterator[UserText]:
    """Yield all texts people read; what users say themselves (phrases) and names of cases are not among them."""
    for kind, entry, placed in _all(knowledge):
        yield from (UserText(kind, entry, path, text) for path, text in placed)


def _all(knowledge: Knowledge) -> Iterator[tuple[str, str, Iterable[Placed]]]:
    yield from (("Symptom", it.id, _of_symptom(it)) for it in knowledge.symptoms.values())
    yield from (("Cause", it.id, _of_cause(it)) for it in knowledge.causes.values())
    yield from (("Check", it.id, _of_check(it)) for it in knowledge.checks.values())
    for caution in knowledge.cautions.values():
        texts = ((("name",), caution.name), (("text",), caution.text), (("defer",), caution.defer))
        yield "Caution", caution.id, texts
    for condition in knowledge.conditions.values():
        yield "ToldCondition", condition.id, ((("name",), condition.name),)
    for topic, deduction in knowledge.deductions.items():
        yield "Deduction", topic, _of_rules(deduction.rules)


def _of_symptom(symptom: Symptom) -> Iterator[Placed]:
    yield ("name",), symptom.name
    yield ("means",), symptom.means
    for index, like in enumerate(symptom.looks_like):
        yield ("looks-like", index, "tell-apart"), like.tell_apart
    yield from _listed("normal", symptom.normal)


def _of_cause(cause: Cause) -> Iterator[Placed]:
    yield ("name",), cause.name
    yield ("means",), cause.means
    yield ("base-rate", "because"), cause.base_rate.because
    yield from _of_rules(cause.rules)
    for index, evidence in enumerate(cause.checks):
        yield ("checks", index, "because"), evidence.because
    yield from _listed("remedy", cause.remedy)
    yield from _listed("proof", cause.proof)


def _of_check(check: Check) -> Iterator[Placed]:
    for field in ("name", "question", "how"):
        yield (field,), getattr(check, field)
    yield ("expect-text",), check.expect_text
    yield from _listed("tools", check.tools)
    for index, outcome in enumerate(check.outcomes):
        yield ("outcomes", index, "label"), outcome.label
        yield ("outcomes", index, "means"), outcome.means


def _of_rules(rules: Iterable[RuleEntry]) -> Iterator[Placed]:
    for index, rule in enumerate(rules):
        yield ("rules", index, "because"), rule.because
        if rule.advise:
            yield ("rules", index, "advise"), rule.advise


def _listed(field: str, texts: Sequence[str]) -> Iterator[Placed]:
    yield from (((field, index), text) for index, text in enumerate(texts))
