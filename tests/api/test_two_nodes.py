"""Two nodes on one PostgreSQL, one killed under load: who worked there goes on at the other and misses nothing."""

from __future__ import annotations

import threading
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

import httpx2

from api.app import Settings
from tests.api.case_calls import add, opened
from tests.api.serving import Node, read_messages, seqs, serving

WRITERS, NOTES, BEFORE_THE_KILL = 3, 8, 6


@dataclass
class Phones:
    """Several phones that write notes to one case, each at the first node until that is gone, then at the other."""

    case_id: str
    nodes: tuple[str, str]
    acknowledged: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)
    moved: list[str] = field(default_factory=list)

    def write(self, name: str) -> None:
        """Write notes one after the other, each under its own key until it is acknowledged."""
        for number in range(NOTES):
            text = f"{name} {number}"
            if self._sent(text, self.nodes[0]):
                continue
            (self.moved if self._sent(text, self.nodes[1]) else self.refused).append(text)

    def _sent(self, text: str, node: str) -> bool:
        try:
            with httpx2.Client(base_url=node, timeout=60) as phone:
                key = f"phone-{text.replace(' ', '-')}"
                response = add(phone, self.case_id, {"kind": "note", "text": text}, key=key)
        except httpx2.HTTPError:
            return False
        if response.status_code == 201:
            self.acknowledged.append(text)
        return bool(response.status_code == 201)


def test_phones_and_watchers_of_a_killed_node_go_on_at_the_other(postgres: Any) -> None:
    place = postgres.make_database("two_nodes_under_load")
    doomed = Node(place).wait()
    with serving(Settings(place, demos=("small",))) as other:
        with httpx2.Client(base_url=doomed.address, timeout=60) as desk:
            case_id = opened(desk)["case"]["id"]
            phones = Phones(case_id, (doomed.address, other))
            crowd = [threading.Thread(target=phones.write, args=(f"phone-{it}",)) for it in range(WRITERS)]
            with desk.stream("GET", f"/v1/cases/{case_id}/stream") as stream:
                lines = stream.iter_lines()
                for it in crowd:
                    it.start()
                seen = read_messages(lines, BEFORE_THE_KILL)
                doomed.kill()
        for it in crowd:
            it.join()
        with httpx2.Client(base_url=other, timeout=60) as desk:
            kept = desk.get(f"/v1/cases/{case_id}/events?limit=500").json()["events"]
            last = {"Last-Event-ID": seen[-1]["id"]}
            with desk.stream("GET", f"/v1/cases/{case_id}/stream", headers=last) as stream:
                seen += read_messages(stream.iter_lines(), len(kept) - len(seen))

    texts = Counter(it["data"]["text"] for it in kept if it["kind"] == "note")
    assert phones.moved
    assert not phones.refused
    assert sorted(texts) == sorted(phones.acknowledged)
    assert set(texts.values()) == {1}
    assert len(phones.acknowledged) == WRITERS * NOTES
    assert seqs(seen) == list(range(1, len(kept) + 1))
