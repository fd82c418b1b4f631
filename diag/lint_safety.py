"""Find steps that can hurt somebody and do not name the caution for it, and steps that defeat a protection."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from diag.user_texts import user_texts
from knowledge.entries import Cause, Check
from knowledge.faults import Fault
from knowledge.load import Knowledge

DEFEATS = re.compile(r"\b(bridg|bypass|defeat|overrid|overrul|silenc|link out|strap)\w*", re.IGNORECASE)
PROTECTS = re.compile(
    r"\b(interlock|detector|call point|fuse|restrictor|cut-out|cut-off|overload|lockout|guard|end switch|safety)s?\b",
    re.IGNORECASE,
)
FORBIDS = re.compile(r"\b(never|not|no|nor|without|against|nobody|instead of)\b", re.IGNORECASE)
SENTENCE = re.compile(r"[^.?]+[.?]?")
LIVE_UNITS = frozenset({"V", "mV", "A", "mA"})
DEAD_UNITS = frozenset({"ohm", "Mohm"})
ROOF_INPUTS = frozenset({"rain", "wind", "unknown"})
FIRE_INPUTS = frozenset({"detector-line", "call-point"})
FEEDS_OPENINGS = frozenset({"controller", "output", "cable", "junction", "drive", "opening"})
ISOLATES = re.compile(r"\bisolat\w*|\bprove\w*\b[^.]*\bdead\b|\bdetach", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Danger:
    """A sign of danger in a check or in the text of a step, and the cautions of which one must be named."""

    sign: str
    cautions: tuple[str, ...]
    text: re.Pattern[str] | None = None
    check: Callable[[Check], bool] | None = None
    cause: Callable[[Cause], bool] | None = None


def _words(pattern: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{pattern})\b", re.IGNORECASE)


def _measures_live(check: Check) -> bool:
    return check.reading is not None and check.reading.unit in LIVE_UNITS


def _measures_dead(check: Check) -> bool:
    return check.kind == "measure" and check.reading is not None and check.reading.unit in DEAD_UNITS


def _moves(check: Check) -> bool:
    return check.kind == "operate" and check.at not in ("fan", "controller")


def _at_opening(check: Check) -> bool:
    from_floor = check.kind == "ask" or (check.kind == "operate" and check.competence == "ordinary")
    return check.stand == "part" and check.at in ("drive", "opening", "cable", "junction") and not from_floor


def _on_roof(check: Check) -> bool:
    kinds = set(check.where.get("kind", ())) - {"unknown"}
    return check.stand == "part" and bool(kinds) and kinds <= ROOF_INPUTS and check.competence != "ordinary"


def _at_fire_line(check: Check) -> bool:
    kinds = set(check.where.get("kind", ())) - {"unknown"}
    return check.competence == "fire" or (check.kind != "ask" and bool(kinds) and kinds <= FIRE_INPUTS)


def _check_isolates(check: Check) -> bool:
    return check.at in FEEDS_OPENINGS and ISOLATES.search(check.how) is not None


def _repair_isolates(cause: Cause) -> bool:
    return cause.sits_at in FEEDS_OPENINGS and ISOLATES.search(" ".join(cause.remedy)) is not None


DANGERS: tuple[Danger, ...] = (
    Danger("it measures a live circuit", ("live-test", "electric-shock"), check=_measures_live),
    Danger("it measures a circuit that must be dead", ("electric-shock", "live-test"), check=_measures_dead),
    Danger(
        "it asks for dead working",
        ("electric-shock",),
        _words(r"prove(?:d|s)? (?:[\w' ]+ )?dead|mains terminals"),
    ),
    Danger("it tests insulation", ("insulation-test",), _words("insulation test(?:er)?|(?:250|500|1000) V DC")),
    Danger("it makes something move", ("crush",), check=_moves),
    Danger("it makes something move", ("crush",), _words("reference run|run discovery")),
    Danger("it is made at an opening", ("height",), check=_at_opening),
    Danger("it is made on a roof", ("height",), _words("(?<!not go )on (?:a|the) roof"), check=_on_roof),
    Danger("it is made on a roof", ("fragile-roof",), _words("(?<!not go )on (?:a|the) roof"), check=_on_roof),
    Danger("it is made on a roof", ("weather",), _words("(?<!not go )on (?:a|the) roof"), check=_on_roof),
    Danger(
        "it frees the sash from its drive", ("falling-sash",), _words("detach|support the sash|unhook|unpin the drive")
    ),
    Danger(
        "it works on a battery",
        ("battery",),
        _words(r"(?:renew|join|disconnect|load-test|unplug|lift)[\w ]* batter(?:y|ies)"),
    ),
    Danger("stored energy is in it", ("stored-energy",), _words("capacitors?|spring-return")),
    Danger("a fan can start", ("rotating-fan",), check=lambda it: it.at == "fan" and it.kind in ("operate", "measure")),
    Danger("a fan can start", ("rotating-fan",), cause=lambda it: it.sits_at == "fan"),
    Danger("the smoke function is concerned", ("life-safety",), _words("responsible person"), _at_fire_line),
    Danger(
        "the smoke function is concerned", ("life-safety",), cause=lambda it: it.remedy_competence == "fire"
    ),
    Danger(
        "it takes openings out of use that may be smoke openings",
        ("life-safety",),
        check=_check_isolates,
        cause=_repair_isolates,
    ),
    Danger("it changes a setting", ("remote-change",), _words("present setting|note the present|set it back")),
)  # fmt: skip
"""Common practice, no source; the cautions name theirs."""


def lint_safety(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield cautions that are missing where there is danger, and sentences that tell to defeat a protection."""
    for check in knowledge.checks.values():
        told = " ".join((check.name, check.question, check.how, *check.tools))
        signs = [it for it in DANGERS if (it.check and it.check(check)) or (it.text and it.text.search(told))]
        yield from _missing(knowledge, "Check", check.id, "hazards", check.hazards, signs)
    for cause in knowledge.causes.values():
        told = " ".join((*cause.remedy, *cause.proof))
        signs = [it for it in DANGERS if (it.cause and it.cause(cause)) or (it.text and it.text.search(told))]
        yield from _missing(knowledge, "Cause", cause.id, "cautions", cause.cautions, signs)
    yield from _defeated(knowledge)


def _missing(
    knowledge: Knowledge, kind: str, entry: str, field: str, named: Sequence[str], signs: Sequence[Danger]
) -> Iterator[Fault]:
    located = knowledge.files[f"{kind}:{entry}"]
    lacking = {it.cautions: it.sign for it in signs if not set(it.cautions) & set(named)}
    for cautions, sign in lacking.items():
        yield located.fault((field,), f"{entry} names no caution although {sign}; add {' or '.join(cautions)}")


def _defeated(knowledge: Knowledge) -> Iterator[Fault]:
    for it in user_texts(knowledge):
        if it.path[0] not in ("how", "remedy", "proof") and it.path[-1] != "advise":
            continue
        for sentence in SENTENCE.findall(it.text):
            if DEFEATS.search(sentence) and PROTECTS.search(sentence) and not FORBIDS.search(sentence):
                message = f"“{sentence.strip()}” tells to defeat a protection; say how to work with it in force"
                yield knowledge.files[f"{it.kind}:{it.entry}"].fault(it.path, message)
