"""Print what diagnoses cost: forward chaining beside CLIPS, the whole beside its forward chaining, and how both grow.

Every pair is measured in turn, in one process, on the same rules and facts; medians are printed. Run it on a quiet
machine: `python -m tests.bench.diagnosis`. CLIPS is asked only to derive its facts; ours also returns the premises of
every firing.
"""

from __future__ import annotations

import gc
import math
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from pathlib import Path

from diag.campus import build_campus
from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.desk import Desk, open_desk
from diag.diagnose import answer
from diag.engine import Engine
from diag.observations import Case, Finding, Observed
from diag.ranking import order
from diag.reasoner import PreparedSite, Reasoner, prepare_reasoner, prepare_site
from diag.reasoning import Reasoning, open_case
from diag.rules import Rule
from diag.weighing import weigh
from knowledge.load import load_knowledge
from tests.diag.clips_rules import ClipsEngine

ROUNDS = 41
TODAY = date(2026, 5, 4)
SYMPTOMS = ("runs-reversed", "automatic-ignored", "drive-dead", "zone-dead", "site-dead", "stops-when-many-move")
DRIVES = (10, 30, 100, 300, 1000, 3000)
DRIVES_A_CONTROLLER = 25


def medians(calls: Sequence[Callable[[], object]], rounds: int = ROUNDS) -> list[float]:
    """Return the median milliseconds of each call, all of them run in turn in every round, after one warm-up."""
    spent: list[list[float]] = [[] for _ in calls]
    for number in range(rounds + 1):
        for call, times in zip(calls, spent, strict=True):
            started = time.perf_counter()
            call()
            if number:
                times.append(1e3 * (time.perf_counter() - started))
    return [statistics.median(times) for times in spent]


def case_on(site: PreparedSite, symptom: str, about: Sequence[str]) -> Case:
    """Return a case about the middle part of the first kind the symptom is about."""
    parts = site.topology.of_kind(about[0])
    return Case(symptoms=(Observed(symptom, parts[len(parts) // 2] if parts else None),))


def beside_clips(
    desk: Desk, engine: Engine, chapters: dict[str, tuple[Rule, ...]], name: str, site: PreparedSite
) -> None:
    """Print, for each symptom, forward chaining here and in CLIPS, and the whole diagnosis as the service runs it."""
    reasoner = desk.reasoner
    for symptom in SYMPTOMS:
        case = case_on(site, symptom, reasoner.knowledge.symptoms[symptom].about)
        reasoning = open_case(reasoner, site, case)
        clips = ClipsEngine(chapters[symptom], fields_of(reasoner), premises=False)
        first = answer(reasoner, reasoning, ()).next[0]
        finding = (Finding(first.check, first.outcomes[0].id, first.part),)
        ours, theirs, served, whole, again, ranked = medians(
            [
                lambda symptom=symptom, facts=reasoning.facts: engine.run(symptom, facts),
                lambda clips=clips, facts=reasoning.facts: clips.derive(facts),
                lambda symptom=symptom, facts=reasoning.facts: desk.pool.run(symptom, facts),
                lambda case=case: answer(reasoner, open_case(reasoner, site, case), ()),
                lambda reasoning=reasoning, finding=finding: answer(reasoner, reasoning, finding),
                lambda reasoning=reasoning, finding=finding: ranked_again(reasoner, reasoning, finding),
            ]
        )
        print(
            f"{name:7} {symptom:21} {len(chapters[symptom]):5} {len(reasoning.facts):5} {ours:7.2f} {theirs:7.2f} "
            f"{ours / theirs:6.2f} {served:7.2f} {whole:7.2f} {whole / served:6.2f} {again:7.2f} {again / whole:6.2f} "
            f"{ranked:7.3f} {ranked / whole:6.3f}"
        )


def ranked_again(reasoner: Reasoner, reasoning: Reasoning, findings: Sequence[Finding]) -> list[int]:
    """Return the order of the hypotheses after the findings, without checks or reasons."""
    weight = weigh(reasoner, reasoning, findings)
    return order(weight.probabilities, [(it.cause, it.part) for it in reasoning.hypotheses.open])


def fields_of(reasoner: Reasoner) -> dict[str, tuple[str, ...]]:
    """Return the fields of every fact kind, given or derived, for the templates of CLIPS."""
    derived = {
        "suspicion": ("cause", "part", "symptom", "about"),
        "weight": ("cause", "part", "by"),
        "exclusion": ("cause", "part"),
        "advice": ("rule", "part"),
    }
    return dict(reasoner.vocabulary) | derived


def growth_with_drives(reasoner: Reasoner) -> None:
    """Print the time of a whole diagnosis as the site grows, and the exponent of a straight line through the logs."""
    print("\nGrowth with the drives of the site (whole diagnosis of drive-dead at one drive, site ready)")
    points = []
    for drives in DRIVES:
        controllers = max(1, drives // DRIVES_A_CONTROLLER)
        site = prepare_site(build_campus(controllers=controllers, drives=drives), TODAY)
        case = case_on(site, "drive-dead", ["drive"])
        (spent,) = medians([lambda site=site, case=case: answer(reasoner, open_case(reasoner, site, case), ())])
        started = time.perf_counter()
        ready = prepare_site(site.site, TODAY)
        answer(reasoner, open_case(reasoner, ready, case), ())
        cold = 1e3 * (time.perf_counter() - started)
        points.append((drives, spent, cold))
        print(f"  {drives:5} drives {spent:8.2f} ms ready, {cold:8.2f} ms with making the site ready")
    print(f"  exponent {exponent([it[:2] for it in points]):.2f} ready, ", end="")
    print(f"{exponent([(drives, cold) for drives, _, cold in points]):.2f} with making the site ready")


def exponent(points: Sequence[tuple[float, float]]) -> float:
    """Return the slope of the least-squares line through the logarithms."""
    logs = [(math.log(x), math.log(y)) for x, y in points]
    mean_x, mean_y = (statistics.mean(it) for it in zip(*logs, strict=True))
    return sum((x - mean_x) * (y - mean_y) for x, y in logs) / sum((x - mean_x) ** 2 for x, _ in logs)


def growth_with_rules(reasoner: Reasoner, chapters: dict[str, tuple[Rule, ...]]) -> None:
    """Print the time of one symptom's rules alone in the engine, and among ten times as many that it cannot reach."""
    rest = {f"{symptom}-{copy}": renamed(rules, copy) for copy in range(9) for symptom, rules in chapters.items()}
    large = prepare_reasoner(reasoner.knowledge, Engine({**chapters, **rest}).run)
    site = prepare_site(load_demo("medium"), TODAY)
    case = case_on(site, "automatic-ignored", ["zone"])
    alone, among = medians(
        [
            lambda: answer(reasoner, open_case(reasoner, site, case), ()),
            lambda: answer(large, open_case(large, site, case), ()),
        ]
    )
    count = sum(map(len, chapters.values()))
    print(f"\nRules no symptom of the case reaches: {count} in all {alone:.2f} ms, {10 * count} {among:.2f} ms", end="")
    print(f", ratio {among / alone:.2f}")


def renamed(rules: Sequence[Rule], copy: int) -> tuple[Rule, ...]:
    """Return the rules under other names."""
    return tuple(replace(rule, code=f"{rule.code}-{copy}") for rule in rules)


def processes() -> None:
    """Print what a worker holds in memory, its round trip, and how long `ventsleuth match` takes from a cold start."""
    with open_desk() as desk:
        site = prepare_site(load_demo("medium"), TODAY)
        case = case_on(site, "automatic-ignored", ["zone"])
        (spent,) = medians([lambda: answer(desk.reasoner, open_case(desk.reasoner, site, case), ())])
        resident = [resident_mb(pid) for pid in desk.pool.pids]
    print(f"\nThrough a worker process: whole diagnosis on medium {spent:.2f} ms, worker {max(resident):.0f} MB")
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "match", "actuator runs wrong way"]
    times = []
    for _ in range(7):
        started = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True)
        times.append(time.perf_counter() - started)
    print(f"`ventsleuth match` from a cold start: {statistics.median(times):.2f} s")


def resident_mb(pid: int) -> float:
    """Return the resident memory of a process, from /proc."""
    lines = Path(f"/proc/{pid}/status").read_text(encoding="utf-8").splitlines()
    return next(int(line.split()[1]) / 1024 for line in lines if line.startswith("VmRSS"))


def main() -> None:
    """Print every table."""
    knowledge = load_knowledge()
    chapters = compile_chapters(knowledge)
    engine = Engine(chapters)
    gc.freeze()
    print("Milliseconds, medians. f.c.: forward chaining in this process, beside CLIPS in this process.")
    print(
        "served: the same through a worker process, as diagnoses run it; whole: a diagnosis; again: after an answer,\n"
        "with next checks and reasons; ranked: its posterior and order alone."
    )
    print(
        f"{'site':7} {'symptom':21} rules facts {'f.c.':>7} {'CLIPS':>7}  ratio {'served':>7} {'whole':>7}  ratio "
        f"{'again':>7}  ratio {'ranked':>7}  ratio"
    )
    with open_desk(knowledge) as desk:
        beside_clips(desk, engine, chapters, "medium", prepare_site(load_demo("medium"), TODAY))
        beside_clips(desk, engine, chapters, "campus", prepare_site(load_demo("campus"), TODAY))
    reasoner = prepare_reasoner(knowledge, engine.run)
    growth_with_drives(reasoner)
    growth_with_rules(reasoner, chapters)
    processes()


if __name__ == "__main__":
    main()
