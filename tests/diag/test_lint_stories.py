"""Names in a story that stand for nothing are told with their line, before any story is run."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.lint_stories import check_stories
from knowledge.load import Knowledge, load_story_files

STORY = """\
name: The core is broken
site: small
text: one window is dead
symptoms: [drive-dead@d1]
told: [suddenly]
at: 2026-05-04T12:00
events: [11:48=manual@za]
findings: [volts-drive@d1=none, volts-output@out1=24V, look-drive-behaviour=not-sure]
leads: core-open
leads-at: k2
because: Nothing arrives.
"""


def faults_of(folder: Path, knowledge: Knowledge, text: str) -> list[str]:
    """Return the faults of a single story, as they are printed."""
    (folder / "stories").mkdir(exist_ok=True)
    (folder / "stories" / "broken.yaml").write_text(text, encoding="utf-8")
    return [str(it) for it in check_stories(load_story_files(folder), knowledge)]


def test_the_stories_have_no_faults(knowledge: Knowledge) -> None:
    assert check_stories(load_story_files(), knowledge) == []


def test_a_sound_story_has_no_faults(tmp_path: Path, knowledge: Knowledge) -> None:
    assert faults_of(tmp_path, knowledge, STORY) == []


@pytest.mark.parametrize(
    ("found", "written", "fault"),
    [
        ("site: small", "site: smal", '2:7: site: There is no site "smal". Did you mean small?'),
        (
            "drive-dead@d1",
            "drive-ded@d1",
            '4:12: symptoms.0: There is no symptom "drive-ded". Did you mean drive-dead',
        ),
        ("drive-dead@d1", "drive-dead@PART", '4:12: symptoms.0: There is no part "PART".'),
        ("[suddenly]", "[sudenly]", '5:8: told.0: There is no circumstance "sudenly". Did you mean suddenly?'),
        ("manual@za", "manual@PART", '7:10: events.0: There is no part "PART".'),
        ("volts-drive@d1=none", "volts-driv@d1=none", "8:12: findings.0: There is no check"),
        ("volts-drive@d1=none", "volts-drive@d1=odd", "8:12: findings.0: The check"),
        (
            "volts-drive@d1=none",
            "volts-drive@out1=none",
            "volts-drive is for the kind drive; out1 is of the kind output.",
        ),
        ("volts-drive@d1=none", "volts-drive@d1", "cannot be read; write it as CHECK=OUTCOME"),
        ("leads: core-open", "leads: core-opn", '9:8: leads: There is no cause "core-opn". Did you mean core-open'),
        ("leads-at: k2", "leads-at: PART", '10:11: leads-at: There is no part "PART".'),
        ("at: 2026-05-04T12:00", "at: noon", "6:5: at: "),
    ],
)
def test_a_name_that_stands_for_nothing_is_told_with_its_line(
    tmp_path: Path, knowledge: Knowledge, found: str, written: str, fault: str
) -> None:
    assert STORY.count(found) == 1
    faults = faults_of(tmp_path, knowledge, STORY.replace(found, written))

    assert len(faults) == 1
    assert faults[0].startswith("stories/broken.yaml:")
    assert fault in faults[0]


def test_any_part_may_be_a_stand_in(tmp_path: Path, knowledge: Knowledge) -> None:
    bare = STORY.replace("site: small", "site: bare").replace("@d1", "").replace("@out1", "").replace("@za", "")

    assert faults_of(tmp_path, knowledge, bare.replace("leads-at: k2\n", "")) == []
