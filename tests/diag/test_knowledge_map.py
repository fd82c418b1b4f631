"""The map holds every entry and every tie, and is a sound picture."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from diag.chapters import symptoms_asked
from diag.knowledge_map import knowledge_map
from knowledge.load import Knowledge, load_knowledge
from tests.diag.tiny_knowledge import spoilt, write_knowledge

SVG = "{http://www.w3.org/2000/svg}"


def labels(drawn: str) -> set[str]:
    """Return the ids that the labels of a map stand for."""
    return {title.text or "" for text in ET.fromstring(drawn).iter(f"{SVG}text") for title in text.iter(f"{SVG}title")}


def test_every_symptom_cause_and_check_is_on_the_map(knowledge: Knowledge) -> None:
    assert labels(knowledge_map(knowledge)) == {*knowledge.symptoms, *knowledge.causes, *knowledge.checks}


def test_there_is_a_line_for_every_tie(knowledge: Knowledge) -> None:
    suspected = {
        (symptom, cause.id)
        for cause in knowledge.causes.values()
        for rule in cause.rules
        if rule.suspect
        for symptom in symptoms_asked(rule)
    }
    shown = [(cause.id, it.check) for cause in knowledge.causes.values() for it in cause.checks]

    assert len(list(ET.fromstring(knowledge_map(knowledge)).iter(f"{SVG}path"))) == len(suspected) + len(shown)


def test_the_map_of_one_symptom_holds_what_it_can_come_from(tmp_path: Path) -> None:
    knowledge = load_knowledge(write_knowledge(tmp_path))

    assert labels(knowledge_map(knowledge, "drive-dead")) == {
        *("drive-dead", "core-open", "drive-motor-failed"),
        *("volts-drive", "ohms-core", "current-drive"),
    }


def test_names_are_escaped(tmp_path: Path) -> None:
    folder = write_knowledge(
        tmp_path, spoilt("symptoms/movement.yaml", "name: One drive does not move", 'name: One <drive> & "one" vent')
    )
    drawn = knowledge_map(load_knowledge(folder))

    assert "One &lt;drive&gt; &amp;" in drawn
    assert ET.fromstring(drawn) is not None


def test_a_map_is_drawn_the_same_each_time(knowledge: Knowledge) -> None:
    assert knowledge_map(knowledge) == knowledge_map(knowledge)


@pytest.mark.parametrize(("links", "count"), [(None, 0), ("/reference", 6)])
def test_labels_lead_to_pages_only_where_there_are_pages(tmp_path: Path, links: str | None, count: int) -> None:
    drawn = ET.fromstring(knowledge_map(load_knowledge(write_knowledge(tmp_path)), links=links))

    assert len(list(drawn.iter(f"{SVG}a"))) == count
