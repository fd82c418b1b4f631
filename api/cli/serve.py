"""`ventsleuth serve`: the HTTP service with the phone page."""

from __future__ import annotations

import gc
import socket
import sys
from ipaddress import ip_address
from pathlib import Path
from types import FrameType

import click
import uvicorn

from api.access.door import LOOPBACK
from api.access.people import People
from api.app import Settings, create_app
from api.cases.live import Live
from api.cli.where import DATA_OPTION, DATABASE, data_folder, database_at
from api.operation.heaps import share_heaps
from api.operation.log_lines import log_json
from api.store import open_store
from diag.demo import demo_names

__all__ = ["DATABASE", "command", "data_folder"]

STOP_WITHIN_S = 3
SWITCH_S = 0.001
"""After so long a thread that reasons lets the one in that takes requests and sends answers; Python's own 5 ms are as
long as an answer takes."""


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8080, show_default=True, type=click.IntRange(0, 65535), help="0 takes a free one.")
@DATA_OPTION
@click.option("--workers", default=1, show_default=True, type=click.IntRange(1, 64), help="Engine workers.")
@click.option("--demo/--no-demo", default=True, show_default=True, help="Load the demo sites.")
@click.option("--sign-in", is_flag=True, help="Ask for a key or sign-in, also where only this machine can reach it.")
@click.option("--rate", default=1200, show_default=True, type=click.IntRange(1), help="Requests a minute of a caller.")
@click.option("--webhook-host", "webhook_hosts", multiple=True, help="Host webhooks may go to though it is private.")
@click.option("--log", type=click.Choice(["none", "json"]), default="none", show_default=True, help="Log to stderr.")
def command(
    host: str,
    port: int,
    data: str | None,
    workers: int,
    demo: bool,
    sign_in: bool,
    rate: int,
    webhook_hosts: tuple[str, ...],
    log: str,
) -> None:
    """Start the service and print the address of the phone page."""
    share_heaps()
    if log == "json":
        log_json()
    where = database_at(data)
    guarded = sign_in or not is_loopback(host)
    if guarded:
        require_administrator(where)
    listening = _listen(host, port)
    address = _address(host, listening.getsockname()[1])
    settings = Settings(
        where,
        workers,
        sign_in=guarded,
        names=LOOPBACK,
        requests_a_minute=rate,
        webhook_hosts=frozenset(webhook_hosts),
        demos=demo_names() if demo else (),
    )
    _tell(address, guarded)
    app = create_app(settings)
    config = uvicorn.Config(
        app, log_level="warning", timeout_graceful_shutdown=STOP_WITHIN_S, server_header=False, log_config=None
    )
    Server(config, app.state.live).run(sockets=[listening])


def require_administrator(where: Path | str) -> None:
    """Raise ClickException, saying what to do, when nobody could sign in."""
    store = open_store(where)
    try:
        if People(store.database).has_administrator():
            return
    finally:
        store.close()
    raise click.ClickException(
        "Other machines could reach this address, and nobody can sign in yet. Nothing was started. "
        "Next: ventsleuth access person LOGIN NAME, with the same --data; or leave out --host."
    )


def is_loopback(host: str) -> bool:
    """Say whether only this machine reaches the address."""
    if host == "localhost":
        return True
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return False


def _tell(address: str, guarded: bool) -> None:
    click.echo(f"Phone page: {address}/")
    click.echo(f"API:        {address}/openapi.json")
    if not guarded:
        click.echo("No sign-in: only this machine can reach it, and whoever is on it may do everything.")
    click.echo("Stop with Ctrl-C.")


class Server(uvicorn.Server):
    """A server that ends the live streams as soon as it is asked to stop, so that it can."""

    def __init__(self, config: uvicorn.Config, live: Live) -> None:
        super().__init__(config)
        self._live = live

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        """Start; what is there by then is left out of later searches for unused objects, which stop all work."""
        await super().startup(sockets)
        sys.setswitchinterval(SWITCH_S)
        gc.collect()
        gc.freeze()

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Stop, after the requests that are being answered."""
        self._live.close()
        super().handle_exit(sig, frame)


def _listen(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # Named as TCP, so that the event loop lets answers go at once: otherwise the body waits 40 ms for the far end to
    # acknowledge the head.
    listening = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((host, port))
    except OSError as error:
        listening.close()
        reason = error.strerror or str(error)
        raise click.ClickException(f"Cannot listen on {host} port {port}: {reason}. Choose another --port.") from None
    return listening


def _address(host: str, port: int) -> str:
    return f"http://[{host}]:{port}" if ":" in host else f"http://{host}:{port}"
