"""Time the inspection of the campus against one campus diagnosis in one run: `python -m tests.bench.inspection`."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.diagnose import answer
from diag.engine import Engine
from diag.inspection.run import inspect, open_inspector
from diag.reasoner import prepare_reasoner, prepare_site
from diag.reasoning import open_case
from knowledge.load import load_knowledge
from tests.builders import NOON, case

ROUNDS = 15
SYMPTOMS = ("drive-dead@d500", "zone-dead@z3-1", "site-dead")


def main() -> None:
    """Print first and median milliseconds of each, and how many diagnoses an inspection takes."""
    knowledge, campus, inspector = load_knowledge(), load_demo("campus"), open_inspector()
    reasoner = prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)

    def diagnose(symptom: str) -> object:
        asked = case(symptom)
        return answer(reasoner, open_case(reasoner, prepare_site(campus, NOON.date()), asked), asked.findings)

    medians = [timed(symptom, lambda symptom=symptom: diagnose(symptom)) for symptom in SYMPTOMS]
    inspection = timed("inspection", lambda: inspect(inspector, campus, NOON.date()))
    for symptom, median in zip(SYMPTOMS, medians, strict=True):
        print(f"an inspection takes {inspection / median:.1f} x the diagnosis of {symptom}")


def timed(name: str, run: Callable[[], object]) -> float:
    """Print the first and the median time of several runs, and return the median in ms."""
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        run()
        times.append((time.perf_counter() - start) * 1000)
    print(f"{name}: first {times[0]:.0f} ms, median {statistics.median(times):.0f} ms")
    return statistics.median(times)


if __name__ == "__main__":
    main()
