"""The `ventsleuth` command and how its errors end."""

from __future__ import annotations

import importlib
import os
import sys
from collections.abc import Mapping

import click

from diag.engine_errors import EngineError
from diag.errors import BadSite, DiagError

FAILED, INTERNAL = 1, 70

COMMANDS: Mapping[str, str] = {
    "access": "api.cli.access",
    "case": "api.cli.case",
    "data": "api.cli.data",
    "diagnose": "api.cli.diagnose",
    "doctor": "api.cli.doctor",
    "fleet": "api.cli.fleet",
    "match": "api.cli.match",
    "serve": "api.cli.serve",
    "sheet": "api.cli.sheet",
    "site": "api.cli.site",
    "inspect": "api.cli.inspect",
    "knowledge": "api.cli.knowledge",
    "practise": "api.cli.practise",
    "quiz": "api.cli.quiz",
    "timeline": "api.cli.timeline",
}
"""Each subcommand and the module that holds it under the name `command`; imported only when it is used."""


class LazyGroup(click.Group):
    """A group that imports a subcommand only when it is asked for, so that each starts quickly."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002  (the signature is click's)
        """Return the names of all subcommands."""
        return sorted(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        """Return a subcommand, imported now."""
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(COMMANDS[cmd_name]).command
        return command


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="ventsleuth")
def ventsleuth() -> None:
    """Find the cause of a fault in a ventilation control installation, and the next check to make."""


def main() -> None:
    """Run the command line; every error ends in a message a person can act on and an exit code.

    0 done; 1 refused or faults found; 2 wrong use of the command; 3 text not recognised; 70 a defect of ours.
    """
    try:
        code = ventsleuth(standalone_mode=False)
        sys.exit(code if isinstance(code, int) else 0)
    except click.Abort:
        click.echo("Stopped.", err=True)
        sys.exit(130)
    except click.ClickException as error:
        error.show()
        sys.exit(error.exit_code)
    except BadSite as error:
        for fault in error.faults:
            click.echo(str(fault), err=True)
        sys.exit(FAILED)
    except (DiagError, EngineError) as error:
        click.echo(str(error), err=True)
        sys.exit(FAILED)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(FAILED)
    except Exception as error:
        if os.environ.get("VENTSLEUTH_DEBUG"):
            raise
        click.echo(f"A defect in ventsleuth ended this command: {type(error).__name__}: {error}", err=True)
        click.echo("Set VENTSLEUTH_DEBUG=1 and run it again to see where, then report it.", err=True)
        sys.exit(INTERNAL)
