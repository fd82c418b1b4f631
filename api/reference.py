"""Serve the reference: a page for every entry of the knowledge base, a search, and the map."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import FileResponse, HTMLResponse, RedirectResponse, Response

from api.dependencies import OpenServiceDep
from diag.knowledge_map import knowledge_map
from diag.reference.pages import KINDS, STYLE, entry_page, index_page, missing_page
from diag.reference.search import MOST_CHARACTERS

ADDRESS = "/reference"
SVG = "image/svg+xml"

Word = Annotated[str, Path(max_length=80)]

router = APIRouter(prefix=ADDRESS, include_in_schema=False, default_response_class=HTMLResponse)


@router.get("")
def read_index(service: OpenServiceDep, q: Annotated[str, Query(max_length=MOST_CHARACTERS)] = "") -> str:
    """Return the list of all entries, and what a search finds."""
    return index_page(service.desk.reasoner.knowledge, q)


@router.get("/reference.css", response_class=FileResponse)
def read_style() -> FileResponse:
    """Return the style of the pages, beside that of the phone page."""
    return FileResponse(STYLE, media_type="text/css")


@router.get("/map.svg")
def read_map(service: OpenServiceDep) -> Response:
    """Return the map of all symptoms, causes and checks."""
    return Response(knowledge_map(service.desk.reasoner.knowledge, links=ADDRESS), media_type=SVG)


@router.get("/map/{symptom}.svg")
def read_map_of_symptom(symptom: Word, service: OpenServiceDep) -> Response:
    """Return the map of one symptom."""
    knowledge = service.desk.reasoner.knowledge
    symptom = knowledge.current("Symptom", symptom)
    if symptom not in knowledge.symptoms:
        return HTMLResponse(missing_page(knowledge, symptom), status_code=404)
    return Response(knowledge_map(knowledge, symptom, links=ADDRESS), media_type=SVG)


@router.get("/{kind}/{entry}")
def read_entry(kind: Word, entry: Word, service: OpenServiceDep) -> Response:
    """Return the page of an entry; a retired id leads on to the entry that took its place."""
    knowledge = service.desk.reasoner.knowledge
    if kind not in KINDS:
        return HTMLResponse(missing_page(knowledge, f"{kind}/{entry}"), status_code=404)
    used = knowledge.current(KINDS[kind], entry)
    if used != entry:
        return RedirectResponse(f"{ADDRESS}/{kind}/{used}", status_code=308)
    if entry not in getattr(knowledge, kind):
        return HTMLResponse(missing_page(knowledge, entry), status_code=404)
    return HTMLResponse(entry_page(knowledge, KINDS[kind], entry))
