"""What the phone works out without a signal is what the service would have said."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from api import system_packages
from api.pack_words import words_pack
from diag.learning import Confirmed, with_learned_rates
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.site import Site
from knowledge.load import Knowledge
from knowledge.translations import load_translations
from tests.page.sessions import AT, draw_sessions, packs_of
from tests.page.test_modules import module_options

CLOSED = {Confirmed("output-fuse-blown"): 40, Confirmed("hold-off-active"): 12, Confirmed("core-open"): 3}
"""What closed cases taught the service that packed the sites."""

SESSIONS = 1000
SEED = 20260504


def test_a_thousand_random_sessions_end_as_the_service_ends_them(
    knowledge: Knowledge, reasoner: Reasoner, small: PreparedSite, medium: PreparedSite, tmp_path: Path
) -> None:
    node = shutil.which("node")
    if node is None:
        (pytest.fail if system_packages.in_ci() else pytest.skip)("Node is not installed; this test needs it.")
    sites = {
        "small": small,
        "medium": medium,
        "no-site": prepare_site(Site(name="a site without description"), AT.date()),
    }
    taught = replace(reasoner, knowledge=with_learned_rates(knowledge, CLOSED))
    vectors = {
        "words": words_pack(knowledge, load_translations()),
        "packs": packs_of(taught, sites),
        "sessions": list(draw_sessions(taught, sites, SESSIONS, SEED)),
    }
    file = tmp_path / "sessions.json"
    file.write_text(json.dumps(vectors), encoding="utf-8")

    command = [node, *module_options(node), str(Path(__file__).parent / "held_to_the_service.js"), str(file)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)

    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)
    print(found)
    assert found["sessions"] == SESSIONS
    assert found["differences"] == 0, found["first"]
    assert found["farthest"] < 1e-9
