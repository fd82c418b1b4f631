"""Lead whoever opens the phone page without a session to the page they sign in on."""

from __future__ import annotations

from collections.abc import Callable

from starlette.requests import Request
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from api.access.door import COOKIE

PAGES = frozenset({"/", "/index.html"})
SIGN_IN = "/sign-in"


def with_front_door(needs_sign_in: bool) -> Callable[[ASGIApp], ASGIApp]:
    """Return what puts the front door before an application; it stands open where nobody needs to sign in."""

    def wrap(app: ASGIApp) -> ASGIApp:
        async def answer(scope: Scope, receive: Receive, send: Send) -> None:
            if scope["type"] == "http" and scope["path"] in PAGES and COOKIE not in Request(scope).cookies:
                await RedirectResponse(SIGN_IN, 303)(scope, receive, send)
                return
            await app(scope, receive, send)

        return answer if needs_sign_in else app

    return wrap
