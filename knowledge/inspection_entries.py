"""The shape of an inspection rule: what is found in a site description before power-up, why, and what to do."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, model_validator

from knowledge.entries import ConditionFields, Entry, EntryId, Text, Variable

Severity = Literal["error", "warning", "note"]
"""error: it will not work as described or can hurt someone; warning: it will work badly or not always; note: look."""


class InspectionCase(Entry):
    """A description, and the parts at which the rule must find something in it.

    A case without a `site` takes that of the first case; `changes` then sets fields by path, and null takes one out.
    """

    name: Text
    site: dict[str, Any] | None = None
    changes: dict[str, Any] = Field(default={})
    today: str | None = Field(default=None, description="The day of the inspection, such as 2026-05-31.")
    finds: list[EntryId] = Field(description="Ids of the parts found; an empty list says that nothing is found.")


class InspectionRule(Entry):
    """One fault that a description can have: when these facts hold, it is found at the part named in `at`.

    In `reason`, `$name` stands for the part of that variable and `{field}` for a figure of the facts asked for.
    """

    id: EntryId
    severity: Severity
    title: Text
    at: Variable
    field: str | None = Field(default=None, description="The field of the part to mend, such as supply.fuse_a.")
    when: list[dict[str, ConditionFields]] = Field(min_length=1, max_length=6)
    reason: Text
    remedy: Text
    source: Text
    cause: EntryId | None = Field(default=None, description="The cause it would be diagnosed as, were it left.")
    cautions: list[EntryId] = Field(default=[])
    cases: list[InspectionCase] = Field(min_length=2)

    @model_validator(mode="after")
    def _cases_are_complete(self) -> InspectionRule:
        if self.cases[0].site is None:
            raise ValueError("the first case needs a site, which the others change")
        if not any(case.finds for case in self.cases) or all(case.finds for case in self.cases):
            raise ValueError("cases need one that finds something and one that finds nothing")
        return self
