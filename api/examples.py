"""Requests shown in the OpenAPI document; a test sends each of them."""

from __future__ import annotations

from typing import Any

DIAGNOSIS_EXAMPLES: dict[str, Any] = {
    "typed": {
        "summary": "A typed symptom on a demo site",
        "value": {"site": "small", "text": "actuator runs wrong way"},
    },
    "answered": {
        "summary": "A symptom by id with a reading",
        "value": {
            "site": "small",
            "symptoms": [{"id": "drive-dead", "part": "d1"}],
            "findings": [{"check": "volts-drive", "part": "d1", "outcome": "0.2 V"}],
            "at": "2026-05-04T10:20",
        },
    },
    "hold-off": {
        "summary": "An automatic command ignored after a manual one",
        "value": {
            "site": "small",
            "symptoms": [{"id": "automatic-ignored"}],
            "events": [{"at": "10:05", "command": "manual"}],
            "at": "2026-05-04T10:17",
            "why_not": ["clock-wrong"],
        },
    },
}
SITE_EXAMPLE: dict[str, Any] = {
    "least": {"summary": "The least a description can say", "value": {"name": "Lindholm school, gym"}},
    "one-drive": {
        "summary": "One drive on one output",
        "value": {
            "name": "Lindholm school, gym",
            "controllers": {"c1": {"name": "gym controller"}},
            "outputs": {"o1": {"controller": "c1", "kind": "reversing-24v"}},
            "openings": {"rv1": {"kind": "roof-vent"}},
            "drives": {"d1": {"output": "o1", "opening": "rv1", "supply_voltage_v": 24}},
            "zones": {"z1": {"openings": ["rv1"], "hold_off_minutes": 30}},
        },
    },
}
