"""Draw the minutes spent against the number of answers for all ways of going about call-outs, as SVG."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from itertools import pairwise

import numpy as np

WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT = 850.0, 480.0, 70.0, 60.0, 64.0, 260.0
COLOURS = ("#1f5f4a", "#3b6ea8", "#a3561f", "#7a4a9c", "#8a8a1a", "#666666")
DASHES = ("", "8 3", "2 3", "8 3 2 3", "12 4", "4 4")
MOST_ANSWERS = 20
NAME_HEIGHT = 16.0

Courses = Sequence[Sequence[float]]
"""For each visit the minutes spent when each answer was there, and at the end."""


def draw_figure(title: str, ways: Mapping[str, Courses]) -> str:
    """Return the figure: for each way, the mean minutes spent when so many answers were there, or the visit over."""
    lines = {way: mean_minutes(it) for way, it in ways.items()}
    step = _step(max(max(points) for points in lines.values()))
    top = step * np.ceil(1.02 * max(max(points) for points in lines.values()) / step)
    ends = spread_out([_y(points[-1], top) for points in lines.values()], NAME_HEIGHT)
    drawn = [
        _line(points, top, place) + _name(way, points[-1], end, place)
        for place, ((way, points), end) in enumerate(zip(lines.items(), ends, strict=True))
    ]
    return f"{_frame(title, top, step)}{''.join(drawn)}</svg>\n"


def mean_minutes(courses: Courses) -> list[float]:
    """Return the mean minutes spent after 0, 1, 2... answers; a visit that is over stays at its end."""
    after = range(MOST_ANSWERS + 1)
    return [0.0, *(float(np.mean([it[min(answers, len(it)) - 1] for it in courses])) for answers in after[1:])]


def spread_out(places: Sequence[float], least: float) -> list[float]:
    """Return the places in their order, each at least so far below the one above it."""
    order = sorted(range(len(places)), key=lambda it: places[it])
    result = list(places)
    for above, below in pairwise(order):
        result[below] = max(result[below], result[above] + least)
    return result


def _step(most: float) -> float:
    return next(it for it in (10.0, 20.0, 50.0, 100.0, 200.0, 500.0) if most / it <= 8 or it == 500.0)


def _x(answers: float) -> float:
    return LEFT + (WIDTH - LEFT - RIGHT) * answers / MOST_ANSWERS


def _y(minutes: float, top: float) -> float:
    return HEIGHT - BOTTOM - (HEIGHT - BOTTOM - TOP) * minutes / top


def _frame(title: str, top: float, step: float) -> str:
    marks = "".join(
        f'<path d="M{LEFT} {_y(it, top):.1f}H{WIDTH - RIGHT}" stroke="#dddddd"/>'
        f'<text x="{LEFT - 8}" y="{_y(it, top) + 4:.1f}" text-anchor="end">{it:.0f}</text>'
        for it in np.arange(0, top + 1, step)
    )
    marks += "".join(
        f'<text x="{_x(it):.1f}" y="{HEIGHT - BOTTOM + 18}" text-anchor="middle">{it}</text>'
        for it in range(0, MOST_ANSWERS + 1, 5)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" role="img" '
        f'font-family="sans-serif" font-size="13"><title>{escape(title)}</title>'
        f'<rect width="100%" height="100%" fill="white"/><text x="{LEFT}" y="28" font-size="16">{escape(title)}</text>'
        f'{marks}<path d="M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}" fill="none" stroke="black"/>'
        f'<text x="{LEFT}" y="{HEIGHT - 14}">answers given</text>'
        f'<text x="{LEFT}" y="{TOP - 12}">mean minutes spent by then; a visit that is over stays at its end</text>'
    )


def _line(points: Sequence[float], top: float, place: int) -> str:
    joined = " ".join(f"{_x(at):.1f},{_y(it, top):.1f}" for at, it in enumerate(points))
    return (
        f'<polyline points="{joined}" fill="none" stroke="{COLOURS[place % len(COLOURS)]}" stroke-width="2.5" '
        f'stroke-dasharray="{DASHES[place % len(DASHES)]}"/>'
    )


def _name(way: str, minutes: float, y: float, place: int) -> str:
    x = WIDTH - RIGHT + 6
    return (
        f'<path d="M{x} {y:.1f}h26" stroke="{COLOURS[place % len(COLOURS)]}" stroke-width="2.5" '
        f'stroke-dasharray="{DASHES[place % len(DASHES)]}"/>'
        f'<text x="{x + 32}" y="{y + 4:.1f}">{escape(way)} ({minutes:.0f})</text>'
    )
