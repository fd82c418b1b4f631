"""A disk that takes no more, as the service meets it: the kernel lets its files grow no further."""

from __future__ import annotations

import resource
from pathlib import Path
from typing import Any

import httpx2

from api.cli.where import DATABASE
from api.storage.backup import check_file
from tests.api.case_calls import add, kind_of, opened
from tests.api.serving import Node

LETTERS = 3_900
MOST_NOTES = 200


def test_what_cannot_be_written_is_refused_whole_and_goes_on_when_there_is_room_again(tmp_path: Path) -> None:
    """Stated behaviour: 503 with Retry-After, nothing half kept, reading goes on, no restart needed."""
    node = Node(str(tmp_path)).wait()
    with httpx2.Client(base_url=node.address, timeout=30) as client:
        case_id = opened(client, symptoms=[{"id": "panel-dark"}])["case"]["id"]
        limit_files(node, sum(it.stat().st_size for it in tmp_path.iterdir()))
        kept, refused = fill(client, case_id)
        read = client.get(f"/v1/cases/{case_id}").json()["notes"]
        limit_files(node, resource.RLIM_INFINITY)
        accepted = add(client, case_id, note(kept), key=f"note-number-{kept}")
        after = client.get(f"/v1/cases/{case_id}").json()["notes"]
    node.kill()
    check_file(tmp_path / DATABASE)

    assert (refused.status_code, kind_of(refused)) == (503, "database-away")
    assert int(refused.headers["retry-after"]) > 0
    assert accepted.status_code == 201
    assert [len(read), len(after)] == [kept, kept + 1]


def limit_files(node: Node, size: int) -> None:
    """Let no file of the service grow beyond a size in bytes."""
    resource.prlimit(node.process.pid, resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))


def fill(client: Any, case_id: str) -> tuple[int, Any]:
    """Add notes until one is refused; return how many were kept, and the refusal."""
    for number in range(MOST_NOTES):
        response = add(client, case_id, note(number), key=f"note-number-{number}")
        if response.status_code != 201:
            return number, response
    raise AssertionError("the disk took everything")


def note(number: int) -> dict[str, Any]:
    """Return a long note."""
    return {"kind": "note", "text": f"{number} ".ljust(LETTERS, "x")}
