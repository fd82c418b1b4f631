"""`ventsleuth practise`: find a hidden fault of a virtual site at the terminal, and see how else it could go."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path

import click

from api.cli.plain import print_wrapped
from api.cli.practise_debrief import print_debrief
from api.cli.quiz_sitting import read_deck
from api.cli.sites import open_site
from diag.desk import open_desk
from diag.reasoner import prepare_site
from diag.training.deck import topics_of
from diag.training.narrowing import part_for
from diag.training.phrases import LANGUAGES
from diag.training.practice.choosing import choose_practice
from diag.training.practice.run import Practice, begin_practice, open_options
from diag.training.practice.score import debrief
from diag.training.practice.steps import PRECAUTIONS, Step, Taken
from diag.training.practice.wording import PracticeWords, joined
from diag.training.workshop import TOPICS

SHOWN = 12
REPAIR = ("repair", "mend", "explain", "beheben", "erklären", "udbedr", "forklar")
PROVE = ("prove", "proof", "nachweisen", "nachweis", "eftervis", "bevis")
LOG = ("log", "verlauf", "forløb")
STOP = ("stop", "quit", "give up", "aufgeben", "slut")
"""What can be typed, in each language, whichever is spoken."""


@click.command("practise")
@click.option("--site", "site_name", required=True, metavar="SITE", help="A site file or the name of a demo.")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same fault.")
@click.option("--topic", "topics", multiple=True, type=click.Choice(TOPICS), help="Only faults of this; repeatable.")
@click.option("--language", type=click.Choice(LANGUAGES), default="en", show_default=True)
@click.option(
    "--cards",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="A file of cards; faults are about what is due, unless topics are given.",
)
def command(site_name: str, seed: int, topics: tuple[str, ...], language: str, cards: Path | None) -> None:
    """Practise a call-out on a virtual site: choose checks, name the cause, and compare with the planner's way."""
    prepared = prepare_site(part_for(open_site(site_name), seed), date.today())
    with open_desk() as desk:
        knowledge = desk.reasoner.knowledge
        topics = topics or topics_of(knowledge, read_deck(cards).due(knowledge, datetime.now(UTC)))
        request = choose_practice(desk.reasoner, prepared, seed, topics, language)
        practice = begin_practice(desk.reasoner, prepared, request)
        print_wrapped(practice.said.say("caller", words=practice.words))
        click.echo()
        print_wrapped(practice.said.say("help"))
        _work(practice)
        print_debrief(debrief(practice, desk.reasoner, prepared, request), practice.said)


def _work(practice: Practice) -> None:
    """Ask for steps until the complaint is gone or the trainee gives up."""
    while not practice.is_over:
        spent, asks = (
            practice.said.say("minutes", minutes=practice.said.number(practice.minutes)),
            practice.said.say("what-now"),
        )
        said = click.prompt(f"\n[{spent}] {asks}", default="", show_default=False).strip()
        if said in STOP:
            return
        if said in LOG:
            _print_log(practice)
        elif said in PROVE:
            _prove(practice)
        elif said.partition(" ")[0] in REPAIR:
            _repair(practice, said.partition(" ")[2])
        elif said:
            _check(practice, said)
        else:
            print_wrapped(practice.said.say("help"))


def _check(practice: Practice, said: str) -> None:
    name = practice.said.phrases.check
    options = [(joined(name(it[0]), practice.name(it[1])), it) for it in open_options(practice)]
    found = _choose(practice.said, [it for it in options if _is_meant(said, it[0])])
    if found is not None:
        _tell(practice.take(Step("check", *found, _precautions(practice.said))), practice.said)


def _repair(practice: Practice, said: str) -> None:
    hypotheses = practice.reasoning().hypotheses.open
    causes = practice.reasoner.knowledge.causes
    spots = [(it.cause, it.part) for it in hypotheses if it.cause in causes and not it.part.startswith("?")]
    options = sorted((joined(practice.said.phrases.cause(it[0]), practice.name(it[1])), it) for it in spots)
    found = _choose(practice.said, [it for it in options if _is_meant(said, it[0])])
    if found is not None:
        _tell(practice.take(Step("repair", *found, _precautions(practice.said))), practice.said)


def _prove(practice: Practice) -> None:
    """Prove the last repair, or say that there is none."""
    last = practice.to_prove
    if last is None:
        print_wrapped(practice.said.say("nothing-to-prove"))
        return
    _tell(practice.take(Step("proof", last.step.what, last.step.part)), practice.said)


def _is_meant(said: str, name: str) -> bool:
    return all(word in name.casefold() for word in said.casefold().split())


def _choose(words: PracticeWords, options: Sequence[tuple[str, tuple[str, str]]]) -> tuple[str, str] | None:
    """Return the option whose number is typed; None when there is none or none is meant."""
    if not options:
        print_wrapped(words.say("no-match"))
        return None
    for number, (name, _) in enumerate(options[:SHOWN], 1):
        print_wrapped(f"  {number:2}  {name}", "      ")
    if len(options) > SHOWN:
        print_wrapped(f"      {words.say('more', count=len(options) - SHOWN)}", "      ")
    said = click.prompt(words.say("which"), default="", show_default=False).strip()
    is_one = said.isdecimal() and 1 <= int(said) <= min(SHOWN, len(options))
    return options[int(said) - 1][1] if is_one else None


def _precautions(words: PracticeWords) -> tuple[str, ...]:
    """Return the precautions whose numbers are typed."""
    click.echo(words.say("before"))
    for number, name in enumerate(PRECAUTIONS, 1):
        click.echo(f"  {number:2}  {words.precaution(name)}")
    said = click.prompt(words.say("numbers"), default="", show_default=False)
    wanted = [int(it) for it in said.replace(",", " ").split() if it.isdecimal()]
    return tuple(PRECAUTIONS[it - 1] for it in wanted if 1 <= it <= len(PRECAUTIONS))


def _tell(taken: Taken, words: PracticeWords) -> None:
    spent = words.say("minutes", minutes=words.number(taken.minutes))
    did = words.did(taken.step.kind, taken.name, taken.is_as_designed)
    print_wrapped(f"  {joined(did, taken.where)}: {taken.says} ({spent})", "  ")


def _print_log(practice: Practice) -> None:
    print_wrapped(practice.said.say("caller", words=practice.words))
    for it in practice.taken:
        _tell(it, practice.said)
