"""The list of changes keeps up with the knowledge."""

from __future__ import annotations

import re

from knowledge.load import FOLDER, Knowledge

CHANGES = (FOLDER / "CHANGES.md").read_text(encoding="utf-8")
LINE = re.compile(r"- (new|update|fix|retire): \S.*")


def test_the_newest_version_is_the_one_every_answer_names(knowledge: Knowledge) -> None:
    assert re.findall(r"^## (.+)$", CHANGES, re.MULTILINE)[0] == knowledge.version


def test_every_change_says_what_kind_it_is() -> None:
    items = [line for line in CHANGES.split("\n") if line.startswith("- ")]

    assert items
    assert [line for line in items if not LINE.fullmatch(line)] == []


def test_every_retired_entry_is_in_the_list(knowledge: Knowledge) -> None:
    retired = [old for redirects in knowledge.redirects.values() for old in redirects]

    assert [old for old in retired if old not in CHANGES] == []
