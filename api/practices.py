"""Practice call-outs over HTTP: begin one, take steps, and read the debrief."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from datetime import date
from functools import partial
from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, HTTPException, Path

from api.cases.ids import FORM, new_id
from api.dependencies import Service, ServiceDep
from api.practices_shapes import (
    CauseOptionOut,
    CheckOptionOut,
    DebriefOut,
    NeedlessOut,
    PracticeIn,
    PracticeOut,
    PrecautionOut,
    SideBySideOut,
    StepIn,
    StepTakenOut,
    UnsafeOut,
)
from api.quiz_store import QuizStore, sittings_of
from api.quizzes import PROBLEM, QuizStoreDep, kept_class, kept_quiz
from api.quizzes_views import answered
from api.strict_query import refuse_unknown_query
from api.who import needs
from diag.reasoner import PreparedSite, prepare_site
from diag.site_file import site_from_data
from diag.training.narrowing import part_for
from diag.training.practice.choosing import choose_practice
from diag.training.practice.run import Practice, PracticeRequest, open_options, replayed
from diag.training.practice.score import debrief
from diag.training.practice.steps import PRECAUTIONS, Step, Taken
from diag.training.results import result_of, weakest_topics

EXAMPLES: dict[str, Any] = {"any": {"summary": "Any fault of a stored site", "value": {"site": "medium", "seed": 3}}}
STEP_EXAMPLES: dict[str, Any] = {
    "check": {
        "summary": "A check, with people kept clear",
        "value": {"kind": "check", "what": "volts-drive", "part": "d1", "precautions": ["clear-of-edges"]},
    }
}
PracticeId = Annotated[str, Path(pattern=FORM, min_length=26, max_length=26)]

router = APIRouter(
    prefix="/v1/practices",
    tags=["training"],
    responses=PROBLEM,
    dependencies=[Depends(refuse_unknown_query), Depends(needs("training"))],
)


@router.post("", status_code=201)
def begin_call_out(
    asked: Annotated[PracticeIn, Body(openapi_examples=EXAMPLES)], service: ServiceDep, store: QuizStoreDep
) -> PracticeOut:
    """Hide a fault in a virtual copy of a site and tell what is reported. The same seed hides the same fault."""
    site, today = part_for(service.shelf.site(asked.site), asked.seed), service.now().date()
    prepared = service.desk.prepared(site, today)
    topics = tuple(asked.topics) or _weak_topics(service, store, asked.weak_in)
    request = choose_practice(service.desk.reasoner, prepared, asked.seed, topics, asked.language)
    body = {
        "site": site.model_dump(mode="json", by_alias=True, exclude_unset=True),
        "today": today.isoformat(),
        "request": asdict(request),
        "steps": [],
    }
    practice_id = new_id()
    store.put_practice(practice_id, asked.site, body)
    return read_call_out(practice_id, service, store)


def _weak_topics(service: Service, store: QuizStore, code: str | None) -> tuple[str, ...]:
    if code is None:
        return ()
    found = kept_class(store, code)
    quiz = kept_quiz(store, found.quiz)
    sittings = sittings_of(service.store.database, [found.code])
    return weakest_topics([result_of(answered(quiz, it), it.answers) for it in sittings if it.answers])


@router.get("/{practice_id}")
def read_call_out(practice_id: PracticeId, service: ServiceDep, store: QuizStoreDep) -> PracticeOut:
    """Return a call-out as it stands: what is known, and what can be done."""
    _, body = _kept(store, practice_id)
    practice, _, _ = _replay(service, body)
    return _described(practice_id, practice)


@router.post("/{practice_id}/steps")
def take_step(
    practice_id: PracticeId,
    asked: Annotated[StepIn, Body(openapi_examples=STEP_EXAMPLES)],
    service: ServiceDep,
    store: QuizStoreDep,
) -> PracticeOut:
    """Make a check, mend or explain a cause, or prove the last repair. The virtual site works out what it finds."""
    site, body = _kept(store, practice_id)
    practice, _, _ = _replay(service, body)
    practice.take(_step(asked.model_dump()))
    store.put_practice(practice_id, site, {**body, "steps": [*body["steps"], asked.model_dump()]})
    return _described(practice_id, practice)


@router.post("/{practice_id}/debrief")
def end_call_out(practice_id: PracticeId, service: ServiceDep, store: QuizStoreDep) -> DebriefOut:
    """Return what it was, how it was scored, and the planner's way beside the trainee's."""
    _, body = _kept(store, practice_id)
    practice, prepared, request = _replay(service, body)
    it = debrief(practice, service.desk.reasoner, prepared, request)
    tell = partial(_told, practice)
    plain = {name: getattr(it, name) for name in DebriefOut.model_fields if hasattr(it, name)}
    plain["language"] = request.language
    return DebriefOut(
        **plain
        | {
            "unsafe": [UnsafeOut(**asdict(act)) for act in it.unsafe],
            "needless": [NeedlessOut(**asdict(act)) for act in it.needless],
            "missing": list(it.missing),
            "reference": it.reference.address,
            "steps": [SideBySideOut(mine=tell(mine), planned=tell(planned)) for mine, planned in it.steps],
        }
    )


def _kept(store: QuizStore, practice_id: str) -> tuple[str, dict[str, Any]]:
    found = store.practice(practice_id)
    if found is None:
        raise HTTPException(404, "There is no such practice call-out. Begin one at /v1/practices.")
    return found


def _replay(service: Service, body: Mapping[str, Any]) -> tuple[Practice, PreparedSite, PracticeRequest]:
    """Return the call-out with its steps taken again, as nothing but these is kept."""
    prepared = prepare_site(site_from_data(body["site"], "practice"), date.fromisoformat(body["today"]))
    asked = body["request"]
    request = PracticeRequest(asked["seed"], tuple(asked["topics"]), asked["turn"], asked.get("language", "en"))
    return replayed(service.desk.reasoner, prepared, request, map(_step, body["steps"])), prepared, request


def _step(it: Mapping[str, Any]) -> Step:
    return Step(it["kind"], it["what"], it["part"], tuple(it["precautions"]))


def _described(practice_id: str, practice: Practice) -> PracticeOut:
    place = practice.prepared.site.places.get(practice.place or "")
    return PracticeOut(
        id=practice_id,
        site=practice.prepared.site.name,
        language=practice.said.language,
        words=practice.words,
        minutes=practice.minutes,
        climbs=practice.climbs,
        place=(place.name if place else None) or practice.place,
        is_over=practice.is_over,
        to_prove=_to_prove(practice),
        steps=[it for it in map(partial(_told, practice), practice.taken) if it],
        checks=_checks(practice),
        causes=_causes(practice),
        precautions=[PrecautionOut(id=it, says=practice.said.precaution(it)) for it in PRECAUTIONS],
    )


def _to_prove(practice: Practice) -> CauseOptionOut | None:
    it = practice.to_prove
    if it is None:
        return None
    return CauseOptionOut(
        cause=it.step.what, part=it.step.part, name=it.name, where=it.where, is_as_designed=it.is_as_designed
    )


def _told(practice: Practice, it: Taken | None) -> StepTakenOut | None:
    if it is None:
        return None
    return StepTakenOut(
        kind=it.step.kind,
        did=practice.said.did(it.step.kind, it.name, it.is_as_designed),
        name=it.name,
        where=it.where,
        says=it.says,
        minutes=it.minutes,
        works=it.works,
    )


def _checks(practice: Practice) -> list[CheckOptionOut]:
    checks, say = practice.reasoner.knowledge.checks, practice.said.phrases.check
    return [
        CheckOptionOut(
            check=check, part=part, name=say(check), where=practice.name(part), minutes=checks[check].minutes
        )
        for check, part in open_options(practice)
    ]


def _causes(practice: Practice) -> list[CauseOptionOut]:
    causes, say = practice.reasoner.knowledge.causes, practice.said.phrases.cause
    spots = [(it.cause, it.part) for it in practice.reasoning().hypotheses.open]
    found = [
        CauseOptionOut(
            cause=cause,
            part=part,
            name=say(cause),
            where=practice.name(part),
            is_as_designed=causes[cause].as_designed,
        )
        for cause, part in spots
        if cause in causes and not part.startswith("?")
    ]
    return sorted(found, key=lambda it: (it.name, it.part or ""))
