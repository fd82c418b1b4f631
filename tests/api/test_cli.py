"""The command line, run as its users run it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent.parent
HOLD_OFF = ("diagnose", "--site", "small", "--symptom", "automatic-ignored")


def ventsleuth(*words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Run the command and return what it printed and its exit code."""
    command = [sys.executable, "-c", "from api.cli.main import main; main()", *words]
    return subprocess.run(command, input=typed, capture_output=True, text=True, cwd=ROOT, check=False, timeout=60)


def answered(*words: str) -> dict[str, object]:
    """Return the JSON a command printed."""
    done = ventsleuth(*words)
    assert done.returncode == 0, done.stderr
    found: dict[str, object] = json.loads(done.stdout)
    return found


def test_a_typed_symptom_is_answered_as_json_with_every_promised_field() -> None:
    found = answered("diagnose", "--site", "small", "actuator runs wrong way", "--json")

    assert {"symptoms", "causes", "next", "unrecognised", "knowledge_version"} <= found.keys()
    assert {"id", "part", "score"} <= found["symptoms"][0].keys()  # type: ignore[index]
    assert {"id", "part", "probability", "why"} <= found["causes"][0].keys()  # type: ignore[index]
    assert {"check", "part", "minutes", "expect", "cautions"} <= found["next"][0].keys()  # type: ignore[index]


@pytest.mark.parametrize(("minutes", "leads"), [("10:17", True), ("10:36", False)])
def test_the_hold_off_leads_until_it_is_over(minutes: str, leads: bool) -> None:
    found = answered(*HOLD_OFF, "--event", "10:05=manual", "--at", minutes, "--json")
    causes = [it["id"] for it in found["causes"]]  # type: ignore[attr-defined]

    assert (causes[0] == "hold-off-active") == leads
    assert ("hold-off-active" in causes) == leads


def test_the_plain_answer_says_when_automatic_works_again() -> None:
    done = ventsleuth(*HOLD_OFF, "--event", "10:05=manual", "--at", "10:17")

    assert "Automatic works again at 10:35." in done.stdout
    assert "Next check:" in done.stdout


def test_a_finding_may_be_a_reading() -> None:
    found = answered(
        "diagnose", "--site", "small", "--symptom", "drive-dead@d1", "--finding", "volts-drive@d1=0,1 V", "--json"
    )

    assert any(reason["source"] == "volts-drive" for it in found["causes"] for reason in it["why"])  # type: ignore[attr-defined]


def test_a_finding_that_may_have_been_made_at_several_parts_is_asked_about() -> None:
    finding = ("diagnose", "--site", "small", "--symptom", "zone-dead@zb", "--finding")
    asked = "look-guard-contact can be made at rv1 or rv2. Say which, as look-guard-contact@rv1."

    assert asked in ventsleuth(*finding, "look-guard-contact=cover-not-home").stdout
    assert "Say which" not in ventsleuth(*finding, "look-guard-contact@rv1=cover-not-home").stdout


def test_the_plain_answer_names_the_best_step_and_an_answer_worth_a_second_look() -> None:
    found = ("ohms-fuse-output@out1=open", "ohms-line@out1=normal", "try-neighbours@d1=neighbours-still")
    dead = ("diagnose", "--site", "small", "--symptom", "drive-dead@d1", "--symptom", "drive-dead@d2")
    words = [*dead, *(word for it in found for word in ("--finding", it))]
    sound = ventsleuth(*words).stdout
    odd = " ".join(ventsleuth(*words, "--finding", "look-output-lamp@out1=on-unasked").stdout.split())

    assert "Best step now: Mending" in sound
    assert "Look again" not in sound
    assert "hardly fits the other answers. Look again." in odd


def test_the_plain_answer_names_two_faults_where_one_explains_too_little() -> None:
    two = ("diagnose", "--site", "medium", "--symptom", "runs-reversed@d1", "--symptom", "wrong-time@zs")

    assert "Two faults may be present at once" in ventsleuth(*two).stdout


def test_the_plan_is_added_to_the_json_when_asked_for_and_minds_who_is_there() -> None:
    asked = ("diagnose", "--site", "small", "--symptom", "drive-dead@d1", "--json")
    remote = answered(*asked, "--plan", "--remote")
    bare = answered(*asked, "--without", "multimeter", "--alone", "--dark")

    assert "plan" not in answered(*asked)
    assert remote["plan"]["step"]["check"]["competence"] == "ordinary"  # type: ignore[index]
    assert {it["competence"] for it in remote["next"]} == {"ordinary"}  # type: ignore[attr-defined]
    assert not any("multimeter" in it["tools"] for it in bare["next"])  # type: ignore[attr-defined]


def test_an_answer_with_a_tilde_behind_it_counts_less() -> None:
    def leader(finding: str) -> float:
        asked = ("diagnose", "--site", "small", "--symptom", "drive-dead@d1", "--finding", finding, "--json")
        return next(it["probability"] for it in answered(*asked)["causes"] if it["id"] == "output-fuse-blown")  # type: ignore[attr-defined, no-any-return]

    assert leader("ohms-fuse-output@out1=open~") < leader("ohms-fuse-output@out1=open")


def test_match_reads_one_text_a_line_and_writes_one_object_a_line() -> None:
    done = ventsleuth("match", "-", "--json", typed="actuator runs wrong way\nmy wifi is slow\n")
    first, second = map(json.loads, done.stdout.splitlines())

    assert (first["recognised"], first["symptoms"][0]["id"]) == (True, "runs-reversed")
    assert (second["recognised"], second["symptoms"]) == (False, [])
    assert done.returncode == 0


def test_text_that_is_not_recognised_ends_with_three_and_what_to_type() -> None:
    done = ventsleuth("match", "my wifi is slow")

    assert done.returncode == 3
    assert "such as" in done.stdout


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("diagnose", "--site", "no-such.yaml", "x"), 1, "no-such.yaml"),
        (("diagnose", "--symptom", "drive-ded"), 1, "drive-dead"),
        (("diagnose", "--symptom", "drive-dead", "--finding", "volts-drive"), 1, "CHECK@PART=OUTCOME"),
        (("diagnose", "--symptom", "drive-dead", "--at", "soon"), 1, "not a time"),
        (("diagnose",), 2, "--symptom"),
        (("diagnos",), 2, "diagnos"),
        (("site", "check", "no-such.yaml"), 1, "no-such.yaml"),
    ],
)
def test_a_mistake_ends_with_its_code_and_what_to_do_and_never_a_traceback(
    words: tuple[str, ...], code: int, said: str
) -> None:
    done = ventsleuth(*words)

    assert done.returncode == code
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_a_faulty_site_file_lists_every_fault_with_its_line(tmp_path: Path) -> None:
    file = tmp_path / "bad.yaml"
    file.write_text("name: Bad\ndrives:\n  d1: {output: o9, strok_mm: 300}\n", encoding="utf-8")
    done = ventsleuth("site", "check", str(file))

    assert done.returncode == 1
    assert "bad.yaml:3:" in done.stderr
    assert "stroke_mm" in done.stderr
    assert "o9" in done.stderr


def test_the_demo_sites_have_no_faults() -> None:
    assert "no faults" in ventsleuth("site", "check", "small").stdout


def test_the_schema_is_printed_as_json() -> None:
    assert answered("site", "schema")["type"] == "object"


def test_the_knowledge_base_has_no_faults() -> None:
    done = ventsleuth("knowledge", "check")

    assert done.returncode == 0, done.stderr
    assert "56 symptoms" in done.stdout


def test_a_conversation_goes_from_symptom_to_proof_of_repair() -> None:
    """Driven through a pseudo-terminal, as a person would."""
    pty = pytest.importorskip("pty")
    import os

    pid, terminal = pty.fork()
    if pid == 0:
        os.chdir(ROOT)
        code = "from api.cli.main import main; main()"
        words = [
            "diagnose",
            "--site",
            "small",
            "--symptom",
            "automatic-ignored@za",
            "--event",
            "10:05=manual",
            "--at",
            "10:17",
        ]
        os.execv(sys.executable, [sys.executable, "-c", code, *words])
    shown = b""
    answers = iter([b"w\n", b"n\n", b"c\n", b"u\n", b"q\n"])
    while True:
        try:
            shown += os.read(terminal, 4096)
        except OSError:
            break
        if shown.rstrip().endswith(b">") or shown.rstrip().endswith(b"[y/N]:"):
            os.write(terminal, next(answers, b"q\n") if shown.rstrip().endswith(b">") else b"n\n")
            shown += b" "
    _, status = os.waitpid(pid, 0)

    assert os.waitstatus_to_exitcode(status) == 0
    assert b"Automatic works again at 10:35." in shown
    assert b"Answer" in shown
