"""The proving sheet over HTTP."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from io import StringIO

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient
from playwright.sync_api import Page

from api.headers import with_headers
from api.problems import add_problem_handlers
from api.sheets import router


@pytest.fixture(scope="module")
def sheets(client: TestClient) -> Iterator[TestClient]:
    """Return a client of the sheets alone, over the running service."""
    app = FastAPI()
    app.state.service = client.app.state.service  # type: ignore[attr-defined]
    app.state.doorkeeper = client.app.state.doorkeeper  # type: ignore[attr-defined]
    app.add_middleware(with_headers)
    app.include_router(router)
    add_problem_handlers(app)
    with TestClient(app) as found:
        yield found


def test_the_sheet_of_a_stored_site_is_a_page(sheets: TestClient) -> None:
    answer = sheets.get("/v1/sites/medium/sheet")

    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/html")
    assert "Hallowbeck Library" in answer.text


def test_the_page_may_use_nothing_but_its_own_style(sheets: TestClient) -> None:
    policy = sheets.get("/v1/sites/medium/sheet").headers["content-security-policy"]

    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy


def test_a_browser_applies_the_style_under_that_policy(sheets: TestClient, page: Page) -> None:
    answer = sheets.get("/v1/sites/small/sheet")
    headers = {"content-security-policy": answer.headers["content-security-policy"], "content-type": "text/html"}
    refused: list[str] = []
    page.on("console", lambda message: refused.append(message.text))
    page.route("http://sheet.test/", lambda route: route.fulfill(body=answer.text, headers=headers))

    page.goto("http://sheet.test/")

    assert page.evaluate("getComputedStyle(document.querySelector('.caution')).borderLeftStyle") == "solid"
    assert refused == []


def test_the_form_for_the_results_is_a_csv_file(sheets: TestClient) -> None:
    answer = sheets.get("/v1/sites/small/sheet.csv")
    lines = list(csv.DictReader(StringIO(answer.text)))

    assert answer.headers["content-type"].startswith("text/csv")
    assert {"check": "volts-drive", "part": "d1"}.items() <= next(
        it for it in lines if it["part"] == "d1" and "volts" in it["check"]
    ).items()


def test_a_site_that_is_not_stored_is_a_problem_with_the_nearest(sheets: TestClient) -> None:
    answer = sheets.get("/v1/sites/smal/sheet")

    assert answer.status_code == 404
    assert answer.json()["errors"][0]["nearest"] == ["small"]
