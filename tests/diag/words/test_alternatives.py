"""Each chip offers what else its words may have meant, as a text that is then read so."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.hearing import load_intake
from diag.intake import Chip, Intake, understand
from diag.site_file import load_site
from diag.topology import Topology, read_topology
from diag.words.alternatives import MOST, act_of

DEMO = Path(__file__).parents[3] / "diag/demo"


@pytest.fixture(scope="module")
def intake() -> Intake:
    """Return what the product understands text with."""
    return load_intake()


@pytest.fixture(scope="module")
def medium() -> Topology:
    """Return the medium demo site."""
    return read_topology(load_site(DEMO / "medium.yaml"))


def chip(intake: Intake, text: str, words: str, site: Topology | None = None) -> Chip:
    """Return the chip of these words."""
    return next(it for it in understand(intake, text, site).frame if it.words == words)


@pytest.mark.parametrize(
    ("text", "words", "meaning", "changed"),
    [
        ("the vent does not close", "close", "does not open", "the vent does not open"),
        ("the vent does not close", "close", "closes", "the vent closes"),
        ("the vent stays put", "stays put", "does not close", "the vent does not close"),
        ("closes when I press open", "open", "asked to close", "closes when I press close"),
        ("the vent does not close", "vent", "window", "the window does not close"),
        ("it jams in the cold", "in the cold", "rain", "it jams in the rain"),
    ],
)
def test_a_chip_offers_other_readings_as_whole_texts(
    intake: Intake, text: str, words: str, meaning: str, changed: str
) -> None:
    assert (meaning, changed) in [(it.meaning, it.text) for it in chip(intake, text, words).alternatives]


def test_a_part_offers_parts_of_its_kind_and_the_likest_name_first(intake: Intake, medium: Topology) -> None:
    offered = chip(intake, "north window 2 does not close", "north window 2", medium).alternatives
    assert [it.meaning for it in offered[:2]] == ["south window 2", "north window 1"]
    assert understand(intake, offered[1].text, medium).symptoms[0].part == "w1"


def test_words_for_several_parts_offer_just_these(intake: Intake, medium: Topology) -> None:
    it = chip(intake, "window 1 does not close", "window 1", medium)
    assert (it.role, it.meaning) == ("part", "one of 2")
    assert [other.meaning for other in it.alternatives] == ["north window 1", "south window 1"]


def test_what_was_offered_is_read_so_nearly_always(intake: Intake, medium: Topology) -> None:
    texts = (
        "north window 2 does not close in the rain", "atrium vent 1 opens by itself", "the key switch is dead",
        "the thermostat is ignored", "a short press does not stop the archive dampers", "all of them are slow",
        "d7 stops half way and makes a noise", "the fan does not stop", "rain sensor is stuck",
        "press close and it opens",
    )  # fmt: skip
    offered = [
        (it.role, other) for text in texts for it in understand(intake, text, medium).frame for other in it.alternatives
    ]
    read = [
        any((it.role, it.meaning) == (role, other.meaning) for it in understand(intake, other.text, medium).frame)
        for role, other in offered
    ]
    assert len(read) > 40
    assert sum(read) >= 0.9 * len(read)


def test_there_are_never_more_than_can_be_shown(intake: Intake, medium: Topology) -> None:
    frame = understand(intake, "south window 1 does not close when I press the wall switch", medium).frame
    assert max(len(it.alternatives) for it in frame) == MOST


def test_german_and_danish_texts_get_no_english_words(intake: Intake) -> None:
    assert not [it.alternatives for it in understand(intake, "das Fenster öffnet nicht").frame if it.alternatives]


def test_an_act_is_the_same_denied_asked_for_or_happening() -> None:
    assert {act_of("no-close"), act_of("asked-close"), act_of("closes")} == {"close"}
    assert act_of("noise") is None
