"""Errors of shape become one problem each, also where several alternatives were tried."""

from __future__ import annotations

from typing import Annotated

import pytest
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError, model_validator

from knowledge.faults import Problem
from knowledge.shape_faults import shape_problems

Code = Annotated[str, StringConstraints(pattern=r"^[a-z]+$"), Field(description="Small letters only.")]


class Bound(BaseModel):
    model_config = ConfigDict(extra="forbid")

    above: float | None = None


class Rule(BaseModel):
    model_config = ConfigDict(extra="forbid", populate_by_name=True)

    code: Code
    not_fires: list[Code] = Field(default=[], alias="not-fires")
    when: dict[str, str | list[str] | Bound] = {}
    count: Annotated[int, Field(ge=1, le=6)] = 1

    @model_validator(mode="after")
    def _named(self) -> Rule:
        if self.code == "nothing":
            raise ValueError("give it a better code")
        return self


def problems_of(data: object) -> list[Problem]:
    with pytest.raises(ValidationError) as caught:
        Rule.model_validate(data)
    return shape_problems(caught.value, Rule, data)


def test_a_value_no_alternative_takes_is_one_problem() -> None:
    problems = problems_of({"code": "a", "when": {"volts": 3}})

    assert [problem.path for problem in problems] == [("when", "volts")]


def test_the_alternative_that_got_furthest_is_the_one_explained() -> None:
    problems = problems_of({"code": "a", "when": {"volts": {"abve": 3}}})

    assert [(problem.path, problem.nearest) for problem in problems] == [(("when", "volts", "abve"), ("above",))]


def test_an_alias_is_the_name_that_is_offered() -> None:
    problem = problems_of({"code": "a", "not_fire": []})[0]

    assert (problem.nearest, problem.at_key) == (("not-fires",), True)
    assert "not_fires" not in problem.message


def test_a_form_is_described_in_words_rather_than_as_a_pattern() -> None:
    assert problems_of({"code": "A1"})[0].message == 'found "A1"; allowed: Small letters only.'
    assert problems_of({"code": "a", "not-fires": ["B"]})[0].path == ("not-fires", 0)


def test_bounds_are_told_as_numbers() -> None:
    assert problems_of({"code": "a", "count": 9})[0].message == "found 9; allowed: a number of at most 6"


def test_what_a_model_itself_objects_to_is_told_in_its_own_words() -> None:
    assert problems_of({"code": "nothing"}) == [Problem((), "give it a better code")]


def test_a_missing_field_is_an_absence_at_the_key_above() -> None:
    assert problems_of({}) == [
        Problem(("code",), '"code" is missing; add it', at_key=True, is_absence=True),
    ]
