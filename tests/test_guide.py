"""What the guides name is there: tests, benches and folders."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
OWASP = re.compile(r"^\| API(\d+) ", re.MULTILINE)


def test_every_test_that_the_guide_names_exists() -> None:
    files = [it for it in (ROOT / "tests").rglob("test_*.py") if "node_modules" not in it.parts]
    known = {it.stem for it in files}
    known |= {name for it in files for name in re.findall(r"def (test_\w+)", it.read_text(encoding="utf-8"))}
    named = set(re.findall(r"\btest_\w+", GUIDE))

    assert len(named) > 10
    assert named - known == set()


def test_every_bench_that_the_guide_names_exists() -> None:
    named = set(re.findall(r"python -m tests\.bench\.(\w+)", GUIDE))

    assert named
    assert {it for it in named if not (ROOT / "tests" / "bench" / f"{it}.py").is_file()} == set()


def test_each_of_the_ten_risks_has_its_row_with_a_test() -> None:
    rows = [it for it in GUIDE.splitlines() if OWASP.match(it)]

    assert [int(number) for number in OWASP.findall(GUIDE)] == list(range(1, 11))
    assert [it for it in rows if "test_" not in it] == []
