"""`ventsleuth knowledge new`: start a new entry from a commented skeleton."""

from __future__ import annotations

import re
from pathlib import Path

import click

from api.cli.knowledge_folder import folder_option, open_knowledge
from diag.errors import UnknownCheck, UnknownSymptom
from diag.skeletons import cause_skeleton, check_skeleton, choices, skeleton_path, symptom_skeleton
from knowledge.entries import Cause, Check, Symptom
from knowledge.load import Knowledge

ID = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
MOST_CHARACTERS = 60
CAUSE_FAMILIES = ("supply", "output", "wiring", "drive", "opening", "input", "settings", "link", "fan")
SYMPTOM_FAMILIES = ("movement", "command", "setup", "indication", "smoke")
CHECK_KINDS = choices(Check.model_fields["kind"].annotation)
PART_KINDS = choices(Cause.model_fields["sits_at"].annotation)


def _only_one(_: click.Context, option: click.Parameter, given: tuple[str, ...]) -> str | None:
    """Return the one value given, or None; refuse a second, which would be lost."""
    if len(given) > 1:
        what = option.opts[0].removeprefix("--")
        raise click.BadParameter(
            f"given {len(given)} times: {', '.join(given)}. A skeleton takes one. Start with the most usual, and write"
            f" the other {what}s into the file beside it."
        )
    return given[0] if given else None


@click.group("new")
def command() -> None:
    """Start a new entry: a file or an item to fill, with a remark at every line."""


@command.command("cause")
@click.argument("entry", metavar="ID")
@click.option("--family", required=True, type=click.Choice(CAUSE_FAMILIES), help="Which folder it belongs in.")
@click.option("--symptom", multiple=True, callback=_only_one, help="A symptom it shows; its first rule asks for it.")
@click.option(
    "--check", "check_id", multiple=True, callback=_only_one, help="A check that tells it; its outcomes stand there."
)
@click.option(
    "--sits-at", type=click.Choice(PART_KINDS), help="The part that has the fault, if not that of the symptom."
)
@folder_option
def new_cause(
    entry: str, family: str, symptom: str | None, check_id: str | None, sits_at: str | None, folder: Path
) -> None:
    """Start a new cause in a file of its own."""
    knowledge = open_knowledge(folder)
    _require_free(knowledge, "Cause", entry)
    text = cause_skeleton(entry, family, _symptom(knowledge, symptom), _check(knowledge, check_id), sits_at)
    _write(folder / skeleton_path("cause", entry, family), text)


@command.command("symptom")
@click.argument("entry", metavar="ID")
@click.option("--family", required=True, type=click.Choice(SYMPTOM_FAMILIES), help="Which file it belongs in.")
@folder_option
def new_symptom(entry: str, family: str, folder: Path) -> None:
    """Start a new symptom at the end of its family's file."""
    _require_free(open_knowledge(folder), "Symptom", entry)
    _write(folder / skeleton_path("symptom", entry, family), symptom_skeleton(entry, family))


@command.command("check")
@click.argument("entry", metavar="ID")
@click.option("--kind", required=True, type=click.Choice(CHECK_KINDS), help="Which file it belongs in.")
@folder_option
def new_check(entry: str, kind: str, folder: Path) -> None:
    """Start a new check at the end of its kind's file."""
    _require_free(open_knowledge(folder), "Check", entry)
    _write(folder / skeleton_path("check", entry, kind), check_skeleton(entry, kind))


def _require_free(knowledge: Knowledge, kind: str, entry: str) -> None:
    if not ID.fullmatch(entry) or len(entry) > MOST_CHARACTERS:
        raise click.ClickException(f"“{entry}” is no id: lower case letters, digits and hyphens, at most 60 of them.")
    if f"{kind}:{entry}" in knowledge.files:
        where = knowledge.files[f"{kind}:{entry}"].source
        raise click.ClickException(f"{entry} is taken already, in {where}. Ids are permanent; choose another.")


def _symptom(knowledge: Knowledge, symptom: str | None) -> Symptom | None:
    if symptom is not None and symptom not in knowledge.symptoms:
        raise UnknownSymptom(symptom, knowledge.symptoms)
    return knowledge.symptoms[symptom] if symptom else None


def _check(knowledge: Knowledge, check: str | None) -> Check | None:
    if check is not None and check not in knowledge.checks:
        raise UnknownCheck(check, knowledge.checks)
    return knowledge.checks[check] if check else None


def _write(path: Path, text: str) -> None:
    before = path.read_text(encoding="utf-8") if path.exists() else ""
    if before and not before.endswith("\n"):
        before += "\n"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(before + text, encoding="utf-8")
    line = before.count("\n") + 1
    click.echo(f"Started in {path}, line {line}. Fill it, then run: ventsleuth knowledge check")
