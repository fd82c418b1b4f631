"""Mend what the framework leaves loose in the OpenAPI document: errors are problem details and nothing else."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from api.problems import MEDIA_TYPE

TAGS = [
    {"name": "diagnoses", "description": "From what was noticed to causes and the next check."},
    {"name": "knowledge", "description": "Symptoms and causes of the knowledge base."},
    {"name": "inspections", "description": "Faults of a site description, before power-up."},
    {"name": "sites", "description": "Descriptions of sites."},
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


def _mended(made: dict[str, Any]) -> dict[str, Any]:
    for operations in made["paths"].values():
        for operation in operations.values():
            operation["responses"].pop("422", None)
            for code, response in operation["responses"].items():
                if code == "default" or code.startswith(("4", "5")):
                    response["content"] = {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/ProblemOut"}}}
    for unused in ("HTTPValidationError", "ValidationError"):
        made["components"]["schemas"].pop(unused, None)
    return made
