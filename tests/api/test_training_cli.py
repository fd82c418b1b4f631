"""`ventsleuth quiz` and `ventsleuth practise`."""

from __future__ import annotations

import json
from pathlib import Path
from zipfile import is_zipfile

import pytest
from click.testing import CliRunner

from api.cli.practise import command as practise
from api.cli.quiz import command as quiz

ASKED = ["--site", "small", "--questions", "4", "--seed", "7", "--on", "2026-05-04"]


def test_a_quiz_is_printed_as_markdown_by_default() -> None:
    done = CliRunner().invoke(quiz, ASKED)

    assert done.exit_code == 0, done.output
    assert done.output.startswith("# Quiz: Larkmoor Library")
    assert "# Answers" in done.output


@pytest.mark.parametrize(("form", "is_packed"), [("qti", True), ("qti3", True), ("html", False), ("csv", False)])
def test_a_quiz_is_written_to_a_file(tmp_path: Path, form: str, is_packed: bool) -> None:
    file = tmp_path / "quiz"
    done = CliRunner().invoke(quiz, [*ASKED, "--format", form, "--output", str(file)])

    assert done.exit_code == 0, done.output
    assert "4 questions about Larkmoor Library" in done.output
    assert is_zipfile(file) is is_packed


def test_the_same_seed_prints_the_same_quiz_and_topics_narrow_it() -> None:
    asked = [*ASKED, "--format", "json", "--topic", "input"]
    one, two = (CliRunner().invoke(quiz, asked).output for _ in range(2))

    assert one == two
    assert {it["topic"] for it in json.loads(one)["items"]} == {"input"}


def test_an_unknown_topic_is_refused_with_those_there_are() -> None:
    done = CliRunner().invoke(quiz, [*ASKED, "--topic", "wirring"])

    assert done.exit_code == 2
    assert "wiring" in done.output


def test_a_call_out_is_practised_with_typed_words() -> None:
    said = "prove\nlamps\n1\n\nnonsense words\nlog\nrepair\n1\n\nprove\nstop\n"
    done = CliRunner().invoke(practise, ["--site", "small", "--seed", "2"], input=said)

    assert done.exit_code == 0, done.output
    assert "Caller:" in done.output
    assert "Before you begin" in done.output
    assert "Nothing here fits these words" in done.output
    assert "There is nothing to prove yet" in done.output
    assert "Nobody has shown yet" in done.output
    assert "It works again." in done.output
    assert "Debrief" in done.output
    assert "The planner" in done.output


def test_an_empty_line_tells_what_can_be_typed() -> None:
    done = CliRunner().invoke(practise, ["--site", "small", "--seed", "2"], input="\nstop\n")

    assert done.output.count("Type words of a check") == 2


def test_a_quiz_is_sat_at_the_terminal_and_its_cards_are_kept(tmp_path: Path) -> None:
    cards = tmp_path / "cards.json"
    asked = [*ASKED, "--kind", "reading-here", "--sit", "--cards", str(cards)]
    done = CliRunner().invoke(quiz, asked, input="nothing\nA\nA\nA\nA\n")

    assert done.exit_code == 0, done.output
    assert "Type 1 of the letters above." in done.output
    assert "of 4 right" in done.output
    assert json.loads(cards.read_text())["cards"]


def test_cards_need_a_sitting() -> None:
    assert CliRunner().invoke(quiz, [*ASKED, "--cards", "x.json"]).exit_code == 2


def test_a_call_out_is_practised_in_german() -> None:
    done = CliRunner().invoke(practise, ["--site", "small", "--seed", "2", "--language", "de"], input="xyzzy\nstop\n")

    assert done.exit_code == 0, done.output
    assert done.output.startswith("Anrufer:")
    assert "Nichts passt zu diesen Wörtern" in done.output
    assert "Nicht gelöst. Es war:" in done.output


def test_faults_are_about_what_is_due_on_the_cards(tmp_path: Path) -> None:
    cards = tmp_path / "cards.json"
    asked = ["--site", "small", "--questions", "1", "--kind", "likeliest-cause", "--topic", "supply", "--sit"]
    sat = CliRunner().invoke(quiz, [*asked, "--cards", str(cards)], input="A\n")
    due = json.loads(cards.read_text())
    due["cards"][0]["due"] = "2026-01-01T00:00:00+00:00"
    cards.write_text(json.dumps(due))
    done = CliRunner().invoke(practise, ["--site", "small", "--cards", str(cards)], input="stop\n")
    alike = CliRunner().invoke(practise, ["--site", "small", "--topic", "supply"], input="stop\n")

    assert sat.exit_code == 0, sat.output
    assert done.output == alike.output
