"""Write the form for typing results back, and read it as findings."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from io import StringIO

from diag.classify import NO_OUTCOME, BadReading, outcome_of
from diag.errors import DiagError, UnknownOutcome
from diag.expectations import expect
from diag.observations import Finding
from diag.reasoner import PreparedSite
from diag.sheet.build import situation_of
from diag.sheet.rows import Row
from knowledge.faults import nearest, suggestion
from knowledge.load import Knowledge

COLUMNS = ("check", "part", "test", "expected", "result", "initials", "note")
NEEDED = ("check", "part", "result")
PASSED = frozenset({"ok", "pass", "passed", "as expected", "yes"})
MOST_NAMED = 8
"""How many parts a message names before it would be too long to read."""

FAILED = frozenset({"fail", "failed", "not ok", "no"})


@dataclass(frozen=True, slots=True)
class Result:
    """One result: the finding it is, whether it passed (None: not made or not clear), and what was typed."""

    finding: Finding
    has_passed: bool | None
    typed: str
    means: str
    initials: str
    note: str


@dataclass(frozen=True, slots=True)
class LineFault:
    """What is wrong in one line of a results file, and what is allowed there."""

    line: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.message}"


class BadResults(DiagError):
    """A results file with faults; all of them are listed."""

    def __init__(self, faults: Sequence[LineFault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(map(str, faults)))


def decode_results(raw: bytes) -> str:
    """Return the text of a results file; raise BadResults when it is not UTF-8."""
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise BadResults([LineFault(line, "not UTF-8 text; save the file as CSV UTF-8 and send it again")]) from None


def results_form(rows: Sequence[Row]) -> str:
    """Return a CSV file with a line for each test and an empty column for its result."""
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    for row in rows:
        expected = "; ".join(filter(None, (row.movement, row.reading))) or row.passed
        writer.writerow((row.check, row.part, row.test, expected, "", "", ""))
    return text.getvalue()


def read_results(text: str, knowledge: Knowledge, prepared: PreparedSite, rows: Sequence[Row]) -> tuple[Result, ...]:
    """Return the results of all lines that have one, in order; raise BadResults with every faulty line.

    A result is an outcome's id or label, a reading with its unit, or ok for what the sheet expects. Lines without a
    result count as not made. Checks that the sheet does not ask for are taken as well, at any part of their kind.
    """
    reader = _opened(text)
    passing = {(row.check, row.part): row for row in rows}
    found: list[Result] = []
    faults: list[LineFault] = []
    seen: dict[tuple[str, str | None], tuple[int, str]] = {}
    for line, record in _lines(reader):
        if not record["result"]:
            continue
        try:
            result = _read(record, knowledge, prepared, passing)
            _refuse_another(seen, line, result)
            found.append(result)
        except DiagError as refusal:
            faults.append(LineFault(line, str(refusal)))
    if faults:
        raise BadResults(faults)
    return tuple(found)


def _opened(text: str) -> csv.DictReader[str]:
    """Return a reader of the lines, separated by commas, semicolons or tabs as the first line is."""
    plain = text.removeprefix("\ufeff")
    first = plain.partition("\n")[0]
    separator = max(",;\t", key=first.count)
    reader = csv.DictReader(StringIO(plain), delimiter=separator)
    fields = [it.strip().lower() for it in reader.fieldnames or ()]
    missing = [it for it in NEEDED if it not in fields]
    if missing:
        needed = f"the first line must name the columns {', '.join(NEEDED)}"
        raise BadResults([LineFault(1, f"{needed}; add {', '.join(missing)}")])
    reader.fieldnames = fields
    return reader


def _refuse_another(seen: dict[tuple[str, str | None], tuple[int, str]], line: int, it: Result) -> None:
    """Note the result of a test; raise DiagError when an earlier line gave it another one."""
    check, part, outcome = it.finding.check, it.finding.part, it.finding.outcome
    first, known = seen.setdefault((check, part), (line, outcome))
    if known != outcome:
        raise DiagError(f"{check} at {part} has another result in line {first}; keep the one that counts")


def _lines(reader: csv.DictReader[str]) -> Iterator[tuple[int, dict[str, str]]]:
    try:
        for record in reader:
            yield reader.line_num, {name: (record.get(name) or "").strip() for name in COLUMNS}
    except csv.Error as error:
        raise BadResults([LineFault(reader.line_num, f"not a line of a CSV file: {error}")]) from None


def _read(
    record: Mapping[str, str], knowledge: Knowledge, prepared: PreparedSite, passing: Mapping[tuple[str, str], Row]
) -> Result:
    name, part, typed = record["check"], record["part"], record["result"]
    check = knowledge.checks.get(name)
    if check is None:
        raise DiagError(f"there is no check “{name}”{suggestion(nearest(name, knowledge.checks)) or '.'}")
    kinds = prepared.topology.kinds
    if kinds.get(part) != check.at:
        fitting = [it for it, kind in kinds.items() if kind == check.at]
        hint = suggestion(nearest(part, fitting)) or f"; there is {', '.join(fitting[:MOST_NAMED]) or 'none here'}."
        raise DiagError(f"{name} is made at a part of the kind {check.at}, and “{part}” is none{hint}")
    row = passing.get((name, part))
    passes = row.passes if row else ()
    outcome = _outcome(typed, knowledge, prepared, name, part, passes)
    means = next((it.means for it in check.outcomes if it.id == outcome), "No result.")
    has_passed = None if outcome in NO_OUTCOME or not passes else outcome in passes
    return Result(Finding(name, outcome, part), has_passed, typed, means, record["initials"], record["note"])


def _outcome(
    typed: str, knowledge: Knowledge, prepared: PreparedSite, name: str, part: str, passes: Sequence[str]
) -> str:
    check = knowledge.checks[name]
    word = typed.lower().rstrip(".")
    if word in PASSED and passes:
        return passes[0]
    labels = {it.label.lower(): it.id for it in check.outcomes}
    if word in labels:
        return labels[word]
    choices = ", ".join(it.id for it in check.outcomes)
    if word in FAILED:
        raise DiagError(f"“{typed}” does not say how {name} failed; write the reading, or one of {choices}")
    try:
        return outcome_of(check, typed, expect(check, situation_of(prepared), part))
    except UnknownOutcome:
        unit = f"a reading in {check.reading.unit}, " if check.reading else ""
        raise DiagError(f"“{typed}” is no result of {name}; write {unit}ok, or one of {choices}") from None
    except BadReading as refusal:
        raise DiagError(str(refusal)) from None
