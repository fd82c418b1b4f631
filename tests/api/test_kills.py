"""Crashes lose nothing that was acknowledged, and double nothing that was sent again."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.api.databases import KINDS
from tests.bench.kills import kill_often

TIMES = 3
"""On each database here; `python -m tests.bench.kills` kills 200 times."""


@pytest.mark.parametrize("kind", KINDS)
def test_every_acknowledged_event_is_there_once_however_often_the_service_is_killed(
    kind: str, new_database: Callable[[str], Path | str], tmp_path: Path
) -> None:
    data = str(tmp_path) if kind == "sqlite" else str(new_database(kind))
    outcome = kill_often(data, TIMES, seed=1)

    assert outcome.is_well, outcome
    assert outcome.acknowledged >= TIMES
    assert outcome.kept >= outcome.acknowledged
