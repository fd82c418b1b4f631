"""`ventsleuth quiz`: make a quiz from a site, for a learning system, for paper or for a screen."""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import click

from api.cli.quiz_sitting import read_deck, sit
from api.cli.sites import open_site
from api.sheet_pdf import print_pdf
from diag.desk import open_desk
from diag.training.deck import topics_of
from diag.training.export.forms import FORMS, PDF
from diag.training.item import Level, Quiz
from diag.training.kinds.register import KINDS
from diag.training.opening import open_workshop
from diag.training.phrases import LANGUAGES
from diag.training.quiz import MOST_QUESTIONS, QuizRequest, make_quiz
from diag.training.workshop import TOPICS

BINARY = ("qti", "qti3", "pdf")
LEVELS: dict[str, Level] = {"1": 1, "2": 2, "3": 3}


@click.command("quiz")
@click.option("--site", "site_name", required=True, metavar="SITE", help="A site file or the name of a demo.")
@click.option("--questions", type=click.IntRange(1, MOST_QUESTIONS), default=20, show_default=True)
@click.option("--level", type=click.Choice(list(LEVELS)), default="2", show_default=True, help="1 easy, 3 hard.")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed gives the same quiz.")
@click.option("--topic", "topics", multiple=True, type=click.Choice(TOPICS), help="Only about this; may be repeated.")
@click.option("--kind", "kinds", multiple=True, type=click.Choice(list(KINDS)), help="Only of this kind; repeatable.")
@click.option("--language", type=click.Choice(LANGUAGES), default="en", show_default=True)
@click.option(
    "--format",
    "form",
    type=click.Choice([*FORMS, "pdf"]),
    default="markdown",
    show_default=True,
    help="qti is QTI 2.1 and qti3 is QTI 3.0, each a package; html and pdf print questions and answers.",
)
@click.option("--output", "-o", type=click.Path(dir_okay=False, path_type=Path), help="Write to this file.")
@click.option("--sit", "is_sat", is_flag=True, help="Answer the questions here, each told at once.")
@click.option(
    "--cards",
    type=click.Path(dir_okay=False, path_type=Path),
    help="With --sit: a file of what you met and when to meet it again. What is due decides the topics.",
)
@click.option("--on", "day", type=click.DateTime(["%Y-%m-%d"]), help="The day, for ages of parts; today if left out.")
def command(
    site_name: str,
    questions: int,
    level: str,
    seed: int,
    topics: tuple[str, ...],
    kinds: tuple[str, ...],
    language: str,
    form: str,
    output: Path | None,
    is_sat: bool,
    cards: Path | None,
    day: datetime | None,
) -> None:
    """Make a quiz about a site; each answer is proved by the rules, the calculators or the timeline."""
    if cards and not is_sat:
        raise click.UsageError("--cards goes with --sit.")
    if is_sat:
        _sit(site_name, QuizRequest(questions, LEVELS[level], seed, topics, kinds), language, cards)
        return
    if output is None and form in BINARY and sys.stdout.isatty():
        raise click.UsageError(f"A quiz as {form} cannot be shown here; give a file with --output.")
    request = QuizRequest(questions, LEVELS[level], seed, topics, kinds)
    quiz = _made(site_name, request, language, day.date() if day else date.today())
    written = print_pdf(PDF.write(quiz).decode()) if form == "pdf" else FORMS[form].write(quiz)
    if output is None:
        click.echo(written, nl=False)
        return
    output.write_bytes(written)
    click.echo(f"{len(quiz.items)} questions about {quiz.site}: {output}")


def _sit(site_name: str, request: QuizRequest, language: str, cards: Path | None) -> None:
    """Ask the questions here; without topics asked for, those of the cards that are due come first."""
    site, deck = open_site(site_name), read_deck(cards)
    with open_desk() as desk:
        knowledge = desk.reasoner.knowledge
        due = deck.due(knowledge, datetime.now(UTC))
        topics = request.topics or topics_of(knowledge, due)
        workshop = open_workshop(desk.reasoner, site, language, seed=request.seed)
        quiz = make_quiz(workshop, replace(request, topics=topics))
    if due:
        click.echo(f"{len(due)} cards are due; the questions are about {', '.join(topics) or 'everything'}.")
    sit(knowledge, quiz, deck, cards)


def _made(site_name: str, request: QuizRequest, language: str, day: date) -> Quiz:
    site = open_site(site_name)
    with open_desk() as desk:
        return make_quiz(open_workshop(desk.reasoner, site, language, day, request.seed), request)
