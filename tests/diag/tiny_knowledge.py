"""A knowledge base small enough to read at a glance, without faults, that tests write and then spoil."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path

from diag.lint import check_knowledge
from knowledge.load import FOLDER, BadKnowledge, load_knowledge

SHARED = ("facts.yaml", "words.yaml", "cautions.yaml", "conditions.yaml", "version.txt", "wording.yaml")

SYMPTOMS = """\
- id: drive-dead
  family: movement
  name: One drive does not move
  about: [drive]
  means: One drive does not move. Others nearby do.
  phrases: [one drive is dead, one motor does nothing, this vent stays put, no life in it, it is stuck, only one is out]
  cautions: [crush]
"""

CHECKS = """\
- id: volts-drive
  kind: measure
  name: Voltage at the drive
  question: What is the voltage at the drive?
  how: Stand clear. Put the probes on the two cores. Have it commanded and read.
  at: drive
  stand: part
  minutes: 5
  competence: skilled
  hazards: [live-test, electric-shock, crush, height]
  outcomes:
    - {id: none, label: None, means: No power gets here., healthy: never}
    - {id: normal, label: Normal, means: The drive has power., healthy: usually}
  expect-text: About the voltage of the supply
- id: ohms-core
  kind: measure
  name: Resistance of a core
  question: Does the core read through?
  how: Isolate mains and battery and prove dead. Read from end to end.
  at: cable
  stand: part
  minutes: 10
  competence: skilled
  hazards: [electric-shock, height, life-safety]
  outcomes:
    - {id: open, label: Open, means: The core is broken., healthy: never}
    - {id: through, label: Reads through, means: The core is whole., healthy: always}
  expect-text: It reads through
- id: current-drive
  kind: measure
  name: Current of the drive
  question: Does the drive draw current?
  how: Stand clear. Clamp one core. Have it commanded and read.
  at: drive
  stand: part
  minutes: 5
  competence: skilled
  hazards: [live-test, crush, height]
  outcomes:
    - {id: none, label: None, means: Nothing flows., healthy: never}
    - {id: normal, label: Normal, means: The motor works., healthy: usually}
  expect-text: About the current on the plate
"""

CORE_OPEN = """\
id: core-open
family: wiring
name: A broken core
means: A core of the cable is broken. The drive gets no power.
failure-mode: open-circuit
sits-at: cable
base-rate:
  per_thousand: 18
  because: Cores break at terminals.
rules:
  - id: own-cable
    suspect: usually
    at: $c
    when:
      - symptom: {symptom: drive-dead, part: $d, part_kind: drive}
      - feeds: {consumer: $d, source: $c, source_kind: cable}
    because: $c feeds $d, so a break in it stops $d.
checks:
  - check: volts-drive
    outcomes: {none: usually, normal: seldom}
    because: A break leaves no voltage.
  - check: ohms-core
    outcomes: {open: always}
    because: The broken core reads open.
    decisive: true
remedy:
  - Prove the circuit dead, battery included. Renew the cable.
remedy-minutes: 30
proof:
  - The core reads through.
cautions: [electric-shock, height, life-safety]
cases:
  - name: it is suspected
    given:
      - symptom: {symptom: drive-dead, part: d1, part_kind: drive}
      - feeds: {source: c1, source_kind: cable, consumer: d1, consumer_kind: drive}
    fires: [own-cable]
  - name: another cable is not
    given:
      - symptom: {symptom: drive-dead, part: d1, part_kind: drive}
      - feeds: {source: c1, source_kind: cable, consumer: d2, consumer_kind: drive}
    not-fires: [own-cable]
"""

MOTOR = """\
id: drive-motor-failed
family: drive
name: The motor has failed
means: The motor does not turn. It has power.
failure-mode: fail-to-function
sits-at: drive
base-rate:
  per_thousand: 20
  because: Motors wear out.
rules:
  - id: dead
    suspect: often
    at: $d
    when:
      - symptom: {symptom: drive-dead, part: $d, part_kind: drive}
    because: A failed motor leaves $d still.
checks:
  - check: volts-drive
    outcomes: {normal: always}
    because: The voltage is there.
  - check: current-drive
    outcomes: {none: always}
    because: No current flows.
remedy:
  - Isolate, support the sash, and renew the drive.
remedy-minutes: 60
proof:
  - It moves both ways.
cautions: [electric-shock, falling-sash, crush, height, life-safety]
cases:
  - name: it is suspected
    given:
      - symptom: {symptom: drive-dead, part: d1, part_kind: drive}
    fires: [dead]
  - name: nothing is noticed
    given:
      - told: {condition: suddenly}
    not-fires: [dead]
"""

FILES: Mapping[str, str] = {
    "symptoms/movement.yaml": SYMPTOMS,
    "checks/measure.yaml": CHECKS,
    "causes/wiring/core-open.yaml": CORE_OPEN,
    "causes/drive/drive-motor-failed.yaml": MOTOR,
}


def write_knowledge(folder: Path, changed: Mapping[str, str] | None = None) -> Path:
    """Write the small knowledge base, with these files in place of its own or beside them, and return its folder."""
    for name in SHARED:
        shutil.copy(FOLDER / name, folder / name)
    for name, text in {**FILES, **(changed or {})}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def spoilt(name: str, found: str, written: str) -> dict[str, str]:
    """Return a file of the small knowledge base with one text in place of another that it holds once."""
    assert FILES[name].count(found) == 1, f"{found!r} is {FILES[name].count(found)} times in {name}"
    return {name: FILES[name].replace(found, written)}


def faults_in(folder: Path) -> list[str]:
    """Return every fault of a folder, of shape or of the whole, as it is printed."""
    try:
        return [str(it) for it in check_knowledge(load_knowledge(folder))]
    except BadKnowledge as error:
        return [str(it) for it in error.faults]
