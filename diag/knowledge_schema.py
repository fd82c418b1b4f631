"""Make the JSON Schema with which an editor completes and checks the files of the knowledge base."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic.json_schema import models_json_schema

from knowledge.entries import Cause, Caution, Check, Deduction, Retired, Story, Symptom, ToldCondition

SCHEMA_FILE = Path("entry.schema.json")
ALONE = (Cause, Deduction, Story)
LISTED = (Symptom, Check, Caution, ToldCondition)


def knowledge_schema() -> dict[str, Any]:
    """Return one schema for every file of entries: a cause, deduction or story alone, or a list of the others."""
    models = (*ALONE, *LISTED, Retired)
    placed, whole = models_json_schema([(it, "validation") for it in models], by_alias=True)
    refs = {it: placed[it, "validation"] for it in models}
    retired = refs[Retired]
    files = [{"anyOf": [refs[it], retired]} if it is Cause else refs[it] for it in ALONE]
    files += [{"type": "array", "items": {"anyOf": [refs[it], retired]}} for it in LISTED]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A file of the knowledge base",
        "anyOf": files,
        "$defs": whole["$defs"],
    }


def schema_text() -> str:
    """Return the schema as it is kept beside the entries."""
    return json.dumps(knowledge_schema(), indent=2, ensure_ascii=False) + "\n"
