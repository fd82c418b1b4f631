"""The page people sign in on; it works without scripts."""

from __future__ import annotations

from pathlib import Path
from urllib.parse import parse_qs

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response
from jinja2 import Environment, FileSystemLoader, select_autoescape
from starlette.concurrency import run_in_threadpool

from api.access.desk import AccessDesk, AccessDeskDep
from api.access.door import address_of, refuse_foreign_page
from api.access.errors import TooMany, WrongSignIn
from api.access.routes import set_session

TEMPLATES = Path(__file__).parent / "templates"
MOST_FORM_BYTES = 4_000
HOME = "/"
NAMES_ITSELF = {"referrer-policy": "same-origin"}
"""So that a browser says whose form it sends; a form that may not name its page is sent by nobody."""

router = APIRouter(include_in_schema=False, default_response_class=HTMLResponse)


@router.get("/sign-in")
def show_sign_in(token: str = "") -> Response:
    """Return the page; opening a link does not use it up, for previews open links too."""
    return HTMLResponse(_page(token=token), headers=NAMES_ITSELF)


@router.post("/sign-in")
async def take_sign_in(request: Request, access: AccessDeskDep) -> Response:
    """Sign in and go on to the phone page, or show the page again with what was wrong."""
    refuse_foreign_page(request)
    form = parse_qs((await request.body())[:MOST_FORM_BYTES].decode("utf-8", "replace"))
    sent: dict[str, str] = {name: form[name][0] for name in ("login", "password", "token") if name in form}
    return await run_in_threadpool(_sign_in, request, access, sent)


def _sign_in(request: Request, access: AccessDesk, sent: dict[str, str]) -> Response:
    try:
        person = access.sign_in(sent.get("login"), sent.get("password"), sent.get("token"), address_of(request))
    except WrongSignIn as refused:
        return HTMLResponse(_page(trouble=str(refused)), 401, NAMES_ITSELF)
    except TooMany as refused:
        return HTMLResponse(_page(trouble=str(refused)), 429, {**NAMES_ITSELF, "Retry-After": str(refused.wait_s)})
    response = RedirectResponse(HOME, 303)
    set_session(request, response, access.people.start_session(person.id))
    return response


def _page(token: str = "", trouble: str = "") -> str:
    templates = Environment(loader=FileSystemLoader(TEMPLATES), autoescape=select_autoescape(), trim_blocks=True)
    return templates.get_template("sign_in.html").render(token=token, trouble=trouble)
