"""Find faults of inspection rules: words the vocabulary lacks, figures nobody gives, unknown fields, failed cases."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import get_args

from pydantic import BaseModel

from diag.inspection.cases import run_cases
from diag.inspection.run import engine_inspector
from diag.inspection.saying import FIGURE, VARIABLE
from diag.site import Site
from diag.topology import KINDS, SITE_PART
from knowledge.entries import ConditionFields, FieldShape, NumberBound
from knowledge.faults import Fault, nearest, suggestion
from knowledge.inspection_entries import InspectionRule
from knowledge.load import Inspections, Knowledge

Path = tuple[str | int, ...]
Note = tuple[Path, str]


def check_inspections(inspections: Inspections, knowledge: Knowledge) -> list[Fault]:
    """Return every fault by file and line; cases run only when the rules themselves are sound."""
    faults = [
        _fault(inspections, rule.id, note) for rule in inspections.rules.values() for note in _notes(rule, inspections)
    ]
    faults += [_fault(inspections, *named) for named in _names(inspections, knowledge)]
    if not faults:
        faults = list(_failed(inspections))
    return sorted(faults, key=lambda it: (it.source, it.line, it.column, it.message))


def _fault(inspections: Inspections, rule: str, note: Note) -> Fault:
    return inspections.files[f"{InspectionRule.__name__}:{rule}"].fault(*note)


def _notes(rule: InspectionRule, inspections: Inspections) -> Iterator[Note]:
    asked = [(place, kind, fields) for place, it in enumerate(rule.when) for kind, fields in it.items()]
    for place, kind, fields in asked:
        yield from _of_condition(inspections, kind, fields, ("when", place))
    seen = [(kind, fields.get("part")) for _, kind, fields in asked]
    if len(set(seen)) < len(seen):
        yield ("when",), f"{rule.id} asks twice for the same fact; put both conditions in one line"
    yield from _of_texts(rule, inspections, [(kind, fields) for _, kind, fields in asked])
    yield from _of_field(rule, inspections, [(kind, fields) for _, kind, fields in asked])


def _of_condition(inspections: Inspections, kind: str, fields: ConditionFields, at: Path) -> Iterator[Note]:
    shape = inspections.facts.get(kind)
    if shape is None:
        yield at, f"there is no fact {kind}{suggestion(nearest(kind, inspections.facts)) or '.'}"
        return
    for name, value in fields.items():
        if name not in shape.fields:
            yield (*at, kind), f"{kind} has no field {name}{suggestion(nearest(name, shape.fields)) or '.'}"
        else:
            yield from _of_value(shape.fields[name], f"{kind} {name}", value, (*at, kind, name))


def _of_value(shape: FieldShape, what: str, value: str | list[str] | NumberBound, at: Path) -> Iterator[Note]:
    if isinstance(value, NumberBound):
        if shape.words is not None or shape.part is not None:
            yield at, f"{what} is a word; it is not above or below a number"
        return
    for word in [value] if isinstance(value, str) else value:
        if word.startswith("$"):
            continue
        if shape.words is None:
            yield at, f"{what} holds no words; compare it as a number or bind it"
        elif word not in shape.words:
            yield at, f"{what} is never {word}{suggestion(nearest(word, shape.words)) or '.'}"


def _of_texts(
    rule: InspectionRule, inspections: Inspections, asked: Iterable[tuple[str, ConditionFields]]
) -> Iterator[Note]:
    pairs = list(asked)
    bound = {value for _, fields in pairs for value in fields.values() if isinstance(value, str)}
    if any(kind not in inspections.facts for kind, _ in pairs):
        return
    figures = {name for kind, _ in pairs for name in inspections.facts[kind].fields}
    for name in ("reason", "remedy"):
        text = getattr(rule, name)
        for variable in VARIABLE.findall(text):
            if variable not in bound:
                yield (name,), f"{rule.id} says {variable}, which no condition names"
        for figure in FIGURE.findall(text):
            if figure not in figures:
                yield (name,), f"{rule.id} says {{{figure}}}, which its facts do not have"
    if rule.at not in bound:
        yield ("at",), f"{rule.id} is found at {rule.at}, which no condition names"


def _of_field(
    rule: InspectionRule, inspections: Inspections, asked: Iterable[tuple[str, ConditionFields]]
) -> Iterator[Note]:
    found_at = next((kind for kind, fields in asked if fields.get("part") == rule.at), None)
    shape = inspections.facts[found_at].fields["part"] if found_at and found_at in inspections.facts else None
    if rule.field is None or shape is None or not shape.part:
        return
    model: type[BaseModel] | None = _model(shape.part[0])
    for step in rule.field.split("."):
        if model is None or step not in model.model_fields:
            yield ("field",), f"no {shape.part[0]} has a field {rule.field}"
            return
        model = next(
            (it for it in get_args(model.model_fields[step].annotation) if isinstance(it, type) and _is_model(it)), None
        )


def _is_model(found: type) -> bool:
    return issubclass(found, BaseModel)


def _model(kind: str) -> type[BaseModel]:
    if kind == SITE_PART:
        return Site
    section = next(name for name, known in KINDS.items() if known == kind)
    found: type[BaseModel] = get_args(Site.model_fields[section].annotation)[1]
    return found


def _names(inspections: Inspections, knowledge: Knowledge) -> Iterator[tuple[str, Note]]:
    for rule in inspections.rules.values():
        named: Mapping[Path, tuple[str, Iterable[str], str]] = {
            **({("cause",): (rule.cause, knowledge.causes, "cause")} if rule.cause else {}),
            **{
                ("cautions", place): (caution, knowledge.cautions, "caution")
                for place, caution in enumerate(rule.cautions)
            },
        }
        for path, (name, known, thing) in named.items():
            if name not in known:
                yield rule.id, (path, f"there is no {thing} {name}{suggestion(nearest(name, known)) or '.'}")


def _failed(inspections: Inspections) -> Iterator[Fault]:
    for it in run_cases(engine_inspector(inspections)):
        if not it.holds:
            message = f"“{it.name}” was to find {_said(it.wanted)} and found {_said(it.found)}"
            yield _fault(inspections, it.rule, (("cases", it.index, "finds"), message))


def _said(parts: frozenset[str]) -> str:
    return ", ".join(sorted(parts)) or "nothing"
