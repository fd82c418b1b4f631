"""Draw which symptoms lead to which causes, and which checks show them, as an SVG picture."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from diag.chapters import symptoms_asked
from knowledge.entries import Cause
from knowledge.load import Knowledge

ROW, TOP, LEFT, GAP = 20, 56, 16, 170
TEXT_SIZE, LETTER = 12, 6.6
"""Height of a letter, and its width on average: judgement for a plain sans-serif, with room to spare."""
INK, SOFT, GROUND = "#16211f", "#3a4845", "#f7f4ec"
LINES = {"symptom": "#123b38", "check": "#c27a00"}
WIDTHS: Mapping[str, float] = {
    "always": 2.4, "usually": 2.0, "often": 1.5, "sometimes": 1.1, "seldom": 0.8, "never": 0.5,
}  # fmt: skip
DECISIVE = 2.4

Link = tuple[str, str, float]
"""From one row to another, with the width of the line."""


@dataclass(frozen=True, slots=True)
class Column:
    """Rows from the top down with their labels, and where they start."""

    kind: str
    heading: str
    labels: Mapping[str, str]
    left: float
    top: float

    def middle(self, row: str) -> float:
        """Return how far down the middle of a row is."""
        return self.top + ROW * (list(self.labels).index(row) + 0.5)

    def end_of(self, row: str) -> float:
        """Return where the label of a row ends."""
        return self.left + LETTER * len(self.labels[row])

    @property
    def right(self) -> float:
        """Where its longest label ends."""
        longest = max((len(label) for label in self.labels.values()), default=0)
        return self.left + LETTER * max(longest, len(self.heading))


def knowledge_map(knowledge: Knowledge, symptom: str | None = None, links: str | None = None) -> str:
    """Return the map of all symptoms, or of one, as SVG text; with `links`, labels lead to pages below that address."""
    symptoms = [symptom] if symptom else _by_family(knowledge)
    shown = _suspected(knowledge, symptoms)
    shows = _shown(knowledge, {cause for _, cause, _ in shown})
    causes = _ordered(symptoms, shown)
    checks = _ordered(causes, shows)
    columns = _columns(knowledge, symptoms, causes, checks)
    lines = [*_lines(columns[0], columns[1], shown), *_lines(columns[1], columns[2], shows)]
    labels = [text for column in columns for text in _labels(column, links)]
    title = f"What “{knowledge.symptoms[symptom].name}” can come from" if symptom else "Symptoms, causes and checks"
    counts = f"{_count(symptoms, 'symptom')}, {_count(causes, 'cause')} and {_count(checks, 'check')}"
    about = f"{counts} of knowledge {knowledge.version}."
    return _picture(columns, title, about, [*lines, *labels])


def _count(rows: Sequence[str], word: str) -> str:
    return f"{len(rows)} {word}{'' if len(rows) == 1 else 's'}"


def _by_family(knowledge: Knowledge) -> list[str]:
    return sorted(knowledge.symptoms, key=lambda it: (knowledge.symptoms[it].family, it))


def _suspected(knowledge: Knowledge, symptoms: Iterable[str]) -> list[Link]:
    wanted = set(symptoms)
    found: dict[tuple[str, str], float] = {}
    for cause in knowledge.causes.values():
        for symptom, width in _strengths(cause):
            if symptom in wanted:
                found[symptom, cause.id] = max(width, found.get((symptom, cause.id), 0.0))
    return [(symptom, cause, width) for (symptom, cause), width in sorted(found.items())]


def _strengths(cause: Cause) -> Iterator[tuple[str, float]]:
    for rule in cause.rules:
        if rule.suspect:
            yield from ((symptom, WIDTHS[rule.suspect]) for symptom in sorted(symptoms_asked(rule)))


def _shown(knowledge: Knowledge, causes: Iterable[str]) -> list[Link]:
    entries = [knowledge.causes[it] for it in sorted(causes)]
    return [(cause.id, it.check, DECISIVE if it.decisive else 0.8) for cause in entries for it in cause.checks]


def _ordered(before: Sequence[str], links: Iterable[Link]) -> list[str]:
    """Return the rows that links lead to, each near the middle of the rows it is linked with, for fewer crossings."""
    places = {row: place for place, row in enumerate(before)}
    tied: dict[str, list[int]] = {}
    for one, other, _ in links:
        tied.setdefault(other, []).append(places[one])
    return sorted(tied, key=lambda row: (sum(tied[row]) / len(tied[row]), row))


def _columns(
    knowledge: Knowledge, symptoms: Sequence[str], causes: Sequence[str], checks: Sequence[str]
) -> tuple[Column, Column, Column]:
    rows = max(len(symptoms), len(causes), len(checks))
    noticed = {it: knowledge.symptoms[it].name for it in symptoms}
    wrong = {it: knowledge.causes[it].name for it in causes}
    shown = {it: knowledge.checks[it].name for it in checks}
    first = Column("symptom", "Noticed", noticed, LEFT, _top(noticed, rows))
    second = Column("cause", "Cause", wrong, first.right + GAP, _top(wrong, rows))
    return first, second, Column("check", "Check", shown, second.right + GAP, _top(shown, rows))


def _top(labels: Mapping[str, str], rows: int) -> float:
    """Return where a column of a picture of so many rows starts, so that its middle is that of the picture."""
    return TOP + ROW * (rows - len(labels)) / 2


def _lines(start: Column, end: Column, links: Iterable[Link]) -> Iterator[str]:
    colour = LINES["symptom" if start.kind == "symptom" else "check"]
    for one, other, width in links:
        from_x, from_y, to_x, to_y = start.end_of(one) + 4, start.middle(one), end.left - 4, end.middle(other)
        bend = GAP / 2
        path = (
            f"M{from_x:.0f} {from_y:.0f}H{to_x - GAP:.0f}C{to_x - bend:.0f} {from_y:.0f} {to_x - bend:.0f} {to_y:.0f}"
            f" {to_x:.0f} {to_y:.0f}"
        )
        yield f'<path d="{path}" fill="none" stroke="{colour}" stroke-opacity="0.55" stroke-width="{width}"/>'


def _labels(column: Column, links: str | None) -> Iterator[str]:
    yield (
        f'<text x="{column.left:.0f}" y="{column.top - 14:.0f}" font-weight="700" font-size="15" fill="{INK}">'
        f"{escape(column.heading)}</text>"
    )
    for row, label in column.labels.items():
        said = (
            f'<text x="{column.left:.0f}" y="{column.middle(row) + 4:.0f}" font-size="{TEXT_SIZE}" fill="{INK}">'
            f"<title>{escape(row)}</title>{escape(label)}</text>"
        )
        address = f"{links}/{column.kind}s/{row}" if links is not None else None
        yield f"<a href={quoteattr(address)}>{said}</a>" if address else said


def _picture(columns: Sequence[Column], title: str, about: str, parts: Iterable[str]) -> str:
    width = columns[-1].right + LEFT
    height = TOP + ROW * max(len(column.labels) for column in columns) + 36
    body = "\n".join(parts)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{height}" '
        f'viewBox="0 0 {width:.0f} {height}" role="img" font-family="system-ui, sans-serif">\n'
        f"<title>{escape(title)}</title>\n<desc>{escape(about)}</desc>\n"
        f'<rect width="100%" height="100%" fill="{GROUND}"/>\n{body}\n'
        f'<text x="{LEFT}" y="{height - 12}" font-size="{TEXT_SIZE}" fill="{SOFT}">{escape(about)} '
        f"Thicker lines: seen more often, or decisive.</text>\n</svg>\n"
    )
