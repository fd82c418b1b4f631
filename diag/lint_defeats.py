"""Find sentences that tell somebody to bridge, wedge, short out or otherwise defeat what protects people."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diag.user_texts import UserText, user_texts
from knowledge.faults import Fault
from knowledge.load import Knowledge

TOLD = frozenset({"how", "remedy", "proof", "advise", "means", "tell-apart", "normal"})
"""Fields of which a sentence may be an instruction."""

THING = r"(?:it|its|the|them|this|that|these|those|a|an|any|each|both|every|one|two|all)"
OUT = r"(?: [\w'-]+){0,5}? "
ALWAYS = re.compile(
    rf"\b(?:bridg(?:e|es|ed|ing)|wedg(?:ed|ing)|wedge (?:{THING}|open|shut|down|in)\b|jumper(?:ed|ing)?"
    rf"|short(?:s|ed|ing)?{OUT}out|link(?:s|ed|ing)?{OUT}out"
    rf"|(?:tap|ti|ty|jamm?)(?:e|es|ed|ing|s)?{OUT}down)\b",
    re.IGNORECASE,
)
"""What defeats a protection wherever it is done."""

SOMETIMES = re.compile(
    r"\b(?:bypass|defeat|overrid|overrul|silenc|strap|disabl|jumper|wedg|tap(?:e|ed|ing)\b"
    r"|short(?:ing)? (?:the|its|a)\b)\w*",
    re.IGNORECASE,
)
PROTECTS = re.compile(
    r"\b(?:interlock|detector|call point|fuse|restrictor|cut-out|cut-off|overload|lockout|guard|end switch|safety"
    r"|limit switch|emergency stop|tamper|maintenance key|earth-leakage)(?:s|es)?\b",
    re.IGNORECASE,
)
FORBIDS = re.compile(r"\b(?:never|not|no|nor|without|against|nobody|instead of)\b", re.IGNORECASE)
FORBIDS_FIRMLY = re.compile(r"\b(?:never|do not|must not|nor|nobody may)\b", re.IGNORECASE)
SEEKS = re.compile(
    r"\b(?:(?:whether|look for|nobody|nothing)\b[^,;:]*\w+ed"
    r"|(?:take (?:out|off|away)|remove|look for) (?:a|an|any|the|every) (?:old |forgotten )?bridge)$",
    re.IGNORECASE,
)
"""What leads up to a bridge that somebody is told to find or to take away."""

TURNS = re.compile(r"[;:]|\b(?:but|then|instead|until|unless|except|and)\b", re.IGNORECASE)
"""After one of these the sentence says something new, which an earlier “never” does not forbid."""

SENTENCE = re.compile(r"[^.?]+[.?]?")


def lint_defeats(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield every sentence that tells to defeat a protection; to forbid it, “never” or “do not” stands before it."""
    for it in user_texts(knowledge):
        if not _tells(it):
            continue
        for sentence in SENTENCE.findall(it.text):
            if defeats(sentence):
                message = f"“{sentence.strip()}” tells to defeat a protection; say how to work with it in force"
                yield knowledge.files[f"{it.kind}:{it.entry}"].fault(it.path, f"{message}, or start with Never")


def _tells(it: UserText) -> bool:
    """Return whether a text may instruct; what a cause or a symptom means only describes."""
    field = next(step for step in reversed(it.path) if isinstance(step, str))
    return field in TOLD and not (field == "means" and it.kind != "Check")


def defeats(sentence: str) -> bool:
    """Return whether one sentence tells to defeat a protection and does not forbid it."""
    found = [it for it in ALWAYS.finditer(sentence) if not SEEKS.search(sentence[: it.end()])]
    if any(not _is_forbidden(sentence, it.start()) for it in found):
        return True
    return bool(SOMETIMES.search(sentence) and PROTECTS.search(sentence) and not FORBIDS.search(sentence))


def _is_forbidden(sentence: str, start: int) -> bool:
    """Return whether the words that forbid what starts there still hold: a list they open must be joined by “or”."""
    before = list(FORBIDS_FIRMLY.finditer(sentence, 0, start))
    if not before:
        return False
    after = sentence[before[-1].end() :]
    between = sentence[before[-1].end() : start]
    if TURNS.search(between):
        return False
    return "," not in between or re.search(r"\b(?:or|nor)\b", after) is not None
