"""Serve the proving sheet of a stored site as a page to print, and the form for its results."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable
from hashlib import sha256

from fastapi import APIRouter, Depends, Response
from fastapi.responses import HTMLResponse

from api.csv_response import CsvResponse
from api.dependencies import Service, ServiceDep
from api.routes import PROBLEM, SiteId
from api.strict_query import refuse_unknown_query
from api.who import needs
from diag.sheet.build import proving_sheet
from diag.sheet.html import page_styles, sheet_page
from diag.sheet.results import results_form
from diag.sheet.sheet import Sheet

router = APIRouter(
    prefix="/v1", responses=PROBLEM, dependencies=[Depends(refuse_unknown_query), Depends(needs("sites:read"))]
)


@router.get("/sites/{site_id}/sheet", tags=["sites"], response_class=HTMLResponse)
def read_sheet(site_id: SiteId, service: ServiceDep) -> Response:
    """Return the proving sheet: what to test, what to expect, what causes what. It prints on A4."""
    sheet = _sheet(service, site_id)
    return HTMLResponse(sheet_page(sheet), headers={"content-security-policy": _policy(page_styles(sheet))})


@router.get("/sites/{site_id}/sheet.csv", tags=["sites"], response_class=CsvResponse)
def read_results_form(site_id: SiteId, service: ServiceDep) -> Response:
    """Return the form for the results of the proving sheet, a line for each test."""
    form = results_form(_sheet(service, site_id).rows)
    named = {"content-disposition": f'attachment; filename="{site_id}-results.csv"'}
    return CsvResponse(form, headers=named)


def _sheet(service: Service, site_id: str) -> Sheet:
    site = service.shelf.site(site_id)
    return proving_sheet(service.desk.reasoner.knowledge, service.desk.prepared(site, service.now().date()))


def _policy(styles: Iterable[str]) -> str:
    """Return what the page may use: its own styles, known by their digests, and nothing else."""
    digests = (b64encode(sha256(it.encode()).digest()).decode() for it in styles)
    allowed = " ".join(f"'sha256-{it}'" for it in digests)
    return f"default-src 'none'; style-src {allowed}; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
