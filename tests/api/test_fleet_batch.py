"""Very many sites inspected at once: on this machine and on a Dask cluster, with the same result."""

from __future__ import annotations

import csv
import subprocess
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from api.app import describe_site
from api.bootstrap import ROOT
from api.cli.where import DATABASE
from api.fleet.batch import AT_ONCE, NoCluster, dask_executor, inspect_many, inspect_piece, local_executor
from api.store import open_store
from diag.demo import load_demo

DAY = date(2026, 5, 4)
MANY = 2 * AT_ONCE + 7


def sites() -> list[tuple[str, dict[str, Any]]]:
    """Return more sites than fit two pieces of work, one of them faulty."""
    whole = [describe_site(load_demo(it)) for it in ("small", "medium")]
    faulty = {"name": "Faulty", "drives": {"d1": {"output": "o9"}}}
    return [(f"site-{number:03}", whole[number % 2]) for number in range(MANY)] + [("faulty", faulty)]


def test_every_site_is_inspected_once_with_the_result_it_has_alone() -> None:
    alone = {it.site: it for it in inspect_piece(sites()[:2] + sites()[-1:], DAY)}
    with local_executor(2) as executor:
        found = list(inspect_many(executor, sites(), DAY))
    by_site = {it.site: it for it in found}

    assert len(found) == len(by_site) == MANY + 1
    assert by_site["site-000"] == alone["site-000"]
    assert by_site["site-001"] == alone["site-001"]
    assert "o9" in (by_site["faulty"].refused or "")


def test_a_dask_cluster_gives_the_same_result() -> None:
    distributed = pytest.importorskip("distributed")
    options = {"n_workers": 2, "threads_per_worker": 1, "dashboard_address": None, "processes": True}
    with (
        distributed.LocalCluster(**options) as cluster,
        dask_executor(cluster.scheduler_address) as executor,
        local_executor(1) as local,
    ):
        spread = {it.site: it for it in inspect_many(executor, sites(), DAY)}
        here = {it.site: it for it in inspect_many(local, sites(), DAY)}

    assert spread == here


def test_a_cluster_that_is_not_there_is_told() -> None:
    with pytest.raises(NoCluster), dask_executor("tcp://127.0.0.1:9"):
        pass


def test_the_command_prints_a_table_and_fails_on_errors(tmp_path: Path) -> None:
    store = open_store(tmp_path / DATABASE)
    for site, description in sites()[:3]:
        store.put_site(site, site, description)
    store.close()
    command = [sys.executable, "-c", "from api.cli.main import main; main()", "fleet", "inspect", "--processes", "1"]
    done = subprocess.run([*command, "--data", str(tmp_path)], capture_output=True, text=True, cwd=ROOT, check=False)
    table = list(csv.DictReader(done.stdout.splitlines()))

    assert [it["site"] for it in table] == ["site-000", "site-001", "site-002"]
    assert done.returncode == any(int(it["error"]) for it in table)
