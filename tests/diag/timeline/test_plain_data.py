"""A timeline as plain data for JSON."""

from __future__ import annotations

import json

from diag.timeline.plain_data import timeline_data
from tests.diag.timeline.told import medium, played


def test_it_goes_through_json_unchanged_and_its_times_have_offsets() -> None:
    plan = medium()
    data = timeline_data(plan, played(plan, "10:00,sw-n,open", "10:05,rain,on", "10:06,sw-n,open"), ["zn"], ["a note"])

    assert json.loads(json.dumps(data)) == data
    assert data["zones"]["zn"]["spans"][0]["command"] == {
        "class": "manual", "action": "open", "source": "sw-n", "since": "2026-05-04T10:00:00+01:00", "level": 8,
        "moves": True,
    }  # fmt: skip
    assert data["zones"]["zn"]["refused"][0]["says"] == "North switch: asked to open; refused by rain lockout."
    assert data["notes"] == ["a note"]
    assert list(data["zones"]) == ["zn"]
