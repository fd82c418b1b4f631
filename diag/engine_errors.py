"""What can go wrong between a caller and the rule engine, as exceptions that say what to do next."""

from __future__ import annotations

from collections.abc import Sequence


class EngineError(Exception):
    """Any failure to evaluate rules; the text is fit for a log and for a person."""


class RulesRefused(EngineError):
    """The rules of a chapter cannot be compiled; `problems` names every rule and what is wrong with it."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__("; ".join(problems))
        self.problems = tuple(problems)

    def __reduce__(self) -> tuple[type[RulesRefused], tuple[tuple[str, ...]]]:
        return (RulesRefused, (self.problems,))


class FactRefused(EngineError):
    """A fact holds a value that cannot be compared: not a number, infinite, not text, or broken text."""


class EngineFailed(EngineError):
    """The engine package reported an error; the evaluation is void, and may be tried again in a fresh process."""


class EngineUnavailable(EngineError):
    """No evaluation is possible now: the package is missing, or it failed twice. The service answers 503."""
