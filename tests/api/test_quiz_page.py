"""The quiz pages in a browser: sitting a quiz, watching a class, and a practice call-out."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx2
import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Browser, Page, expect

from tests.api.training_app import training_service
from tests.page.looking import axe_faults

SHOTS = os.environ.get("SCREENSHOTS")
"""A folder for pictures of the screens; none are taken without it."""


@pytest.fixture(scope="module")
def address(client: TestClient) -> Iterator[str]:
    with training_service(client) as found:
        yield found


def post(address: str, path: str, body: dict[str, Any]) -> dict[str, Any]:
    """Return the answer of the service to a request that is done."""
    answer = httpx2.post(f"{address}/v1/{path}", json=body)
    answer.raise_for_status()
    found: dict[str, Any] = answer.json()
    return found


def shot(page: Page, name: str) -> None:
    """Take a picture of the screen where somebody wants one."""
    if SHOTS:
        page.screenshot(path=Path(SHOTS) / f"{name}.png", full_page=True)


def opened(address: str, feedback: str, **more: Any) -> tuple[dict[str, Any], str]:
    """Return a quiz and the code of a class that takes it."""
    quiz = post(address, "quizzes", {"site": "medium", "questions": 4, "level": 1, "seed": 21, **more})
    return quiz, str(post(address, "classes", {"quiz": quiz["id"], "feedback": feedback})["code"])


def answer_shown(page: Page, quiz: dict[str, Any], place: int) -> None:
    """Answer the question shown rightly, whatever its form."""
    item = quiz["quiz"]["items"][place]
    letters = {choice["id"]: "ABCDEFGH"[at] for at, choice in enumerate(item["choices"])}
    if item["response"] == "choice":
        page.get_by_role("radio").nth("ABCDEFGH".index(letters[item["answer"][0]])).check()
    elif item["response"] == "match":
        for at, it in enumerate(item["answer"]):
            page.get_by_role("combobox").nth(at).select_option(letters[it])
    else:
        for at, it in enumerate(item["answer"]):
            text = next(choice["text"] for choice in item["choices"] if choice["id"] == it)
            while f"{at + 1}. {text}" not in page.locator(".ordered li").nth(at).inner_text():
                page.get_by_role("button", name=f"Move up: {text}").click()


def test_a_learner_takes_a_quiz_with_feedback_at_once_and_sees_the_result(page: Page, address: str) -> None:
    quiz, code = opened(address, "instant", kinds=["likeliest-cause", "reading-here", "dead-working", "match-causes"])
    page.goto(f"{address}/quiz/#{code}")
    page.get_by_role("button", name="Begin").click()
    for place in range(4):
        expect(page.get_by_role("heading", level=1)).to_have_text(f"Question {place + 1} of 4")
        answer_shown(page, quiz, place)
        assert axe_faults(page) == []
        shot(page, f"sitting-{quiz['quiz']['items'][place]['response']}")
        page.get_by_role("button", name="Answer").click()
        expect(page.locator("[data-mark=right]")).to_be_focused()
        shot(page, f"sitting-marked-{place}")
        page.get_by_role("button", name="Next question" if place < 3 else "Finish").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("4 of 4 right")
    assert axe_faults(page) == []
    shot(page, "sitting-result")


def test_a_wrong_answer_is_told_by_word_and_sign_with_its_reason(page: Page, address: str) -> None:
    quiz, code = opened(address, "instant", kinds=["reading-here"], seed=5)
    item = quiz["quiz"]["items"][0]
    wrong = next(at for at, it in enumerate(item["choices"]) if it["id"] not in item["answer"])
    page.goto(f"{address}/quiz/#{code}")
    page.get_by_role("button", name="Begin").click()
    page.get_by_role("radio").nth(wrong).check()
    page.get_by_role("button", name="Answer").click()

    expect(page.locator("[data-mark=wrong]")).to_contain_text("✗ Not right")
    expect(page.locator("[data-mark=wrong]")).to_contain_text(item["choices"][wrong]["why"])
    expect(page.get_by_role("radio").first).to_be_disabled()
    shot(page, "sitting-wrong")


def test_a_sitting_goes_on_after_the_page_was_closed(page: Page, address: str) -> None:
    quiz, code = opened(address, "final", kinds=["reading-here"], seed=6)
    page.goto(f"{address}/quiz/#{code}")
    page.get_by_role("button", name="Begin").click()
    answer_shown(page, quiz, 0)
    page.get_by_role("button", name="Answer").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Question 2 of 4")
    page.goto("about:blank")
    page.goto(f"{address}/quiz/#{code}")

    expect(page.get_by_role("heading", level=1)).to_have_text("Question 2 of 4")
    page.get_by_role("button", name="Question before").click()
    expect(page.get_by_role("radio", checked=True)).to_have_count(1)


def test_finishing_early_says_how_many_questions_are_open(page: Page, address: str) -> None:
    quiz, code = opened(address, "final", kinds=["reading-here"], seed=7)
    page.goto(f"{address}/quiz/#{code}")
    page.get_by_role("button", name="Begin").click()
    for place in range(4):
        if place == 3:
            page.get_by_role("button", name="Finish").click()
            break
        answer_shown(page, quiz, place)
        page.get_by_role("button", name="Answer").click()

    expect(page.locator("main")).to_contain_text("1 questions have no answer yet.")
    page.get_by_role("button", name="Finish all the same").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("3 of 4 right")


def test_a_wrong_code_is_refused_in_words(page: Page, address: str) -> None:
    page.goto(f"{address}/quiz/#NOSUCH")
    page.get_by_role("button", name="Begin").click()

    expect(page.get_by_role("alert")).to_contain_text("no open class")


def test_the_page_speaks_the_language_of_the_quiz(page: Page, address: str) -> None:
    _, code = opened(address, "final", language="de", kinds=["reading-here"], seed=8)
    page.goto(f"{address}/quiz/#{code}")
    page.get_by_role("button", name="Begin").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Frage 1 von 4")
    expect(page.locator("html")).to_have_attribute("lang", "de")


def test_the_trainer_makes_a_quiz_and_watches_the_class(page: Page, address: str) -> None:
    page.goto(f"{address}/quiz/class.html")
    page.get_by_label("Questions").fill("3")
    page.get_by_label("Level").select_option("1")
    page.get_by_role("button", name="Make it and open a class").click()
    code = page.locator(".code").inner_text(timeout=20_000)
    sitting = post(address, "sittings", {"code": code})
    first = sitting["questions"][0]
    given = (
        ["A"] * max(1, len(first["prompts"]))
        if first["response"] != "order"
        else [it["letter"] for it in first["choices"]]
    )
    httpx2.put(f"{address}/v1/sittings/{sitting['id']}/answers/{first['id']}", json={"given": given}).raise_for_status()

    expect(page.locator("[data-learners]")).to_contain_text("1 of 3", timeout=10_000)
    expect(page.get_by_role("img")).to_be_visible()
    page.get_by_text("How the questions did").click()
    expect(page.locator("main")).to_contain_text("0 have finished. The figures come from 30 learners on.")
    assert axe_faults(page) == []
    shot(page, "class-overview")
    page.get_by_role("button", name="Close the class").click()
    expect(page.locator("main")).to_contain_text("This class is closed")


@pytest.mark.parametrize(
    ("locale", "path", "title"),
    [
        ("de-DE", "class.html", "Ein Quiz für einen Kurs machen"),
        ("da-DK", "class.html", "Lav en quiz til et hold"),
        ("de-DE", "cards.html", "Ihre Karten"),
        ("da-DK", "practise.html", "Øv en udrykning"),
    ],
)
def test_pages_begin_in_the_language_of_the_browser(
    browser: Browser, address: str, locale: str, path: str, title: str
) -> None:
    page = browser.new_page(locale=locale)
    page.goto(f"{address}/quiz/{path}")

    expect(page.get_by_role("heading", level=1)).to_have_text(title)
    expect(page.locator("html")).to_have_attribute("lang", locale[:2])
    page.close()


def test_a_trainee_practises_and_sees_both_ways(page: Page, address: str) -> None:
    page.goto(f"{address}/quiz/practise.html")
    page.get_by_label("Seed").fill("4")
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="The caller says")).to_be_visible(timeout=20_000)
    shot(page, "practice")
    page.get_by_role("button", name="Make a check").click()
    page.get_by_role("searchbox").fill("voltage")
    assert axe_faults(page) == []
    shot(page, "practice-choosing")
    page.locator("button.row").first.click()
    page.get_by_role("checkbox").first.check()
    shot(page, "practice-before")
    page.get_by_role("button", name="Make the check").click()
    expect(page.locator("ol.steps li")).to_have_count(1)
    page.get_by_role("button", name="Name the cause, mend or explain it").click()
    page.locator("button.row").first.click()
    page.get_by_role("button", name="Mend it").click()
    expect(page.locator("ol.steps li").last).to_contain_text("Mend:")
    page.get_by_role("button", name="Prove that it works").click()
    expect(page.locator("ol.steps li").last).to_contain_text("Prove:")
    page.get_by_role("button", name="Give up and see the debrief").click()

    expect(page.get_by_role("heading", level=1)).to_contain_text("Not solved")
    expect(page.get_by_role("heading", name="What is missing, and why")).to_be_visible()
    expect(page.locator(".both")).to_contain_text("The planner")
    assert axe_faults(page) == []
    shot(page, "practice-debrief")


@pytest.mark.parametrize(
    ("language", "said", "checks", "gives_up"),
    [
        ("de", "Der Anrufer sagt", "Etwas prüfen", "Aufgeben"),
        ("da", "Opringeren siger", "Lav en kontrol", "Giv op"),
    ],
)
def test_practice_speaks_the_language_chosen(
    page: Page, address: str, language: str, said: str, checks: str, gives_up: str
) -> None:
    page.goto(f"{address}/quiz/practise.html")
    page.get_by_label("Language").select_option(language)
    page.locator("button.main").click()
    expect(page.get_by_role("heading", name=said)).to_be_visible(timeout=20_000)
    expect(page.locator("html")).to_have_attribute("lang", language)
    page.get_by_role("button", name=checks).click()
    expect(page.locator("button.row").first).to_contain_text("?")
    page.locator(".actions button").click()
    page.get_by_role("button", name=gives_up).click()

    expect(page.locator(".both")).to_be_visible(timeout=20_000)
    shot(page, f"practice-debrief-{language}")


def test_answers_become_cards_that_are_graded_until_nothing_is_due(page: Page, address: str) -> None:
    quiz, code = opened(address, "final", kinds=["likeliest-cause"], seed=9, questions=2)
    page.goto(f"{address}/quiz/#{code}")
    page.get_by_role("button", name="Begin").click()
    for place in range(2):
        answer_shown(page, quiz, place)
        page.get_by_role("button", name="Answer").click()
    page.get_by_role("button", name="Keep these as cards").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing more is due")
    expect(page.locator("main")).to_contain_text("Your code: ")
    shot(page, "cards-done")
    deck = post(address, "learners", {"quiz": quiz["id"]})
    page.goto("about:blank")
    page.goto(f"{address}{deck['address']}")
    for left in range(deck["due"], 0, -1):
        expect(page.locator("main")).to_contain_text(f"{left} due")
        shot(page, "cards-due")
        page.get_by_role("radio").first.check()
        page.get_by_role("button", name="Show the answer").click()
        expect(page.locator("[data-answer]")).to_be_focused()
        assert axe_faults(page) == []
        shot(page, "cards-answer")
        page.get_by_role("button", name="At once").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Nothing more is due")
    assert axe_faults(page) == []


def test_a_code_without_cards_is_told_so(page: Page, address: str) -> None:
    page.goto(f"{address}/quiz/cards.html#ABCD-EFGH-JKLM")

    expect(page.get_by_role("alert")).to_contain_text("no cards under this code")


@pytest.mark.parametrize("path", ["quiz/", "quiz/class.html", "quiz/practise.html", "quiz/cards.html"])
def test_nothing_is_refused_by_the_policy_and_nothing_overflows_a_narrow_screen(
    page: Page, address: str, path: str
) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.set_viewport_size({"width": 320, "height": 640})
    page.goto(f"{address}/{path}")
    page.get_by_role("heading", level=1).wait_for()

    assert said == []
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
