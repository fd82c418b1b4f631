"""Kill the service at random moments while many write, and look whether all that was acknowledged is there, once.

`python -m tests.bench.kills --times 200` does so on both databases and prints a table. What is killed is the service; a
power cut, which takes the machine along, is not tried here.
"""

from __future__ import annotations

import argparse
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from random import Random
from typing import Any

import httpx2

from tests.api.serving import Node, free_port
from tests.postgres import Server, find_programs

WRITERS = 4
LONGEST_LIFE_S = 1.2
RETRY_S = 0.2


@dataclass
class History:
    """What writers sent and what was acknowledged."""

    sent: list[str] = field(default_factory=list)
    acknowledged: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Outcome:
    """What was found in the end."""

    kills: int
    acknowledged: int
    kept: int
    lost: tuple[str, ...]
    doubled: tuple[str, ...]
    gaps: int
    refused: tuple[str, ...]

    @property
    def is_well(self) -> bool:
        """Say whether nothing was lost, doubled, out of order or refused."""
        return not (self.lost or self.doubled or self.gaps or self.refused)


def kill_often(data: str, times: int, seed: int) -> Outcome:
    """Start the service on a database and kill it so many times while writers write; return what was found."""
    random, port = Random(seed), free_port()
    history, stop = History(), threading.Event()
    node = Node(data, "--rate", "1000000", port=port).wait()
    cases = [_open(node.address) for _ in range(WRITERS)]
    writers = [threading.Thread(target=_write, args=(node.address, it, history, stop)) for it in cases]
    try:
        for it in writers:
            it.start()
        for _ in range(times):
            time.sleep(random.uniform(0.0, LONGEST_LIFE_S))
            node.kill()
            node = Node(data, "--rate", "1000000", port=port).wait()
        stop.set()
        for it in writers:
            it.join()
        return _judge(node.address, cases, history, times)
    finally:
        stop.set()
        node.stop()


def _open(address: str) -> str:
    request = {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}]}
    case_id: str = httpx2.post(f"{address}/v1/cases", json=request, timeout=30).json()["case"]["id"]
    return case_id


def _write(address: str, case_id: str, history: History, stop: threading.Event) -> None:
    with httpx2.Client(base_url=address, timeout=10) as client:
        for number in count():
            if stop.is_set():
                return
            text = f"{case_id} {number}"
            history.sent.append(text)
            _send_until_acknowledged(client, case_id, text, history, stop)


def _send_until_acknowledged(
    client: httpx2.Client, case_id: str, text: str, history: History, stop: threading.Event
) -> None:
    """Send one note as a phone does: the same request under the same key until an answer comes."""
    headers = {"Idempotency-Key": text.replace(" ", "-"), "If-Match": "*"}
    body = {"events": [{"kind": "note", "text": text}]}
    while not stop.is_set():
        try:
            response = client.post(f"/v1/cases/{case_id}/events", json=body, headers=headers)
        except httpx2.HTTPError:
            time.sleep(RETRY_S)
            continue
        if response.status_code == 201:
            history.acknowledged.append(text)
            return
        if response.status_code != 503:
            history.refused.append(f"{text}: {response.status_code} {response.text[:200]}")
            return


def _judge(address: str, cases: list[str], history: History, kills: int) -> Outcome:
    events = [list(_events(address, it)) for it in cases]
    kept = Counter(it["data"]["text"] for found in events for it in found if it["kind"] == "note")
    gaps = sum([it["seq"] for it in found] != list(range(1, len(found) + 1)) for found in events)
    return Outcome(
        kills=kills,
        acknowledged=len(history.acknowledged),
        kept=sum(kept.values()),
        lost=tuple(it for it in history.acknowledged if not kept[it]),
        doubled=tuple(it for it, times in kept.items() if times > 1),
        gaps=gaps,
        refused=tuple(history.refused),
    )


def _events(address: str, case_id: str) -> Iterator[dict[str, Any]]:
    path: str | None = f"/v1/cases/{case_id}/events?limit=500"
    while path:
        page = httpx2.get(f"{address}{path}", timeout=30).json()
        yield from page["events"]
        path = page["next"]


@contextmanager
def places() -> Iterator[dict[str, str]]:
    """Yield the place of a new database of each kind that is here."""
    programs = find_programs()
    server = Server(programs) if programs else None
    try:
        with tempfile.TemporaryDirectory() as folder:
            yield {"SQLite": folder} | ({"PostgreSQL": server.make_database("kills")} if server else {})
    finally:
        if server:
            server.close()


def main() -> None:
    """Kill and print what was found."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--times", type=int, default=200)
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--only", choices=("SQLite", "PostgreSQL"))
    asked = words.parse_args()
    print("database    kills  acknowledged  kept  lost  doubled  gaps  refused  minutes")
    with places() as found:
        for name, place in found.items():
            if asked.only not in (None, name):
                continue
            started = time.monotonic()
            it = kill_often(place, asked.times, asked.seed)
            minutes = (time.monotonic() - started) / 60
            print(
                f"{name:10} {it.kills:6} {it.acknowledged:13} {it.kept:5} {len(it.lost):5} {len(it.doubled):8} "
                f"{it.gaps:5} {len(it.refused):8} {minutes:8.1f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
