"""Time the inspection of the campus against one campus diagnosis in one run: `python -m tests.bench.inspection`."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Mapping

from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.diagnose import answer
from diag.engine import Engine
from diag.inspection.run import inspect, open_inspector
from diag.reasoner import prepare_reasoner, prepare_site
from diag.reasoning import open_case
from knowledge.load import load_knowledge
from tests.builders import NOON, case

ROUNDS = 25
SYMPTOMS = ("drive-dead@d500", "zone-dead@z3-1", "site-dead")


def main() -> None:
    """Print first, best and median milliseconds of each, and how many diagnoses an inspection takes."""
    knowledge, campus, inspector = load_knowledge(), load_demo("campus"), open_inspector()
    reasoner = prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)

    def diagnose(symptom: str) -> object:
        asked = case(symptom)
        return answer(reasoner, open_case(reasoner, prepare_site(campus, NOON.date()), asked), asked.findings)

    runs: dict[str, Callable[[], object]] = {
        symptom: lambda symptom=symptom: diagnose(symptom)  # type: ignore[misc]
        for symptom in SYMPTOMS
    }
    runs["inspection"] = lambda: inspect(inspector, campus, NOON.date())
    times_ms = in_turn(runs)
    for name, times in times_ms.items():
        print(f"{name}: first {times[0]:.0f} ms, best {min(times):.0f} ms, median {statistics.median(times):.0f} ms")
    for symptom in SYMPTOMS:
        inspections, diagnoses = times_ms["inspection"], times_ms[symptom]
        best, median = (how(inspections) / how(diagnoses) for how in (min, statistics.median))
        print(f"an inspection takes {median:.1f} x the diagnosis of {symptom} ({best:.1f} x best to best)")


def in_turn(runs: Mapping[str, Callable[[], object]]) -> dict[str, list[float]]:
    """Return the milliseconds of each round of each; they take turns, so a busy machine is as hard on all of them."""
    times_ms: dict[str, list[float]] = {name: [] for name in runs}
    for _ in range(ROUNDS):
        for name, run in runs.items():
            start = time.perf_counter()
            run()
            times_ms[name].append((time.perf_counter() - start) * 1000)
    return times_ms


if __name__ == "__main__":
    main()
