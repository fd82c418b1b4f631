"""Read when a hand was at the switch, as far as the text says so."""

from __future__ import annotations

import re
from collections.abc import Iterator

from diag.words.reading import Reading
from diag.words.understood import SaidTime

_BY_HAND = frozenset({"by-hand", "used-by-hand", "press"})

_CLOCK = re.compile(r"\b([01]?[0-9]|2[0-3])[:.h]([0-5][0-9])\b(?!\s*(?:v|a|m|mm|%|volt|amp))", re.IGNORECASE)
_WORDS = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0,
    "ten": 10.0, "twelve": 12.0, "fifteen": 15.0, "twenty": 20.0, "thirty": 30.0, "forty": 40.0,
    "half an": 0.5, "half a": 0.5,
    "quarter of an": 0.25, "a quarter of an": 0.25, "a few": 3.0, "couple of": 2.0, "a couple of": 2.0,
    "einer": 1.0, "zehn": 10.0, "zwanzig": 20.0, "en": 1.0, "ti": 10.0, "tyve": 20.0, "half": 0.5,
}  # fmt: skip
_AMOUNT = "|".join(sorted(map(re.escape, _WORDS), key=len, reverse=True))
_UNIT = r"(?P<unit>minutes?|mins?|minuten|minutter|min|hours?|hrs?|h|stunden?|timer?)"
_AGO = re.compile(
    rf"\b(?P<amount>\d+(?:[.,]\d+)?|{_AMOUNT})\s*{_UNIT}\s+(?:ago|earlier|before|siden|zuvor)\b"
    rf"|\bvor\s+(?P<amount2>\d+|{_AMOUNT})\s*(?P<unit2>minuten|minutter|min|stunden?|timer?)\b",
    re.IGNORECASE,
)


def said_times(text: str, reading: Reading) -> Iterator[SaidTime]:
    """Yield the times in a text that speaks of a manual command, with the part if one is named."""
    if not reading.ideas & _BY_HAND:
        return
    named = [mention for mention in reading.mentions if mention.part]
    pressed = [mention.part for mention in named if mention.has("switch")] or [mention.part for mention in named]
    part = pressed[0] if pressed else None
    for match in _AGO.finditer(text):
        amount = match.group("amount") or match.group("amount2")
        unit = match.group("unit") or match.group("unit2")
        yield SaidTime("manual", minutes_ago=_minutes(amount, unit), part=part)
    for match in _CLOCK.finditer(text):
        yield SaidTime("manual", clock=f"{int(match.group(1)):02d}:{match.group(2)}", part=part)


def _minutes(amount: str, unit: str) -> float:
    number = _WORDS.get(amount.lower())
    if number is None:
        number = float(amount.replace(",", "."))
    return number * (60.0 if unit[0].lower() in "hst" else 1.0)
