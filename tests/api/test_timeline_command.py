"""`ventsleuth timeline` on the command line."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner, Result

from api.cli.timeline import command
from diag.errors import BadTime, DiagError, UnknownPart

LOG = """time,source,event,value,zone,priority
2026-05-04 10:05,sw-n,open
2026-05-04 10:10,th1,on
2026-05-04 10:12,bl1,write,close,zd,8
2026-05-04 10:20,rain,on
"""


def run(tmp_path: Path, *options: str, log: str = LOG, site: str = "medium") -> Result:
    path = tmp_path / "log.csv"
    path.write_text(log, encoding="utf-8")
    return CliRunner().invoke(command, [site, str(path), *options])


def test_it_tells_what_happened_in_sentences(tmp_path: Path) -> None:
    result = run(tmp_path, "--zone", "zn")

    assert result.exit_code == 0
    assert "10:05 North switch: opened by hand. Automatic waits until 10:35." in result.stdout
    assert "Nothing was reported for wind lockout, service lockout." in result.stdout


def test_a_log_may_come_by_standard_input() -> None:
    result = CliRunner().invoke(command, ["medium", "-"], input=LOG)

    assert "10:20 Rain sensor: closes for rain." in result.stdout


def test_bad_lines_are_all_told_and_end_with_exit_code_1(tmp_path: Path) -> None:
    result = run(tmp_path, log=f"{LOG}x,rain,off\n2026-05-04 10:30,rain,wet\n")

    assert result.exit_code == 1
    assert "line 6, time" in result.stderr
    assert "line 7, event" in result.stderr
    assert result.stdout == ""


def test_bad_lines_can_be_skipped(tmp_path: Path) -> None:
    result = run(tmp_path, "--skip-bad-lines", log=f"{LOG}x,rain,off\n")

    assert result.exit_code == 0
    assert "line 6" in result.stderr
    assert "Rain sensor" in result.stdout


def test_json_svg_and_table_can_be_had(tmp_path: Path) -> None:
    assert json.loads(run(tmp_path, "--as", "json").stdout)["zones"]["zn"]["spans"][0]["command"]["source"] == "sw-n"
    assert ElementTree.fromstring(run(tmp_path, "--as", "svg").stdout).tag.endswith("svg")
    assert "hand command" in run(tmp_path, "--as", "table").stdout


def test_levels_show_the_16_of_a_zone_and_what_the_link_wrote(tmp_path: Path) -> None:
    result = run(tmp_path, "--levels", "10:15", "--zone", "zd")

    assert [line.split()[:2] for line in result.stdout.splitlines() if line[:1].isdecimal()][8] == [
        "9",
        "Available",
    ]
    assert len([line for line in result.stdout.splitlines() if line[:1].isdecimal()]) == 16
    assert "Written on the building link, by priority: 8 close (building link)." in result.stdout


def test_from_and_until_narrow_what_is_shown(tmp_path: Path) -> None:
    data = json.loads(run(tmp_path, "--as", "json", "--from", "10:15", "--until", "2026-05-04T11:00").stdout)

    assert (data["start"], data["end"]) == ("2026-05-04T10:15:00+01:00", "2026-05-04T11:00:00+01:00")


@pytest.mark.parametrize(
    ("options", "error"),
    [(["--zone", "zx"], UnknownPart), (["--from", "ten"], BadTime), (["--levels", "25:00"], BadTime)],
)
def test_wrong_options_are_refused_with_the_way_out(tmp_path: Path, options: list[str], error: type[DiagError]) -> None:
    assert isinstance(run(tmp_path, *options).exception, error)


def test_until_before_from_is_refused(tmp_path: Path) -> None:
    assert run(tmp_path, "--from", "11:00", "--until", "10:00").exit_code == 2


def test_a_log_that_is_no_text_or_not_there_is_told(tmp_path: Path) -> None:
    binary = tmp_path / "log.bin"
    binary.write_bytes(b"\xff\xfe\x00")

    for path, says in ((binary, "UTF-8"), (tmp_path / "none.csv", "No such file")):
        assert says in str(CliRunner().invoke(command, ["medium", str(path)]).exception)


def test_the_columns_are_explained() -> None:
    result = CliRunner().invoke(command, ["medium", "--columns"])

    assert "priority: 1 to 16" in result.stdout
    assert "relinquish: the building link withdraws" in result.stdout
