"""Take PostgreSQL away from a running service and look what those who use it see: `python -m tests.bench.away`.

Writers send notes as a phone does, each under a key of its own until it is acknowledged; somebody watches the first
case live; a probe asks /healthz and /readyz. Then the server is stopped as by a crash, or frozen so that it takes
connections and answers nothing, and comes back after `--seconds` (30). Nothing is started again but PostgreSQL.
"""

from __future__ import annotations

import argparse
import json
import threading
import time
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from itertools import count
from typing import Any, Literal

import httpx2

from tests.api.serving import Node
from tests.postgres import Server, find_programs

WRITERS = 4
AROUND_S = 2.0
PAUSE_S = 0.2
WATCH_AGAIN_S = 3.0
BACK_WITHIN_S = 60.0

How = Literal["stopped", "frozen"]


@dataclass
class Seen:
    """What writers, watcher and probe saw; times are seconds on one clock."""

    acknowledged: dict[str, float] = field(default_factory=dict)
    statuses: Counter[int] = field(default_factory=Counter)
    refused_at: list[float] = field(default_factory=list)
    without_advice: int = 0
    waits_s: list[float] = field(default_factory=list)
    watched: set[str] = field(default_factory=set)
    alive_s: list[float] = field(default_factory=list)
    ready: list[tuple[float, bool]] = field(default_factory=list)


@dataclass(frozen=True)
class Outage:
    """What an outage came to; a note is lost when it was acknowledged and is not there."""

    statuses: Counter[int]
    first_refusal_s: float | None
    longest_wait_s: float
    back_after_s: float | None
    without_advice: int
    slowest_alive_s: float
    ready_while_away: bool
    acknowledged: int
    lost: int
    doubled: int
    unwatched: int
    same_process: bool


def take_away(server: Server, data: str, how: How, seconds: float, around_s: float = AROUND_S) -> Outage:
    """Return what those who use a service saw while its database was away."""
    node, seen, stop = Node(data).wait(), Seen(), threading.Event()
    cases = [_open(node.address) for _ in range(WRITERS)]
    crowd = [threading.Thread(target=_write, args=(node.address, it, seen, stop)) for it in cases]
    crowd += [threading.Thread(target=it, args=(node.address, cases[0], seen, stop)) for it in (_watch, _probe)]
    for it in crowd:
        it.start()
    try:
        time.sleep(around_s)
        left, back = _go_and_come_back(server, how, seconds)
        _wait_for_an_answer(seen, back)
        time.sleep(around_s)
        same = node.process.poll() is None
    finally:
        stop.set()
        for it in crowd:
            it.join()
    try:
        return _judge(node.address, cases, seen, left, back, same)
    finally:
        node.stop()


def _go_and_come_back(server: Server, how: How, seconds: float) -> tuple[float, float]:
    """Take the server away for so long; return when it went and when it was back."""
    left = time.monotonic()
    server.stop() if how == "stopped" else server.freeze()
    time.sleep(seconds)
    server.start() if how == "stopped" else server.thaw()
    return left, time.monotonic()


def _wait_for_an_answer(seen: Seen, since: float) -> None:
    deadline = time.monotonic() + BACK_WITHIN_S
    while not any(at > since for at in list(seen.acknowledged.values())) and time.monotonic() < deadline:
        time.sleep(0.05)


def report(it: Outage) -> str:
    """Say in a line what an outage came to."""
    told = ", ".join(f"{status} {times}" for status, times in sorted(it.statuses.items()))
    return (
        f"answers {told}; first refusal after {_s(it.first_refusal_s)}, longest wait {it.longest_wait_s:.1f} s, "
        f"refusals without Retry-After {it.without_advice}, ready meanwhile {it.ready_while_away}, slowest /healthz "
        f"{it.slowest_alive_s:.2f} s; first answer {_s(it.back_after_s)} after it was back, same process "
        f"{it.same_process}; {it.acknowledged} acknowledged, lost {it.lost}, doubled {it.doubled}, not seen live "
        f"{it.unwatched}"
    )


def main() -> None:
    """Print a line for each way of going away."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--seconds", type=float, default=30.0)
    asked = words.parse_args()
    programs = find_programs()
    if programs is None:
        raise SystemExit("PostgreSQL is not here.")
    ways: tuple[How, ...] = ("stopped", "frozen")
    for how in ways:
        server = Server(programs)
        try:
            found = take_away(server, server.make_database("away"), how, asked.seconds)
        finally:
            server.close()
        print(f"{how} for {asked.seconds:g} s: {report(found)}", flush=True)


def _s(seconds: float | None) -> str:
    return "never" if seconds is None else f"{seconds:.1f} s"


def _open(address: str) -> str:
    request = {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}]}
    case_id: str = httpx2.post(f"{address}/v1/cases", json=request, timeout=30).json()["case"]["id"]
    return case_id


def _write(address: str, case_id: str, seen: Seen, stop: threading.Event) -> None:
    with httpx2.Client(base_url=address, timeout=60) as client:
        for number in count():
            text = f"{case_id} {number}"
            while not stop.is_set() and not _is_acknowledged(client, case_id, text, seen):
                time.sleep(PAUSE_S)
            if stop.wait(PAUSE_S):
                return


def _is_acknowledged(client: httpx2.Client, case_id: str, text: str, seen: Seen) -> bool:
    headers = {"Idempotency-Key": text.replace(" ", "-"), "If-Match": "*"}
    sent = time.monotonic()
    body = {"events": [{"kind": "note", "text": text}]}
    response = client.post(f"/v1/cases/{case_id}/events", json=body, headers=headers)
    now = time.monotonic()
    seen.waits_s.append(now - sent)
    seen.statuses[response.status_code] += 1
    if response.status_code == 201:
        seen.acknowledged[text] = now
        return True
    seen.refused_at.append(now)
    seen.without_advice += "retry-after" not in response.headers
    return False


def _watch(address: str, case_id: str, seen: Seen, stop: threading.Event) -> None:
    """Watch a case as a page does: when the line breaks, go on after the last event that came."""
    last = "0"
    while not stop.is_set():
        with suppress(httpx2.HTTPError), httpx2.Client(base_url=address, timeout=WATCH_AGAIN_S) as client:
            path = f"/v1/cases/{case_id}/stream"
            with client.stream("GET", path, headers={"Last-Event-ID": last}) as stream:
                for line in stream.iter_lines():
                    name, _, value = line.partition(": ")
                    last = value if name == "id" else last
                    if name == "data":
                        seen.watched.add(str(json.loads(value)["data"].get("text")))
                    if stop.is_set():
                        return
        stop.wait(PAUSE_S)


def _probe(address: str, _: str, seen: Seen, stop: threading.Event) -> None:
    with httpx2.Client(base_url=address, timeout=60) as client:
        while not stop.is_set():
            sent = time.monotonic()
            client.get("/healthz").raise_for_status()
            seen.alive_s.append(time.monotonic() - sent)
            with suppress(httpx2.TimeoutException):
                response = client.get("/readyz", timeout=1)
                seen.ready.append((sent, response.status_code == 200))
            stop.wait(PAUSE_S)


def _judge(address: str, cases: list[str], seen: Seen, left: float, back: float, same: bool) -> Outage:
    kept = Counter(it for case_id in cases for it in _notes(address, case_id))
    after = [at for at in seen.acknowledged.values() if at > back]
    first = [
        text
        for text in seen.acknowledged
        if text.startswith(cases[0]) and seen.acknowledged[text] < max(after, default=0) - 1
    ]
    return Outage(
        statuses=seen.statuses,
        first_refusal_s=min(seen.refused_at) - left if seen.refused_at else None,
        longest_wait_s=max(seen.waits_s),
        back_after_s=min(after) - back if after else None,
        without_advice=seen.without_advice,
        slowest_alive_s=max(seen.alive_s),
        ready_while_away=any(ready for at, ready in seen.ready if left + 1 < at < back - 1),
        acknowledged=len(seen.acknowledged),
        lost=sum(not kept[it] for it in seen.acknowledged),
        doubled=sum(times > 1 for times in kept.values()),
        unwatched=sum(it not in seen.watched for it in first),
        same_process=same,
    )


def _notes(address: str, case_id: str) -> list[str]:
    path: str | None = f"/v1/cases/{case_id}/events?limit=500"
    found: list[str] = []
    while path:
        page: dict[str, Any] = httpx2.get(f"{address}{path}", timeout=30).json()
        found += [it["data"]["text"] for it in page["events"] if it["kind"] == "note"]
        path = page["next"]
    return found


if __name__ == "__main__":
    main()
