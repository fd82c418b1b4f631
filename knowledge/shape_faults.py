"""Turn pydantic's errors into problems that say what was found, what is allowed and which name is nearest."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Annotated, Any, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from knowledge.faults import Path, Problem, choice_words, nearest, quoted, suggestion

WORD = re.compile(r"'((?:[^'\\]|\\.)*)'|(-?\d+)")
ABSENT = object()
EXPLAINED = 1000
"""Explaining costs time; nobody mends more than this at once."""

EXPECTED_KINDS = {
    "string_type": "text; put it in quotes if it looks like a number",
    "float_type": "a number without its unit",
    "float_parsing": "a number without its unit",
    "int_type": "a whole number without its unit",
    "int_parsing": "a whole number without its unit",
    "int_from_float": "a whole number",
    "bool_type": "true or false, without quotes",
    "bool_parsing": "true or false, without quotes",
    "list_type": "a list, such as [a, b]",
    "dict_type": "names with values under them; leave the field out when there are none",
    "model_type": "fields under it; leave it out when there are none",
    "model_attributes_type": "fields under it; leave it out when there are none",
    "date_parsing": "a date such as 2024-05-31",
    "date_type": "a date such as 2024-05-31",
    "finite_number": "a finite number",
}

BOUNDS: dict[str, Callable[[Mapping[str, Any]], str]] = {
    "greater_than": lambda context: f"a number above {context['gt']:g}",
    "greater_than_equal": lambda context: f"a number of at least {context['ge']:g}",
    "less_than": lambda context: f"a number below {context['lt']:g}",
    "less_than_equal": lambda context: f"a number of at most {context['le']:g}",
    "string_too_short": lambda context: f"text of at least {context['min_length']} characters",
    "string_too_long": lambda context: f"text of at most {context['max_length']} characters",
    "too_short": lambda context: f"at least {context['min_length']} of them",
    "too_long": lambda context: f"at most {context['max_length']} of them",
}


def shape_problems(error: ValidationError, model: type[BaseModel], data: Any) -> list[Problem]:
    """Return every problem once, in the order pydantic found them; of thousands only the first."""
    details = _settle_unions(error.errors(include_url=False)[:EXPLAINED], data)
    return [_problem(detail, path, model) for detail, path in details]


def _problem(detail: ErrorDetails, path: Path, model: type[BaseModel]) -> Problem:
    kind = detail["type"]
    if kind == "missing":
        return Problem(path, f"{quoted(path[-1])} is missing; add it", at_key=True, is_absence=True)
    if kind == "extra_forbidden":
        return _unknown_field(path, model)
    if kind in ("literal_error", "enum", "union_tag_invalid"):
        return _unknown_word(detail, path)
    if kind in ("value_error", "assertion_error"):
        return Problem(path, detail["msg"].removeprefix("Value error, ").removeprefix("Assertion failed, "))
    at_key = detail["loc"][-1:] == ("[key]",)
    found = path[-1] if at_key else detail["input"]
    wanted = _wanted(detail, path, model, at_key)
    return Problem(path, f"found {quoted(found)}; allowed: {wanted}", _plain(found), (wanted,), at_key=at_key)


def _unknown_field(path: Path, model: type[BaseModel]) -> Problem:
    names = tuple(sorted({name for owner in _models_at(model, path[:-1]) for name in _field_names(owner)}))
    found = str(path[-1])
    close = nearest(found, names)
    message = f"unknown field {quoted(found)}{suggestion(close) or '.'} Allowed here: {choice_words(names)}"
    return Problem(path, message, found, names, close, at_key=True)


def _unknown_word(detail: ErrorDetails, path: Path) -> Problem:
    context = detail.get("ctx", {})
    expected = str(context.get("expected", context.get("expected_tags", "")))
    allowed = tuple(text or number for text, number in WORD.findall(expected))
    value = context.get("tag", detail["input"])
    close = nearest(str(value), allowed)
    message = f"found {quoted(value)}; allowed: {choice_words(allowed)}{suggestion(close)}"
    return Problem(path, message, _plain(value), allowed, close)


def _wanted(detail: ErrorDetails, path: Path, model: type[BaseModel], at_key: bool) -> str:
    kind, context = detail["type"], detail.get("ctx", {})
    if kind in EXPECTED_KINDS:
        return EXPECTED_KINDS[kind]
    if kind in BOUNDS:
        return BOUNDS[kind](context)
    if kind == "string_pattern_mismatch":
        return _described_form(model, path, at_key) or f"text of the form {context['pattern']}"
    return detail["msg"]


def _plain(value: Any) -> str:
    return quoted(value).strip('"')


def _settle_unions(errors: list[ErrorDetails], data: Any) -> list[tuple[ErrorDetails, Path]]:
    """Keep, where several alternatives were tried on one value, the errors of the one that got furthest."""
    kept: dict[Path, list[tuple[ErrorDetails, Path]]] = {}
    for detail in errors:
        path, union_at = _real_path(detail, data)
        group = kept.setdefault(union_at if union_at is not None else (*path, detail["type"]), [])
        group.append((detail, path))
    return [pair for group in kept.values() for pair in _furthest(group)]


def _furthest(group: list[tuple[ErrorDetails, Path]]) -> list[tuple[ErrorDetails, Path]]:
    depth = max(len(path) for _, path in group)
    deepest = [pair for pair in group if len(pair[1]) == depth]
    if len(deepest) == 1 or len({path for _, path in deepest}) > 1:
        return deepest
    return deepest[:1]


def _real_path(detail: ErrorDetails, data: Any) -> tuple[Path, Path | None]:
    """Return the path without pydantic's names of alternatives, and where the first of those stood."""
    path: list[str | int] = []
    union_at: Path | None = None
    steps = [step for step in detail["loc"] if step != "[key]"]
    for index, step in enumerate(steps):
        inside = _member(data, step)
        is_last_name = index == len(steps) - 1 and detail["type"] in ("missing", "extra_forbidden")
        if inside is ABSENT and not is_last_name:
            union_at = union_at if union_at is not None else tuple(path)
            continue
        path.append(step)
        data = inside
    return tuple(path), union_at


def _member(data: Any, step: str | int) -> Any:
    if isinstance(data, dict):
        return data.get(step, ABSENT)
    if isinstance(data, list) and isinstance(step, int) and 0 <= step < len(data):
        return data[step]
    return ABSENT


def _field_names(model: type[BaseModel]) -> Iterator[str]:
    for name, field in model.model_fields.items():
        yield field.alias or name


def _models_at(model: type[BaseModel], path: Path) -> list[type[BaseModel]]:
    found: list[Any] = [model]
    for step in path:
        found = [inner for outer in found for inner in _step_into(outer, step)]
    return [inner for outer in found for inner in _alternatives(outer) if _is_model(inner)]


def _step_into(annotation: Any, step: str | int) -> Iterator[Any]:
    """Yield the annotations that a step through a field, key or list position can lead to."""
    for inner in _alternatives(annotation):
        if _is_model(inner):
            yield from (field.annotation for name, field in inner.model_fields.items() if step in (name, field.alias))
        elif get_origin(inner) is dict and isinstance(step, str):
            yield get_args(inner)[1]
        elif get_origin(inner) in (list, tuple) and isinstance(step, int):
            yield get_args(inner)[0]


def _alternatives(annotation: Any) -> Iterator[Any]:
    """Yield the plain types behind optional, annotated and union types."""
    if get_origin(annotation) is Annotated:
        yield from _alternatives(get_args(annotation)[0])
    elif _is_model(annotation) or get_origin(annotation) in (dict, list, tuple) or not get_args(annotation):
        yield annotation
    else:
        for inner in get_args(annotation):
            yield from _alternatives(inner)


def _is_model(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _described_form(model: type[BaseModel], path: Path, at_key: bool) -> str:
    """Return the description that belongs to the text type itself, such as that of a clock time."""
    found: list[Any] = [model]
    for step in path[:-1]:
        found = [inner for outer in found for inner in _step_into(outer, step)]
    steps = [inner for outer in found for inner in _last_step(outer, path[-1], at_key)]
    return next((words for annotation in steps for words in _descriptions(annotation)), "")


def _last_step(annotation: Any, step: str | int, at_key: bool) -> Iterator[Any]:
    for inner in _alternatives(annotation):
        if at_key and get_origin(inner) is dict:
            yield get_args(inner)[0]
        elif _is_model(inner):
            for name, field in inner.model_fields.items():
                if step in (name, field.alias):
                    yield Annotated[field.annotation, field]
        else:
            yield from _step_into(inner, step)


def _descriptions(annotation: Any) -> Iterator[str]:
    """Yield descriptions found inside a type, innermost first: they are about the form, not the field."""
    for inner in get_args(annotation)[:1] if get_origin(annotation) is Annotated else get_args(annotation):
        yield from _descriptions(inner)
    if get_origin(annotation) is Annotated:
        for extra in get_args(annotation)[1:]:
            if isinstance(extra, FieldInfo) and extra.description:
                yield extra.description
