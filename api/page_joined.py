"""Serve the page's modules and styles joined into few files, for on a slow line each file costs a round trip.

The modules stay as they are written and are served one by one too. Joined, each module is a function from what it
needs to what it gives; `first.js` has those that the first screen needs, `rest.js` all others.
"""

from __future__ import annotations

import gzip
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from pathlib import Path

from fastapi import APIRouter, Request, Response

PAGE = Path(__file__).parent / "page"
ENTRY = "app.js"
STYLES = ("colours", "base", "controls", "panels")
IMPORT = re.compile(r'^import (?:\{(?P<names>[^}]*)\}|\* as (?P<whole>\w+)) from "(?P<path>\.[^"]+)";$', re.MULTILINE)
LATER = re.compile(r'\bimport\("(?P<path>\.[^"]+)"\)')
EXPORT = re.compile(r"^export (?P<rest>(?:async )?(?:function\*?|class|const) (?P<name>\w+))", re.MULTILINE)
REMARK = re.compile(r"^[ \t]*/\*\*.*?\*/[ \t]*\n|/\*\*.*?\*/ ?", re.DOTALL | re.MULTILINE)
LEFT_OVER = re.compile(r"^(?:import|export)\b.*", re.MULTILINE)

FIRST = """const makers = {{}};
const made = {{}};
export const put = (more) => void Object.assign(makers, more);
export const need = (name) => (made[name] ??= makers[name]());
let failed = 0;
export const later = async (name) => {{
  if (!(name in makers)) await rest();
  return need(name);
}};
const rest = () => import(failed ? `./rest.js?again=${{failed}}` : "./rest.js").catch((error) => {{
  failed += 1; // a browser does not fetch a module again under the address that failed
  throw error;
}});
put({{
{modules}
}});
need("{entry}");
"""
REST = """import {{ later, need, put }} from "./first.js";
put({{
{modules}
}});
"""
MODULE = '"{name}": {wait}() => {{\n{body}\nreturn {{ {names} }};\n}}'

router = APIRouter(include_in_schema=False)


@dataclass(frozen=True, slots=True)
class Joined:
    """A joined file as it is sent: compressed, with the tag of its content."""

    content: bytes
    tag: str


@router.get("/first.js")
def read_first(request: Request) -> Response:
    """Return the modules of the first screen as one."""
    return _sent(request, joined("first.js"), "text/javascript")


@router.get("/rest.js")
def read_rest(request: Request) -> Response:
    """Return all other modules of the phone page as one."""
    return _sent(request, joined("rest.js"), "text/javascript")


@router.get("/page.css")
def read_styles(request: Request) -> Response:
    """Return the page's styles as one."""
    return _sent(request, joined("page.css"), "text/css")


@cache
def joined(name: str) -> Joined:
    """Return the file as its parts were when it was first asked for."""
    text = joined_text(name).encode()
    return Joined(gzip.compress(text, mtime=0), f'"{sha256(text).hexdigest()[:20]}"')


def joined_text(name: str) -> str:
    """Return what `first.js`, `rest.js` or `page.css` holds; raises ValueError on a module that cannot be joined."""
    if name == "page.css":
        return "".join((PAGE / "styles" / f"{it}.css").read_text(encoding="utf-8") for it in STYLES)
    first, rest = first_and_rest()
    if name == "first.js":
        return FIRST.format(modules=_wrapped(first), entry=ENTRY)
    return REST.format(modules=_wrapped(rest))


def first_and_rest() -> tuple[list[str], list[str]]:
    """Return the names of the modules the page needs at once, and of those it fetches when they are wanted."""
    first = _reached([ENTRY], at_once_only=True)
    return first, [it for it in _reached([ENTRY], at_once_only=False) if it not in first]


def _reached(start: Sequence[str], *, at_once_only: bool) -> list[str]:
    found: list[str] = []
    open_names = list(start)
    while open_names:
        name = open_names.pop(0)
        if name not in found:
            found.append(name)
            open_names += _needs(name, at_once_only=at_once_only)
    return sorted(found)


def _needs(name: str, *, at_once_only: bool) -> list[str]:
    text = _text(name)
    asked = [*IMPORT.finditer(text), *([] if at_once_only else LATER.finditer(text))]
    return [_name_of(name, it["path"]) for it in asked]


def _wrapped(names: Sequence[str]) -> str:
    return ",\n".join(_module(it) for it in names)


def _module(name: str) -> str:
    """Return a module as a function without arguments that gives what the module exports."""
    text = IMPORT.sub(lambda it: _taken(name, it), _text(name))
    text = LATER.sub(lambda it: f'later("{_name_of(name, it["path"])}")', text)
    names = [it["name"] for it in EXPORT.finditer(text)]
    body = EXPORT.sub(lambda it: it["rest"], text)
    if left := LEFT_OVER.search(body):
        raise ValueError(f"{name} cannot be joined with the other modules for its line {left[0]!r}")
    wait = "async " if re.search(r"^await ", body, re.MULTILINE) else ""
    return MODULE.format(name=name, wait=wait, body=body.strip(), names=", ".join(names))


def _taken(name: str, it: re.Match[str]) -> str:
    """Return an import as the line that takes the same from the other module's function."""
    taken = it["whole"] or "{ " + it["names"].strip().replace(" as ", ": ") + " }"
    return f'const {taken} = need("{_name_of(name, it["path"])}");'


@cache
def _text(name: str) -> str:
    return REMARK.sub("", (PAGE / name).read_text(encoding="utf-8"))


def _name_of(name: str, path: str) -> str:
    return (PAGE / name).parent.joinpath(path).resolve().relative_to(PAGE.resolve()).as_posix()


def _sent(request: Request, file: Joined, kind: str) -> Response:
    headers = {"etag": file.tag, "vary": "accept-encoding"}
    if file.tag in request.headers.get("if-none-match", ""):
        return Response(status_code=304, headers=headers)
    if "gzip" not in request.headers.get("accept-encoding", ""):
        return Response(gzip.decompress(file.content), media_type=kind, headers=headers)
    return Response(file.content, media_type=kind, headers={**headers, "content-encoding": "gzip"})
