"""The learner's cards: what is due today, how it was known, and when it comes back. Nobody has to sign in."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, HTTPException, Path, Query

from api.dependencies import OpenServiceDep, Service, ServiceDep
from api.quizzes import PROBLEM, QuizStoreDep, kept_quiz
from api.quizzes_cards_shapes import CardKind, CardOut, DueCardOut, DueOut, GradeIn, KeepIn, LearnerIn, LearnerOut
from api.quizzes_learners import Learner, add_learner, change_learner, find_learner, shown_code
from api.quizzes_sittings import SittingId, found_sitting
from api.quizzes_views import describe_asked, in_letters
from api.storage.clock import time_text
from api.strict_query import refuse_unknown_query
from api.who import needs
from diag.training.deck import Deck
from diag.training.item import Item, Quiz, Reference
from diag.training.repetition import Reminder, next_dues

PAGE = "/quiz/cards.html"
NO_LEARNER = "There are no cards under this code. Check it, or keep the answers of a quiz as new cards."
NOT_TOLD = "Finish the quiz first: its answers are told at the end."
LEARNER_EXAMPLES: dict[str, Any] = {"quiz": {"summary": "The questions of a quiz", "value": {"quiz": "z-0123456789ab"}}}
KEEP_EXAMPLES: dict[str, Any] = {"new": {"summary": "As new cards", "value": {}}}
GRADE_EXAMPLES: dict[str, Any] = {"right": {"summary": "It was known", "value": {"grade": "right"}}}

Code = Annotated[str, Path(pattern=r"^[0-9A-Za-z]{4}-?[0-9A-Za-z]{4}-?[0-9A-Za-z]{4}$")]
Entry = Annotated[str, Path(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=80)]

router = APIRouter(prefix="/v1", tags=["training"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)])


@router.post("/learners", status_code=201, dependencies=[Depends(needs("training"))])
def add_deck(
    asked: Annotated[LearnerIn, Body(openapi_examples=LEARNER_EXAMPLES)], service: ServiceDep, store: QuizStoreDep
) -> LearnerOut:
    """Make cards of a quiz for somebody who learns alone. The code in the answer is all they need."""
    deck = Deck()
    for item in kept_quiz(store, asked.quiz).items:
        deck.add(service.desk.reasoner.knowledge, item, _now(service))
    return _described(service, add_learner(store.database, store.org, deck))


@router.post("/sittings/{sitting_id}/cards")
def keep_cards(
    sitting_id: SittingId, asked: Annotated[KeepIn, Body(openapi_examples=KEEP_EXAMPLES)], service: OpenServiceDep
) -> LearnerOut:
    """Keep what was answered as cards: what was wrong comes back soon. Kept again it counts once."""
    database = service.store.database
    it, of, quiz = found_sitting(database, sitting_id)
    if of.feedback != "instant" and it.finished_at is None:
        raise HTTPException(409, NOT_TOLD)
    if asked.learner is None:
        deck = Deck()
        _note(service, deck, quiz, it.answers, it.answered_at)
        return _described(service, add_learner(database, of.org, deck))
    if _there(find_learner(database, asked.learner)).org != of.org:
        raise HTTPException(404, NO_LEARNER)
    kept = change_learner(database, asked.learner, lambda deck: _note(service, deck, quiz, it.answers, it.answered_at))
    return _described(service, _there(kept))


def _note(service: Service, deck: Deck, quiz: Quiz, answers: Any, times: Any) -> None:
    """Note each answer at its own time, unless the card was met since."""
    for item in quiz.items:
        if item.id in answers and deck.met_last(item) < (at := datetime.fromisoformat(times[item.id])):
            deck.note(service.desk.reasoner.knowledge, item, item.is_right(answers[item.id]), at)


@router.get("/learners/{learner}")
def read_deck(learner: Code, service: OpenServiceDep) -> LearnerOut:
    """Return all cards of a learner with the times they come back."""
    return _described(service, _there(find_learner(service.store.database, learner)))


@router.get("/learners/{learner}/due")
def read_due_cards(learner: Code, service: OpenServiceDep, limit: Annotated[int, Query(ge=1, le=100)] = 20) -> DueOut:
    """Return the cards to meet now, longest due first, each with its question and the next date after each grade."""
    found = _there(find_learner(service.store.database, learner))
    due = found.deck.due(service.desk.reasoner.knowledge, _now(service))
    return DueOut(
        learner=shown_code(found.code),
        left=len(due),
        next_due=_next_due(found.deck, due),
        cards=[_due_card(service, found.deck, it) for it in due[:limit]],
    )


@router.post("/learners/{learner}/cards/{kind}/{entry}")
def rate_card(
    learner: Code,
    kind: CardKind,
    entry: Entry,
    asked: Annotated[GradeIn, Body(openapi_examples=GRADE_EXAMPLES)],
    service: OpenServiceDep,
) -> CardOut:
    """Say how well a card was known, and read when it comes back."""
    about = Reference(kind, entry)
    rate = _rating(service, about, asked)
    found = _there(change_learner(service.store.database, learner, rate))
    return _card(service, found.deck.cards[about])


def _rating(service: Service, about: Reference, asked: GradeIn) -> Any:
    def rate(deck: Deck) -> None:
        if about not in deck.cards:
            raise HTTPException(404, "There is no such card under this code. List those there are first.")
        deck.rate(service.desk.reasoner.knowledge, about, asked.grade, _now(service))

    return rate


def _there(found: Learner | None) -> Learner:
    if found is None:
        raise HTTPException(404, NO_LEARNER)
    return found


def _now(service: Service) -> datetime:
    return service.now().astimezone(UTC)


def _described(service: Service, it: Learner) -> LearnerOut:
    due = it.deck.due(service.desk.reasoner.knowledge, _now(service))
    cards = sorted(it.deck.cards.values(), key=lambda one: (one.due, one.reference.entry))
    return LearnerOut(
        learner=shown_code(it.code),
        address=f"{PAGE}#{shown_code(it.code)}",
        due=len(due),
        next_due=_next_due(it.deck, due),
        cards=[_card(service, one) for one in cards],
    )


def _next_due(deck: Deck, due: tuple[Reference, ...]) -> str | None:
    """Return when the next card that is not due yet comes back."""
    later = [it.due for reference, it in deck.cards.items() if reference not in due]
    return time_text(min(later)) if later else None


def _card(service: Service, it: Reminder) -> CardOut:
    about = it.reference
    entry = getattr(service.desk.reasoner.knowledge, about.kind).get(about.entry)
    name = entry.name if entry else about.entry
    return CardOut(kind=about.kind, entry=about.entry, name=name, address=about.address, due=time_text(it.due))


def _due_card(service: Service, deck: Deck, about: Reference) -> DueCardOut:
    card, item = deck.cards[about], deck.asked.get(about)
    nexts = next_dues(service.desk.reasoner.knowledge, card, _now(service))
    return DueCardOut(
        **_card(service, card).model_dump(),
        question=describe_asked(item) if item else None,
        right=in_letters(item, item.answer) if item else [],
        explanation=_explained(service, about, item),
        next={grade: time_text(at) for grade, at in nexts.items()},
    )


def _explained(service: Service, about: Reference, item: Item | None) -> str:
    if item:
        return item.explanation
    entry = getattr(service.desk.reasoner.knowledge, about.kind).get(about.entry)
    return str(getattr(entry, "means", None) or getattr(entry, "text", "")) if entry else ""
