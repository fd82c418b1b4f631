"""`ventsleuth site`: drafts, the interview, and the sites that the service keeps."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from api.cli.site import command
from api.cli.where import DATABASE
from api.sites.draft import BadDraft
from api.store import open_store
from diag.errors import BadSite, UnknownSite
from diag.site_file import load_site

TABLE = "kind,id,output\noutput,o1,\ndrive,D 1,o1\ngadget,g,\n"
BRICK = "@prefix b: <https://brickschema.org/schema/Brick#> .\n<urn:x#Ex> a b:Exhaust_Fan .\n"


@pytest.fixture
def data(tmp_path: Path) -> str:
    """Return the folder of a service without sites."""
    open_store(tmp_path / DATABASE).close()
    return str(tmp_path)


def site(*words: str, typed: str = "") -> Result:
    """Run the command; what it refuses is raised."""
    done = CliRunner().invoke(command, list(words), input=typed, standalone_mode=False)
    if done.exception:
        raise done.exception
    return done


def written(folder: Path, name: str, text: str) -> str:
    """Return the path of a new file."""
    (folder / name).write_text(text, encoding="utf-8")
    return str(folder / name)


def test_a_table_becomes_a_draft_and_what_was_left_out_is_told(tmp_path: Path) -> None:
    output = str(tmp_path / "hall.yaml")
    done = site("draft", written(tmp_path, "hall.csv", TABLE), "--output", output)

    assert load_site(output).drives["d-1"].output == "o1"
    assert "gadget" in done.stderr
    assert "Next:" in done.stderr


def test_building_metadata_becomes_a_draft_and_other_files_are_refused(tmp_path: Path) -> None:
    done = site("draft", written(tmp_path, "plant.ttl", BRICK), "--name", "Plant")

    assert done.stdout == "name: Plant\nfans:\n  ex:\n    kind: extract\n"
    with pytest.raises(BadDraft, match=r"\.csv or \.ttl"):
        site("draft", written(tmp_path, "plant.xls", "x"))


def test_a_draft_that_still_has_faults_is_written_and_they_are_told(tmp_path: Path) -> None:
    done = site("draft", written(tmp_path, "a.csv", "kind,id,output\ndrive,d1,o9\n"))

    assert "output: o9" in done.stdout
    assert "Still to mend" in done.stderr


def test_the_interview_asks_again_where_an_answer_does_not_fit(tmp_path: Path) -> None:
    output = str(tmp_path / "mill.yaml")
    typed = ("", "Mill", "perhaps", "1", "2", "", "1 2", "1", "2", "2", "4")
    done = site("ask", "--output", output, typed="\n".join(typed) + "\n")
    mill = load_site(output)

    assert (mill.name, len(mill.drives), len(mill.inputs)) == ("Mill", 2, 2)
    assert mill.zones["z1"].hold_off_minutes is None
    assert "is answered by" in done.stderr
    assert "licensed for smoke ventilation" in done.stderr


def test_a_site_is_stored_shown_and_compared(tmp_path: Path, data: str) -> None:
    first = written(tmp_path, "1.yaml", "name: Gym\ndrives:\n  d1: {running_current_a: 1.5}\n")
    second = written(tmp_path, "2.yaml", "name: Gym\ndrives:\n  d1: {running_current_a: 2.5}\n")
    said = [site("store", "gym", it, "--data", data).stdout for it in (first, second)]

    assert said == ["Stored gym as new.\n", "Stored gym as version 2.\n"]
    assert site("list", "--data", data).stdout == "gym  Gym\n"
    assert site("compare", "gym", "--data", data).stdout == "drives.d1.running_current_a: 1.5 -> 2.5\n"
    assert "running_current_a: 1.5" in site("show", "gym", "--version", "1", "--data", data).stdout
    assert len(site("versions", "gym", "--data", data).stdout.splitlines()) == 2


def test_what_is_not_there_or_faulty_is_refused(tmp_path: Path, data: str) -> None:
    with pytest.raises(UnknownSite):
        site("show", "gym", "--data", data)
    with pytest.raises(BadSite):
        site("store", "gym", written(tmp_path, "bad.yaml", "name: Gym\ncolour: red\n"), "--data", data)
    with pytest.raises(Exception, match="north-hall"):
        site("store", "The Gym", written(tmp_path, "a.yaml", "name: Gym\n"), "--data", data)
    assert site("list", "--data", data).stdout == ""
