"""`ventsleuth site draft` and `site ask`: a draft of a description from a file, or from questions and answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click
import yaml

from api.sites.draft import BadDraft, Draft
from api.sites.draft_brick import draft_from_brick
from api.sites.draft_csv import draft_from_csv
from api.sites.interview import NOT_SURE, Question, check_answer, draft_from_answers, next_question
from diag.errors import BadSite
from diag.site_file import dump_site, site_from_data

READERS: Mapping[str, Callable[[str, str], Draft]] = {".csv": draft_from_csv, ".ttl": draft_from_brick}
OUTPUT_OPTION = click.option(
    "--output", type=click.Path(dir_okay=False, path_type=Path), help="File to write; printed when left out."
)


@click.command("draft")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--name", help="Name of the site; that of the file when left out.")
@OUTPUT_OPTION
def draft(file: Path, name: str | None, output: Path | None) -> None:
    """Make a draft of a description from FILE, a table of parts (.csv) or Brick metadata (.ttl)."""
    reader = READERS.get(file.suffix.lower())
    if reader is None:
        raise BadDraft(f"A draft is made from {' or '.join(READERS)}, not from {file.name}.")
    try:
        text = file.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise BadDraft(f"{file.name} is not UTF-8. Save it as UTF-8 and try again.") from None
    _hand_over(reader(text, name or file.stem), output)


@click.command("ask")
@OUTPUT_OPTION
def ask(output: Path | None) -> None:
    """Ask what a site is like and make a draft of the answers; an empty answer means “not sure”."""
    answers: dict[str, Any] = {}
    question, answered, asked = next_question(answers)
    while question is not None:
        click.echo(
            f"\n{answered + 1} of {asked}{' so far' if 'groups' not in answers else ''}. {question.text}", err=True
        )
        answers[question.id] = _answer(question)
        question, answered, asked = next_question(answers)
    _hand_over(draft_from_answers(answers), output)


def _answer(question: Question) -> Any:
    """Return what is typed to a question, asking again until it is an answer to it."""
    for number, choice in enumerate(question.choices, 1):
        click.echo(f"  {number}  {choice}", err=True)
    if question.many:
        click.echo("  Several numbers with spaces between them; none for nothing of this.", err=True)
    while True:
        typed = click.prompt("", prompt_suffix="> ", default="", show_default=False, err=True).strip()
        try:
            answer = _meant(question, typed)
            check_answer(question, answer)
        except BadDraft as bad:
            click.echo(str(bad), err=True)
        else:
            return answer


def _meant(question: Question, typed: str) -> Any:
    if question.many:
        return [_choice(question, it) for it in typed.replace(",", " ").split()]
    if question.choices:
        return _choice(question, typed) if typed else NOT_SURE
    if question.most is not None:
        return int(typed) if typed.isdecimal() else typed or NOT_SURE
    return typed


def _choice(question: Question, typed: str) -> str:
    number = int(typed) if typed.isdecimal() else 0
    return question.choices[number - 1] if 0 < number <= len(question.choices) else typed


def _hand_over(made: Draft, output: Path | None) -> None:
    """Write the draft, and say what somebody has to look at."""
    description = made.description()
    try:
        text, faults = dump_site(site_from_data(description)), []
    except BadSite as bad:
        text = yaml.safe_dump(description, sort_keys=False, allow_unicode=True)
        faults = [str(it) for it in bad.faults]
    if output:
        output.write_text(text, encoding="utf-8")
    else:
        click.echo(text, nl=False)
    for line in (*made.remarks, *(f"Still to mend: {it}" for it in faults)):
        click.echo(line, err=True)
    where = output or "the file you keep it in"
    click.echo(f"A draft. Next: fill in what you know, then: ventsleuth site check {where}", err=True)
