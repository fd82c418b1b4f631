"""`ventsleuth serve`: the HTTP service with the phone page."""

from __future__ import annotations

import os
import socket
from pathlib import Path

import click
import uvicorn

from api.app import Settings, create_app
from diag.demo import demo_names

STOP_WITHIN_S = 3
DATABASE = "ventsleuth.db"


def data_folder() -> Path:
    """Return the folder where the service keeps its database unless it is told another."""
    base = os.environ.get("XDG_STATE_HOME") or str(Path.home() / ".local" / "state")
    return Path(base) / "ventsleuth"


@click.command("serve")
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8080, show_default=True, type=click.IntRange(0, 65535), help="0 takes a free one.")
@click.option("--data", type=click.Path(file_okay=False, path_type=Path), help="Folder for the database.")
@click.option("--workers", default=1, show_default=True, type=click.IntRange(1, 64), help="Engine workers.")
@click.option("--demo/--no-demo", default=True, show_default=True, help="Load the demo sites.")
def command(host: str, port: int, data: Path | None, workers: int, demo: bool) -> None:
    """Start the service and print the address of the phone page."""
    listening = _listen(host, port)
    folder = data or data_folder()
    settings = Settings(folder / DATABASE, workers, demo_names() if demo else ())
    address = _address(host, listening.getsockname()[1])
    click.echo(f"Phone page: {address}/")
    click.echo(f"API:        {address}/openapi.json")
    click.echo("Stop with Ctrl-C.")
    config = uvicorn.Config(create_app(settings), log_level="warning", timeout_graceful_shutdown=STOP_WITHIN_S)
    uvicorn.Server(config).run(sockets=[listening])


def _listen(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    listening = socket.socket(family)
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
