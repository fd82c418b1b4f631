"""Setting up from a bare checkout: once, again after a change, and plainly refused when it cannot be done."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from api import system_packages
from api.bootstrap import (
    BUILD,
    LENIENT,
    REQUIREMENTS,
    ROOT,
    SetupStopped,
    build_tools_message,
    create,
    environment_folder,
    install,
    is_ready,
    mark_ready,
    require_supported_python,
)
from api.system_packages import Lack

COPIED = ("api/__init__.py", "api/bootstrap.py", "api/start.py", "api/system_packages.py", "pyproject.toml")
LOCKS = (BUILD, *REQUIREMENTS.values())
PIN = re.compile(r"^([a-z0-9-]+)==(\S+)(.*?) \\$", re.MULTILINE)


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """A copy of the files that set-up needs, and nothing else."""
    for name in (*COPIED, *LOCKS):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        shutil.copy(ROOT / name, tmp_path / name)
    return tmp_path


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A virtual environment with nothing in it but pip."""
    folder = tmp_path_factory.mktemp("environment") / "venv"
    create(folder)
    return folder


def start(checkout: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    """Run the start command of the checkout outside any virtual environment."""
    python = Path(sys.base_prefix, "bin", f"python3.{sys.version_info[1]}")
    kept = {name: value for name, value in os.environ.items() if name not in ("CC", "CI", "PYTHONPATH")}
    return subprocess.run(
        [str(python), "-m", "api.start"],
        cwd=checkout,
        env={**kept, **variables},
        capture_output=True,
        text=True,
        check=False,
    )


def pins(name: str) -> set[tuple[str, ...]]:
    """The package, version and marker of each pin in a requirements file."""
    return set(PIN.findall((ROOT / name).read_text()))


def test_a_start_without_compiler_says_what_to_install(checkout: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    started = start(checkout, PATH=str(tmp_path / "empty"))

    assert started.returncode == 1
    assert started.stderr.startswith("Set-up stopped: this machine lacks a C compiler.\n")
    assert "Next: " in started.stderr
    assert "Traceback" not in started.stderr
    assert not (checkout / ".venv").exists()


def test_a_start_without_compiler_in_ci_stops_as_plainly(checkout: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()

    started = start(checkout, PATH=str(tmp_path / "empty"), CI="true")

    assert (started.returncode, "Traceback" in started.stderr) == (1, False)
    assert "a C compiler" in started.stderr


def test_a_start_without_package_index_shows_what_pip_said(checkout: Path) -> None:
    started = start(checkout, PIP_NO_INDEX="1", PIP_FIND_LINKS="", PIP_CONFIG_FILE=os.devnull)

    assert started.returncode == 1
    assert "Set-up stopped: could not install the build tools." in started.stderr
    assert "No matching distribution found" in started.stderr
    assert "is online" in started.stderr
    assert "Traceback" not in started.stderr


def test_an_interrupted_environment_is_made_again(environment: Path, tmp_path: Path) -> None:
    half_made = tmp_path / "half"
    shutil.copytree(environment, half_made, symlinks=True)
    shutil.rmtree(next(half_made.glob("lib/python3.*/site-packages/pip")))

    create(half_made)

    assert next(half_made.glob("lib/python3.*/site-packages/pip")).is_dir()


def test_a_working_environment_is_left_alone(environment: Path) -> None:
    (environment / "mine.txt").write_text("kept")

    create(environment)

    assert (environment / "mine.txt").read_text() == "kept"


def test_a_changed_hash_stops_the_installation(environment: Path, checkout: Path) -> None:
    package = checkout / "thing-1.0.tar.gz"
    package.write_bytes(b"not what was pinned")
    (checkout / BUILD).write_text(f"thing @ {package.as_uri()} --hash=sha256:{'0' * 64}\n")

    with pytest.raises(SetupStopped, match="DO NOT MATCH THE HASHES"):
        install(environment / "bin" / "python", "service", checkout)


def test_an_environment_is_not_ready_before_installation(environment: Path, checkout: Path) -> None:
    assert not is_ready(environment, "service", checkout)


@pytest.mark.parametrize("changed", ["requirements-build.txt", "requirements.txt", "pyproject.toml"])
def test_an_environment_is_ready_until_its_requirements_change(environment: Path, checkout: Path, changed: str) -> None:
    mark_ready(environment, "service", checkout)
    before = is_ready(environment, "service", checkout)

    (checkout / changed).write_text("# changed\n")

    assert (before, is_ready(environment, "service", checkout)) == (True, False)


def test_an_environment_for_tests_serves_too_but_not_the_other_way(environment: Path, checkout: Path) -> None:
    mark_ready(environment, "tests", checkout)
    serves = is_ready(environment, "service", checkout)

    mark_ready(environment, "service", checkout)

    assert (serves, is_ready(environment, "tests", checkout)) == (True, False)


def test_a_moved_checkout_is_set_up_again(environment: Path, checkout: Path, tmp_path: Path) -> None:
    mark_ready(environment, "service", checkout)
    moved = shutil.copytree(checkout, tmp_path / "moved", ignore=shutil.ignore_patterns("moved"))

    assert not is_ready(environment, "service", moved)


def test_the_environment_in_use_is_the_one_that_is_set_up(tmp_path: Path) -> None:
    own = tmp_path / ".venv" / f"3.{sys.version_info[1]}"
    in_environment = sys.prefix != sys.base_prefix

    assert environment_folder(tmp_path) == (Path(sys.prefix) if in_environment else own)


@pytest.mark.parametrize("version", [(3, 11), (3, 12), (3, 13)])
def test_a_supported_python_passes(version: tuple[int, int]) -> None:
    require_supported_python(version)


@pytest.mark.parametrize("version", [(3, 10), (3, 14), (2, 7)])
def test_another_python_is_refused_by_its_number(version: tuple[int, int]) -> None:
    with pytest.raises(SetupStopped, match=rf"this is {version[0]}\.{version[1]}\.\nNext: "):
        require_supported_python(version)


def test_an_unknown_system_gets_the_names_of_the_things() -> None:
    lacks = [Lack("a C compiler", {"debian": ("gcc",)}), Lack("the Python headers", {})]

    message = build_tools_message(lacks, "other")

    assert "Next: install a C compiler and the Python headers" in message


@pytest.mark.parametrize("name", LOCKS)
def test_every_pin_has_hashes_and_no_address(name: str) -> None:
    text = (ROOT / name).read_text()
    entries = [entry for entry in re.split(r"\n(?=\S)", text) if entry]

    assert len(entries) == len(pins(name)) > 0
    assert all("--hash=sha256:" in entry for entry in entries)
    assert "://" not in text


def test_the_tests_run_on_the_versions_that_serve() -> None:
    assert pins("requirements.txt") <= pins("requirements-test.txt")


def test_every_dependency_is_pinned() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    wanted = {"requirements.txt": project["dependencies"]}
    wanted["requirements-test.txt"] = project["dependencies"] + project["optional-dependencies"]["test"]

    for name, requirements in wanted.items():
        named = {re.split(r"[^A-Za-z0-9-]", requirement)[0].lower() for requirement in requirements}
        assert named <= {pin[0] for pin in pins(name)}


def test_a_compiler_that_refuses_undeclared_functions_is_told_to_let_the_engine_through() -> None:
    """GCC 14 and Clang 16 refuse them by themselves; here an older one is made to."""
    compiler = system_packages.find_compiler()
    if not compiler:
        pytest.skip("there is no compiler here")
    strict = ["-Werror=implicit-function-declaration", "-Werror=int-conversion"]
    source = "void *f(void); void *f(void) { void *p = dropped(1); return p; }"

    def compiles(*flags: str) -> bool:
        command = [*compiler, *strict, *flags, "-x", "c", "-fsyntax-only", "-"]
        return subprocess.run(command, input=source, capture_output=True, text=True, check=False).returncode == 0

    assert not compiles()
    assert compiles(*LENIENT.split())
