"""Write the log as JSON, a line for each event, for whatever collects it."""

from __future__ import annotations

import json
import logging
import sys

from api.storage.clock import now_text


class JsonLines(logging.Formatter):
    """Formats a record as one line; a traceback names places in the code and no data."""

    def format(self, record: logging.LogRecord) -> str:
        """Return the line."""
        line: dict[str, object] = {"at": now_text(), "level": record.levelname.lower(), "logger": record.name}
        message = record.getMessage()
        line |= json.loads(message) if message.startswith("{") else {"says": message}
        if record.exc_info and record.exc_info[1] is not None:
            line["error"] = type(record.exc_info[1]).__name__
            line["where"] = _places(record)
        return json.dumps(line)


def log_json() -> None:
    """Let everything from information up go to standard error as JSON."""
    handler = logging.StreamHandler(sys.stderr)
    handler.setFormatter(JsonLines())
    logging.basicConfig(level=logging.INFO, handlers=[handler], force=True)
    logging.getLogger("alembic").setLevel(logging.WARNING)


def _places(record: logging.LogRecord) -> list[str]:
    trace = record.exc_info[2] if record.exc_info else None
    places = []
    while trace is not None:
        code = trace.tb_frame.f_code
        places.append(f"{code.co_filename.rpartition('/')[2]}:{trace.tb_lineno} {code.co_name}")
        trace = trace.tb_next
    return places[-8:]
