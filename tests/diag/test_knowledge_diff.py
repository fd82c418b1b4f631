"""A change of the knowledge tells which stories it answers otherwise."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.knowledge_diff import knowledge_difference
from tests.diag.tiny_knowledge import spoilt, write_knowledge

STORY = """\
name: The far window
site: small
symptoms: [drive-dead@d1]
findings: [volts-drive@d1=none]
leads: core-open
because: No voltage gets there.
"""


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """Return a folder with the small knowledge base and one story."""
    (tmp_path / "old").mkdir()
    return write_knowledge(tmp_path / "old", {"stories/far-window.yaml": STORY})


def changed(tmp_path: Path, files: dict[str, str]) -> Path:
    """Return a second folder in which these files differ."""
    (tmp_path / "new").mkdir()
    return write_knowledge(tmp_path / "new", {"stories/far-window.yaml": STORY, **files})


def test_the_same_knowledge_answers_alike(old: Path) -> None:
    difference = knowledge_difference(old, old)

    assert (difference.added, difference.removed, difference.changed, difference.stories) == ((), (), (), ())
    assert difference.stories_run == 1


def test_a_changed_word_shows_in_the_entry_and_in_the_story(old: Path, tmp_path: Path) -> None:
    worse = spoilt("causes/wiring/core-open.yaml", "{none: usually, normal: seldom}", "{none: seldom, normal: always}")
    difference = knowledge_difference(old, changed(tmp_path, worse))
    (story,) = difference.stories

    assert difference.changed == ("cause core-open",)
    assert (story.story, story.true_cause) == ("far-window", "core-open")
    assert story.before is not None
    assert story.before.leader.startswith("core-open")
    assert story.after is not None
    assert story.after.probability < story.before.probability


def test_added_and_removed_entries_are_named(old: Path, tmp_path: Path) -> None:
    extra = "- {id: told-so, name: It was told, phrases: [said so]}\n"
    new = changed(tmp_path, {})
    (new / "conditions.yaml").write_text(extra, encoding="utf-8")

    difference = knowledge_difference(old, new)

    assert difference.added == ("condition told-so",)
    assert "condition suddenly" in difference.removed


def test_a_story_that_cannot_be_run_any_more_is_told(old: Path, tmp_path: Path) -> None:
    renamed = {
        name: text.replace("volts-drive", "volts-motor")
        for name, text in {
            **spoilt("checks/measure.yaml", "- id: volts-drive", "- id: volts-motor"),
            **spoilt("causes/wiring/core-open.yaml", "check: volts-drive", "check: volts-motor"),
            **spoilt("causes/drive/drive-motor-failed.yaml", "check: volts-drive", "check: volts-motor"),
        }.items()
    }
    (story,) = knowledge_difference(old, changed(tmp_path, renamed)).stories

    assert story.after is None
    assert story.is_worse
