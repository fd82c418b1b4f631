"""Print the debrief of a practice call-out: points, what was unsafe, and both ways side by side."""

from __future__ import annotations

import textwrap
from itertools import zip_longest

import click

from api.cli.plain import print_wrapped
from diag.training.practice.score import Debrief
from diag.training.practice.steps import Taken

COLUMN = 42


def print_debrief(it: Debrief) -> None:
    """Print how a call-out went."""
    click.echo("\nDebrief")
    print_wrapped(f"{'Solved' if it.is_solved else 'Not solved'}. It was: {it.cause_name}, {it.where}.")
    print_wrapped(it.means)
    click.echo(
        f"Points: {it.points} of 100 (cause {it.for_cause} of 40, time {it.for_time} of 20, "
        f"safety {it.for_safety} of 30, no needless repair {it.for_parts} of 10)"
    )
    planner = f"{it.planner_minutes:g}" if it.planner_solved else f"{it.planner_minutes:g}, not solved"
    click.echo(f"Minutes: you {it.minutes:g}, the planner {planner}, the shortest way {it.shortest_minutes:g}")
    click.echo(f"Climbs: you {it.climbs}, the planner {it.planner_climbs}. Needless repairs: {it.needless_repairs}")
    for act in it.unsafe:
        print_wrapped(
            f"  Unsafe, step {act.step}, {act.name}: {act.caution.lower()}. {act.why}. {act.precaution}.", "    "
        )
    click.echo(f"\n{'You':<{COLUMN}}  The planner")
    for number, (mine, planned) in enumerate(it.steps, 1):
        _print_side_by_side(_told(number, mine), _told(number, planned))
    click.echo(f"\nMore: {it.reference.address}")


def _told(number: int, taken: Taken | None) -> str:
    if taken is None:
        return ""
    did = "Mend: " if taken.step.kind == "repair" else ""
    return f"{number}. {did}{taken.name}, {taken.where}: {taken.says} ({taken.minutes:g} min)"


def _print_side_by_side(left: str, right: str) -> None:
    for one, two in zip_longest(textwrap.wrap(left, COLUMN), textwrap.wrap(right, COLUMN), fillvalue=""):
        click.echo(f"{one:<{COLUMN}}  {two}".rstrip())
