"""Signing in with a real browser."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from api.access.people import People
from api.app import Settings
from api.store import open_store
from tests.api.serving import serving


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, str]]:
    """Return the address of a guarded service and the token of a link to it."""
    place = tmp_path_factory.mktemp("sign-in") / "a.db"
    store = open_store(place)
    people = People(store.database)
    token, _ = people.make_link("local", people.add("local", "ada", "Ada", "technician").id)
    store.close()
    with serving(Settings(place, demos=("small",), sign_in=True)) as address:
        yield address, token


def test_a_person_is_led_to_the_sign_in_page_and_told_what_was_wrong(page: Any, guarded: tuple[str, str]) -> None:
    address, _ = guarded
    foreign: list[str] = []
    page.on("request", lambda it: None if it.url.startswith(address) else foreign.append(it.url))
    page.goto(f"{address}/")
    page.get_by_label("Sign-in name").fill("ada")
    page.get_by_label("Password").fill("not the password")
    page.get_by_role("button", name="Sign in").click()

    assert page.url == f"{address}/sign-in"
    assert "Check name and password" in page.get_by_role("alert").inner_text()
    assert foreign == []


def test_a_link_opens_the_phone_page(page: Any, guarded: tuple[str, str]) -> None:
    address, token = guarded
    page.goto(f"{address}/sign-in?token={token}")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url(f"{address}/**")
    me = page.evaluate("fetch('/v1/session').then((it) => it.json())")

    assert me["name"] == "Ada"
    assert "ventsleuth_session" not in page.evaluate("document.cookie")
