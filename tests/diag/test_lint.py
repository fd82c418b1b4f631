"""What the check of the knowledge base finds, each with its file, its line and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.diag.tiny_knowledge import CHECKS, CORE_OPEN, MOTOR, faults_in, spoilt, write_knowledge

CORE, DRIVE = "causes/wiring/core-open.yaml", "causes/drive/drive-motor-failed.yaml"
SYMPTOM, CHECK = "symptoms/movement.yaml", "checks/measure.yaml"


def test_a_sound_knowledge_base_has_no_faults(tmp_path: Path) -> None:
    assert faults_in(write_knowledge(tmp_path)) == []


@pytest.mark.parametrize(
    ("name", "found", "written", "fault"),
    [
        pytest.param(
            CORE,
            "check: ohms-core",
            "check: ohms-cor",
            f"{CORE}:22:12: checks.1.check: there is no check ohms-cor. Did you mean ohms-core?",
            id="an unknown check, with the nearest",
        ),
        pytest.param(
            DRIVE,
            "outcomes: {normal: always}",
            "outcomes: {norml: always}",
            f"{DRIVE}:19:15: checks.0.outcomes: there is no outcome of volts-drive norml. Did you mean normal?",
            id="an unknown outcome",
        ),
        pytest.param(
            SYMPTOM,
            "cautions: [crush]",
            "not-asked: [volts-driv]",
            f"{SYMPTOM}:7:15: 0.not-asked.0: there is no check volts-driv. Did you mean volts-drive?",
            id="an unknown check that is not asked",
        ),
        pytest.param(
            SYMPTOM,
            "cautions: [crush]",
            "cautions: [crash]",
            f"{SYMPTOM}:7:14: 0.cautions.0: there is no caution crash. Did you mean crush?",
            id="an unknown caution",
        ),
        pytest.param(
            CHECK,
            "  expect-text: It reads through\n",
            "  expects: core-resistnce\n  expect-text: It reads through\n",
            f"{CHECK}:28:12: 1.expects: there is no calculator core-resistnce. Did you mean core-resistance?",
            id="an unknown calculator",
        ),
        pytest.param(
            CORE,
            "symptom: {symptom: drive-dead, part: $d, part_kind: drive}",
            "symptom: {symptom: drive-ded, part: $d, part_kind: drive}",
            f"{CORE}:15:28: rules.0.when.0.symptom.symptom: symptom symptom is never drive-ded."
            " Did you mean drive-dead?",
            id="an unknown symptom in a rule",
        ),
        pytest.param(
            CORE,
            "      - feeds: {consumer: $d, source: $c, source_kind: cable}",
            "      - feed: {consumer: $d, source: $c, source_kind: cable}",
            f"{CORE}:16:9: rules.0.when.1: there is no fact feed. Did you mean feeds?",
            id="an unknown fact, with the nearest",
        ),
        pytest.param(
            CORE,
            "      - feeds: {consumer: $d, source: $c, source_kind: cable}",
            "      - source_kind: {consumer: $d, source: $c}",
            f"{CORE}:16:9: rules.0.when.1: there is no fact source_kind. It is a field of feeds and of serves.",
            id="a field in place of a fact",
        ),
        pytest.param(
            CORE,
            "feeds: {consumer: $d, source: $c, source_kind: cable}",
            "feeds: {consumr: $d, source: $c, source_kind: cable}",
            f"{CORE}:16:16: rules.0.when.1.feeds: feeds has no field consumr. Did you mean consumer or consumer_kind?",
            id="an unknown field, with the nearest",
        ),
        pytest.param(
            CORE,
            "feeds: {consumer: $d, source: $c, source_kind: cable}",
            "feeds: {consumer: $d, source: $c, source_kind: cable, xyz: yes}",
            f"{CORE}:16:16: rules.0.when.1.feeds: feeds has no field xyz. Choose from: source, source_kind, consumer,"
            " consumer_kind, shared, trunk, outdoors.",
            id="an unknown field with nothing near, with all there are",
        ),
        pytest.param(
            CORE,
            "feeds: {consumer: $d, source: $c, source_kind: cable}",
            "feeds: {consumer: $d, source: $c, source_kind: cable, shared: maybe}",
            f"{CORE}:16:71: rules.0.when.1.feeds.shared: feeds shared is never maybe. Choose from: yes, no, unknown.",
            id="a word the field never holds",
        ),
        pytest.param(
            DRIVE,
            "told: {condition: suddenly}",
            "told: {condition: sudenly}",
            f"{DRIVE}:37:27: cases.1.given.0.told.condition: told condition is never sudenly. Did you mean suddenly?",
            id="an unknown circumstance in a case, with the nearest",
        ),
        pytest.param(
            DRIVE,
            "told: {condition: suddenly}",
            "told: {condition: all of a sudden}",
            f"{DRIVE}:37:27: cases.1.given.0.told.condition: told condition is never all of a sudden."
            " Did you mean suddenly?",
            id="a circumstance as people say it",
        ),
        pytest.param(
            DRIVE,
            "symptom: {symptom: drive-dead, part: $d, part_kind: drive}",
            "symptom: {symptom: drive-dead, part: $d, part_kind: zone}",
            f"{DRIVE}:15:61: rules.0.when.0.symptom.part_kind: drive-dead is never about a zone; it is about a drive",
            id="a symptom at a kind of part it is never about",
        ),
        pytest.param(
            CORE,
            "    at: $c\n",
            "    at: $d\n",
            f"{CORE}:13:9: rules.0.at: own-cable puts the cause at $d, a drive, but it sits at a cable;"
            " name the cable in `at`, or change `sits-at`",
            id="a rule that suspects another kind of part",
        ),
        pytest.param(
            CORE,
            "      - feeds: {consumer: $d, source: $c, source_kind: cable}",
            "      - drive: {part: $d, zone: $z}\n      - fan: {part: $f, zone: $z, output: $o}\n"
            "      - feeds: {consumer: $f, source: $c, source_kind: cable, consumer_kind: fan}",
            f"{CORE}:15:7: rules.0.when: own-cable fires on no demo site and for no stand-in; ask only for parts that"
            " are joined to the one with the symptom, by fields that name parts",
            id="a rule whose parts are nowhere joined",
        ),
        pytest.param(
            CHECK,
            "  at: cable\n",
            "  at: schedule\n",
            f"{CORE}:22:12: checks.1.check: the decisive check ohms-core is made at the schedule, which is never joined"
            " to the cable where core-open sits, so it decides nothing; take a check at the cable, at its zone or at"
            " its controller",
            id="a decisive check made where the cause is never felt",
        ),
        pytest.param(
            CORE,
            "outcomes: {open: always}\n    because: The broken",
            "outcomes: {through: always}\n    because: The broken",
            f"{CORE}:25:15: checks.1.decisive: ohms-core shows most often what it shows where nothing is wrong, so it"
            " is not decisive; name another outcome or another check",
            id="a decisive check that shows what a healthy part shows",
        ),
        pytest.param(
            CORE,
            "    because: $c feeds $d, so",
            "    because: $x feeds $d, so",
            f"{CORE}:15:7: rules.0.when: own-cable uses $x, which no condition names",
            id="a variable nobody binds",
        ),
        pytest.param(
            SYMPTOM,
            "  phrases: [one drive is dead, one motor does nothing, this vent stays put, no life in it, it is stuck,"
            " only one is out]\n",
            "  phrases: []\n",
            f"{SYMPTOM}:6:12: 0.phrases: found a list of 0; allowed: at least 6 of them",
            id="a symptom without phrases",
        ),
        pytest.param(
            DRIVE,
            "outcomes: {none: always}",
            "outcomes: {normal: usually}",
            f"{DRIVE}:18:3: checks: every check of drive-motor-failed shows what a healthy part shows;"
            " add a check that tells it",
            id="a cause without a check that tells it",
        ),
        pytest.param(
            CORE,
            "fires: [own-cable]\n  - name: another",
            "not-fires: [own-cable]\n  - name: another",
            f"{CORE}:37:16: cases.0.not-fires: own-cable was not to fire in “it is suspected” and did",
            id="a case that does not hold",
        ),
        pytest.param(
            CHECK,
            "hazards: [electric-shock, height, life-safety]",
            "hazards: [height, life-safety]",
            f"{CHECK}:24:12: 1.hazards: ohms-core names no caution although it asks for dead working;"
            " add electric-shock",
            id="dead working without its caution",
        ),
        pytest.param(
            CHECK,
            "hazards: [live-test, electric-shock, crush, height]",
            "hazards: [live-test, crush]",
            f"{CHECK}:10:12: 0.hazards: volts-drive names no caution although it is made at an opening; add height",
            id="work at an opening without its caution",
        ),
        pytest.param(
            DRIVE,
            "cautions: [electric-shock, falling-sash, crush, height, life-safety]",
            "cautions: [electric-shock, crush, height, life-safety]",
            f"{DRIVE}:29:11: cautions: drive-motor-failed names no caution although it frees the sash from its drive;"
            " add falling-sash",
            id="a sash freed without its caution",
        ),
        pytest.param(
            CHECK,
            "hazards: [electric-shock, height, life-safety]",
            "hazards: [electric-shock, height]",
            f"{CHECK}:24:12: 1.hazards: ohms-core names no caution although it takes openings out of use that may be"
            " smoke openings; add life-safety",
            id="a line taken dead without the caution for smoke openings",
        ),
        pytest.param(
            DRIVE,
            "and renew the drive.",
            "and bridge its end switch.",
            f"{DRIVE}:25:5: remedy.0: “Isolate, support the sash, and bridge its end switch.” tells to defeat a"
            " protection; say how to work with it in force, or start with Never",
            id="advice to defeat a protection",
        ),
        pytest.param(
            DRIVE,
            "because: The voltage is there.",
            "because: It reads 22 V or more.",
            f"{DRIVE}:20:14: checks.0.because: 22 V has no source; add `source:` with a standard,"
            " “common practice, no source” or “judgement”",
            id="a number without source",
        ),
        pytest.param(
            DRIVE,
            "cases:\n",
            "source: internet\ncases:\n",
            f"{DRIVE}:30:9: source: the source “internet” names nothing; name a standard, a practice or a judgement",
            id="a source that names nothing",
        ),
        pytest.param(
            DRIVE,
            "because: The voltage is there.",
            "because: The neighbors move.",
            f"{DRIVE}:20:14: checks.0.because: “neighbors” is American spelling; write “neighbour”",
            id="American spelling",
        ),
        pytest.param(
            DRIVE,
            "because: The voltage is there.",
            "because: Simply no movement.",
            f"{DRIVE}:20:14: checks.0.because: “Simply” is a word to leave out; write nothing",
            id="a word to leave out",
        ),
        pytest.param(
            DRIVE,
            "because: The voltage is there.",
            "because: The voltage is there!",
            f"{DRIVE}:20:14: checks.0.because: exclamation mark; end the sentence with a full stop",
            id="an exclamation mark",
        ),
        pytest.param(
            DRIVE,
            "because: The voltage is there.",
            "because: FILL why this fault shows that",
            f"{DRIVE}:20:14: checks.0.because: still to fill: write the text in place of FILL",
            id="a text still to fill",
        ),
        pytest.param(
            SYMPTOM,
            "it is stuck,",
            "one drive is dead,",
            f"{SYMPTOM}:6:92: 0.phrases.4: “one drive is dead” is a phrase of drive-dead already; keep it where it"
            " means more",
            id="a phrase twice",
        ),
    ],
)  # fmt: skip
def test_a_fault_is_told_with_its_line_and_what_to_do(
    tmp_path: Path, name: str, found: str, written: str, fault: str
) -> None:
    assert fault in faults_in(write_knowledge(tmp_path, spoilt(name, found, written)))


@pytest.mark.parametrize(
    ("name", "found", "written"),
    [
        pytest.param(
            CORE,
            "feeds: {consumer: $d, source: $c, source_kind: cable}",
            "feeds: {consumer: $d, source: $c, source_kind: cable, shared: {not: yes}, trunk: [no, unknown]}",
            id="words that a field holds",
        ),
        pytest.param(
            CHECK,
            "  at: cable\n",
            "  at: output\n",
            id="a decisive check at another part of the same line",
        ),
        pytest.param(DRIVE, "and renew the drive.", "and never bridge its end switch.", id="a warning not to defeat"),
        pytest.param(
            DRIVE,
            "because: No current flows.\nremedy:\n",
            "because: It reads 0.2 A or less.\nsource: judgement\nremedy:\n",
            id="a number with a source",
        ),
        pytest.param(
            DRIVE, "because: The voltage is there.", "because: 24 V is there.", id="the name of a kind of circuit"
        ),
        pytest.param(
            DRIVE, "because: The voltage is there.", "because: The meter shows it.", id="a meter, which measures"
        ),
        pytest.param(CHECK, "  kind: measure\n  name: Voltage", "  kind: ask\n  name: Voltage", id="a question"),
        pytest.param(CHECK, "Clamp one core.", "Clamp one dead-looking core.", id="dead that nobody proves"),
    ],
)
def test_what_is_right_is_left_alone(tmp_path: Path, name: str, found: str, written: str) -> None:
    assert faults_in(write_knowledge(tmp_path, spoilt(name, found, written))) == []


def test_a_check_nobody_needs_is_told(tmp_path: Path) -> None:
    unused = CHECKS.replace("id: volts-drive", "id: volts-nowhere").split("- id: ohms-core")[0]
    folder = write_knowledge(tmp_path, {"checks/operate.yaml": unused})

    assert faults_in(folder) == [
        "checks/operate.yaml:1:7: 0.id: no cause uses volts-nowhere; name it in a cause or remove it"
    ]


def test_a_symptom_no_rule_answers_is_told(tmp_path: Path) -> None:
    alone = "- id: lonely\n  family: setup\n  name: A lonely thing\n  about: [site]\n  means: It is alone.\n"
    alone += "  phrases: [one, two, three, four, five, six ways]\n"
    folder = write_knowledge(tmp_path, {"symptoms/setup.yaml": alone})

    assert faults_in(folder) == ["symptoms/setup.yaml:1:7: 0.id: no rule suspects a cause of lonely; add one"]


def test_two_causes_no_check_tells_apart_are_told(tmp_path: Path) -> None:
    twin = MOTOR.replace("id: drive-motor-failed", "id: drive-gear-worn")
    folder = write_knowledge(tmp_path, {"causes/drive/drive-gear-worn.yaml": twin})

    assert faults_in(folder) == [
        "causes/drive/drive-gear-worn.yaml:18:3: checks: no check tells drive-gear-worn from drive-motor-failed;"
        " add one that does"
    ]


def test_a_rule_no_case_fires_or_spares_is_told(tmp_path: Path) -> None:
    rule = "  - id: windy\n    weigh: stronger\n    when:\n      - told: {condition: when-windy}\n"
    folder = write_knowledge(tmp_path, spoilt(DRIVE, "rules:\n", f"rules:\n{rule}    because: Wind loads it.\n"))

    assert faults_in(folder) == [
        f"{DRIVE}:11:9: rules.0.id: no case fires windy; add one",
        f"{DRIVE}:11:9: rules.0.id: no case spares windy; add one",
    ]


@pytest.mark.parametrize("fact", ["", "      - feeds: {consumer: $x, source: $c, source_kind: [cable, junction]}\n"])
def test_an_exclusion_on_the_facts_of_a_suspicion_is_a_contradiction(tmp_path: Path, fact: str) -> None:
    exclusion = (
        "  - id: never-so\n    exclude: yes\n    at: $c\n    when:\n"
        "      - symptom: {symptom: [drive-dead], part: $x}\n"
        f"{fact or '      - feeds: {consumer: $x, source: $c, source_kind: cable}' + chr(10)}"
        "    because: $c is whole.\n"
    )
    folder = write_knowledge(tmp_path, spoilt(CORE, "checks:\n", f"{exclusion}checks:\n"))

    assert (
        f"{CORE}:15:7: rules.0.when: own-cable suspects what never-so excludes on the same facts; narrow one of them"
        in faults_in(folder)
    )


def test_an_exclusion_on_narrower_facts_is_no_contradiction(tmp_path: Path) -> None:
    exclusion = (
        "  - id: trunk-alive\n    exclude: yes\n    at: $c\n    when:\n"
        "      - symptom: {symptom: drive-dead, part: $d, part_kind: drive}\n"
        "      - feeds: {consumer: $d, source: $c, source_kind: cable, trunk: yes}\n"
        "    because: $c is whole.\n"
    )
    folder = write_knowledge(tmp_path, spoilt(CORE, "checks:\n", f"{exclusion}checks:\n"))

    assert not any("excludes on the same facts" in fault for fault in faults_in(folder))


def test_shifts_both_ways_on_the_same_facts_are_a_contradiction(tmp_path: Path) -> None:
    shifts = "".join(
        f"  - id: windy-{by}\n    weigh: {by}\n    when:\n      - told: {{condition: when-windy}}\n    because: Wind.\n"
        for by in ("stronger", "weaker")
    )
    folder = write_knowledge(tmp_path, spoilt(DRIVE, "rules:\n", f"rules:\n{shifts}"))

    assert any(
        it.endswith("windy-stronger and windy-weaker shift opposite ways on the same facts; keep one of them")
        for it in faults_in(folder)
    )


def test_two_conditions_on_one_fact_are_told(tmp_path: Path) -> None:
    twice = "      - drive: {part: $d, smoke: yes}\n      - drive: {part: $d, paired: yes}\n"
    folder = write_knowledge(tmp_path, spoilt(DRIVE, "    because: A failed", f"{twice}    because: A failed"))

    assert (
        f"{DRIVE}:17:9: rules.0.when.2: dead asks twice for the same drive fact; put both conditions in one line"
        in [it for it in faults_in(folder) if "asks twice" in it]
    )


def test_a_text_above_reading_grade_nine_is_told(tmp_path: Path) -> None:
    hard = (
        "Electromechanical deterioration, attributable predominantly to inadequate environmental encapsulation,"
        " necessitates comprehensive disassembly and subsequently individual component verification."
    )
    faults = faults_in(write_knowledge(tmp_path, spoilt(DRIVE, "It has power.", hard)))

    assert any(it.startswith(f"{DRIVE}:4:8: means: reads at grade ") for it in faults)


def test_an_id_that_was_replaced_is_told_with_the_new_one(tmp_path: Path) -> None:
    retired = "- id: volts-motor\n  status: retired\n  replaced-by: volts-drive\n"
    spoiled = spoilt(DRIVE, "check: volts-drive", "check: volts-motor")
    folder = write_knowledge(tmp_path, {"checks/operate.yaml": retired, **spoiled})

    assert f"{DRIVE}:18:12: checks.0.check: the check volts-motor is retired; write volts-drive" in faults_in(folder)


def test_faults_come_in_the_order_of_files_and_lines(tmp_path: Path) -> None:
    worse = CORE_OPEN.replace("because: The broken", "because: Simply the").replace("name: A broken", "name: Simply a")
    faults = faults_in(write_knowledge(tmp_path, {CORE: worse}))

    assert [it.split(":")[1] for it in faults] == ["3", "24"]
