"""A worker process may die; a request does not."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from diag.engine import Engine
from diag.engine_errors import EngineUnavailable, FactRefused, RulesRefused
from diag.rules import Condition, Rule, Template, fact
from diag.workers import EnginePool
from tests.diag.crashing_engine import CrashingEngine
from tests.diag.test_engine import EXPECTED, FACTS, NEIGHBOUR, ROOT, SUPPLY

CRASH = Rule("crash", (Condition("crash"),), Template("survived", ()))
CHAPTERS = {"all": [SUPPLY, NEIGHBOUR], "crash": [SUPPLY, NEIGHBOUR, CRASH]}
DEADLY = ("segfault", "killed", "hangs", "fails", "raises", "exhausts")


@pytest.fixture(scope="module")
def pool() -> Iterator[EnginePool]:
    with EnginePool(CHAPTERS, workers=2, limit_s=1.0, build=CrashingEngine) as made:
        yield made


def is_running(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def test_a_pool_answers_what_the_engine_answers() -> None:
    with EnginePool(CHAPTERS) as pool:
        assert pool.run("all", FACTS) == Engine(CHAPTERS).run("all", FACTS) == EXPECTED
        assert pool.run("all", []) == ()


@pytest.mark.parametrize("how", DEADLY)
def test_a_request_that_meets_a_crash_is_answered_by_a_fresh_worker(pool: EnginePool, how: str, tmp_path: Path) -> None:
    crash = fact("crash", {"how": how, "once": str(tmp_path / "done")})
    answer = pool.run("crash", [*FACTS, crash])

    assert [one.rule for one in answer] == ["crash", "neighbour", "supply"]
    assert (tmp_path / "done").exists()


@pytest.mark.parametrize("how", DEADLY)
def test_a_request_that_always_crashes_is_given_up_and_the_next_is_answered(pool: EnginePool, how: str) -> None:
    with pytest.raises(EngineUnavailable, match="the engine failed twice on this request"):
        pool.run("crash", [fact("crash", {"how": how})])

    assert pool.run("all", FACTS) == EXPECTED


def test_a_crash_loses_no_request_of_other_threads(pool: EnginePool) -> None:
    answers: list[object] = []

    def ask() -> None:
        answers.extend(pool.run("all", FACTS) for _ in range(60))

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for thread in threads:
        thread.start()
    for _ in range(3):
        with pytest.raises(EngineUnavailable):
            pool.run("crash", [fact("crash", {"how": "segfault"})])
    for thread in threads:
        thread.join()
    assert answers == [EXPECTED] * 240


def test_a_worker_killed_from_outside_is_replaced(pool: EnginePool) -> None:
    before = pool.pids
    for pid in before:
        os.kill(pid, signal.SIGKILL)

    assert [pool.run("all", FACTS) for _ in range(4)] == [EXPECTED] * 4
    assert len(pool.pids) == 2
    assert pool.pids != before


def test_a_worker_killed_in_the_middle_of_a_request_is_replaced() -> None:
    with EnginePool(CHAPTERS, limit_s=5.0, build=CrashingEngine) as pool:
        pool.run("all", FACTS)
        killer = threading.Timer(0.2, os.kill, (pool.pids[0], signal.SIGKILL))
        killer.start()
        second = threading.Timer(0.6, lambda: os.kill(pool.pids[0], signal.SIGKILL))
        second.start()
        with pytest.raises(EngineUnavailable, match="ended with code -9"):
            pool.run("crash", [fact("crash", {"how": "hangs"})])


def test_a_worker_that_stands_still_is_replaced(pool: EnginePool) -> None:
    for pid in pool.pids:
        os.kill(pid, signal.SIGSTOP)
    much = [fact("drive", {"id": str(i), "state": "x" * 100}) for i in range(20_000)]

    assert pool.run("all", much) == ()


def test_a_busy_pool_says_so_in_time() -> None:
    with EnginePool(CHAPTERS, limit_s=0.5, build=CrashingEngine) as pool:
        pool.run("all", FACTS)
        slow = threading.Thread(target=ignore_failure, args=(pool,))
        slow.start()
        time.sleep(0.1)
        with pytest.raises(EngineUnavailable, match="every engine is busy"):
            pool.run("all", FACTS)
        slow.join()
        assert pool.run("all", FACTS) == EXPECTED


def ignore_failure(pool: EnginePool) -> None:
    with pytest.raises(EngineUnavailable):
        pool.run("crash", [fact("crash", {"how": "hangs"})])


def test_what_the_caller_got_wrong_is_said_without_a_worker(pool: EnginePool) -> None:
    before = pool.pids
    with pytest.raises(FactRefused):
        pool.run("all", [fact("drive", {"v": float("nan")})])
    with pytest.raises(KeyError):
        pool.run("unknown", FACTS)
    with pytest.raises(RulesRefused, match="rule empty: 0 conditions"):
        EnginePool({"all": [Rule("empty", (), Template("seen", ()))]})
    assert pool.pids == before


def test_closing_ends_the_workers() -> None:
    with EnginePool(CHAPTERS, workers=2) as pool:
        pids = pool.pids
    assert not any(map(is_running, pids))
    with pytest.raises(EngineUnavailable, match="closed"):
        pool.run("all", FACTS)


def test_workers_end_with_the_process_that_started_them() -> None:
    program = """
import os, sys
from diag.workers import EnginePool
from tests.diag.test_workers import CHAPTERS, EXPECTED, FACTS
pool = EnginePool(CHAPTERS, workers=2)
assert pool.run("all", FACTS) == EXPECTED
print(*pool.pids, flush=True)
os.kill(os.getpid(), 9)
"""
    child = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False)
    pids = [int(pid) for pid in child.stdout.split()]
    deadline = time.monotonic() + 5
    while any(map(is_running, pids)) and time.monotonic() < deadline:
        time.sleep(0.02)

    assert child.returncode == -signal.SIGKILL
    assert len(pids) == 2
    assert not any(map(is_running, pids))


def test_a_worker_without_the_engine_package_says_what_to_install() -> None:
    with EnginePool(CHAPTERS, build=build_without_package) as pool:
        for _ in range(2):
            with pytest.raises(EngineUnavailable, match="gcc and python3-dev"):
                pool.run("all", FACTS)


def build_without_package(chapters: dict[str, list[Rule]]) -> Engine:
    sys.modules["durable_rules_engine"] = None  # type: ignore[assignment]
    return Engine(chapters)


def test_a_worker_stays_small() -> None:
    with EnginePool(CHAPTERS) as pool:
        drives = [fact("drive", {"id": str(i), "state": "dead", "output": f"output-{i // 4}"}) for i in range(3000)]
        outputs = [fact("output", {"id": f"output-{i}", "voltage_v": 12.0}) for i in range(750)]
        for _ in range(5):
            assert len(pool.run("all", [*drives, *outputs])) == 3000
        pages = int(Path(f"/proc/{pool.pids[0]}/statm").read_text().split()[1])

        assert pages * 4096 < 200_000_000
