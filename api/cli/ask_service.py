"""Ask a running service something from the command line, with a key."""

from __future__ import annotations

import json
from http.client import HTTPException
from typing import Any
from urllib.error import HTTPError, URLError
from urllib.request import Request, urlopen

import click

WAITS_S = 60.0


def ask_service(address: str, path: str, key: str | None) -> Any:
    """Return what a service answers, read as JSON; raise ClickException with what went wrong."""
    if not address.startswith(("https://", "http://")):
        raise click.BadParameter(f"“{address}” is no address of a service. Write it as https://NAME.")
    headers = {"Authorization": f"Bearer {key}"} if key else {}
    request = Request(f"{address.rstrip('/')}{path}", headers=headers)
    try:
        with urlopen(request, timeout=WAITS_S) as response:
            return json.load(response)
    except HTTPError as error:
        raise click.ClickException(f"{address} refused: {_told(error)}") from None
    except (URLError, HTTPException, OSError, ValueError) as error:
        raise click.ClickException(f"{address} does not answer as a service would: {error}") from None


def _told(error: HTTPError) -> str:
    try:
        return str(json.load(error)["detail"])
    except (ValueError, KeyError, TypeError):
        return f"status {error.code}."
