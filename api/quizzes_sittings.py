"""The learner's endpoints: join a class by its code, answer, and read how it went. Nobody has to sign in."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, HTTPException, Path, Request

from api.dependencies import OpenServiceDep
from api.quiz_store import (
    QuizClass,
    QuizStore,
    Sitting,
    begin_sitting,
    find_class,
    find_sitting,
    finish_sitting,
    put_answer,
    watch_name,
)
from api.quizzes import PROBLEM
from api.quizzes_shapes import AnswerIn, AnswerOut, ResultOut, SittingIn, SittingOut
from api.quizzes_views import describe_result, describe_sitting, from_letters, mark
from api.storage.database import Database
from api.strict_query import refuse_unknown_query
from diag.training.item import Item, Quiz

EXAMPLES: dict[str, Any] = {"code": {"summary": "The code the trainer shows", "value": {"code": "K7M2QX"}}}
ANSWER_EXAMPLES: dict[str, Any] = {"one": {"summary": "One letter", "value": {"given": ["B"]}}}
NO_CLASS = "There is no open class with this code. Check it with your trainer."
NO_SITTING = "This sitting is not known. Join the class again with its code."
OVER = "This class is closed, or you are done already. What you answered is kept."

SittingId = Annotated[str, Path(pattern=r"^[0-9a-f]{32}$")]
ItemId = Annotated[str, Path(pattern=r"^q-[0-9a-f]{12}$")]

router = APIRouter(prefix="/v1", tags=["training"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


@router.post("/sittings", status_code=201)
def join_class(
    asked: Annotated[SittingIn, Body(openapi_examples=EXAMPLES)], service: OpenServiceDep, request: Request
) -> SittingOut:
    """Join a class by its code. The id in the answer is yours alone: with it you go on later."""
    database = service.store.database
    found = find_class(database, asked.code)
    if found is None or not found.is_open:
        raise HTTPException(404, NO_CLASS)
    sitting_id = begin_sitting(database, found.code)
    _tell(request, found.code)
    return read_sitting(sitting_id, service)


@router.get("/sittings/{sitting_id}")
def read_sitting(sitting_id: SittingId, service: OpenServiceDep) -> SittingOut:
    """Return the questions, what was answered, and how it went as far as that may be told."""
    it, of, quiz = found_sitting(service.store.database, sitting_id)
    return describe_sitting(it, of, quiz)


@router.put("/sittings/{sitting_id}/answers/{item_id}")
def answer_question(
    sitting_id: SittingId,
    item_id: ItemId,
    asked: Annotated[AnswerIn, Body(openapi_examples=ANSWER_EXAMPLES)],
    service: OpenServiceDep,
    request: Request,
) -> AnswerOut:
    """Answer a question. With feedback at once the first answer counts; otherwise it may be changed until the end."""
    database = service.store.database
    it, of, quiz = found_sitting(database, sitting_id)
    if not of.is_open or it.finished_at:
        raise HTTPException(409, OVER)
    item = _item(quiz, item_id)
    given = from_letters(item, asked.given)
    if given is None:
        raise HTTPException(422, "These letters do not answer this question. Give those it asks for.")
    is_instant = of.feedback == "instant"
    if is_instant and item_id in it.answers:
        given = it.answers[item_id]
    else:
        put_answer(database, it, item_id, given)
        _tell(request, it.code)
    return AnswerOut(item=item_id, mark=mark(item, given) if is_instant else None)


@router.post("/sittings/{sitting_id}/result")
def finish_quiz(sitting_id: SittingId, service: OpenServiceDep, request: Request) -> ResultOut:
    """Finish a sitting and return how it went; finished twice it stays as it was."""
    database = service.store.database
    it, _, _ = found_sitting(database, sitting_id)
    finish_sitting(database, it)
    _tell(request, it.code)
    it, _, quiz = found_sitting(database, sitting_id)
    return describe_result(quiz, it)


def _tell(request: Request, code: str) -> None:
    """Wake whoever watches the class in this process."""
    request.app.state.live.changed(watch_name(code))


def found_sitting(database: Database, sitting_id: str) -> tuple[Sitting, QuizClass, Quiz]:
    """Return a sitting with its class and quiz, or answer that it is not known."""
    it = find_sitting(database, sitting_id)
    of = find_class(database, it.code) if it else None
    quiz = QuizStore(database, of.org).quiz(of.quiz) if of else None
    if it is None or of is None or quiz is None:
        raise HTTPException(404, NO_SITTING)
    return it, of, quiz


def _item(quiz: Quiz, item_id: str) -> Item:
    item = next((it for it in quiz.items if it.id == item_id), None)
    if item is None:
        raise HTTPException(404, "This quiz has no such question.")
    return item
