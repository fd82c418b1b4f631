"""Draw how often things recur, as bars with their names and numbers beside them."""

from __future__ import annotations

from collections.abc import Sequence
from xml.sax.saxutils import escape

from api.fleet.count import Recurring

WIDTH, ROW, NAME, NUMBER = 720, 28, 300, 50
MOST_BARS = 20
MOST_LETTERS = 40
STYLE = "font: 14px system-ui, sans-serif"


def bar_chart(title: str, bars: Sequence[Recurring]) -> str:
    """Return an SVG picture of the most frequent, whose description says the same in words."""
    shown = bars[:MOST_BARS]
    most = max((it.cases for it in shown), default=1)
    told = "; ".join(f"{it.id} {it.cases}" for it in shown) or "No cases."
    height = ROW * (len(shown) + 1) + 12
    return "".join(
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height}" role="img" ',
            'aria-labelledby="chart-title chart-words">',
            f'<title id="chart-title">{escape(title)}</title><desc id="chart-words">{escape(told)}</desc>',
            f'<rect width="{WIDTH}" height="{height}" fill="#fff"/>',
            f'<text x="8" y="22" font-weight="600" style="{STYLE}">{escape(title)}</text>',
            *(_bar(place, it, most) for place, it in enumerate(shown, 1)),
            "</svg>",
        )
    )


def _bar(place: int, it: Recurring, most: int) -> str:
    top = place * ROW + 6
    length = round((WIDTH - NAME - NUMBER) * it.cases / most)
    name = it.id if len(it.id) <= MOST_LETTERS else f"{it.id[: MOST_LETTERS - 1]}…"
    return (
        f'<text x="{NAME - 8}" y="{top + 16}" text-anchor="end" style="{STYLE}">{escape(name)}</text>'
        f'<rect x="{NAME}" y="{top + 3}" width="{length}" height="{ROW - 10}" fill="#1d5c4d"/>'
        f'<text x="{NAME + length + 6}" y="{top + 16}" style="{STYLE}">{it.cases}</text>'
    )
