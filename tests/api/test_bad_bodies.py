"""No body makes the service fail: what cannot be used is refused and says so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.app import Settings, create_app
from tests.api.bad_bodies import bad_bodies
from tests.api.case_calls import opened
from tests.api.databases import KINDS

COUNT = 1_000
"""In each run here; `python -m tests.bench.bad_bodies` sends 10,000."""


@pytest.fixture(scope="module", params=KINDS)
def desk(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[TestClient]:
    """Return a client of a service on each kind of database that raises nothing itself."""
    place: Any = tmp_path_factory.mktemp("bad") / "bad.db"
    if request.param == "postgresql":
        place = request.getfixturevalue("postgres").make_database("bad")
    app = create_app(Settings(place, demos=("small",)))
    with TestClient(app, raise_server_exceptions=False) as client:
        yield client


def test_no_bad_body_is_a_failure_of_ours(desk: TestClient) -> None:
    case_id = opened(desk)["case"]["id"]
    statuses: Counter[int] = Counter()
    failed = []
    for method, path, body in bad_bodies(COUNT, seed=20260504):
        headers = {"content-type": "application/json", "If-Match": "*"}
        response = desk.request(method, path.format(case=case_id), content=body, headers=headers)
        statuses[response.status_code] += 1
        is_told = response.status_code < 400 or response.headers["content-type"] == "application/problem+json"
        if response.status_code >= 500 or not is_told:
            failed.append((method, path, body[:300], response.status_code))

    assert failed == []
    assert statuses[422] > COUNT / 3, statuses
    assert statuses[200] + statuses[201] > COUNT / 50, "the bodies are so bad that nothing gets through"
