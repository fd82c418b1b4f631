"""Ask what a site is like, question by question, and make a draft of the answers; "not sure" leaves things unknown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from api.sites.draft import BadDraft, Draft

NOT_SURE = "not-sure"
YES_NO = ("yes", "no", NOT_SURE)
MOST_ZONES, MOST_OPENINGS, MOST_HOLD_OFF = 12, 20, 1440
OPENINGS = ("window", "roof-vent", "louvre", "damper", NOT_SURE)
OUTPUTS: Mapping[str, str | None] = {
    "two wires, 24 V, reversed to turn back": "reversing-24v",
    "24 V with a data core": "data-24v",
    "three cores, 230 V": "three-core-230v",
    "a position signal of 0 to 10 V": "positioner-0-10v",
    NOT_SURE: None,
}
INPUTS: Mapping[str, Mapping[str, str]] = {
    "switch": {"kind": "switch", "command_class": "manual"},
    "rain sensor": {"kind": "rain", "command_class": "rain"},
    "wind sensor": {"kind": "wind", "command_class": "wind"},
    "thermostat": {"kind": "thermostat", "command_class": "automatic"},
    "temperature sensor": {"kind": "temperature", "command_class": "automatic"},
    "CO2 sensor": {"kind": "co2", "command_class": "automatic"},
}
SMOKE = (
    "Caution: it opens for smoke. Work on it belongs to people licensed for smoke ventilation; follow the local code "
    "and tell whoever watches the fire alarm before anything is moved."
)


@dataclass(frozen=True, slots=True)
class Question:
    """A question; one of `choices` is the answer, several of them where `many`, or a number up to `most`, or text."""

    id: str
    text: str
    choices: tuple[str, ...] = ()
    many: bool = False
    most: int | None = None


def questions(answers: Mapping[str, Any]) -> Iterator[Question]:
    """Yield the questions in order; those about groups depend on how many there are."""
    yield Question("name", "What is the site called?")
    yield Question("smoke", "Does it also open for smoke, by a call point or a detector?", YES_NO)
    yield Question("battery", "Is there a battery in the controller?", YES_NO)
    yield Question(
        "hold-off", "After somebody uses a switch, how many minutes does automatic wait?", most=MOST_HOLD_OFF
    )
    yield Question("inputs", "What gives it commands?", tuple(INPUTS), many=True)
    yield Question("groups", "How many groups of windows or vents move together?", most=MOST_ZONES)
    for group in range(1, _number(answers.get("groups")) + 1):
        yield Question(f"kind-{group}", f"Group {group}: what moves?", OPENINGS)
        yield Question(f"count-{group}", f"Group {group}: how many of them?", most=MOST_OPENINGS)
        yield Question(f"drive-{group}", f"Group {group}: how is it driven?", tuple(OUTPUTS))


def next_question(answers: Mapping[str, Any]) -> tuple[Question | None, int, int]:
    """Return the first question without an answer, how many are answered, and how many there are so far.

    Raises BadDraft when an answer is not one that its question takes.
    """
    asked = list(questions(answers))
    for question in asked:
        if question.id in answers:
            check_answer(question, answers[question.id])
    if unknown := sorted(answers.keys() - {it.id for it in asked}):
        raise BadDraft(f"There is no question “{unknown[0][:40]}”.")
    open_ = [it for it in asked if it.id not in answers]
    return (open_[0] if open_ else None), len(asked) - len(open_), len(asked)


def draft_from_answers(answers: Mapping[str, Any]) -> Draft:
    """Return the draft that the answers come to so far."""
    draft = Draft(str(answers.get("name") or "A site without a name yet"))
    supply = {"has_battery": _yes(answers.get("battery"))}
    controller = {"serves_smoke": _yes(answers.get("smoke"))}
    draft.add(
        "controllers", "c1", {**controller, "supply": {name: it for name, it in supply.items() if it is not None}}
    )
    for said in answers.get("inputs", ()):
        draft.add("inputs", said, {**INPUTS[said], "controller": "c1"})
    for group in range(1, _number(answers.get("groups")) + 1):
        _add_group(draft, answers, group)
    if controller["serves_smoke"]:
        draft.remarks.append(SMOKE)
    return draft


def _add_group(draft: Draft, answers: Mapping[str, Any], group: int) -> None:
    kind, drive = answers.get(f"kind-{group}"), OUTPUTS.get(answers.get(f"drive-{group}", NOT_SURE))
    output = draft.add("outputs", f"o{group}", {"controller": "c1", "kind": drive})
    openings = []
    for number in range(1, _number(answers.get(f"count-{group}")) + 1):
        opening = draft.add("openings", f"w{group}-{number}", {"kind": None if kind == NOT_SURE else kind})
        draft.add("drives", f"d{group}-{number}", {"output": output, "opening": opening})
        openings.append(opening)
    hold_off = answers.get("hold-off")
    minutes = hold_off if isinstance(hold_off, int) else None
    draft.add("zones", f"z{group}", {"openings": openings or None, "hold_off_minutes": minutes})


def check_answer(question: Question, answer: Any) -> None:
    """Raise BadDraft, saying what it takes, when an answer is not one that its question takes."""
    if question.many:
        is_right = isinstance(answer, list) and len(set(map(str, answer))) == len(answer)
        is_right = is_right and all(it in question.choices for it in answer)
    elif question.choices:
        is_right = answer in question.choices
    elif question.most is not None:
        whole = isinstance(answer, int) and not isinstance(answer, bool) and 0 <= answer <= question.most
        is_right = whole or answer == NOT_SURE
    else:
        is_right = isinstance(answer, str) and 0 < len(answer) <= 200 and answer.isprintable() and bool(answer.strip())
    if not is_right:
        allowed = ", ".join(question.choices) or (
            f"0 to {question.most}, or not-sure" if question.most else "one line of text"
        )
        raise BadDraft(f"“{question.text}” is answered by {'some of ' if question.many else ''}{allowed}.")


def _number(answer: Any) -> int:
    return answer if isinstance(answer, int) and not isinstance(answer, bool) else 0


def _yes(answer: Any) -> bool | None:
    return {"yes": True, "no": False}.get(answer)
