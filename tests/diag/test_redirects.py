"""Old ids go on working: cases, findings and links lead to the entry that took the place of a retired one."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.diagnose import diagnose
from diag.engine import Engine
from diag.observations import Case, Diagnosis, Finding, Observed
from diag.reasoner import Reasoner, prepare_reasoner, prepare_site
from diag.redirects import current_case
from knowledge.load import Knowledge, load_knowledge
from tests.builders import NOON
from tests.diag.tiny_knowledge import FILES, faults_in, write_knowledge

RETIRED = {
    "symptoms/old.yaml": "- id: motor-dead\n  status: retired\n  replaced-by: drive-dead\n  name: Its old name\n",
    "checks/old.yaml": "- id: volts-motor\n  status: retired\n  replaced-by: volts-at-drive\n"
    "- id: volts-at-drive\n  status: retired\n  replaced-by: volts-drive\n",
    "causes/drive/motor-burnt.yaml": "id: motor-burnt\nstatus: retired\nreplaced-by: drive-motor-failed\n",
}


@pytest.fixture
def knowledge(tmp_path: Path) -> Knowledge:
    """Return the small knowledge base with three entries retired, one of them twice."""
    return load_knowledge(write_knowledge(tmp_path, RETIRED))


@pytest.fixture
def reasoner(knowledge: Knowledge) -> Reasoner:
    """Return a reasoner over it."""
    return prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)


def answer(reasoner: Reasoner, case: Case) -> Diagnosis:
    """Return the diagnosis on the small demo site."""
    return diagnose(reasoner, prepare_site(load_demo("small"), NOON.date()), case)


def test_a_retired_entry_is_no_entry_and_leads_to_the_one_in_use(knowledge: Knowledge) -> None:
    assert "volts-motor" not in knowledge.checks
    assert knowledge.current("Check", "volts-motor") == "volts-drive"
    assert knowledge.current("Cause", "motor-burnt") == "drive-motor-failed"
    assert knowledge.current("Check", "volts-drive") == "volts-drive"


def test_retired_entries_are_no_fault(tmp_path: Path) -> None:
    assert faults_in(write_knowledge(tmp_path, RETIRED)) == []


def test_a_case_with_old_ids_is_answered_as_with_new_ones(reasoner: Reasoner) -> None:
    old = Case((Observed("motor-dead", "d1"),), findings=(Finding("volts-motor", "none", "d1"),), at=NOON)
    new = Case((Observed("drive-dead", "d1"),), findings=(Finding("volts-drive", "none", "d1"),), at=NOON)

    assert answer(reasoner, old) == answer(reasoner, new)
    assert answer(reasoner, old).causes[0].cause == "core-open"


def test_a_repair_tried_under_an_old_id_counts(knowledge: Knowledge) -> None:
    case = Case((Observed("drive-dead", "d1"),), repaired=(("motor-burnt", "d1"),))

    assert current_case(knowledge, case).repaired == (("drive-motor-failed", "d1"),)


@pytest.mark.parametrize(
    ("replaced_by", "fault"),
    [
        ("volts-drve", "checks/old.yaml:3:16: 0.replaced-by: there is no check volts-drve in use."),
        ("volts-motor", "checks/old.yaml:3:16: 0.replaced-by: there is no check volts-motor in use."),
    ],
)
def test_a_replacement_that_is_not_in_use_is_a_fault(tmp_path: Path, replaced_by: str, fault: str) -> None:
    text = f"- id: volts-motor\n  status: retired\n  replaced-by: {replaced_by}\n"

    (found,) = faults_in(write_knowledge(tmp_path, {"checks/old.yaml": text}))

    assert found.startswith(fault)


def test_a_retired_id_cannot_be_used_again(tmp_path: Path) -> None:
    again = FILES["checks/measure.yaml"] + "- id: volts-drive\n  status: retired\n  replaced-by: ohms-core\n"

    faults = faults_in(write_knowledge(tmp_path, {"checks/measure.yaml": again}))

    assert any("volts-drive is used twice; choose another id" in it for it in faults)
