"""Requests about cases shown in the OpenAPI document; a test sends each of them."""

from __future__ import annotations

from typing import Any

CASE_EXAMPLES: dict[str, Any] = {
    "typed": {"summary": "What was said on the telephone", "value": {"site": "small", "text": "roof vent wont shut"}},
    "chosen": {
        "summary": "A symptom by id, at a time",
        "value": {"site": "small", "symptoms": [{"id": "drive-dead", "part": "d1"}], "at": "2026-05-04T12:00"},
    },
}
EVENTS_EXAMPLES: dict[str, Any] = {
    "answer": {
        "summary": "The outcome of a check",
        "value": {"events": [{"kind": "answer", "check": "volts-drive", "part": "d1", "outcome": "0.2 V"}]},
    },
    "there": {
        "summary": "Who is there now, and an answer somebody only thinks is right",
        "value": {
            "events": [
                {"kind": "crew", "competences": ["ordinary", "instructed"], "without": ["multimeter"], "dark": True},
                {
                    "kind": "answer",
                    "check": "look-panel-lamps",
                    "part": "c1",
                    "outcome": "normal",
                    "certainty": "think-so",
                },
            ]
        },
    },
    "note": {
        "summary": "A remark, written down before there was signal",
        "value": {"events": [{"kind": "note", "text": "Key is at the gate", "noted_at": "2026-05-04T10:02:00Z"}]},
    },
    "repaired": {
        "summary": "Cause, repair, proof and the end",
        "value": {
            "events": [
                {"kind": "cause-confirmed", "cause": "core-open", "part": None},
                {"kind": "repair", "cause": "core-open", "helped": True},
                {"kind": "proof", "what": "Opened and closed three times", "passed": True},
                {"kind": "closed", "outcome": "repaired"},
            ]
        },
    },
}
