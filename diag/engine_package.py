"""Owns the rule-engine package: nothing else imports it, and only plain text and numbers cross this line."""

from __future__ import annotations

import importlib
import os
import sys
from typing import Protocol, cast

from diag.engine_errors import EngineFailed, EngineUnavailable

STORED = 0
NOT_BUILT = (
    "the rule engine (durable_rules) is missing or was not built; it is compiled when it is installed, so install "
    "a C compiler and the Python headers first (on Debian: gcc and python3-dev), then install the requirements again"
)
FIRST_FACT = "0"
"""Identity of the fact that every session starts with."""


class Package(Protocol):
    """The calls of the compiled extension that are used; each raises on an error code of its own."""

    def create_ruleset(self, name: str, rules: str, /) -> int: ...
    def assert_fact(self, ruleset: int, fact: str, /) -> tuple[int, int]: ...
    def start_action_for_state(self, ruleset: int, state: int, /) -> tuple[str, str] | None: ...
    def complete_and_start_action(self, ruleset: int, state: int, /) -> str | None: ...
    def delete_state(self, ruleset: int, sid: str, /) -> None: ...


def load_package() -> Package:
    """Import the extension; raise EngineUnavailable, saying what to install, when that cannot be done.

    The extension refers to a function that Python 3.13 removed and that is never called here. Symbols are therefore
    bound on first use while it loads; the loader's flags are put back afterwards.
    """
    flags = sys.getdlopenflags()
    sys.setdlopenflags(os.RTLD_LAZY)
    try:
        return cast(Package, importlib.import_module("durable_rules_engine"))
    except ImportError as error:
        raise EngineUnavailable(f"{NOT_BUILT} ({error})") from error
    finally:
        sys.setdlopenflags(flags)


def create_ruleset(package: Package, name: str, rules: str) -> int:
    """Compile one ruleset, given as JSON text; return its handle, which lives as long as the process."""
    try:
        return package.create_ruleset(name, rules)
    except Exception as error:
        raise EngineFailed(f"the engine refused ruleset {name}: {error}") from error


class Session:
    """One evaluation inside one ruleset: facts in as text, fired matches out as text, nothing left after close.

    The package crashes when it drops a state in which no rule ever fired. The first fact, which the rule `start` of
    every ruleset matches, is therefore asserted and fired before anything else.
    """

    def __init__(self, package: Package, ruleset: int, sid: int) -> None:
        self._package, self._ruleset, self._sid = package, ruleset, sid
        self._state = self._store(f'{{"id":{FIRST_FACT},"sid":{sid},"start":1}}')
        if not self.fired():
            raise EngineFailed("the engine did not fire the start rule")

    def store(self, fact: str) -> None:
        """Hand over one fact, as JSON text with `id` and `sid`, that some condition of the ruleset matches."""
        self._store(fact)

    def _store(self, fact: str) -> int:
        try:
            code, state = self._package.assert_fact(self._ruleset, fact)
        except Exception as error:
            raise EngineFailed(f"the engine refused fact {fact}: {error}") from error
        if code != STORED:
            raise EngineFailed(f"the engine answered {code} to fact {fact}")
        return state

    def fired(self) -> list[str]:
        """Return all matches that wait, one JSON text for each rule that has some, and take them off the agenda."""
        texts = []
        try:
            started = self._package.start_action_for_state(self._ruleset, self._state)
            matches = started[1] if started else None
            while matches is not None:
                texts.append(matches)
                matches = self._package.complete_and_start_action(self._ruleset, self._state)
        except Exception as error:
            raise EngineFailed(f"the engine failed while firing: {error}") from error
        return texts

    def close(self) -> None:
        """Drop the state, and with it every fact of this evaluation."""
        try:
            self._package.delete_state(self._ruleset, str(self._sid))
        except Exception as error:
            raise EngineFailed(f"the engine kept the state of a finished evaluation: {error}") from error
