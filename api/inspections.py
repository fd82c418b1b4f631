"""Inspect a site before power-up over HTTP: POST /v1/inspections."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, Request
from pydantic import Field

from api.dependencies import ServiceDep
from api.inspection_report import InspectionOut, describe_inspection
from api.schemas import Id, In, ProblemOut
from api.strict_query import refuse_unknown_query
from api.who import needs
from diag.inspection.run import Inspector, inspect
from knowledge.inspection_entries import Severity

EXAMPLES: dict[str, Any] = {
    "stored": {"summary": "A stored site", "value": {"site": "medium"}},
    "inline": {
        "summary": "A description inline",
        "value": {
            "site": {
                "name": "Lindholm school, gym",
                "outputs": {"o1": {"rated_current_a": 2}},
                "drives": {
                    "d1": {"output": "o1", "running_current_a": 1.2},
                    "d2": {"output": "o1", "running_current_a": 1.2},
                },
            }
        },
    },
}

router = APIRouter(
    prefix="/v1",
    dependencies=[Depends(refuse_unknown_query), Depends(needs("diagnose"))],
    responses={"default": {"model": ProblemOut, "description": "What was wrong, by field."}},
)


class InspectionIn(In):
    """A site to inspect."""

    site: Id | dict[str, Any] = Field(description="Id of a stored site, or a description inline.")
    at_least: Severity = Field(default="note", description="Leave out findings less severe than this.")


def inspector_of(request: Request) -> Inspector:
    """Return the inspector that the service keeps ready."""
    inspector: Inspector = request.app.state.inspector
    return inspector


InspectorDep = Annotated[Inspector, Depends(inspector_of)]


@router.post("/inspections", tags=["inspections"])
def create_inspection(
    request: Annotated[InspectionIn, Body(openapi_examples=EXAMPLES)], service: ServiceDep, inspector: InspectorDep
) -> InspectionOut:
    """Find the faults of a site description before power-up. Nothing is stored."""
    site = service.shelf.site(request.site if isinstance(request.site, str) else dict(request.site))
    inspection = inspect(inspector, site, service.now().date())
    return describe_inspection(inspection, service.desk.reasoner.knowledge.version, request.at_least)
