"""Every cause fails in a way that the taxonomy of ISO 14224 knows."""

from __future__ import annotations

from typing import get_args

import pytest

from knowledge.entries import FailureMode
from knowledge.load import Knowledge, load_failure_modes

LOOKED_UP = {"FTO", "FTC", "FTS", "STP", "FTF", "DOP", "ERO", "AIR", "NOO", "LOO"}
"""Codes of ISO 14224 found on public pages, not in the standard itself."""


def test_every_failure_mode_has_its_class() -> None:
    assert set(load_failure_modes()) == set(get_args(FailureMode))


def test_every_cause_maps_to_a_class(knowledge: Knowledge) -> None:
    modes = load_failure_modes()

    assert [it.id for it in knowledge.causes.values() if it.failure_mode not in modes] == []


def test_no_two_failure_modes_share_a_class() -> None:
    codes = [it.class_code for it in load_failure_modes().values()]

    assert len(codes) == len(set(codes))


def test_only_designed_behaviour_is_no_failure(knowledge: Knowledge) -> None:
    for cause in knowledge.causes.values():
        is_failure = load_failure_modes()[cause.failure_mode].class_kind != "none"

        assert not (is_failure and cause.as_designed), cause.id


@pytest.mark.parametrize("code", sorted(LOOKED_UP))
def test_a_code_that_was_looked_up_is_not_marked_as_from_memory(code: str) -> None:
    (mode,) = [it for it in load_failure_modes().values() if it.class_code == code]

    assert mode.source == "ISO 14224"
    assert mode.class_kind == "mode"
