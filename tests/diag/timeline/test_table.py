"""The table of spans."""

from __future__ import annotations

from diag.timeline.table import HEADER, set_out, table_rows
from tests.diag.timeline.told import medium, played


def test_each_span_is_a_row_with_command_source_and_level() -> None:
    plan = medium()
    it = played(plan, "10:00,sw-n,open", "10:05,rain,on", "10:06,rain,off", until="10:25")
    rows = [row[2:] for row in table_rows(plan, it, ["zn"])]

    assert rows == [
        ("10:00", "10:05", "open", "north switch", "hand command", "8", "-"),
        ("10:05", "10:06", "close", "rain sensor", "rain", "5", "rain lockout"),
        ("10:06", "10:21", "close", "rain lockout", "rain", "5", "rain lockout"),
        ("10:21", "10:25", "none (hold-off)", "north switch", "hand command", "8", "-"),
    ]


def test_columns_line_up() -> None:
    lines = set_out([("a", "b" * 12, *"cdefghi")]).splitlines()

    assert lines[0].index("From") == lines[2].index("c")
    assert [cell for cell in HEADER if cell not in lines[0]] == []
