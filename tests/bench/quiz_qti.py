"""Validate QTI 2.1 questions against the schema, play their QTI 3.0 twins in an open player, and print what was found.

Run: QTI21=FOLDER QTI3_PLAYER=FILE python -m tests.bench.quiz_qti [quizzes]
"""

from __future__ import annotations

import os
import sys
from collections import Counter
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.engine import Engine
from diag.reasoner import prepare_reasoner
from diag.training.export import qti21
from diag.training.export.package import written
from diag.training.export.qti21 import response_values
from diag.training.item import Item
from diag.training.opening import open_workshop
from diag.training.quiz import QuizRequest, make_quiz
from knowledge.load import load_knowledge
from tests.bench.quiz import DAY, LEVELS, SITES
from tests.chromium import find_chromium
from tests.diag.training.test_qti import PLAYER, SCHEMA, played, schema_folders

QUIZZES, QUESTIONS = 9, 20
LANGUAGES = ("en", "de", "da")


def main(quizzes: int) -> None:
    """Print how many questions were valid and scored rightly."""
    items = made(quizzes)
    print(f"{len(items)} questions of kinds {dict(Counter(it.response for it in items))}")
    _report_schema(items)
    _report_player(items)


def made(quizzes: int) -> list[Item]:
    """Return the questions of quizzes over the demo sites, levels and languages in turn."""
    knowledge = load_knowledge()
    reasoner = prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)
    found: list[Item] = []
    for number in range(quizzes):
        site, language = load_demo(SITES[number % 3]), LANGUAGES[number // 3 % 3]
        workshop = open_workshop(reasoner, site, language, DAY, number)
        found += make_quiz(workshop, QuizRequest(QUESTIONS, LEVELS[number % 3], number)).items
    return found


def _report_schema(items: Sequence[Item]) -> None:
    found = next((it / SCHEMA for it in schema_folders() if (it / SCHEMA).is_file()), None)
    if found is None:
        print("the QTI 2.1 schema is not at hand (set QTI21)")
        return
    etree: Any = import_module("lxml.etree")
    schema = etree.XMLSchema(etree.parse(str(found), etree.XMLParser(no_network=True)))
    valid = sum(schema.validate(etree.fromstring(written(qti21.item_element(it), qti21.NAMESPACE))) for it in items)
    print(f"QTI 2.1: {valid} of {len(items)} valid; last fault: {schema.error_log.last_error}")


def _report_player(items: Sequence[Item]) -> None:
    script = Path(os.environ.get("QTI3_PLAYER", "nowhere"))
    if not script.is_file():
        print("the QTI 3 player is not at hand (set QTI3_PLAYER)")
        return
    with sync_playwright() as it:
        browser = it.chromium.launch(executable_path=find_chromium(), args=["--no-sandbox"])
        page = browser.new_page()
        page.route("**/*", lambda route: route.abort())
        page.set_content(PLAYER)
        page.add_script_tag(path=script)
        wrong = [item.id for item in items if not _is_scored_rightly(page, item)]
        browser.close()
    print(f"QTI 3.0: {len(items) - len(wrong)} of {len(items)} scored rightly {wrong[:3]}")


def _is_scored_rightly(page: Page, item: Item) -> bool:
    """Return whether the right response gains the point and every wrong choice, or the reverse order, none."""
    others: list[tuple[str, ...]] = [(it.id,) for it in item.wrong] or [tuple(reversed(item.answer))]
    lost = all(played(page, item, response_values(item, it)) == 0 for it in others)
    return lost and played(page, item, response_values(item, item.answer)) == 1


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else QUIZZES)
