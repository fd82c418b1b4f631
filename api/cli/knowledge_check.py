"""`ventsleuth knowledge check`: find the faults of the knowledge base."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from api.cli.knowledge_folder import FAILED, folder_option, open_knowledge, print_faults
from diag.inspection.lint import check_inspections
from diag.lint import check_knowledge
from diag.rule_cases import owners
from knowledge.load import Knowledge, load_inspections
from knowledge.translations import LANGUAGES, load_translation, translation_faults


@click.command("check")
@folder_option
def command(folder: Path) -> None:
    """Check every entry and run every case; faults are listed with file and line, and end with exit code 1."""
    knowledge = open_knowledge(folder)
    inspections = load_inspections(folder)
    faults = [str(fault) for fault in check_knowledge(knowledge)]
    faults += [str(fault) for fault in check_inspections(inspections, knowledge)]
    if faults:
        print_faults(faults)
        raise click.exceptions.Exit(FAILED)
    click.echo(
        f"Knowledge {knowledge.version}: {_counts(knowledge)}, {len(inspections.rules)} inspection rules. No faults."
    )
    for note in _untranslated(knowledge, folder):
        click.echo(note)


def _untranslated(knowledge: Knowledge, folder: Path) -> Iterator[str]:
    """Yield a note for each language that lacks words; a new entry may come before its translations."""
    for language in LANGUAGES:
        if (folder / "translations" / language).is_dir():
            faults = list(translation_faults(knowledge, load_translation(language, folder)))
            if faults:
                yield f"In {language}, {len(faults)} to mend, first: {faults[0]}"


def _counts(knowledge: Knowledge) -> str:
    rules = sum(len(list(rules)) for _, _, rules, _ in owners(knowledge))
    cases = sum(len(list(cases)) for _, _, _, cases in owners(knowledge))
    return (
        f"{len(knowledge.symptoms)} symptoms, {len(knowledge.causes)} causes, {len(knowledge.checks)} checks, "
        f"{rules} rules, {cases} cases, {len(knowledge.cautions)} cautions"
    )
