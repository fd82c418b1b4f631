"""Start the service from a bare checkout: set up what is missing, then hand over to `ventsleuth serve`."""

from __future__ import annotations

import os
import sys
from typing import TYPE_CHECKING, NoReturn

from api.bootstrap import SetupStopped, prepare

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path


def main() -> NoReturn:
    """Become the service, or end with exit code 1 and a message when set-up stopped."""
    try:
        python = prepare("service")
    except SetupStopped as stopped:
        sys.exit(str(stopped))
    serve(python, sys.argv[1:])


def serve(python: Path, arguments: Sequence[str]) -> NoReturn:
    """Become `ventsleuth serve` in the environment of this Python."""
    command = str(python.with_name("ventsleuth"))
    os.execv(command, [command, "serve", *arguments])


if __name__ == "__main__":
    main()
