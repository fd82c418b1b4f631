"""The rule-engine package as it comes, for tests that show what it does without our care."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from diag.engine_package import load_package

load_package()

from durable import engine as durable  # noqa: E402

Definition = Mapping[str, Any]


class QuietHost(durable.Host):
    """The package's host without the two threads that race with the caller for the actions."""

    def _run(self) -> None:
        pass


def quiet_host(rules: Mapping[str, Sequence[Definition]], action: Callable[[Any], None]) -> QuietHost:
    """Return a host with one ruleset `rules`, in which every rule runs the action."""
    made = {name: {"all": list(conditions), "run": action} for name, conditions in rules.items()}
    return QuietHost({"rules": made})


def fire(rules: Mapping[str, Sequence[Definition]], facts: Iterable[Mapping[str, Any]]) -> list[str]:
    """Assert the facts one by one; return the name of the rule of each firing, sorted."""
    fired: list[str] = []
    made = {name: {"all": list(when), "run": _recorder(fired, name)} for name, when in rules.items()}
    host = QuietHost({"rules": made})
    for fact in facts:
        try:
            host.assert_fact("rules", dict(fact))
        except (durable.MessageNotHandledException, durable.MessageObservedException) as lost:
            fired.append(type(lost).__name__)
    return sorted(fired)


def _recorder(fired: list[str], name: str) -> Callable[[Any], None]:
    def record(_: Any) -> None:
        fired.append(name)

    return record


def run_child(program: str, limit_s: float = 20.0) -> subprocess.CompletedProcess[str]:
    """Run a program in a process of its own, where it may crash.

    Memory comes filled with rubbish there, so that reading it before it is written does not pass by luck.
    """
    command = [sys.executable, "-c", "from tests.diag.raw_package import *\n" + program]
    rubbish = {**os.environ, "MALLOC_PERTURB_": "90"}
    return subprocess.run(command, capture_output=True, text=True, timeout=limit_s, check=False, env=rubbish)
