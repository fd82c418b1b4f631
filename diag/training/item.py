"""A question as a value: what is asked, what can be answered, what is right, and what proves it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Literal

Response = Literal["choice", "order", "match"]
"""Choose one; put all in order; find a choice for each prompt."""

Level = Literal[1, 2, 3]

Value = str | int | float | tuple[str, ...]
"""One entry of an evidence."""

LETTERS = "ABCDEFGH"


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that can be answered.

    `id` says what it stands for (a cause, a check, a time), `why` why it is right or wrong.
    """

    id: str
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Reference:
    """An entry of the knowledge base that the answer rests on, by the plural kind and id of its reference page."""

    kind: Literal["symptoms", "causes", "checks", "cautions"]
    entry: str

    @property
    def address(self) -> str:
        """Return the address of the page within the service."""
        return f"/reference/{self.kind}/{self.entry}"


@dataclass(frozen=True)
class Item:
    """One question.

    `answer` holds choice ids: the right one; or all in their right order; or, for each prompt, its own.
    `evidence` holds all that is needed to prove the answer again. `in_english` names the texts that have no words
    in the language of the item.
    """

    kind: str
    level: Level
    topic: str
    site: str
    language: str
    stem: tuple[str, ...]
    lead_in: str
    choices: tuple[Choice, ...]
    answer: tuple[str, ...]
    explanation: str
    references: tuple[Reference, ...]
    evidence: Mapping[str, Value]
    response: Response = "choice"
    prompts: tuple[str, ...] = ()
    is_rising: bool = False
    """True: the choices have an order of their own, of number or time, and stand in it."""
    in_english: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Return a name made from all that the item asks and answers: equal items have equal names."""
        said = "\n".join((self.kind, self.language, *self.stem, self.lead_in, *self.prompts, *self._texts()))
        return f"q-{sha256(said.encode()).hexdigest()[:12]}"

    @property
    def likeness(self) -> str:
        """Return the same name for items that differ in nothing but the order or choice of their wrong answers."""
        right = sorted(it.text for it in self.choices if it.id in self.answer)
        said = "\n".join((self.kind, *self.stem, self.lead_in, *sorted(self.prompts), *right))
        return sha256(said.encode()).hexdigest()[:12]

    @property
    def letters(self) -> Mapping[str, str]:
        """Return the letter of each choice by its id."""
        return {it.id: letter for it, letter in zip(self.choices, LETTERS, strict=False)}

    @property
    def key(self) -> Choice:
        """Return the right choice of an item where one is chosen."""
        return next(it for it in self.choices if it.id == self.answer[0])

    @property
    def wrong(self) -> tuple[Choice, ...]:
        """Return the wrong choices of an item where one is chosen; in the others no choice is wrong by itself."""
        return tuple(it for it in self.choices if it.id != self.answer[0]) if self.response == "choice" else ()

    def is_right(self, given: tuple[str, ...]) -> bool:
        """Return whether these choice ids, in this order, are the right answer."""
        return given == self.answer

    def _texts(self) -> tuple[str, ...]:
        return tuple(it.text for it in self.choices)


@dataclass(frozen=True)
class Quiz:
    """Questions for one site with what they were asked for; the same request gives the same quiz."""

    site: str
    seed: int
    level: Level
    language: str
    knowledge_version: str
    items: tuple[Item, ...]
    topics: tuple[str, ...] = ()

    @property
    def id(self) -> str:
        """Return a name made from the questions."""
        return f"z-{sha256(' '.join(it.id for it in self.items).encode()).hexdigest()[:12]}"
