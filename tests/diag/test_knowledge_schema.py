"""The schema editors use is fresh, takes every file of the knowledge base and refuses slips."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from diag.knowledge_schema import SCHEMA_FILE, knowledge_schema, schema_text
from knowledge.load import FOLDER
from knowledge.located import read_located_file

FILES = sorted(
    it for folder in ("symptoms", "causes", "checks", "deductions") for it in (FOLDER / folder).rglob("*.yaml")
)


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    """Return a validator of the schema, which is itself checked first."""
    Draft202012Validator.check_schema(knowledge_schema())
    return Draft202012Validator(knowledge_schema())


def test_the_kept_schema_is_the_one_the_entries_have_now() -> None:
    """To renew it: ventsleuth knowledge schema > knowledge/entry.schema.json"""
    assert (FOLDER / SCHEMA_FILE).read_text(encoding="utf-8") == schema_text()


def test_every_file_of_entries_satisfies_it(validator: Draft202012Validator) -> None:
    wrong = [path.name for path in FILES if not validator.is_valid(read_located_file(path, top=(dict, list)).data)]

    assert len(FILES) > 100
    assert wrong == []


@pytest.mark.parametrize("found", ["failure-mode: open-circuit", "sits-at: cable", "suspect: usually"])
def test_a_word_that_is_not_allowed_is_refused(validator: Draft202012Validator, found: str, tmp_path: Path) -> None:
    text = (FOLDER / "causes" / "wiring" / "core-open.yaml").read_text(encoding="utf-8")
    path = tmp_path / "spoilt.yaml"
    path.write_text(text.replace(found, f"{found}-x", 1), encoding="utf-8")

    assert not validator.is_valid(read_located_file(path).data)


def test_a_retired_entry_satisfies_it(validator: Draft202012Validator) -> None:
    assert validator.is_valid([{"id": "old", "status": "retired", "replaced-by": "new"}])
    assert json.loads(schema_text())["$schema"].endswith("2020-12/schema")
