"""Draw minutes against the number of answers for all ways of going about call-outs, as SVG."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

import numpy as np

WIDTH, HEIGHT, LEFT, BOTTOM, TOP, RIGHT = 760.0, 460.0, 70.0, 60.0, 50.0, 230.0
COLOURS = ("#1f5f4a", "#3b6ea8", "#a3561f", "#7a4a9c", "#8a8a1a", "#777777")
DASHES = ("", "8 3", "2 3", "8 3 2 3", "12 4", "4 4")
MOST_ANSWERS = 20


def draw_figure(title: str, ways: Mapping[str, tuple[Sequence[float], Sequence[int]]]) -> str:
    """Return the figure: for each way, the mean minutes of the visits that took so many answers or fewer."""
    lines = {way: mean_minutes(*it) for way, it in ways.items()}
    top = max(max(points, default=1.0) for points in lines.values()) * 1.05
    parts = [_frame(title, top)]
    for place, (way, points) in enumerate(lines.items()):
        parts.append(_line(points, top, place))
        parts.append(_label(way, place))
    return f"{parts[0]}{''.join(parts[1:])}</svg>\n"


def mean_minutes(minutes: Sequence[float], answers: Sequence[int]) -> list[float]:
    """Return the mean minutes of the visits with at most 1, 2, 3... answers."""
    spent, made = np.array(minutes), np.array(answers)
    return [float(spent[made <= most].mean()) if (made <= most).any() else 0.0 for most in range(1, MOST_ANSWERS + 1)]


def _x(answers: float) -> float:
    return LEFT + (WIDTH - LEFT - RIGHT) * (answers - 1) / (MOST_ANSWERS - 1)


def _y(minutes: float, top: float) -> float:
    return HEIGHT - BOTTOM - (HEIGHT - BOTTOM - TOP) * minutes / top


def _frame(title: str, top: float) -> str:
    marks = "".join(
        f'<text x="{LEFT - 8}" y="{_y(it, top) + 4:.1f}" text-anchor="end">{it:.0f}</text>'
        for it in np.linspace(0, top, 6)
    )
    marks += "".join(
        f'<text x="{_x(it):.1f}" y="{HEIGHT - BOTTOM + 18}" text-anchor="middle">{it}</text>'
        for it in (1, 5, 10, 15, 20)
    )
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:.0f} {HEIGHT:.0f}" role="img" '
        f'font-family="sans-serif" font-size="13"><title>{escape(title)}</title>'
        f'<rect width="100%" height="100%" fill="white"/><text x="{LEFT}" y="28" font-size="16">{escape(title)}</text>'
        f'<path d="M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}" fill="none" stroke="black"/>{marks}'
        f'<text x="{LEFT}" y="{HEIGHT - 14}">answers given, at most</text>'
        f'<text x="{LEFT}" y="{TOP - 6}">mean minutes of those visits</text>'
    )


def _line(points: Sequence[float], top: float, place: int) -> str:
    joined = " ".join(f"{_x(at + 1):.1f},{_y(it, top):.1f}" for at, it in enumerate(points))
    return (
        f'<polyline points="{joined}" fill="none" stroke="{COLOURS[place % len(COLOURS)]}" stroke-width="2.5" '
        f'stroke-dasharray="{DASHES[place % len(DASHES)]}"/>'
    )


def _label(way: str, place: int) -> str:
    y, x = TOP + 22 * place + 8, WIDTH - RIGHT + 16
    return (
        f'<path d="M{x} {y}h34" stroke="{COLOURS[place % len(COLOURS)]}" stroke-width="2.5" '
        f'stroke-dasharray="{DASHES[place % len(DASHES)]}"/><text x="{x + 42}" y="{y + 4}">{escape(way)}</text>'
    )
