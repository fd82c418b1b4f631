"""Errors say in one sentence what was found and what would be right."""

from __future__ import annotations

import pytest

from diag.errors import BadSite, BadTime, UnknownCheck, UnknownName, UnknownOutcome, UnknownPart, UnknownSymptom
from knowledge.faults import Fault


@pytest.mark.parametrize(
    ("error", "text"),
    [
        (UnknownPart("rv9", ["rv1", "w2"]), 'There is no part "rv9". Did you mean rv1?'),
        (UnknownSymptom("qqq", ["drive-dead"]), 'There is no symptom "qqq".'),
        (UnknownCheck("lamp_on", ["lamp-on"]), 'There is no check "lamp_on". Did you mean lamp-on?'),
    ],
)  # fmt: skip
def test_an_unknown_name_is_told_with_the_nearest_known_one(error: UnknownName, text: str) -> None:
    assert str(error) == text


def test_an_unknown_outcome_is_told_with_those_there_are() -> None:
    error = UnknownOutcome("lamp", "gren", ["green", "dark"])

    assert str(error) == 'The check "lamp" has no outcome "gren"; it has green, dark.'
    assert (error.allowed, error.nearest) == (("green", "dark"), ("green",))


def test_a_bad_time_is_told_with_the_forms_that_are_read() -> None:
    assert str(BadTime("ten")) == '"ten" is not a time; write it as 2024-05-31T10:20 or 10:20.'


def test_a_bad_site_counts_its_faults_and_shows_the_first() -> None:
    faults = [Fault("a.yaml", 2, 3, ("name",), "found 3"), Fault("a.yaml", 4, 1, (), "found 4")]

    assert str(BadSite(faults)) == "The site description has 2 faults; the first is a.yaml:2:3: name: found 3"
    assert BadSite(faults).faults == tuple(faults)
