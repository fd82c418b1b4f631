"""The page's modules are sent joined, whole and each once."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from api import page_joined, system_packages
from api.page_worker import router
from tests.page.test_modules import module_options

FILES = ("first.js", "rest.js", "page.css")


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    app = FastAPI()
    app.include_router(router)
    with TestClient(app) as client:
        yield client


def test_every_module_of_the_phone_page_is_in_one_of_the_two_files_and_in_no_other() -> None:
    first, rest = page_joined.first_and_rest()
    modules = {it.relative_to(page_joined.PAGE).as_posix() for it in page_joined.PAGE.rglob("*.js")}
    aside = {it for it in modules if it.startswith(("quiz/", "desk/", "languages/"))}
    only_types = {it for it in modules if it.endswith("types.js") or it == "context.js"}

    assert len(first) > 10
    assert not set(first) & set(rest)
    assert {*first, *rest} == modules - aside - only_types - {"offline/worker.js"}


@pytest.mark.parametrize("name", ["first.js", "rest.js"])
def test_joined_modules_are_a_module_that_can_be_read(name: str, tmp_path: Path) -> None:
    node = shutil.which("node")
    if node is None:
        (pytest.fail if system_packages.in_ci() else pytest.skip)("Node is not installed; this test needs it.")
    file = tmp_path / name
    file.write_text(page_joined.joined_text(name), encoding="utf-8")

    done = subprocess.run([node, *module_options(node), "--check", str(file)], capture_output=True, text=True)

    assert done.returncode == 0, done.stderr


def test_a_module_in_a_form_that_cannot_be_joined_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "app.js").write_text("export let count = 0;\n", encoding="utf-8")
    monkeypatch.setattr(page_joined, "PAGE", tmp_path)
    monkeypatch.setattr(page_joined, "_text", lambda name: (tmp_path / name).read_text(encoding="utf-8"))

    with pytest.raises(ValueError, match="export let count"):
        page_joined.joined_text("first.js")


@pytest.mark.parametrize("name", FILES)
def test_a_file_is_sent_again_only_when_it_changed(client: TestClient, name: str) -> None:
    sent = client.get(f"/{name}", headers={"accept-encoding": "gzip"})
    again = client.get(f"/{name}", headers={"if-none-match": sent.headers["etag"]})
    plain = client.get(f"/{name}", headers={"accept-encoding": "identity"})

    assert (sent.status_code, sent.headers["content-encoding"]) == (200, "gzip")
    assert (again.status_code, again.content) == (304, b"")
    assert plain.text == sent.text == page_joined.joined_text(name)
