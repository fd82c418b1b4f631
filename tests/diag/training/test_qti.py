"""QTI 2.1 against the standard's own schema, and QTI 3.0 in an open player, where these are at hand.

The schema lies in a folder `shared/qti21` beside or above this one, or where QTI21 says; the player's script
(`@citolab/qti-components`, cdn/index.global.js) where QTI3_PLAYER says. Neither is part of the product.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET
from zipfile import ZipFile

import pytest
from playwright.sync_api import Page

from diag.training.export import qti21, qti30
from diag.training.export.forms import FORMS
from diag.training.export.package import written
from diag.training.export.qti21 import response_values
from diag.training.item import Item, Quiz
from diag.training.opening import open_workshop
from diag.training.quiz import QuizRequest, make_quiz
from tests.diag.training.builders import in_order, pairs, question

SCHEMA = Path("qtiv2p1", "imsqti_v2p1.xsd")
QTI = f"{{{qti21.NAMESPACE}}}"


def schema_folders() -> Iterator[Path]:
    """Yield where the schema may lie: where QTI21 says, then `shared/qti21` in every folder above."""
    if "QTI21" in os.environ:
        yield Path(os.environ["QTI21"])
    yield from (parent / "shared" / "qti21" for parent in Path(__file__).resolve().parents)


@pytest.fixture(scope="module")
def schema() -> Any:
    """Return the compiled schema; skip, and say so, where it is not at hand."""
    etree = pytest.importorskip("lxml.etree", reason="lxml is not installed, so QTI 2.1 was not validated")
    found = next((it / SCHEMA for it in schema_folders() if (it / SCHEMA).is_file()), None)
    if found is None:
        pytest.skip("the QTI 2.1 schema is not at hand (set QTI21), so QTI 2.1 was not validated")
    return etree.XMLSchema(etree.parse(str(found), etree.XMLParser(no_network=True)))


def faults(schema: Any, document: bytes) -> list[str]:
    """Return what the schema finds wrong in a document."""
    etree = pytest.importorskip("lxml.etree")

    schema.validate(etree.fromstring(document))
    return [it.message for it in schema.error_log]


def test_every_document_of_a_package_is_valid(schema: Any, quiz: Quiz) -> None:
    package = ZipFile(BytesIO(FORMS["qti"].write(quiz)))
    checked = {name: faults(schema, package.read(name)) for name in package.namelist() if name != "imsmanifest.xml"}

    assert len(checked) == len(quiz.items) + 1
    assert {name: found for name, found in checked.items() if found} == {}


@pytest.mark.parametrize("language", ["de", "da"])
def test_quizzes_in_other_languages_are_valid(schema: Any, language: str, reasoner: Any, small: Any) -> None:
    made = make_quiz(open_workshop(reasoner, small.site, language), QuizRequest(8, seed=3))
    package = ZipFile(BytesIO(FORMS["qti"].write(made)))

    assert [found for it in made.items if (found := faults(schema, package.read(f"items/{it.id}.xml")))] == []


@pytest.mark.parametrize(
    ("right", "wrong"),
    [('shuffle="false"', 'shufle="false"'), ("simpleChoice", "simplChoice"), ("<correctResponse>", "<correct>")],
)
def test_the_schema_refuses_a_document_that_was_spoilt(schema: Any, right: str, wrong: str) -> None:
    document = written(qti21.item_element(question("One", "Two", "Three")), qti21.NAMESPACE).decode()
    spoilt = document.replace(right, wrong).replace(right.replace("<", "</"), wrong.replace("<", "</"))

    assert faults(schema, document.encode()) == []
    assert faults(schema, spoilt.encode()) != []


def test_the_manifest_names_every_file_of_the_package(quiz: Quiz) -> None:
    package = ZipFile(BytesIO(FORMS["qti"].write(quiz)))
    manifest = ET.fromstring(package.read("imsmanifest.xml"))
    named = [it.get("href") for it in manifest.iter() if it.tag.endswith("}resource")]

    assert ["imsmanifest.xml", *named] == package.namelist()


def test_the_response_declared_right_is_the_key(quiz: Quiz) -> None:
    for item in quiz.items:
        declared = [it.text for it in qti21.item_element(item).iter("value")][: len(item.answer)]

        assert declared == response_values(item, item.answer)


def test_the_names_of_version_3_have_dashes_and_text_keeps_its_html() -> None:
    tags = {it.tag for it in qti30.item_element(question("One", "Two", "Three")).iter()}

    assert {"qti-assessment-item", "qti-simple-choice", "qti-content-body", "p"} <= tags
    assert not any(it != it.lower() for it in tags)


PLAYER = "<!doctype html><title>Player</title><qti-item><item-container></item-container></qti-item>"


@pytest.fixture
def player(page: Page) -> Page:
    """Return a page with the player loaded and the network shut; skip where the player is not at hand."""
    script = Path(os.environ.get("QTI3_PLAYER", "nowhere"))
    if not script.is_file():
        pytest.skip("the QTI 3 player is not at hand (set QTI3_PLAYER), so QTI 3.0 was not played")
    page.route("**/*", lambda route: route.abort())
    page.set_content(PLAYER)
    page.add_script_tag(path=script)
    return page


def played(player: Page, item: Item, given: list[str]) -> float:
    """Return the score the player gives for a response."""
    document = written(qti30.item_element(item), qti30.NAMESPACE).decode()
    score = player.evaluate(
        """async ([xml, given]) => {
          const box = document.querySelector("item-container");
          box.itemXML = xml;
          for (let turn = 0; turn < 100 && !box.shadowRoot?.querySelector("qti-assessment-item"); turn++)
            await new Promise((done) => setTimeout(done, 50));
          const item = box.shadowRoot.querySelector("qti-assessment-item");
          await item.updateComplete;
          item.updateResponseVariable("RESPONSE", given.length === 1 ? given[0] : given);
          item.processResponse();
          return item.getOutcome("SCORE").value;
        }""",
        [document, given],
    )
    return float(score)


@pytest.mark.parametrize(
    "item",
    [
        question("One", "Two", "Three", key=1),
        in_order("One", "Two", "Three", right=(2, 0, 1)),
        pairs(("First", "Second"), ("One", "Two", "Three"), (2, 0)),
    ],
    ids=["choice", "order", "match"],
)
def test_an_open_player_scores_the_right_response_and_no_other(player: Page, item: Item) -> None:
    right = response_values(item, item.answer)
    wrong = response_values(item, tuple(reversed(item.answer)) if len(item.answer) > 1 else (item.wrong[0].id,))

    assert played(player, item, wrong) == 0
    assert played(player, item, right) == 1
