"""The text report shows cautions before the remedy, the place in the file, and a count at the end."""

from __future__ import annotations

from diag.inspection.run import Inspector, inspect
from diag.inspection.text_report import WIDTH, text_report
from diag.site_file import read_site
from knowledge.load import Knowledge
from knowledge.located import read_located
from tests.diag.inspection.builders import TODAY

LOW = """\
name: Gym
openings:
  w1: {height_above_floor_m: 1.2, closing_protection: []}
drives:
  d1: {opening: w1}
"""


def report(inspector: Inspector, knowledge: Knowledge, text: str) -> str:
    """Return the text report of a description read from gym.yaml."""
    inspection = inspect(inspector, read_site(text), TODAY, read_located(text, "gym.yaml"))
    return text_report(inspection, "gym.yaml", knowledge.cautions)


def test_a_finding_starts_with_its_place_severity_title_and_rule(inspector: Inspector, knowledge: Knowledge) -> None:
    first = report(inspector, knowledge, LOW).splitlines()[0]

    assert first == ("gym.yaml:3:35: error: A closing edge within reach has no protection [closing-edge-unprotected]")


def test_the_caution_stands_before_what_to_do(inspector: Inspector, knowledge: Knowledge) -> None:
    text = report(inspector, knowledge, LOW)

    assert 0 < text.index("Caution, crushing and shearing:") < text.index("Do: Assess the risk.")
    assert text.index("Do: Assess the risk.") < text.index("Source: ASR A1.6")


def test_the_last_line_counts_by_severity(inspector: Inspector, knowledge: Knowledge) -> None:
    assert report(inspector, knowledge, LOW).splitlines()[-1] == "Gym: 1 error, 0 warnings, 1 note."


def test_lines_fit_a_page(inspector: Inspector, knowledge: Knowledge) -> None:
    body = [line for line in report(inspector, knowledge, LOW).splitlines() if line.startswith("  ")]

    assert body
    assert max(map(len, body)) <= WIDTH
