"""Print the debrief of a practice call-out: points, what was unsafe, and both ways side by side."""

from __future__ import annotations

import textwrap
from itertools import zip_longest

import click

from api.cli.plain import print_wrapped
from diag.training.practice.score import Debrief, NeedlessAct
from diag.training.practice.steps import Taken
from diag.training.practice.wording import PracticeWords, joined

COLUMN = 42


def print_debrief(it: Debrief, words: PracticeWords) -> None:
    """Print how a call-out went."""
    say = words.say
    click.echo(f"\n{say('debrief')}")
    ended = "solved" if it.is_solved else "unproved" if it.is_mended else "not-solved"
    print_wrapped(say(ended, cause=it.cause_name, where=it.where))
    print_wrapped(it.means)
    marks = {"cause": it.for_cause, "evidence": it.for_evidence, "proof": it.for_proof}
    marks |= {"time": it.for_time, "safety": it.for_safety, "parts": it.for_parts}
    print_wrapped(say("points", points=it.points, **marks))
    for part in it.missing:
        print_wrapped(f"  {part}", "    ")
    count = words.number
    planner = count(it.planner_minutes) if it.planner_solved else say("unsolved", minutes=count(it.planner_minutes))
    print_wrapped(say("spent", mine=count(it.minutes), planner=planner, shortest=count(it.shortest_minutes)))
    print_wrapped(say("climbed", mine=it.climbs, planner=it.planner_climbs, needless=it.needless_repairs))
    for act in it.unsafe:
        why = {"caution": act.caution, "why": act.why, "precaution": act.precaution}
        print_wrapped(f"  {say('unsafe', step=act.step, name=act.name, **why)}", "    ")
    for needless in it.needless:
        _print_needless(needless, words)
    click.echo(f"\n{say('you'):<{COLUMN}}  {say('planner')}")
    for number, (mine, planned) in enumerate(it.steps, 1):
        _print_side_by_side(_told(number, mine, words), _told(number, planned, words))
    click.echo(f"\n{say('reference', address=it.reference.address)}")


def _print_needless(act: NeedlessAct, words: PracticeWords) -> None:
    if act.is_spoiled:
        print_wrapped(f"  {words.say('spoiled', step=act.step, name=act.name)}", "    ")
    if act.precautions:
        listed = "; ".join(act.precautions)
        print_wrapped(f"  {words.say('needless', step=act.step, name=act.name, precautions=listed)}", "    ")


def _told(number: int, taken: Taken | None, words: PracticeWords) -> str:
    if taken is None:
        return ""
    did = words.did(taken.step.kind, taken.name, taken.is_as_designed)
    spent = words.say("minutes", minutes=words.number(taken.minutes))
    return f"{number}. {joined(did, taken.where)}: {taken.says} ({spent})"


def _print_side_by_side(left: str, right: str) -> None:
    for one, two in zip_longest(textwrap.wrap(left, COLUMN), textwrap.wrap(right, COLUMN), fillvalue=""):
        click.echo(f"{one:<{COLUMN}}  {two}".rstrip())
