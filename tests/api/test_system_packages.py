"""Naming what a machine lacks, in the words of its own package tool."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import pytest

from api.system_packages import (
    Lack,
    compiles,
    find_compiler,
    in_ci,
    install_command,
    lacks_for_build,
    system_family,
)

if TYPE_CHECKING:
    from pathlib import Path

COMPILER = Lack("a C compiler", {"debian": ("gcc", "libc6-dev"), "fedora": ("gcc",), "alpine": ("gcc", "musl-dev")})
HEADERS = Lack("headers", {"debian": ("python3-dev",), "fedora": ("python3-devel",), "alpine": ("python3-dev",)})


@pytest.mark.parametrize(
    ("release", "family"),
    [
        ("ID=debian\n", "debian"),
        ('ID=linuxmint\nID_LIKE="ubuntu debian"\n', "debian"),
        ("ID=fedora\n", "fedora"),
        ('ID="rocky"\nID_LIKE="rhel centos fedora"\n', "fedora"),
        ("ID=alpine\n", "alpine"),
        ("ID=somethingelse\n", "other"),
    ],
)
@pytest.mark.skipif(sys.platform == "darwin", reason="macOS is recognised without this file")
def test_a_system_is_told_by_its_release_file(tmp_path: Path, release: str, family: str) -> None:
    (tmp_path / "os-release").write_text(release)

    assert system_family(tmp_path / "os-release") == family


@pytest.mark.skipif(sys.platform == "darwin", reason="macOS is recognised without this file")
def test_a_system_without_a_release_file_is_an_unknown_one(tmp_path: Path) -> None:
    assert system_family(tmp_path / "os-release") == "other"


@pytest.mark.parametrize(
    ("family", "command"),
    [
        ("debian", "apt-get install gcc libc6-dev python3-dev"),
        ("fedora", "dnf install gcc python3-devel"),
        ("alpine", "apk add gcc musl-dev python3-dev"),
        ("macos", "xcode-select --install"),
        ("other", ""),
    ],
)
def test_the_command_names_the_packages_of_this_system(family: str, command: str) -> None:
    assert install_command([COMPILER, HEADERS], family).removeprefix("sudo ") == command


def test_a_command_is_empty_where_no_package_is_known() -> None:
    assert install_command([Lack("a part", {"debian": ("part",)})], "fedora") == ""


def test_a_folder_without_headers_is_noticed(tmp_path: Path) -> None:
    assert [lack.what for lack in lacks_for_build(str(tmp_path), find_compiler())] == [
        f"the Python headers ({tmp_path / 'Python.h'})"
    ]


def test_a_path_without_compiler_is_noticed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("CC", raising=False)

    assert [lack.what for lack in lacks_for_build()] == ["a C compiler"]


def test_a_compiler_that_only_advises_is_not_one(tmp_path: Path) -> None:
    stub = tmp_path / "cc"
    stub.write_text("#!/bin/sh\necho 'install the tools first' >&2\nexit 1\n")
    stub.chmod(0o755)

    assert not compiles([str(stub)])


def test_the_compiler_of_this_machine_compiles() -> None:
    assert compiles(find_compiler())


@pytest.mark.parametrize(("value", "answer"), [("true", True), ("1", True), ("", False), ("false", False)])
def test_ci_is_told_by_its_variable(monkeypatch: pytest.MonkeyPatch, value: str, answer: bool) -> None:
    monkeypatch.setenv("CI", value)

    assert in_ci() is answer
