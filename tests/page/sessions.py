"""Random sessions answered by the service's own reasoning, for the phone's copy of it to be held to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random
from typing import Any

from api.pack import case_pack, site_pack
from api.reports import report
from api.runs import explain_away
from diag.crew import Crew
from diag.diagnose import answer
from diag.errors import DiagError
from diag.observations import THINK_SO, Case, Diagnosis, Event, Finding, NextCheck, Observed
from diag.reasoner import PreparedSite, Reasoner
from diag.reasoning import open_case
from diag.weighing import weigh

AT = datetime(2026, 5, 4, 10, 17)
MOST_ANSWERS = 4
READINGS = (
    "0",
    "0.2 V",
    "22,8",
    "23.6 V",
    "1k2",
    "4.7",
    "40 ohm",
    "9000 V",
    "0l",
    "2 Mohm",
    "12 s",
    "3",
    "0,4 A",
    "about 21",
)

Json = dict[str, Any]


@dataclass(frozen=True)
class Drawn:
    """What a session starts from: a case, and whether it is packed by itself or with its site."""

    site: str
    case: Case
    is_packed_alone: bool


def draw_sessions(reasoner: Reasoner, sites: Mapping[str, PreparedSite], count: int, seed: int) -> Iterator[Json]:
    """Yield sessions: the question that opens each, and after every answer what the service says."""
    random = Random(seed)
    for _ in range(count):
        drawn = draw_case(reasoner, sites, random)
        prepared = sites[drawn.site]
        pack = case_pack(reasoner, open_case(reasoner, prepared, drawn.case)) if drawn.is_packed_alone else None
        steps = list(_steps(reasoner, prepared, drawn.case, random))
        yield {"site": drawn.site, "pack": pack, "steps": steps}


def packs_of(reasoner: Reasoner, sites: Mapping[str, PreparedSite]) -> Json:
    """Return the packs of the sites as a phone keeps them."""
    return {name: site_pack(reasoner, prepared, AT) for name, prepared in sites.items()}


def draw_case(reasoner: Reasoner, sites: Mapping[str, PreparedSite], random: Random) -> Drawn:
    """Return a case on one of the sites; one that is packed alone may have two symptoms and circumstances."""
    name = random.choice(sorted(sites))
    alone = random.random() < 0.3
    symptoms = tuple(_symptom(reasoner, sites[name], random) for _ in range(random.choice((1, 2)) if alone else 1))
    told = frozenset(random.sample(sorted(reasoner.knowledge.conditions), 2)) if alone else frozenset()
    minutes = random.choice((0, 5, 12, 30, 31, 45, 60, 61, 90, 300))
    events = (Event(AT - timedelta(minutes=minutes), "manual"),) if random.random() < 0.4 else ()
    remote, crew = random.random() < 0.1, _some_crew(random)
    case = Case(tuple(dict.fromkeys(symptoms)), told, events=events, at=AT, remote=remote, crew=crew)
    return Drawn(name, case, alone)


def _some_crew(random: Random) -> Crew:
    if random.random() < 0.8:
        return Crew()
    return Crew(
        frozenset(random.choice((("ordinary",), ("ordinary", "instructed"), ("ordinary", "instructed", "skilled")))),
        is_dark=random.random() < 0.5,
        without=frozenset(random.choice(((), ("multimeter",), ("access equipment", "drawing")))),
        alone=random.random() < 0.5,
    )


def _symptom(reasoner: Reasoner, prepared: PreparedSite, random: Random) -> Observed:
    symptom = reasoner.knowledge.symptoms[random.choice(sorted(reasoner.knowledge.symptoms))]
    fitting = sorted(part for part, kind in prepared.topology.kinds.items() if kind in symptom.about)
    return Observed(symptom.id, random.choice(fitting) if fitting and random.random() < 0.6 else None)


def _steps(reasoner: Reasoner, prepared: PreparedSite, case: Case, random: Random) -> Iterator[Json]:
    for _ in range(random.randint(1, MOST_ANSWERS) + 1):
        step, said = _said(reasoner, prepared, case, random)
        yield step
        if said is None:  # a reading that was refused ends the session; the phone must refuse it too
            return
        case = _next_case(case, said, random)


def _said(reasoner: Reasoner, prepared: PreparedSite, case: Case, random: Random) -> tuple[Json, Diagnosis | None]:
    asked = _question(case, random.choice(sorted(reasoner.knowledge.causes)))
    reasoning = open_case(reasoner, prepared, case)
    try:
        diagnosis = answer(reasoner, reasoning, case.findings)
    except DiagError as refused:
        return {"question": asked, "refused": str(refused)}, None
    weights = weigh(reasoner, reasoning, case.findings).probabilities
    why_not = explain_away(reasoner, reasoning, asked["why_not"])
    shown = report(reasoner.knowledge, case, diagnosis, why_not).model_dump(mode="json")
    return {"question": asked, "probabilities": weights.tolist(), "answer": shown}, diagnosis


def _question(case: Case, why_not: str) -> Json:
    return {
        "symptoms": [{"id": it.symptom, "part": it.part} for it in case.symptoms],
        "told": sorted(case.told),
        "events": [{"at": f"{it.at:%Y-%m-%dT%H:%M}", "command": it.command, "part": it.part} for it in case.events],
        "findings": [
            {"check": it.check, "part": it.part, "outcome": it.outcome, "certainty": _certainty(it)}
            for it in case.findings
        ],
        "repaired": [{"cause": cause, "part": part} for cause, part in case.repaired],
        "at": f"{case.at:%Y-%m-%dT%H:%M}",
        "why_not": [why_not],
        "remote": case.remote,
        "crew": _crew(case.crew),
    }


def _certainty(finding: Finding) -> str:
    return "think-so" if finding.certainty == THINK_SO else "sure"


def _crew(crew: Crew) -> Json | None:
    if crew == Crew():
        return None
    return {
        "competences": sorted(crew.competences),
        "alone": crew.alone,
        "without": sorted(crew.without),
        "dark": crew.is_dark,
    }


def _next_case(case: Case, said: Diagnosis, random: Random) -> Case:
    if said.next and random.random() < 0.85:
        check = random.choice(said.next)
        certainty = random.choice((1.0, 1.0, 1.0, THINK_SO))
        found = Finding(check.check, _outcome(check, random), check.part, certainty)
        return replace(case, findings=(*case.findings, found))
    if case.findings and random.random() < 0.5:  # looked again, and saw the same or could not
        again = replace(random.choice(case.findings), outcome=random.choice(("not-sure", "cannot")))
        return replace(case, findings=(*case.findings, again))
    leader = said.causes[0]
    return replace(case, repaired=(*case.repaired, (leader.cause, leader.part)))


def _outcome(check: NextCheck, random: Random) -> str:
    outcomes = [it.id for it in check.outcomes]
    always = ["cannot", "not-sure"]
    kinds = [outcomes, outcomes, outcomes, always, READINGS if check.unit else outcomes]
    return random.choice(random.choice(kinds))
