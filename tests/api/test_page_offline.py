"""The phone page without a signal: diagnosed on the phone, written down, and sent once in order when it is back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime
from typing import Any

import httpx2
import pytest
from playwright.sync_api import BrowserContext, Page, expect

from api import page_worker
from knowledge.load import Knowledge
from tests.page.service import running_service
from tests.page.walk import (
    answer,
    answer_anything,
    choose_site,
    find_causes,
    heading,
    leading_cause,
    measured_check,
    press,
    read_cautions,
    say,
)

SMALL = "Larkmoor"
IN_CHARGE = """
navigator.serviceWorker.controller !== null
  || new Promise((resolve) => navigator.serviceWorker.addEventListener("controllerchange", () => resolve(true)))
"""
"""Waits until the service worker answers for the page."""

SYMPTOM = "It runs the wrong way"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with running_service(tmp_path_factory.mktemp("offline")) as address:
        yield address


def recorded(address: str) -> list[list[str]]:
    """Return the events of every case the service has, oldest case first: kind, check and outcome of each."""
    cases = httpx2.get(f"{address}/v1/cases").json()["cases"]
    return [[in_short(it) for it in events_of(address, case["id"])] for case in reversed(cases)]


def events_of(address: str, case: str) -> list[dict[str, Any]]:
    events: list[dict[str, Any]] = httpx2.get(f"{address}/v1/cases/{case}/events").json()["events"]
    return events


def in_short(event: dict[str, Any]) -> str:
    data = event["data"]
    return " ".join(filter(None, [event["kind"], data.get("check"), data.get("outcome")]))


def latest_case(address: str) -> str:
    found: str = httpx2.get(f"{address}/v1/cases").json()["cases"][0]["id"]
    return found


def keep_site(page: Page, address: str) -> None:
    """Open the small site with a signal and wait until the phone keeps it and the page itself."""
    with page.expect_response("**/v1/sites/small/pack", timeout=60_000), page.expect_response("**/v1/pack/words"):
        choose_site(page, address, SMALL)
    page.evaluate(IN_CHARGE)
    page.goto(f"{address}/#/kept")
    expect(page.get_by_text(re.compile(f"{SMALL}.*kept just now"))).to_be_visible()
    page.goto(f"{address}/#/symptom")


def choose_from_list(page: Page, symptom: str) -> None:
    press(page, "Choose from the list")
    page.get_by_label("Search").fill("wrong way")
    page.get_by_role("button", name=re.compile(f"^{symptom}")).tap()
    expect(heading(page)).to_have_text("Is this what you mean?")


def pass_over(page: Page) -> str:
    """Answer that one is not sure, and return which check it was."""
    read_cautions(page)
    check = page.locator("[data-check]").get_attribute("data-check") or ""
    answer(page, "not-sure")
    return check


def signal_back(page: Page, context: BrowserContext) -> None:
    context.set_offline(False)
    expect(page.locator("[data-band] .sign")).to_have_count(0, timeout=40_000)


def test_a_site_opened_once_is_diagnosed_wholly_without_a_signal(
    page: Page, context: BrowserContext, address: str, knowledge: Knowledge
) -> None:
    keep_site(page, address)
    context.set_offline(True)
    choose_from_list(page, SYMPTOM)
    find_causes(page)
    offline = leading_cause(page)
    expect(page.locator("[data-band]")).to_contain_text("No signal")
    press(page, "Next check")
    given = answer_anything(page)

    expect(page.locator("[data-band]")).to_contain_text("2 not sent yet")
    signal_back(page, context)
    asked = {"site": "small", "symptoms": [{"id": "runs-reversed"}]}
    online = httpx2.post(f"{address}/v1/diagnoses", json=asked).json()["causes"][0]
    assert offline == online["name"] == knowledge.causes[online["id"]].name
    assert [it.split()[0] for it in recorded(address)[-1]] == ["opened", "answer"]
    assert recorded(address)[-1][1].endswith(given)


def test_a_case_cut_off_in_the_middle_goes_on_and_reaches_the_service_once_in_order(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    say(page, "actuator runs wrong way")
    with page.expect_response("**/v1/pack/case"):
        find_causes(page)
    press(page, "Next check")
    checks = [pass_over(page)]
    expect(page.locator("[data-band] .sign")).to_have_count(0)
    context.set_offline(True)
    checks += [pass_over(page), pass_over(page)]
    expect(page.locator("[data-band]")).to_contain_text("2 not sent yet")
    page.close()  # the phone is put away
    again = context.new_page()
    again.goto(address)
    press(again, "Go on with the last case")
    checks.append(pass_over(again))
    expect(again.locator("[data-band]")).to_contain_text("3 not sent yet")
    signal_back(again, context)

    events = recorded(address)[-1]
    assert [it for it in events if it.startswith("answer")] == [f"answer {it} not-sure" for it in checks]


def test_an_answer_taken_back_without_a_signal_is_taken_back_at_the_service(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    choose_from_list(page, SYMPTOM)
    find_causes(page)
    press(page, "Next check")
    answer_anything(page)
    context.set_offline(True)
    press(page, "Undo the last answer")
    expect(page.get_by_role("button", name="Undo the last answer")).to_have_count(0)
    answer(page, "not-sure")
    signal_back(page, context)

    case = httpx2.get(f"{address}/v1/cases/{latest_case(address)}").json()
    assert [it["outcome"] for it in case["answers"]] == ["not-sure"]


def test_two_tabs_send_each_thing_once(page: Page, context: BrowserContext, address: str) -> None:
    keep_site(page, address)
    before = len(recorded(address))
    other = context.new_page()
    choose_site(other, address, SMALL)
    context.set_offline(True)
    for tab in (page, other):
        choose_from_list(tab, SYMPTOM)
        find_causes(tab)
        press(tab, "Next check")
        answer_anything(tab)
    context.set_offline(False)
    for tab in (page, other):
        tab.evaluate("dispatchEvent(new Event('online'))")
        expect(tab.locator("[data-band] .sign")).to_have_count(0, timeout=40_000)

    fresh = recorded(address)[before:]
    assert [[event.split()[0] for event in case] for case in fresh] == [["opened", "answer"], ["opened", "answer"]]


def test_what_somebody_else_wrote_meanwhile_is_shown_and_nothing_is_lost(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    choose_from_list(page, SYMPTOM)
    find_causes(page)
    press(page, "Next check")
    expect(page.locator("[data-check]")).to_be_visible()
    expect(page.locator("[data-band] .sign")).to_have_count(0)
    context.set_offline(True)
    given = answer_anything(page)
    note = {"events": [{"kind": "note", "text": "The key is at the gate"}]}
    posted = httpx2.post(f"{address}/v1/cases/{latest_case(address)}/events", json=note, headers={"If-Match": "*"})
    assert posted.status_code == 201
    signal_back(page, context)

    expect(page.locator("[data-band]")).to_contain_text("Somebody else wrote in this case: note")
    assert [it.split()[0] for it in recorded(address)[-1]] == ["opened", "note", "answer"]
    assert recorded(address)[-1][2].endswith(given)
    press(page, "Seen")
    expect(page.locator("[data-band]")).to_be_empty()


def test_what_the_service_refuses_is_kept_and_shown_and_does_not_block_the_rest(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    choose_from_list(page, SYMPTOM)
    find_causes(page)
    press(page, "Next check")
    expect(page.locator("[data-band] .sign")).to_have_count(0)
    context.set_offline(True)
    answer_anything(page)
    close = {"events": [{"kind": "closed", "outcome": "called-off"}]}
    httpx2.post(f"{address}/v1/cases/{latest_case(address)}/events", json=close, headers={"If-Match": "*"})
    context.set_offline(False)
    page.evaluate("dispatchEvent(new Event('online'))")

    expect(page.locator("[data-band]")).to_contain_text("1 refused by the service", timeout=40_000)
    page.goto(f"{address}/#/kept")
    expect(page.locator("main")).to_contain_text("The service did not take it: The case is closed")
    press(page, "Throw it away")
    expect(page.get_by_text("Everything has reached the service.")).to_be_visible()


@pytest.mark.parametrize(
    "words", ["when I press open the vent goes shut", "das Fenster geht zu statt auf", "vinduet kører den forkerte vej"]
)
def test_typed_words_without_a_signal_are_looked_up_in_the_list(
    page: Page, context: BrowserContext, address: str, words: str
) -> None:
    keep_site(page, address)
    context.set_offline(True)
    say(page, words)

    expect(heading(page)).to_have_text("Choose what you see")
    expect(page.get_by_label("Search")).to_have_value(words)
    page.locator("main .stack .row").filter(has_text=SYMPTOM).first.tap()
    find_causes(page)
    assert page.locator(".cause").count() >= 4


def test_an_impossible_reading_is_refused_without_a_signal_in_the_same_words(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    words, check, unit = measured_check(address)
    say(page, words)
    with page.expect_response("**/v1/pack/case"):
        find_causes(page)
    page.goto(f"{address}/#/check/0/{check}")
    read_cautions(page)
    field = page.get_by_label(f"Reading in {unit}")
    field.fill("9000")
    press(page, "Use it")
    expect(page.locator("#reading-wrong")).to_contain_text("9000")
    online = page.locator("#reading-wrong").inner_text()
    context.set_offline(True)
    press(page, "Use it")

    expect(page.locator("[data-band]")).to_contain_text("No signal")
    expect(page.locator("#reading-wrong")).to_have_text(online)


def test_a_first_visit_without_a_signal_says_so_and_tries_again(
    page: Page, context: BrowserContext, address: str
) -> None:
    page.goto(address)
    expect(heading(page)).to_have_text("Where are you?")
    page.evaluate(IN_CHARGE)
    page.evaluate("indexedDB.deleteDatabase('ventsleuth')")
    context.set_offline(True)
    page.reload()

    expect(page.get_by_role("alert")).to_contain_text("No connection to the service")
    context.set_offline(False)
    press(page, "Try again")
    expect(heading(page)).to_have_text("Where are you?")


def test_a_full_phone_says_so_and_the_case_goes_on(page: Page, context: BrowserContext, address: str) -> None:
    wire = context.new_cdp_session(page)
    wire.send("Storage.overrideQuotaForOrigin", {"origin": address, "quotaSize": 1})
    page.goto(address)
    page.get_by_role("button", name=re.compile(f"^{SMALL}")).tap()
    choose_from_list(page, SYMPTOM)
    find_causes(page)

    expect(page.locator("[data-full]")).to_contain_text("This phone is full")
    press(page, "Next check")
    answer_anything(page)
    expect(page.locator("[data-check]").or_(page.get_by_role("button", name="Proved")).first).to_be_visible()


def test_storage_cleared_in_the_middle_of_a_case_loses_nothing_on_the_screen(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    choose_from_list(page, SYMPTOM)
    find_causes(page)
    press(page, "Next check")
    answer_anything(page)
    wire = context.new_cdp_session(page)
    wire.send("Storage.clearDataForOrigin", {"origin": address, "storageTypes": "indexeddb,cache_storage"})
    title = heading(page).inner_text()
    answer_anything(page)

    expect(heading(page)).not_to_have_text(title)


@pytest.mark.parametrize("days", [-3, 3])
def test_a_phone_whose_clock_is_wrong_notes_times_by_the_clock_of_the_service(
    page: Page, address: str, days: int
) -> None:
    page.add_init_script(f"const now = Date.now; Date.now = () => now() + {days} * 86400000;")
    choose_site(page, address, SMALL)
    say(page, "actuator runs wrong way")
    find_causes(page)
    press(page, "Next check")
    answer_anything(page)
    expect(page.locator("[data-band] .sign")).to_have_count(0)

    answered = [it for it in events_of(address, latest_case(address)) if it["kind"] == "answer"]
    assert abs(seconds_between(answered[0]["data"]["noted_at"], answered[0]["at"])) < 60


def seconds_between(one: str, other: str) -> float:
    return (datetime.fromisoformat(other) - datetime.fromisoformat(one)).total_seconds()


def test_a_pack_in_a_newer_form_is_left_and_the_older_one_goes_on(
    page: Page, context: BrowserContext, address: str
) -> None:
    keep_site(page, address)
    page.route("**/v1/sites/small/pack", lambda route: route.fulfill(json={"format": 2, "name": "of a newer service"}))
    page.goto(f"{address}/#/kept")
    with page.expect_response("**/v1/sites/small/pack"):
        press(page, "Fetch again")
    context.set_offline(True)
    page.goto(f"{address}/#/symptom")
    choose_from_list(page, SYMPTOM)
    find_causes(page)

    assert page.locator(".cause").count() >= 4


def test_a_newer_version_is_offered_on_the_first_screen_only(
    page: Page, address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    choose_site(page, address, SMALL)
    page.evaluate(IN_CHARGE)
    text = page_worker.worker_text()
    monkeypatch.setattr(page_worker, "worker_text", lambda: text.replace('"version": "', '"version": "newer-'))
    page.evaluate("navigator.serviceWorker.getRegistration().then((it) => it.update()).then(() => true)")
    page.wait_for_timeout(500)
    expect(page.get_by_text("A newer version")).to_have_count(0)
    press(page, "Back")

    expect(page.get_by_text("A newer version of this page is ready.")).to_be_visible()
    with page.expect_navigation():
        press(page, "Load it now")
    expect(heading(page)).to_have_text("Where are you?")
    versions: list[str] = page.evaluate("caches.keys()")
    assert [it for it in versions if "newer-" not in it] == []
