"""Feed a YAML parser's events to a tree and put its complaints into plain words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import yaml

from knowledge.yaml_tree import DEEPEST, Finding, Stop, Tree

ADVICE = (
    (
        "mapping values are not allowed",
        "a colon is out of place; put text with a colon in quotes, or check the indent",
    ),
    ("could not find expected ':'", "a name without a colon after it, or a line that is indented wrongly"),
    ("did not find expected key", "a name was expected; check the indent of this line and the one before it"),
    ("did not find expected '-' indicator", "a list item was expected; check the indent of this line"),
    ("did not find expected ',' or ']'", "a list is not closed; add the missing comma or ]"),
    ("did not find expected ',' or '}'", "a mapping in braces is not closed; add the missing comma or }"),
    ("did not find expected node content", "a value or a closing bracket is missing before this"),
    ("maximum nesting depth", f"nested more than {DEEPEST} levels deep; a description needs fewer"),
    ("unexpected end of stream", "a quote opened here is never closed; add the closing quote"),
    ("cannot start any token", "text cannot begin with this character; put the text in quotes"),
    ("escape", "an escape after \\ is not valid; use single quotes if \\ is meant as it stands"),
    ("block sequence entries are not allowed", "a list item cannot start here; put it on a line of its own"),
    ("undefined alias", "aliases are not allowed; write the value out again, or put text with * in quotes"),
    ("did not find expected alphabetic", "text that begins with & or * must be in quotes"),
)


def grow(tree: Tree, text: str) -> Finding | None:
    """Feed the parser's events to the tree; return the finding that stopped it, if any."""
    try:
        next_event = _events(text)
        while (event := next_event()) is not None and type(event) is not yaml.StreamEndEvent:
            tree.add(event)
    except Stop as stop:
        return stop.finding
    except yaml.MarkedYAMLError as error:
        return _syntax_finding(tree, text, error)
    except (yaml.YAMLError, ValueError, OverflowError) as error:
        # the parser written in Python lets a few bad escapes through as ValueError, without a mark
        return Finding(None, tree.path(), _advice(str(error), ""))
    return None


def _syntax_finding(tree: Tree, text: str, error: yaml.MarkedYAMLError) -> Finding:
    problem, opened = str(error.problem), error.context_mark
    mark = error.problem_mark or opened
    if "end of stream" in problem and opened:
        mark = opened  # where a quote was opened tells more than where the file ends
    advice = _advice(problem, text[mark.index :][:1] if mark else "")
    if "not closed" in advice and opened:
        advice = f"{advice}; it opens at line {opened.line + 1}"
    return Finding(mark, tree.path(), advice)


def _events(text: str) -> Callable[[], Any]:
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)(text)
    next_event: Callable[[], Any] = loader.get_event
    return next_event


def _advice(problem: str, character: str) -> str:
    if character == "\t":
        return "a tab cannot stand here; indent with spaces"
    for part, advice in ADVICE:
        if part in problem:
            return advice
    return f"this cannot be read as YAML ({problem[:120]}); check quotes, colons and indent here"
