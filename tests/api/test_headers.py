"""Every answer carries the headers that keep foreign content out."""

from __future__ import annotations

import httpx2
import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from api.headers import HEADERS, with_headers


async def plain(_: Request) -> PlainTextResponse:
    return PlainTextResponse("ok")


async def picky(_: Request) -> PlainTextResponse:
    return PlainTextResponse("ok", headers={"Cache-Control": "max-age=60"})


def ask(path: str) -> httpx2.Response:
    app = with_headers(Starlette(routes=[Route("/plain", plain), Route("/picky", picky)]))
    return TestClient(app).get(path)


@pytest.mark.parametrize("path", ["/plain", "/nowhere"])
def test_an_answer_carries_all_headers_even_when_nothing_is_there(path: str) -> None:
    answer = ask(path)

    assert {name: answer.headers[name] for name in HEADERS} == dict(HEADERS)


def test_only_the_pages_own_files_may_be_loaded_and_nothing_inline() -> None:
    policy = ask("/plain").headers["content-security-policy"]

    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert "*" not in policy


def test_a_header_an_answer_sets_itself_stays() -> None:
    assert ask("/picky").headers["cache-control"] == "max-age=60"
