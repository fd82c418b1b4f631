"""Find numbers that people read and that no source stands behind."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from diag.user_texts import UserText, user_texts
from knowledge.faults import Fault
from knowledge.load import Knowledge
from knowledge.located import Located

UNITS = (
    "V|mV|A|mA|ohm|kilohm|megohm|Mohm|s|seconds?|min|minutes?|hours?|days?|years?|mm|cm|m|metres?|m/s|degrees?|°C|K|"
    "ppm|per cent|N|Hz|kg"
)
NUMBER = re.compile(rf"(?<![\w.-])(\d[\d.,]*(?: (?:to|or|and) \d[\d.,]*)*) ?({UNITS}|%)(?!\w)")
NOMINAL = frozenset({"24 V", "230 V", "12 V"})
"""These name a kind of circuit; they claim nothing that could be wrong."""

SAY_SOURCE = "add `source:` with a standard, “common practice, no source” or “judgement”"
VAGUE = re.compile(r"unknown|none|n/?a|tb[cd]|internet|web(site)?|various|experience|manual|literature", re.IGNORECASE)


def lint_numbers(knowledge: Knowledge) -> Iterator[Fault]:
    """Yield texts with a number whose entry or rule names no source, and sources that name nothing."""
    for it in user_texts(knowledge):
        located = knowledge.files[f"{it.kind}:{it.entry}"]
        number = next((found for found in _numbers(it.text)), None)
        if number and not _has_source(located.data, it):
            message = (
                f"{number} has no source; add `source:` with a standard, “common practice, no source” or “judgement”"
            )
            yield located.fault(it.path, message)
    for located in knowledge.files.values():
        yield from _vague(located)


def _numbers(text: str) -> Iterator[str]:
    found = (" ".join(match.groups()) for match in NUMBER.finditer(text))
    return (it for it in found if it not in NOMINAL)


def _has_source(data: Any, it: UserText) -> bool:
    """Return whether a source is written beside the text or for the whole entry."""
    holders = [data]
    for step in it.path[:-1]:
        data = data[step]
        holders.append(data)
    if it.path[0] == "base-rate":
        return True  # the model gives base rates their source: judgement, unless another is written
    if it.kind == "Check" and isinstance(holders[0], dict):
        holders.append(holders[0].get("reading"))
    return any(isinstance(holder, dict) and holder.get("source") for holder in holders)


def _vague(located: Located) -> Iterator[Fault]:
    data = located.data
    if isinstance(data, dict) and isinstance(data.get("source"), str) and VAGUE.fullmatch(data["source"].strip()):
        message = f"the source “{data['source']}” names nothing; name a standard, a practice or a judgement"
        yield located.fault(("source",), message)
