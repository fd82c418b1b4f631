"""The trainer's endpoints: make quizzes, export them, open classes, watch them and read how questions did."""

from __future__ import annotations

from datetime import datetime
from io import BytesIO
from typing import Annotated, Any, Literal

import segno
from fastapi import APIRouter, Body, Depends, HTTPException, Path, Query, Request, Response

from api.dependencies import Service, ServiceDep
from api.quiz_store import QuizClass, QuizStore, sittings_of, watch_name
from api.quizzes_shapes import (
    ClassIn,
    ClassOut,
    ClassOverviewOut,
    QuizIn,
    QuizListOut,
    QuizOut,
    StatementsOut,
    StatisticsOut,
)
from api.quizzes_views import describe_class, describe_statistics, overview, summarise_quiz
from api.schemas import ProblemOut
from api.sheet_pdf import print_pdf
from api.strict_query import refuse_unknown_query
from api.who import WhoDep, needs
from diag.training.export.forms import FORMS, PDF
from diag.training.export.plain_data import quiz_data
from diag.training.item import Quiz
from diag.training.narrowing import part_for
from diag.training.phrases import Phrases
from diag.training.quiz import QuizRequest, make_quiz
from diag.training.workshop import Workshop
from diag.training.xapi import Attempt, answered_statement, completed_statement

PROBLEM: dict[int | str, dict[str, Any]] = {
    "default": {"model": ProblemOut, "description": "What was wrong, by field."}
}
FILE: dict[int | str, dict[str, Any]] = {
    200: {"description": "The quiz.", "content": {it.media_type: {} for it in (*FORMS.values(), PDF)}}
}
PICTURE: dict[int | str, dict[str, Any]] = {200: {"description": "A QR code.", "content": {"image/svg+xml": {}}}}
EXAMPLES: dict[str, Any] = {
    "stored": {"summary": "Twenty questions about a stored site", "value": {"site": "medium", "seed": 7}},
    "topic": {
        "summary": "Ten easy ones about wiring, in German",
        "value": {"site": "small", "questions": 10, "level": 1, "topics": ["wiring"], "language": "de"},
    },
}
CLASS_EXAMPLES: dict[str, Any] = {
    "final": {"summary": "Answers told at the end", "value": {"quiz": "z-0123456789ab", "feedback": "final"}}
}

QuizId = Annotated[str, Path(pattern=r"^z-[0-9a-f]{12}$")]
FormName = Annotated[Literal["qti", "qti3", "csv", "json", "markdown", "html", "pdf"], Query()]
Code = Annotated[str, Path(pattern=r"^[0-9A-Za-z]{6}$")]

router = APIRouter(
    prefix="/v1",
    tags=["training"],
    responses=PROBLEM,
    dependencies=[Depends(refuse_unknown_query), Depends(needs("training"))],
)


def quiz_store_of(service: ServiceDep) -> QuizStore:
    """Return the quizzes of the organisation of whoever asks."""
    return QuizStore(service.store.database, service.store.org)


QuizStoreDep = Annotated[QuizStore, Depends(quiz_store_of)]


@router.post("/quizzes", status_code=201)
def create_quiz(
    asked: Annotated[QuizIn, Body(openapi_examples=EXAMPLES)],
    request: Request,
    service: ServiceDep,
    store: QuizStoreDep,
    who: WhoDep,
) -> QuizOut:
    """Make a quiz about a site and keep it. The same request gives the same questions."""
    seen = {it.likeness for _, quiz in store.quizzes() for it in quiz.items} if asked.new_only else set()
    wanted = QuizRequest(
        questions=asked.questions,
        level=asked.level,
        seed=asked.seed,
        topics=tuple(asked.topics),
        kinds=tuple(asked.kinds),
        avoid=frozenset(seen),
    )
    quiz = make_quiz(_workshop(request, service, asked), wanted)
    store.add_quiz(quiz, who.id)
    return QuizOut(id=quiz.id, quiz=quiz_data(quiz))


def _workshop(request: Request, service: Service, asked: QuizIn) -> Workshop:
    site = service.shelf.site(asked.site if isinstance(asked.site, str) else dict(asked.site))
    today = service.now().date()
    reasoner = service.desk.reasoner
    return Workshop(
        reasoner=reasoner,
        prepared=service.desk.prepared(part_for(site, asked.seed), today),
        open_inspector=lambda: request.app.state.inspector,
        phrases=Phrases(reasoner.knowledge, asked.language),
        today=today,
    )


@router.get("/quizzes")
def list_quizzes(store: QuizStoreDep) -> QuizListOut:
    """Return the hundred newest quizzes."""
    return QuizListOut(quizzes=[summarise_quiz(quiz, made_at) for made_at, quiz in store.quizzes()])


@router.get("/quizzes/{quiz_id}")
def read_quiz(quiz_id: QuizId, store: QuizStoreDep) -> QuizOut:
    """Return a quiz with its answers."""
    quiz = kept_quiz(store, quiz_id)
    return QuizOut(id=quiz.id, quiz=quiz_data(quiz))


@router.get("/quizzes/{quiz_id}/file", responses=FILE, response_class=Response)
def export_quiz(
    quiz_id: QuizId,
    store: QuizStoreDep,
    form: FormName = "qti",
) -> Response:
    """Return a quiz as a file for a learning system, a spreadsheet or paper."""
    quiz = kept_quiz(store, quiz_id)
    written = FORMS.get(form, PDF)
    content = print_pdf(written.write(quiz).decode()) if form == "pdf" else written.write(quiz)
    named = {"content-disposition": f'attachment; filename="{quiz.id}.{written.ending}"'}
    return Response(content, media_type=written.media_type, headers=named)


@router.get("/quizzes/{quiz_id}/statistics")
def read_statistics(quiz_id: QuizId, store: QuizStoreDep, service: ServiceDep) -> StatisticsOut:
    """Return how the questions of a quiz did over all classes; figures come from thirty learners on."""
    quiz = kept_quiz(store, quiz_id)
    sittings = sittings_of(service.store.database, store.classes_of(quiz_id))
    return describe_statistics(quiz, [it for it in sittings if it.finished_at])


@router.get("/quizzes/{quiz_id}/statements")
def read_statements(quiz_id: QuizId, store: QuizStoreDep, service: ServiceDep, request: Request) -> StatementsOut:
    """Return every answer to a quiz as xAPI statements, for a learning record store."""
    quiz = kept_quiz(store, quiz_id)
    home = str(request.base_url).rstrip("/")
    items = {it.id: it for it in quiz.items}
    made: list[dict[str, Any]] = []
    for it in sittings_of(service.store.database, store.classes_of(quiz_id)):
        learner = f"{it.code} {it.learner}"
        for item, given in it.answers.items():
            at = datetime.fromisoformat(it.answered_at[item])
            made.append(answered_statement(quiz, items[item], Attempt(it.id, learner, given, at), home))
        if it.finished_at:
            right = sum(items[item].is_right(given) for item, given in it.answers.items())
            finished = datetime.fromisoformat(it.finished_at)
            made.append(completed_statement(quiz, it.id, learner, right, finished, home))
    return StatementsOut(statements=made)


@router.post("/classes", status_code=201)
def open_class(asked: Annotated[ClassIn, Body(openapi_examples=CLASS_EXAMPLES)], store: QuizStoreDep) -> ClassOut:
    """Open a class for a quiz: whoever has its code may take it, without a name, for twelve hours."""
    quiz = kept_quiz(store, asked.quiz)
    return describe_class(store.open_class(quiz.id, asked.feedback))


@router.get("/classes/{code}")
def read_class(code: Code, store: QuizStoreDep, service: ServiceDep) -> ClassOverviewOut:
    """Return how far the learners of a class are and how its questions go."""
    found = kept_class(store, code)
    return overview(found, kept_quiz(store, found.quiz), sittings_of(service.store.database, [found.code]))


@router.get("/classes/{code}/qr.svg", responses=PICTURE, response_class=Response)
def read_class_picture(code: Code, store: QuizStoreDep, request: Request) -> Response:
    """Return the address of a class as a QR code for the learners' phones."""
    address = f"{str(request.base_url).rstrip('/')}{describe_class(kept_class(store, code)).address}"
    drawn = BytesIO()
    segno.make(address, micro=False).save(drawn, kind="svg", scale=8, border=4, light="#ffffff", title=address)
    return Response(drawn.getvalue(), media_type="image/svg+xml")


@router.delete("/classes/{code}", status_code=204)
def close_class(code: Code, store: QuizStoreDep, request: Request) -> None:
    """Close a class: nobody can answer any more; what was answered stays."""
    found = kept_class(store, code)
    store.close_class(found.code)
    request.app.state.live.changed(watch_name(found.code))


def kept_quiz(store: QuizStore, quiz_id: str) -> Quiz:
    """Return a quiz of the organisation, or answer that there is none."""
    quiz = store.quiz(quiz_id)
    if quiz is None:
        raise HTTPException(404, "There is no such quiz. List those there are at /v1/quizzes.")
    return quiz


def kept_class(store: QuizStore, code: str) -> QuizClass:
    """Return a class of the organisation, or answer that there is none."""
    found = store.own_class(code)
    if found is None:
        raise HTTPException(404, "There is no class with this code. Open one at /v1/classes.")
    return found
