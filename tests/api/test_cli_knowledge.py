"""`ventsleuth knowledge`, run as an author runs it."""

from __future__ import annotations

import json
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Mapping
from pathlib import Path

import pytest

from diag.knowledge_schema import schema_text
from tests.diag.tiny_knowledge import spoilt, write_knowledge

ROOT = Path(__file__).parent.parent.parent


def knowledge_command(*words: str) -> subprocess.CompletedProcess[str]:
    """Run a subcommand and return what it printed and its exit code."""
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "knowledge", *words]
    return subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False, timeout=120)


@pytest.fixture
def tiny(tmp_path: Path) -> Path:
    """Return the folder of the small knowledge base."""
    return write_knowledge(tmp_path)


def test_check_prints_counts_when_there_are_no_faults(tiny: Path) -> None:
    done = knowledge_command("check", "--folder", str(tiny))

    assert done.returncode == 0
    assert (
        "1 symptoms, 2 causes, 3 checks, 2 rules, 4 cases, 13 cautions, 0 inspection rules. No faults." in done.stdout
    )


def test_check_prints_every_fault_and_ends_with_1(tiny: Path) -> None:
    write_knowledge(
        tiny, spoilt("checks/measure.yaml", "hazards: [electric-shock, height, life-safety]", "hazards: []")
    )
    done = knowledge_command("check", "--folder", str(tiny))

    assert done.returncode == 1
    assert "checks/measure.yaml:24:12:" in done.stderr
    assert done.stderr.endswith("3 faults.\n")


def test_check_counts_and_names_the_texts_each_language_lacks(tiny: Path) -> None:
    for language in ("de", "da"):
        lines = {
            "symptoms": "drive-dead: {name: Still}",
            "causes": "core-open: {name: Open core}",
            "cautions": "crush: {name: Crush, text: Stand clear., defer: Ask.}",
        }
        _translate(tiny / "translations" / language, lines)
    done = knowledge_command("check", "--folder", str(tiny))

    assert done.returncode == 0, done.stderr
    assert "German (de): 44 of 51 texts are missing.\n" in done.stdout
    assert "  add to translations/de/causes.yaml: drive-motor-failed\n" in done.stdout
    assert "  add to translations/da/checks.yaml: current-drive, ohms-core, volts-drive outcome none\n" in done.stdout
    assert "Danish (da): 44 of 51 texts are missing.\n" in done.stdout


def test_check_tells_a_faulty_translation_with_its_line(tiny: Path) -> None:
    lines = {"symptoms": "drive-dead: {nam: Still}", "causes": "{}", "cautions": "{}"}
    _translate(tiny / "translations" / "de", lines)
    done = knowledge_command("check", "--folder", str(tiny))

    assert done.returncode == 1
    assert "translations/de/symptoms.yaml:1:14: drive-dead.nam:" in done.stderr


def _translate(folder: Path, lines: Mapping[str, str]) -> None:
    """Write a language in which the first drive check lacks an outcome."""
    folder.mkdir(parents=True)
    checks = "volts-drive: {question: What is it?, outcomes: {normal: Good}}"
    for name, text in {**lines, "checks": checks}.items():
        (folder / f"{name}.yaml").write_text(f"{text}\n", encoding="utf-8")


@pytest.mark.parametrize(
    "words",
    [
        ("cause", "drive-gear-worn", "--family", "drive", "--symptom", "drive-dead", "--check", "volts-drive"),
        ("symptom", "drive-silent", "--family", "movement"),
        ("check", "look-plate", "--kind", "look"),
    ],
)
def test_new_writes_a_skeleton_and_says_where(tiny: Path, words: tuple[str, ...]) -> None:
    done = knowledge_command("new", *words, "--folder", str(tiny))

    assert done.returncode == 0, done.stderr
    started = Path(done.stdout.removeprefix("Started in ").split(",")[0])
    assert f"id: {words[1]}\n" in started.read_text(encoding="utf-8")
    assert "still to fill" in knowledge_command("check", "--folder", str(tiny)).stderr


@pytest.mark.parametrize(
    ("words", "refusal"),
    [
        (("cause", "core-open", "--family", "wiring"), "core-open is taken already, in causes/wiring/core-open.yaml"),
        (("cause", "Core Open", "--family", "wiring"), "“Core Open” is no id"),
        (("cause", "../core", "--family", "wiring"), "“../core” is no id"),
        (("check", "look-plate", "--kind", "smell"), "'smell' is not one of"),
        (("cause", "x", "--family", "drive", "--symptom", "drive-ded"), "Did you mean drive-dead?"),
        (
            ("cause", "x", "--family", "drive", "--symptom", "drive-dead", "--symptom", "zone-dead"),
            "given 2 times: drive-dead, zone-dead. A skeleton takes one.",
        ),
        (
            ("cause", "x", "--family", "drive", "--check", "ohms-core", "--check", "volts-drive"),
            "write the other checks into the file beside it.",
        ),
    ],
)
def test_new_refuses_what_cannot_be_added(tiny: Path, words: tuple[str, ...], refusal: str) -> None:
    before = sorted(tiny.rglob("*.yaml"))
    done = knowledge_command("new", *words, "--folder", str(tiny))

    assert done.returncode != 0
    assert refusal in done.stderr
    assert sorted(tiny.rglob("*.yaml")) == before


def test_why_shows_what_touches_an_entry(tiny: Path) -> None:
    done = knowledge_command("why", "ohms-core", "--folder", str(tiny))

    assert done.returncode == 0
    assert "ohms-core, a check in checks/measure.yaml:15" in done.stdout
    assert "core-open  (causes/wiring/core-open.yaml:22)" in done.stdout


def test_why_follows_a_retired_id(tiny: Path) -> None:
    write_knowledge(tiny, {"checks/old.yaml": "- {id: ohms-old, status: retired, replaced-by: ohms-core}\n"})
    done = knowledge_command("why", "ohms-old", "--folder", str(tiny))

    assert done.stdout.startswith("ohms-old is retired; ohms-core took its place.")


def test_map_writes_a_picture(tiny: Path) -> None:
    picture = tiny / "map.svg"
    done = knowledge_command("map", "--symptom", "drive-dead", "-o", str(picture), "--folder", str(tiny))

    assert done.returncode == 0
    assert ET.parse(picture).getroot().tag.endswith("svg")


def test_coverage_prints_a_table_or_json(tiny: Path) -> None:
    table = knowledge_command("coverage", "--folder", str(tiny)).stdout.splitlines()
    listed = json.loads(knowledge_command("coverage", "--json", "--folder", str(tiny)).stdout)

    assert table[1].split()[:7] == ["drive-dead", "2", "3", "2", "3", "0", "6"]
    assert listed[0]["causes"] == ["core-open", "drive-motor-failed"]


def test_coverage_sums_up_and_prints_the_checks_of_each_symptom_and_cause(tiny: Path) -> None:
    counts = knowledge_command("coverage", "--folder", str(tiny)).stdout.splitlines()
    table = knowledge_command("coverage", "--table", "--folder", str(tiny)).stdout.splitlines()

    assert counts[-1] == ("1 symptoms, 2 pairs of symptom and cause, 2.0 checks a pair. Fewest causes: drive-dead (2).")
    assert [line.split() for line in table[1:3]] == [
        ["drive-dead", "core-open", "usually", "volts-drive", "*ohms-core"],
        ["drive-dead", "drive-motor-failed", "often", "volts-drive", "current-drive"],
    ]


def test_coverage_refuses_a_symptom_that_does_not_exist(tiny: Path) -> None:
    done = knowledge_command("coverage", "--symptom", "drive-ded", "--folder", str(tiny))

    assert done.returncode == 1
    assert "Did you mean drive-dead?" in done.stderr


def test_schema_prints_the_kept_schema() -> None:
    assert knowledge_command("schema").stdout == schema_text()


def test_diff_tells_changed_entries_and_answers(tmp_path: Path) -> None:
    story = "name: The far window\nsite: small\nsymptoms: [drive-dead@d1]\nfindings: [volts-drive@d1=none]\n"
    stories = {"stories/far-window.yaml": f"{story}leads: core-open\nbecause: No voltage gets there.\n"}
    worse = spoilt("causes/wiring/core-open.yaml", "{none: usually, normal: seldom}", "{none: never, normal: always}")
    for name in ("old", "new"):
        (tmp_path / name).mkdir()
    old = write_knowledge(tmp_path / "old", stories)
    new = write_knowledge(tmp_path / "new", {**stories, **worse})

    done = knowledge_command("diff", str(old), str(new))

    assert done.returncode == 0, done.stderr
    assert "Changed: cause core-open" in done.stdout
    assert "1 of 1 stories are answered otherwise" in done.stdout
    assert "far-window: core-open is right" in done.stdout


def test_diff_refuses_what_is_neither_folder_nor_revision(tiny: Path) -> None:
    done = knowledge_command("diff", "no-such-state", str(tiny))

    assert done.returncode == 1
    assert "“no-such-state” is neither a folder nor a revision" in done.stderr


def test_a_faulty_folder_is_refused_with_its_faults(tiny: Path) -> None:
    (tiny / "words.yaml").write_text("likelihood: {}\n", encoding="utf-8")
    done = knowledge_command("coverage", "--folder", str(tiny))

    assert done.returncode == 1
    assert "words.yaml:" in done.stderr


def test_every_subcommand_explains_itself() -> None:
    listed = knowledge_command("--help").stdout

    for word in ("check", "coverage", "diff", "map", "new", "schema", "stories", "why"):
        assert f"\n  {word} " in listed


def test_rates_are_listed_with_their_reasons_and_their_sum(tiny: Path) -> None:
    said = knowledge_command("rates", "--folder", str(tiny)).stdout.splitlines()

    assert said[0] == "   20  drive-motor-failed: Motors wear out."
    assert said[1] == "   18  core-open: Cores break at terminals."
    assert said[-1] == "Of 1,000 call-outs, with 38 findings in all: some call-outs have more than one."


def test_rates_of_one_family_are_listed_and_an_unknown_family_is_refused(tiny: Path) -> None:
    wiring = knowledge_command("rates", "--family", "wiring", "--folder", str(tiny))
    refused = knowledge_command("rates", "--family", "wirring", "--folder", str(tiny))

    assert "drive-motor-failed" not in wiring.stdout
    assert "18 of them here" in wiring.stdout
    assert refused.returncode == 2
    assert "“wirring” is no family of causes. Choose from: drive, wiring." in refused.stderr


def test_why_puts_ties_of_one_sort_together() -> None:
    said = knowledge_command("why", "always-held-closed").stdout.splitlines()
    headings = [line for line in said if line and not line.startswith(" ")]

    assert "suspected (often) by" in headings
    assert len(headings) == len(set(headings))


def test_new_joins_a_cause_at_another_part_to_its_symptom(tiny: Path) -> None:
    words = ("cause", "core-short", "--family", "wiring", "--symptom", "drive-dead", "--sits-at", "cable")
    done = knowledge_command("new", *words, "--folder", str(tiny))

    assert done.returncode == 0, done.stderr
    assert "feeds: {consumer: $d, source: $c, source_kind: cable}" in (
        tiny / "causes" / "wiring" / "core-short.yaml"
    ).read_text(encoding="utf-8")


def test_check_tells_a_story_that_names_what_is_not_there(tiny: Path) -> None:
    (tiny / "stories").mkdir()
    story = "name: A story\nsite: small\nsymptoms: [drive-dead@PART]\nfindings: [volts-drive@d1=odd]\n"
    (tiny / "stories" / "one.yaml").write_text(f"{story}leads: core-open\nbecause: It is.\n", encoding="utf-8")
    done = knowledge_command("check", "--folder", str(tiny))

    assert done.returncode == 1
    assert 'stories/one.yaml:3:12: symptoms.0: There is no part "PART".' in done.stderr
    assert 'stories/one.yaml:4:12: findings.0: The check "volts-drive" has no outcome "odd"' in done.stderr
    assert done.stderr.endswith("2 faults.\n")


def test_check_remarks_on_the_cause_that_is_named(tiny: Path) -> None:
    done = knowledge_command("check", "core-open", "--folder", str(tiny))
    unknown = knowledge_command("check", "core-opn", "--folder", str(tiny))

    assert done.returncode == 0
    assert (
        "Remarks on core-open: look whether it is meant so.\n  causes/wiring/core-open.yaml:19:3: checks: "
        in done.stdout
    )
    assert 'There is no cause "core-opn". Did you mean core-open?' in unknown.stderr


def test_check_has_no_remarks_on_a_cause_that_needs_none() -> None:
    assert "No remarks on core-open.\n" in knowledge_command("check", "core-open").stdout
