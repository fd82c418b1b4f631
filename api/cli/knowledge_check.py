"""`ventsleuth knowledge check`: find the faults of the knowledge base."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from api.cli.knowledge_folder import FAILED, folder_option, open_knowledge, print_faults
from diag.entry_remarks import remarks
from diag.errors import UnknownCause
from diag.inspection.lint import check_inspections
from diag.lint import check_knowledge
from diag.lint_stories import check_stories
from diag.rule_cases import owners
from knowledge.entries import Cause
from knowledge.load import BadKnowledge, Knowledge, Stories, load_inspections, load_story_files
from knowledge.translations import (
    LANGUAGES,
    NAMES,
    Translation,
    count_texts,
    load_translation,
    missing_words,
    wrong_words,
)


@click.command("check")
@click.argument("cause", required=False)
@folder_option
def command(cause: str | None, folder: Path) -> None:
    """Check every entry and run every case; faults are listed with file and line, and end with exit code 1.

    With the id of a CAUSE it also remarks on what may weaken that one.
    """
    knowledge = open_knowledge(folder)
    inspections, stories = load_inspections(folder), _open_stories(folder)
    asked = _asked(knowledge, cause) if cause else None
    faults = [str(fault) for fault in check_knowledge(knowledge)]
    faults += [str(fault) for fault in check_inspections(inspections, knowledge)]
    faults += [str(fault) for fault in check_stories(stories, knowledge)]
    if faults:
        print_faults(faults)
        raise click.exceptions.Exit(FAILED)
    click.echo(
        f"Knowledge {knowledge.version}: {_counts(knowledge)}, {len(inspections.rules)} inspection rules. No faults."
    )
    for translation in _translations(folder):
        for note in _of_language(knowledge, translation):
            click.echo(note)
    if asked:
        _print_remarks(knowledge, asked)


def _asked(knowledge: Knowledge, cause: str) -> Cause:
    current = knowledge.current("Cause", cause)
    if current not in knowledge.causes:
        raise UnknownCause(cause, knowledge.causes)
    return knowledge.causes[current]


def _print_remarks(knowledge: Knowledge, cause: Cause) -> None:
    found = list(remarks(knowledge, cause))
    click.echo(f"Remarks on {cause.id}: look whether it is meant so." if found else f"No remarks on {cause.id}.")
    for it in found:
        click.echo(f"  {it}")


def _open_stories(folder: Path) -> Stories:
    """Return the stories; where one is faulty in shape, print that and end with exit code 1."""
    try:
        return load_story_files(folder)
    except BadKnowledge as error:
        print_faults([str(fault) for fault in error.faults])
        raise click.exceptions.Exit(FAILED) from None


def _translations(folder: Path) -> list[Translation]:
    """Return the languages there are; where a file of one is faulty, print that and end with exit code 1."""
    try:
        return [load_translation(it, folder) for it in LANGUAGES if (folder / "translations" / it).is_dir()]
    except BadKnowledge as error:
        print_faults([str(fault) for fault in error.faults])
        raise click.exceptions.Exit(FAILED) from None


def _of_language(knowledge: Knowledge, translation: Translation) -> Iterator[str]:
    """Yield how complete a language is and what is missing; words may come after their entry."""
    name, whole = f"{NAMES[translation.language]} ({translation.language})", count_texts(knowledge)
    missing = missing_words(knowledge, translation)
    lacking = sum(it.texts for it in missing)
    yield f"{name}: {lacking} of {whole} texts are missing." if lacking else f"{name}: complete, {whole} texts."
    for group in dict.fromkeys(it.group for it in missing):
        entries = ", ".join(str(it) for it in missing if it.group == group)
        yield f"  add to translations/{translation.language}/{group}.yaml: {entries}"
    for fault in wrong_words(knowledge, translation):
        yield f"  to mend: {fault}"


def _counts(knowledge: Knowledge) -> str:
    rules = sum(len(list(rules)) for _, _, rules, _ in owners(knowledge))
    cases = sum(len(list(cases)) for _, _, _, cases in owners(knowledge))
    return (
        f"{len(knowledge.symptoms)} symptoms, {len(knowledge.causes)} causes, {len(knowledge.checks)} checks, "
        f"{rules} rules, {cases} cases, {len(knowledge.cautions)} cautions"
    )
