"""Send bad bodies by the thousand: `python -m tests.bench.bad_bodies --count 10000`; prints what they were answered."""

from __future__ import annotations

import argparse
import tempfile
from collections import Counter
from pathlib import Path

from fastapi.testclient import TestClient

from api.app import Settings, create_app
from tests.api.bad_bodies import bad_bodies
from tests.api.case_calls import opened


def main() -> None:
    """Send them, print the statuses, and every request that was answered with 500 or more."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--count", type=int, default=10_000)
    words.add_argument("--seed", type=int, default=1)
    asked = words.parse_args()
    statuses: Counter[int] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        app = create_app(Settings(Path(folder) / "bad.db", demos=("small",)))
        with TestClient(app, raise_server_exceptions=False) as client:
            case_id = opened(client)["case"]["id"]
            for method, path, body in bad_bodies(asked.count, asked.seed):
                headers = {"content-type": "application/json", "If-Match": "*"}
                response = client.request(method, path.format(case=case_id), content=body, headers=headers)
                statuses[response.status_code] += 1
                if response.status_code >= 500:
                    print(method, path, body[:300], response.status_code)
    print(f"{asked.count} bodies: " + ", ".join(f"{status} {times}" for status, times in sorted(statuses.items())))


if __name__ == "__main__":
    main()
