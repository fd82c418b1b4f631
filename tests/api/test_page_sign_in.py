"""Signed out in the middle of a case, a technician signs in again and goes on; nothing is lost."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from fastapi import FastAPI
from playwright.sync_api import Page, expect

from api.access.desk import AccessDesk
from api.access.door import COOKIE
from api.app import Settings, create_app
from tests.page.service import serving
from tests.page.walk import answer, answer_anything, find_causes, heading, next_check, press, say

LOGIN, PASSWORD = "alex", "correct horse battery"
WORDS = "actuator runs wrong way"


@dataclass
class Guarded:
    """A service where everybody signs in, and its address."""

    app: FastAPI
    address: str

    @property
    def access(self) -> AccessDesk:
        """Return who gets in."""
        access: AccessDesk = self.app.state.access
        return access

    def sign_out_everywhere(self, page: Page) -> None:
        """End the session of this browser at the service, as happens when it runs out."""
        [cookie] = [it for it in page.context.cookies() if it.get("name") == COOKIE]
        self.access.people.end_session(cookie.get("value") or "")


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Guarded]:
    app = create_app(Settings(tmp_path_factory.mktemp("guarded") / "page.db", demos=("small",), sign_in=True))
    with serving(app) as address:
        guarded = Guarded(app, address)
        kept = guarded.access.passwords.hash(PASSWORD)
        guarded.access.people.add("local", LOGIN, "Alex", "technician", kept)
        yield guarded


def sign_in(page: Page) -> None:
    page.locator("input[name=login]").fill(LOGIN)
    page.locator("input[name=password]").fill(PASSWORD)
    page.locator("button[type=submit], form button").first.tap()


def outcomes(page: Page, address: str) -> list[str]:
    """Return what was answered in the case that was opened last, as the service has it."""
    case = page.request.get(f"{address}/v1/cases").json()["cases"][0]["id"]
    return [it["outcome"] for it in page.request.get(f"{address}/v1/cases/{case}").json()["answers"]]


def test_signed_out_in_the_middle_of_a_case_nothing_is_lost(page: Page, guarded: Guarded) -> None:
    page.goto(guarded.address)
    sign_in(page)
    page.get_by_role("button", name="Larkmoor").tap()
    say(page, WORDS)
    with page.expect_response("**/v1/pack/case"):
        find_causes(page)
    next_check(page)
    first = answer_anything(page)
    expect(page.locator("[data-band] .sign")).to_have_count(0)
    guarded.sign_out_everywhere(page)
    answer(page, "not-sure")  # the phone goes on by itself and keeps what cannot be sent
    expect(page.locator("[data-band]")).to_contain_text("1 not sent yet")
    here, title = page.url, heading(page).inner_text()

    page.get_by_role("link", name="Sign in").tap()
    sign_in(page)

    expect(heading(page)).to_have_text(title)
    assert page.url == here
    expect(page.locator("[data-band] .sign")).to_have_count(0, timeout=20_000)
    assert outcomes(page, guarded.address) == [first, "not-sure"]


def test_words_typed_after_the_session_ended_are_still_there_after_signing_in(page: Page, guarded: Guarded) -> None:
    page.goto(guarded.address)
    sign_in(page)
    page.get_by_role("button", name="Larkmoor").tap()
    expect(heading(page)).to_have_text("What is wrong?")
    guarded.sign_out_everywhere(page)
    say(page, WORDS)
    expect(page.get_by_role("alert")).to_contain_text("Nothing is lost")
    page.get_by_role("alert").get_by_role("link", name="Sign in").tap()
    sign_in(page)

    expect(heading(page)).to_have_text("What is wrong?")
    expect(page.get_by_label("In your own words")).to_have_value(WORDS)
    press(page, "Go on")
    expect(heading(page)).to_have_text("Is this what you mean?")
