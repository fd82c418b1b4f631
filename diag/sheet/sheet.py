"""The proving sheet as values: sections with their figures, test rows, drawings, sentences and matrices."""

from __future__ import annotations

from dataclasses import dataclass

from diag.sheet.matrix import Matrix
from diag.sheet.rows import Row
from diag.sheet.supply_figures import Figure
from diag.timeline.plan import Plan


@dataclass(frozen=True, slots=True)
class Facts:
    """Figures side by side with what they are."""

    figures: tuple[Figure, ...]


@dataclass(frozen=True, slots=True)
class Tests:
    """The rows of one part under its name; `place` is where somebody stands, empty when it is not known."""

    part: str
    name: str
    place: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing as SVG with what is said below it."""

    svg: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sentences:
    """Sentences, one below the other, under a heading that may be empty."""

    heading: str
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Effects:
    """One matrix, with the plan that names its parts."""

    plan: Plan
    matrix: Matrix


@dataclass(frozen=True, slots=True)
class Warning:
    """One caution: what it is about, what to do, and whose rules decide."""

    name: str
    text: str
    defer: str


@dataclass(frozen=True, slots=True)
class Cautions:
    """The cautions of all tests on the sheet."""

    warnings: tuple[Warning, ...]


@dataclass(frozen=True, slots=True)
class Method:
    """How one kind of test is made: its name, the steps, the tools, who may do it."""

    check: str
    name: str
    how: str
    tools: tuple[str, ...]
    competence: str


@dataclass(frozen=True, slots=True)
class Methods:
    """How the tests on the sheet are made, each once."""

    methods: tuple[Method, ...]


Block = Facts | Tests | Picture | Sentences | Effects | Cautions | Methods


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the sheet under its own heading; `intro` may be empty."""

    title: str
    intro: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole sheet of one site."""

    site: str
    head: tuple[Figure, ...]
    sections: tuple[Section, ...]

    @property
    def rows(self) -> tuple[Row, ...]:
        """Return every test row, in the order of the sheet."""
        blocks = (block for section in self.sections for block in section.blocks)
        return tuple(row for block in blocks if isinstance(block, Tests) for row in block.rows)
