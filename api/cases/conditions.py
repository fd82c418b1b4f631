"""The conditions of a request: which version it is for, and which one the caller has already."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import Header

from api.cases.errors import BadVersion, NoVersionGiven

TAG = re.compile(r'(?:W/)?"([0-9]{1,9})"|([0-9]{1,9})')

IfMatch = Annotated[
    str | None, Header(alias="If-Match", description="The ETag the case was read with, or * for whatever is there.")
]
IfNoneMatch = Annotated[str | None, Header(alias="If-None-Match", description="The ETag you have.")]
IdempotencyKey = Annotated[
    str | None,
    Header(alias="Idempotency-Key", description="Made once for this request; a retry with it does nothing again."),
]


def etag(version: int) -> str:
    """Return the tag of a version."""
    return f'"{version}"'


def expected_version(if_match: str | None) -> int | None:
    """Return the version a change is for, None for any; raise NoVersionGiven or BadVersion."""
    if if_match is None:
        raise NoVersionGiven
    if if_match.strip() == "*":
        return None
    found = TAG.fullmatch(if_match.strip())
    if not found:
        raise BadVersion(if_match)
    return int(found[1] or found[2])


def has_it(if_none_match: str | None, version: int) -> bool:
    """Say whether the caller has this version already."""
    tags = (if_none_match or "").replace("W/", "").split(",")
    return any(it.strip() in ("*", etag(version)) for it in tags)
