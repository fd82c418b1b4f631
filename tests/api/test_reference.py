"""The reference as a visitor meets it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from fastapi.testclient import TestClient

from api.headers import POLICY
from tests.page.service import running_service

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

SIZES = ("100%", "200%")
PAGES = (
    "",
    "?q=voltage",
    "/symptoms/drive-dead",
    "/causes/core-open",
    "/checks/volts-drive",
    "/cautions/crush",
    "/causes/x",
)


@pytest.fixture(scope="module")
def service_address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """Yield the address of a running service."""
    with running_service(tmp_path_factory.mktemp("reference")) as address:
        yield address


@pytest.mark.parametrize("path", PAGES[:-1])
def test_pages_are_served_under_the_policy_of_the_service(client: TestClient, path: str) -> None:
    answer = client.get(f"/reference{path}")

    assert answer.status_code == 200
    assert answer.headers["content-type"].startswith("text/html")
    assert answer.headers["content-security-policy"] == POLICY


def test_a_search_needs_no_script(client: TestClient) -> None:
    page = client.get("/reference", params={"q": "voltage at the drive"}).text

    assert "found for “voltage at the drive”" in page
    assert '<form class="find" action="/reference" method="get"' in page
    assert page.index("/reference/checks/volts-drive") < page.index("<section>")


@pytest.mark.parametrize("path", ["/causes/core-opn", "/checks/", "/sites/small", "/map/nothing.svg"])
def test_an_address_that_leads_nowhere_is_told_kindly(client: TestClient, path: str) -> None:
    assert client.get(f"/reference{path}").status_code == 404


def test_a_misspelt_address_offers_the_nearest(client: TestClient) -> None:
    assert "/reference/causes/core-open" in client.get("/reference/causes/core-opn").text


@pytest.mark.parametrize("path", ["/map.svg", "/map/drive-dead.svg"])
def test_the_map_is_a_picture_whose_labels_lead_to_pages(client: TestClient, path: str) -> None:
    answer = client.get(f"/reference{path}")

    assert answer.headers["content-type"] == "image/svg+xml"
    assert '<a href="/reference/causes/core-open">' in answer.text


def test_the_style_is_served(client: TestClient) -> None:
    answer = client.get("/reference/reference.css")

    assert answer.headers["content-type"].startswith("text/css")
    assert "@media print" in answer.text


def test_the_pages_are_no_part_of_the_described_interface(client: TestClient) -> None:
    assert not [path for path in client.get("/openapi.json").json()["paths"] if path.startswith("/reference")]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_page_is_wider_than_a_phone_or_asks_for_anything_foreign(
    context: BrowserContext, service_address: str, scheme: str
) -> None:
    page: Page = context.new_page()
    page.set_viewport_size({"width": 320, "height": 700})
    page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
    asked: list[str] = []
    refused: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: refused.append(message.text) if "Security Policy" in message.text else None)
    for path in PAGES:
        page.goto(f"{service_address}/reference{path}")
        for size in SIZES:
            page.evaluate("size => { document.documentElement.style.fontSize = size }", size)
            assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (path, size)

    assert [it for it in asked if not it.startswith(service_address)] == []
    assert refused == []


def test_a_visitor_searches_and_follows_links_by_keyboard(page: Page, service_address: str) -> None:
    page.goto(f"{service_address}/reference")
    page.get_by_label("Search the entries").fill("voltage at the drive")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Voltage at the drive").first.press("Enter")

    assert page.get_by_role("heading", level=1).inner_text() == "Voltage at the drive"

    page.get_by_text("Causes that show it").first.press("Enter")
    page.get_by_role("link", name="A broken or unconnected core").first.press("Enter")

    assert page.url.endswith("/reference/causes/core-open")


def test_everything_is_printed_and_nothing_that_only_works_on_a_screen(page: Page, service_address: str) -> None:
    page.goto(f"{service_address}/reference/causes/link-termination-wrong")
    page.emulate_media(media="print")

    assert not page.get_by_role("link", name="Find a fault").is_visible()
    assert page.get_by_text("It follows").first.is_visible()
    assert page.get_by_text("Leave 120 ohm at each end").is_visible()
