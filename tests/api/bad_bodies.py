"""Bodies that nobody should send: valid ones spoilt, and noise."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

GOOD: tuple[tuple[str, str, Any], ...] = (
    (
        "POST",
        "/v1/diagnoses",
        {"site": "small", "text": "window wont open", "symptoms": [{"id": "drive-dead", "part": "d1"}]},
    ),
    (
        "POST",
        "/v1/diagnoses",
        {
            "site": {"name": "x", "drives": {"d1": {"output": "o1"}}, "outputs": {"o1": {}}},
            "symptoms": [{"id": "drive-dead", "part": "d1"}],
            "findings": [{"check": "volts-drive", "part": "d1", "outcome": "22.8 V"}],
            "events": [{"at": "10:05", "command": "manual", "part": "d1"}],
            "at": "2026-05-04T12:00",
            "repaired": [{"cause": "core-open", "part": "d1"}],
            "why_not": ["core-open"],
            "language": "de",
        },
    ),
    ("POST", "/v1/cases", {"site": "small", "text": "roof vent wont shut", "at": "10:20", "told": ["when-cold"]}),
    (
        "POST",
        "/v1/cases/{case}/events",
        {"events": [{"kind": "answer", "check": "volts-drive", "part": "d1", "outcome": "0.2 V"}]},
    ),
    (
        "POST",
        "/v1/cases/{case}/events",
        {"events": [{"kind": "note", "text": "a", "noted_at": "2026-05-04T10:00:00Z"}]},
    ),
    ("POST", "/v1/cases/{case}/events", {"events": [{"kind": "repair", "cause": "core-open", "helped": False}]}),
    ("POST", "/v1/inspections", {"site": {"name": "x", "zones": {"z1": {"openings": ["a"]}}}, "at_least": "note"}),
    ("PUT", "/v1/sites/spoilt", {"name": "Spoilt", "drives": {"d1": {"running_current_a": 1.2}}}),
    ("POST", "/v1/people", {"login": "a", "name": "b", "role": "technician", "password": None}),
    ("POST", "/v1/keys", {"name": "a", "scopes": ["diagnose"], "days": 3}),
    ("POST", "/v1/webhooks", {"url": "https://127.0.0.1/x", "kinds": ["note"]}),
    ("POST", "/v1/session", {"token": "x"}),
    ("PATCH", "/v1/organisation", {"retention_days": 4000}),
)
ODD: tuple[Any, ...] = (
    None, True, 0, -1, 1e308, 10**30, "", " ", "\x00", "\u202e", "é" * 300, "x" * 11_000, "'; drop table cases; --",
    "9999-99-99T99:99", "0001-01-01", "10:60", "12 min ago", "-5 min ago", "1e999 V", "NaN V", [], {}, [[]], {"": {}},
    "{{7*7}}", "../../etc/passwd", "<script>", "\ufffe", "a\nb", "٣ V", "½ V", "0x10", "site", "?drive", "__class__",
)  # fmt: skip
NOISE: tuple[bytes, ...] = (
    b"", b"null", b"[]", b'"', b"{", b"\xff\xfe", b'{"a":NaN}', b'{"a":Infinity}', b'{"site":"\\ud800"}', b"[" * 20_000,
    b'{"a":' * 5_000, b"1e99999", b"-0", b'{"site": 1e400}', b"\x00" * 50, b"true", b'{"text": "\\u0000"}', b"{}" * 9,
)  # fmt: skip


def bad_bodies(count: int, seed: int) -> Iterator[tuple[str, str, bytes]]:
    """Yield method, path and body of so many requests, the same for the same seed."""
    random = Random(seed)
    for _ in range(count):
        method, path, good = random.choice(GOOD)
        yield method, path, _noise(random, good) if random.random() < 0.25 else _spoilt_json(random, good)


def _spoilt_json(random: Random, good: Any) -> bytes:
    spoilt = json.loads(json.dumps(good))
    for _ in range(random.randint(1, 3)):
        spoilt = spoil(random, spoilt)
    return json.dumps(spoilt).encode("utf-8", "surrogatepass")


def _noise(random: Random, good: Any) -> bytes:
    whole = json.dumps(good).encode()
    kinds: tuple[Callable[[], bytes], ...] = (
        lambda: random.choice(NOISE),
        lambda: whole[: random.randrange(len(whole))],
        lambda: bytes(random.randrange(256) for _ in range(random.randrange(200))),
        lambda: _flipped(random, whole),
    )
    return random.choice(kinds)()


def _flipped(random: Random, whole: bytes) -> bytes:
    flipped = bytearray(whole)
    for _ in range(random.randint(1, 4)):
        flipped[random.randrange(len(flipped))] = random.randrange(256)
    return bytes(flipped)


def spoil(random: Random, value: Any) -> Any:
    """Return the value with one thing in it made odd, gone, doubled or moved."""
    if isinstance(value, dict) and value and random.random() < 0.8:
        return _spoil_object(random, value)
    if isinstance(value, list) and value and random.random() < 0.8:
        place = random.randrange(len(value))
        return [*value[:place], spoil(random, value[place]), *value[place + 1 :]] * random.choice((1, 1, 1, 60))
    return random.choice(ODD)


def _spoil_object(random: Random, value: dict[str, Any]) -> dict[str, Any]:
    name = random.choice(sorted(value))
    changes: tuple[Callable[[], dict[str, Any]], ...] = (
        lambda: {**value, name: spoil(random, value[name])},
        lambda: {**value, name: spoil(random, value[name])},
        lambda: {it: value[it] for it in value if it != name},
        lambda: {**value, str(random.choice(ODD))[:50]: random.choice(ODD)},
        lambda: {**value, name: {name: value[name]}},
        lambda: {**value, name: [value[name]] * 3},
    )
    return random.choice(changes)()
