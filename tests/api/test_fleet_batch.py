"""Very many sites inspected at once: on this machine and on a Dask cluster, with the same result."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import BrokenExecutor, Executor
from contextlib import contextmanager
from datetime import date
from functools import partial
from pathlib import Path
from random import Random

import pytest

from api.bootstrap import ROOT
from api.cli.fleet import print_by_rule
from api.cli.where import DATABASE
from api.fleet.batch import AT_ONCE, BatchLost, NoCluster, dask_executor, inspect_many, inspect_piece, local_executor
from api.store import open_store
from tests.bench.fleet import cluster, described, judge, run, seed_sites
from tests.bench.processes import children

DAY = date(2026, 5, 4)
MANY = 4 * AT_ONCE + 7


def sites(count: int = MANY) -> list[tuple[str, str]]:
    """Return more sites than fit a few pieces of work; some are faulty, and the first cannot be read."""
    dice = Random(1)
    return [(f"site-{number:05}", json.dumps(described(number, dice))) for number in range(count)]


@contextmanager
def failing_executor(processes: int) -> Iterator[Executor]:
    """Yield processes of which one is killed at once."""
    with local_executor(processes) as executor:
        with pytest.raises(BrokenExecutor):
            executor.submit(os.abort).result()
        yield executor


def test_every_site_is_inspected_once_though_a_process_is_killed(tmp_path: Path) -> None:
    store = open_store(tmp_path / DATABASE)
    seed_sites(store, MANY, seed=1)
    done = run(partial(local_executor, 2), store, MANY, spared=children(os.getpid()))
    alone = inspect_piece(sites(3), DAY)
    store.close()

    assert f"{MANY} sites" in (told := judge(done, MANY))
    assert "missing 0, doubled 0, wrongly judged 0" in told
    assert [done.found[it.site] for it in alone] == alone
    assert [bool(it.refused) for it in alone] == [True, False, False]


def test_a_batch_whose_processes_are_killed_again_and_again_says_what_to_do() -> None:
    with pytest.raises(BatchLost, match="--processes"):
        list(inspect_many(partial(failing_executor, 1), sites(3), DAY))


def test_a_dask_cluster_gives_the_same_result() -> None:
    pytest.importorskip("distributed")
    with cluster(2) as address:
        spread = {it.site: it for it in inspect_many(partial(dask_executor, address), sites(), DAY)}

    assert spread == {it.site: it for it in inspect_piece(sites(), DAY)}


def test_a_cluster_that_is_not_there_is_told() -> None:
    with pytest.raises(NoCluster), dask_executor("tcp://127.0.0.1:9", wait_s=0.5):
        pass


def test_the_command_prints_a_table_and_fails_on_errors(tmp_path: Path) -> None:
    store = open_store(tmp_path / DATABASE)
    seed_sites(store, 4, seed=1)
    store.close()
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "fleet", "inspect", "--processes", "1"]
    done = subprocess.run([*command, "--data", str(tmp_path)], capture_output=True, text=True, cwd=ROOT, check=False)
    table = list(csv.DictReader(done.stdout.splitlines()))

    assert [it["site"] for it in table] == [f"site-{number:05}" for number in range(4)]
    assert "o-none" in table[0]["refused"]
    assert int(table[3]["error"]) > 0
    assert done.returncode == 1


def test_what_recurs_is_listed_by_rule_with_how_many_sites_it_concerns(capsys: pytest.CaptureFixture[str]) -> None:
    print_by_rule(inspect_piece(sites(7), DAY))
    table = list(csv.DictReader(capsys.readouterr().out.splitlines()))

    assert [int(it["sites"]) for it in table if it["severity"] == "error"] == [2]
    assert table == sorted(table, key=lambda it: -int(it["sites"]))
