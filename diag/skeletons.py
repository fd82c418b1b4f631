"""Write the start of a new entry with a remark at every line that its author decides."""

from __future__ import annotations

from pathlib import PurePosixPath
from typing import Any, get_args

from diag.lint_texts import MARK
from diag.part_joins import join_of
from knowledge.entries import Check, Competence, FailureMode, Likelihood, PartKind, Shift, Symptom

PHRASES = 6
"""A symptom needs at least so many ways to say it."""


def cause_skeleton(
    cause: str, family: str, symptom: Symptom | None = None, check: Check | None = None, sits_at: str | None = None
) -> str:
    """Return the file of a new cause, with one rule, one check and two cases to start from.

    It sits at the part with the symptom unless another kind of part is named; raise NotJoined when no single fact
    leads there.
    """
    kind = symptom.about[0] if symptom else "drive"
    symptom_id = symptom.id if symptom else "fill-symptom-id"
    noticed = f"${kind[0]}"
    variable, rule_join, case_join = _joined(kind, sits_at or kind, noticed)
    return f"""\
# A new cause. Write in place of every {MARK}, look at every remark, then take the remarks out.
# Then run: ventsleuth knowledge check
id: {cause}
family: {family}
name: {MARK} in a few words, as a technician would say it
means: >-
  {MARK} what is wrong and what it does. One idea a sentence, two or three sentences.
# One of: {_choices(FailureMode)}
failure-mode: fail-to-function
# The kind of part that has the fault: {_choices(PartKind)}
sits-at: {sits_at or kind}
base-rate:
  # In how many of 1,000 call-outs is this found? Compare: ventsleuth knowledge rates
  # Below 2 it takes more than the decisive check to make it lead.
  per_thousand: 1
  because: {MARK} why so often or so seldom
rules:
  # When is it suspected? Facts, fields and words: facts.yaml. More kinds of rule: README.md.
  - id: suspected
    # How often a part with this cause shows the symptom: {_choices(Likelihood)}
    suspect: often
    at: {variable}
    when:
      - symptom: {{symptom: {symptom_id}, part: {noticed}, part_kind: {kind}}}
{rule_join}    because: {MARK} one sentence a technician could read aloud. {variable} shows as the part's name.
  # What makes it more or less likely: {_choices(Shift)}
  - id: more-likely-suddenly
    weigh: stronger
    when:
      - told: {{condition: suddenly}}
    because: {MARK} why that speaks for it
checks:
  # What is seen when this is the fault. Name every check whose outcome it changes, mostly six to twelve.
  # Look first at volts-output, volts-drive, look-drive-behaviour and the ask- checks. One left out counts as good.
{_evidence(check)}
remedy:
  - {MARK} the first step. Begin with making it safe.
remedy-minutes: 30
# Who may do it: {_choices(Competence)}
remedy-competence: skilled
proof:
  - {MARK} how it is shown that the repair holds
# Ids from cautions.yaml, for the remedy.
cautions: [electric-shock, crush, height]
# Behind the numbers above: a standard, "common practice, no source" or "judgement".
source: common practice, no source
cases:
  # Every rule stands under fires in one case and under not-fires in another. To leave it out does not count.
  - name: it is suspected
    given:
      - symptom: {{symptom: {symptom_id}, part: x1, part_kind: {kind}}}
{case_join}    fires: [suspected]
    not-fires: [more-likely-suddenly]
  - name: it is not suspected without the symptom
    given:
      - told: {{condition: suddenly}}
    fires: [more-likely-suddenly]
    not-fires: [suspected]
"""


def _joined(kind: str, sits_at: str, noticed: str) -> tuple[str, str, str]:
    """Return the variable of the part with the fault, and the lines that join it in a rule and in a case."""
    if sits_at == kind:
        return noticed, "", ""
    there = f"${sits_at[0]}" if sits_at[0] != kind[0] else f"${sits_at[:2]}"
    remark = f"      # {there} is the {sits_at} joined to {noticed}, the {kind} with the symptom.\n"
    in_rule, in_case = join_of(kind, sits_at, noticed, there), join_of(kind, sits_at, "x1", "y1")
    return there, f"{remark}      - {in_rule}\n", f"      - {in_case}\n"


def _evidence(check: Check | None) -> str:
    if check is None:
        names, outcomes = ("fill-check-id", "{fill-outcome-id: usually, another-outcome-id: seldom}")
        healthy = "Outcomes you do not name count as never."
    else:
        names = check.id
        outcomes = "{" + ", ".join(f"{it.id}: {_unlike(it.healthy)}" for it in check.outcomes) + "}"
        healthy = "Where nothing is wrong: " + ", ".join(f"{it.id} {it.healthy}" for it in check.outcomes)
    return f"""\
  - check: {names}
    # {healthy}
    outcomes: {outcomes}
    because: {MARK} why this fault shows that"""


def _unlike(healthy: str) -> str:
    """Return a word to start from: what a healthy part seldom shows is what a fault may show."""
    return "usually" if healthy in ("never", "seldom") else "seldom"


def symptom_skeleton(symptom: str, family: str) -> str:
    """Return a new item for a file of symptoms; a rule of a cause must then suspect something of it."""
    phrases = "\n".join(f"    - {MARK} way {number} to say it" for number in range(1, PHRASES + 1))
    return f"""\

# A new symptom. Write in place of every {MARK}. Then let a rule of at least one cause ask for it.
- id: {symptom}
  family: {family}
  name: {MARK} in a few words, as a caretaker would say it
  # Kinds of part it can be about, most usual first: {_choices(PartKind)}
  about: [drive]
  means: {MARK} what is seen, and what still works. Two short sentences.
  # As technicians, caretakers and callers say it, short forms and all. Six at least, twelve are better.
  phrases:
{phrases}
  looks-like:
    # Another symptom that is taken for it, and how to tell them apart.
    - symptom: intermittent
      tell-apart: {MARK} what to try or look at
  # Normal behaviour that looks like it; take the lines out when there is none.
  normal:
    - {MARK} when nothing is wrong
  cautions: [crush]
"""


def check_skeleton(check: str, kind: str) -> str:
    """Return a new item for a file of checks; at least one cause must then name it."""
    return f"""\
# A new check. Write in place of every {MARK}. Then name it under checks of at least one cause.
- id: {check}
  kind: {kind}
  name: {MARK} in a few words
  question: {MARK} one question that the outcomes below answer?
  how: >-
    {MARK} step by step, one step a sentence. Make it safe first.
  # The kind of part it is made at: {_choices(PartKind)}
  at: drive
  # Where the person stands: part, controller or anywhere.
  stand: part
  minutes: 5
  tools: [multimeter]
  # Who may do it: {_choices(Competence)}
  competence: skilled
  # Cautions shown before it: ids from cautions.yaml.
  hazards: [live-test, electric-shock, crush, height]
  # Two to six outcomes. healthy says how often each is seen where nothing here is wrong:
  # never, if only a fault can show it. A decisive check stands on that.
  outcomes:
    - id: as-it-should-be
      label: {MARK} a few words for the button
      means: {MARK} what follows from it.
      healthy: usually
    - id: not-so
      label: {MARK} a few words for the button
      means: {MARK} what follows from it.
      healthy: never
  expect-text: {MARK} what a healthy part shows
  source: common practice, no source
"""


def skeleton_path(kind: str, entry: str, group: str) -> PurePosixPath:
    """Return the file, inside the knowledge folder, that a new entry belongs in."""
    if kind == "cause":
        return PurePosixPath("causes", group, f"{entry}.yaml")
    return PurePosixPath(f"{kind}s", f"{group}.yaml")


def choices(annotation: Any) -> tuple[str, ...]:
    """Return the words that a field of this type may hold."""
    return tuple(str(it) for it in get_args(annotation))


def _choices(annotation: Any) -> str:
    return ", ".join(choices(annotation))
