"""`ventsleuth practise`: find a hidden fault of a virtual site at the terminal, and see how else it could go."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import click

from api.cli.plain import print_wrapped
from api.cli.practise_debrief import print_debrief
from api.cli.sites import open_site
from diag.desk import open_desk
from diag.reasoner import prepare_site
from diag.training.narrowing import part_for
from diag.training.practice.choosing import choose_practice
from diag.training.practice.run import Practice, begin_practice, open_options
from diag.training.practice.score import debrief
from diag.training.practice.steps import PRECAUTIONS, Step, Taken
from diag.training.workshop import TOPICS

SHOWN = 12
HELP = (
    "Type words of a check to find it, such as “voltage drive”. Type “repair” and words to mend a cause, “log” for "
    "what you know, “stop” to give up."
)


@click.command("practise")
@click.option("--site", "site_name", required=True, metavar="SITE", help="A site file or the name of a demo.")
@click.option("--seed", type=click.IntRange(0), default=1, show_default=True, help="The same seed, the same fault.")
@click.option("--topic", "topics", multiple=True, type=click.Choice(TOPICS), help="Only faults of this; repeatable.")
def command(site_name: str, seed: int, topics: tuple[str, ...]) -> None:
    """Practise a call-out on a virtual site: choose checks, name the cause, and compare with the planner's way."""
    prepared = prepare_site(part_for(open_site(site_name), seed), date.today())
    with open_desk() as desk:
        request = choose_practice(desk.reasoner, prepared, seed, topics)
        practice = begin_practice(desk.reasoner, prepared, request)
        print_wrapped(f"Caller: {practice.words}")
        print_wrapped(f"\n{HELP}")
        _work(practice)
        print_debrief(debrief(practice, desk.reasoner, prepared, request))


def _work(practice: Practice) -> None:
    """Ask for steps until the complaint is gone or the trainee gives up."""
    while not practice.is_over:
        said = click.prompt(f"\n[{practice.minutes:g} min] What now", default="", show_default=False).strip()
        if said in ("stop", "quit", "give up"):
            return
        if said == "log":
            _print_log(practice)
        elif said.partition(" ")[0] in ("repair", "mend"):
            _repair(practice, said.partition(" ")[2])
        elif said:
            _check(practice, said)
        else:
            print_wrapped(HELP)


def _check(practice: Practice, said: str) -> None:
    checks = practice.reasoner.knowledge.checks
    options = [(f"{checks[it[0]].name}, {practice.name(it[1])}", it) for it in open_options(practice)]
    found = _choose([it for it in options if _is_meant(said, it[0])])
    if found is not None:
        _tell(practice.take(Step("check", *found, _precautions())))


def _repair(practice: Practice, said: str) -> None:
    hypotheses = practice.reasoning().hypotheses.open
    causes = practice.reasoner.knowledge.causes
    spots = [(it.cause, it.part) for it in hypotheses if it.cause in causes and not it.part.startswith("?")]
    options = sorted((f"{causes[it[0]].name}, {practice.name(it[1])}", it) for it in spots)
    found = _choose([it for it in options if _is_meant(said, it[0])])
    if found is not None:
        _tell(practice.take(Step("repair", *found)))


def _is_meant(said: str, name: str) -> bool:
    return all(word in name.casefold() for word in said.casefold().split())


def _choose(options: Sequence[tuple[str, tuple[str, str]]]) -> tuple[str, str] | None:
    """Return the option whose number is typed; None when there is none or none is meant."""
    if not options:
        print_wrapped("Nothing here fits these words. Try fewer of them.")
        return None
    for number, (name, _) in enumerate(options[:SHOWN], 1):
        print_wrapped(f"  {number:2}  {name}", "      ")
    if len(options) > SHOWN:
        click.echo(f"      and {len(options) - SHOWN} more; add a word to narrow it down.")
    said = click.prompt("Which number (Enter for none)", default="", show_default=False).strip()
    is_one = said.isdecimal() and 1 <= int(said) <= min(SHOWN, len(options))
    return options[int(said) - 1][1] if is_one else None


def _precautions() -> tuple[str, ...]:
    """Return the precautions whose numbers are typed."""
    names = list(PRECAUTIONS)
    click.echo("Before you begin, what do you do?")
    for number, name in enumerate(names, 1):
        click.echo(f"  {number:2}  {PRECAUTIONS[name]}")
    said = click.prompt("Numbers, or Enter for nothing", default="", show_default=False)
    wanted = [int(it) for it in said.replace(",", " ").split() if it.isdecimal()]
    return tuple(names[it - 1] for it in wanted if 1 <= it <= len(names))


def _tell(taken: Taken) -> None:
    print_wrapped(f"  {taken.name}, {taken.where}: {taken.says} {taken.minutes:g} min.", "  ")


def _print_log(practice: Practice) -> None:
    print_wrapped(f"Caller: {practice.words}")
    for it in practice.taken:
        _tell(it)
