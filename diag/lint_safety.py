"""Find steps that can hurt somebody and do not name the caution for it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from knowledge.entries import Cause, Check
from knowledge.faults import Fault
from knowledge.load import Knowledge

LIVE_UNITS = frozenset({"V", "mV", "A", "mA"})
DEAD_UNITS = frozenset({"ohm", "Mohm"})
ROOF_INPUTS = frozenset({"rain", "wind", "unknown"})
FIRE_INPUTS = frozenset({"detector-line", "call-point"})
FEEDS_OPENINGS = frozenset({"controller", "output", "cable", "junction", "drive", "opening"})
ISOLATES = re.compile(r"\bisolat\w*|\bprove\w*\b[^.]*\bdead\b|\bdetach", re.IGNORECASE)

ROOF_CAUTIONS = ("height", "fragile-roof", "weather")
ROOF_VENT = re.compile(r"\b(?:roof vents?|rooflights?|walkway)\b", re.IGNORECASE)


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


def _where_it_moves(check: Check) -> bool:
    return check.stand == "part" and check.at == "opening" and check.kind != "ask"


def _at_roof_vent(check: Check) -> bool:
    return _where_it_moves(check) and "roof-vent" in check.where.get("kind", ())


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
    Danger("it is made where an opening can move", ("crush",), check=_where_it_moves),
    Danger("it works where an opening can move", ("crush",), cause=lambda it: it.sits_at == "opening"),
    *(Danger("it is made at a roof vent", (it,), ROOF_VENT, _at_roof_vent) for it in ROOF_CAUTIONS),
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
    """Yield cautions that are missing where there is danger."""
    for check in knowledge.checks.values():
        told = " ".join((check.name, check.question, check.how, *check.tools))
        signs = [it for it in DANGERS if (it.check and it.check(check)) or (it.text and it.text.search(told))]
        yield from _missing(knowledge, "Check", check.id, "hazards", check.hazards, signs)
    for cause in knowledge.causes.values():
        told = ". ".join((cause.name, *cause.remedy, *cause.proof))
        signs = [it for it in DANGERS if (it.cause and it.cause(cause)) or (it.text and it.text.search(told))]
        yield from _missing(knowledge, "Cause", cause.id, "cautions", cause.cautions, signs)


def _missing(
    knowledge: Knowledge, kind: str, entry: str, field: str, named: Sequence[str], signs: Sequence[Danger]
) -> Iterator[Fault]:
    located = knowledge.files[f"{kind}:{entry}"]
    lacking = {it.cautions: it.sign for it in signs if not set(it.cautions) & set(named)}
    for cautions, sign in lacking.items():
        yield located.fault((field,), f"{entry} names no caution although {sign}; add {' or '.join(cautions)}")
