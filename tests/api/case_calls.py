"""Short ways to work on cases over HTTP in a test."""

from __future__ import annotations

from typing import Any

AT = "2026-05-04T12:00"
DEAD = {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}], "at": AT}
ANSWER = {"kind": "answer", "check": "volts-drive", "part": "d1", "outcome": "0.2 V"}


def opened(client: Any, headers: dict[str, str] | None = None, **request: Any) -> dict[str, Any]:
    """Open a case that is accepted and return all that came back."""
    response = client.post("/v1/cases", json=request or DEAD, headers=headers or {})
    assert response.status_code == 201, response.text
    answer: dict[str, Any] = response.json()
    return answer


def add(client: Any, case_id: str, *events: dict[str, Any], match: str = "*", key: str | None = None) -> Any:
    """Send events to a case and return the response."""
    headers = {"If-Match": match} | ({"Idempotency-Key": key} if key else {})
    return client.post(f"/v1/cases/{case_id}/events", json={"events": list(events)}, headers=headers)


def added(client: Any, case_id: str, *events: dict[str, Any]) -> dict[str, Any]:
    """Send events that are accepted and return all that came back."""
    response = add(client, case_id, *events)
    assert response.status_code == 201, response.text
    answer: dict[str, Any] = response.json()
    return answer


def kind_of(response: Any) -> str:
    """Return the kind of the problem a response tells."""
    kind: str = response.json()["type"].removeprefix("urn:ventsleuth:problem:")
    return kind
