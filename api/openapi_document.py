"""Mend what the framework leaves loose in the OpenAPI document: errors are problem details and nothing else."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from api.access.door import COOKIE
from api.problems import MEDIA_TYPE

TAGS = [
    {"name": "diagnoses", "description": "From what was noticed to causes and the next check."},
    {"name": "cases", "description": "Call-outs, kept as events: opened, answered, repaired, proved."},
    {"name": "knowledge", "description": "Symptoms and causes of the knowledge base."},
    {"name": "inspections", "description": "Faults of a site description, before power-up."},
    {"name": "sites", "description": "Descriptions of sites."},
    {"name": "fleet", "description": "What recurs over all cases and sites."},
    {"name": "training", "description": "Quizzes, classes and practice call-outs."},
    {"name": "webhooks", "description": "Tell other systems of what happens to cases."},
    {"name": "access", "description": "Who may do what, and who did."},
    {"name": "operation", "description": "The service's own state."},
]


def tidy_document(app: FastAPI) -> None:
    """Make the app serve the mended document."""

    def document() -> dict[str, Any]:
        if app.openapi_schema is None:
            app.openapi_schema = _mended(_made(app))
        return app.openapi_schema

    app.openapi = document  # type: ignore[method-assign]


def _made(app: FastAPI) -> dict[str, Any]:
    return get_openapi(
        title=app.title,
        version=app.version,
        description=app.description,
        routes=app.routes,
        servers=app.servers,
        license_info=app.license_info,
        tags=TAGS,
    )


SCHEMES = {
    "key": {"type": "http", "scheme": "bearer", "description": "An API key, where the service asks for one."},
    "session": {"type": "apiKey", "in": "cookie", "name": COOKIE, "description": "A person who is signed in."},
}
OPEN = frozenset(
    {"read_health", "read_readiness", "sign_in", "join_class", "read_sitting", "answer_question", "finish_quiz"}
    | {"keep_cards", "read_deck", "read_due_cards", "rate_card"}
)
"""Operations that need nobody to be signed in; a learner's sitting and cards have an id that nobody can guess."""


def _mended(made: dict[str, Any]) -> dict[str, Any]:
    made["components"]["securitySchemes"] = SCHEMES
    for operations in made["paths"].values():
        for operation in operations.values():
            operation["responses"].pop("422", None)
            operation["security"] = [] if operation["operationId"] in OPEN else [{"key": []}, {"session": []}, {}]
            for code, response in operation["responses"].items():
                if code == "default" or code.startswith(("4", "5")):
                    response["content"] = {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/ProblemOut"}}}
    for unused in ("HTTPValidationError", "ValidationError"):
        made["components"]["schemas"].pop(unused, None)
    return made
