"""Understand a reading as it is typed, `22,8 V`, `1k2` or `0.4A`, or say kindly why not."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import inf
from typing import Final

from diag.calculators.quantities import Quantity, Unit, quantities, quantity_named

NUMBER: Final = re.compile(r"(?P<sign>[+-]?) ?(?P<number>\d[\d .,']*\d|\d|[.,]\d+)\s*(?P<unit>.*)")
LETTER_AS_POINT: Final = re.compile(r"(?P<sign>[+-]?)(?P<whole>\d*)(?P<letter>[A-Za-z])(?P<part>\d+)\s*(?P<unit>\D*)")
THOUSANDS: Final = re.compile(r"\d{1,3}([ ']\d{3})+")
ABOUT: Final = re.compile(r"^(about|approx\.?|ca\.?|circa|roughly|~|\u2248|=)\s*", re.IGNORECASE)
OVER_RANGE: Final = frozenset({"ol", "o.l", "o.l.", "0l", "0.l", "open", "infinite", "infinity", "\u221e", "over"})
AROUND: Final = re.compile(r"\s*(ish|ok|okay|or so|approx\.?|roughly)$", re.IGNORECASE)
OVER: Final = re.compile(r"^(>=?|\u2265|over|above|more than|at least)\s*(?=[\d.,])", re.IGNORECASE)
UNDER: Final = re.compile(r"^(<=?|\u2264|under|below|less than)\s*[\d.,]", re.IGNORECASE)
TWO_NUMBERS: Final = re.compile(r"\d[^\d.,' ]*\s*(-|/|\.\.+|to|and|or)\s*[\d.,]", re.IGNORECASE)
NOUGHT: Final = frozenset({"zero", "nil", "nought", "naught"})
NO_SUPPLY: Final = NOUGHT | {"nothing", "dead", "no voltage", "no volts", "no current", "no power"}
"""What people type for 0 V and 0 A; of another quantity it would not say that it was read."""
MOST_CHARACTERS: Final = 40
SAME_CHARACTERS: Final = str.maketrans(
    {"\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2126": "\u03a9", "\u03bc": "\u00b5"}
)


class NotAReading(ValueError):
    """What was typed cannot be the reading; the message says what can, in words for the person who typed it."""


@dataclass(frozen=True, slots=True)
class Range:
    """The lowest and highest value that a reading can plausibly have, in the quantity's own unit."""

    low: float
    high: float


def read_value(text: str, quantity: str, plausible: Range | None = None) -> float:
    """Return the value of a typed reading in the quantity's own unit; an over-range resistance is infinite.

    Comma or point, unit or none, letters as decimal point (1k2, 4R7, 12V5) are all understood, and a resistance
    above what the meter can show (>200 M) is taken as that. Raises NotAReading
    with the plausible range, and ValueError for a quantity there is none of.
    """
    asked = quantity_named(quantity)
    limits = plausible or Range(asked.low, asked.high)
    typed = tidy(text)
    if asked.name == "resistance":
        typed = OVER.sub("", typed)  # insulation testers end at a value and show that it is more
    if asked.name == "resistance" and strip_unit(typed).lower() in OVER_RANGE:
        return inf
    found = list(dict.fromkeys(candidates(typed, asked)))
    fitting = [value for value in found if limits.low <= value <= limits.high]
    if not found:
        raise NotAReading(not_understood(text, asked, limits))
    if not fitting:
        raise NotAReading(out_of_range(text, found[0], asked, limits))
    if len(fitting) > 1:
        raise NotAReading(two_meanings(text, fitting, asked))
    return fitting[0]


def tidy(text: str) -> str:
    """Return the text with one kind of each sign, single spaces and nothing around the reading."""
    plain = " ".join(text[: MOST_CHARACTERS + 1].translate(SAME_CHARACTERS).split())
    if len(plain) > MOST_CHARACTERS:
        return ""
    return AROUND.sub("", ABOUT.sub("", plain).rstrip(".;!? "))


def strip_unit(typed: str) -> str:
    """Return an over-range display without the unit some write after it."""
    return re.sub(r"\s*[kKM]?(\u03a9|ohms?)$", "", typed, flags=re.IGNORECASE) or typed


def candidates(typed: str, asked: Quantity) -> Iterator[float]:
    """Yield every value the typed text can stand for, the likeliest first."""
    if typed.lower() in (NO_SUPPLY if asked.name in ("voltage", "current") else NOUGHT):
        yield 0.0
        return
    lettered = LETTER_AS_POINT.fullmatch(typed)
    if lettered:
        unit = unit_of(lettered["letter"] + lettered["unit"].replace(" ", ""), asked)
        unit = unit or unit_of(lettered["letter"], asked)
        if unit and len(lettered["letter"]) == 1 and asked.takes_letters:
            yield signed(lettered["sign"], f"{lettered['whole'] or '0'}.{lettered['part']}", unit)
        return
    plain = NUMBER.fullmatch(typed)
    unit = unit_of(plain["unit"], asked) if plain else None
    if plain is None or unit is None:
        return
    for digits in spellings(plain["number"]):
        yield signed(plain["sign"], digits, unit)


def signed(sign: str, digits: str, unit: Unit) -> float:
    """Return the digits as a value in the quantity's own unit."""
    value = float(digits) * (-1.0 if sign == "-" else 1.0)
    return float(f"{value * unit.factor + unit.offset:.12g}")


def spellings(number: str) -> Iterator[str]:
    """Yield the plain spellings of a number that may hold commas, points and spaces.

    One comma is a decimal comma, and a thousands comma as well where three digits follow it.
    """
    if THOUSANDS.fullmatch(re.split(r"[.,]", number)[0]):
        number = number.replace(" ", "").replace("'", "")
    if " " in number or "'" in number:
        return
    commas, points = number.count(","), number.count(".")
    if commas and points:
        decimal = max(number.rfind(","), number.rfind("."))
        yield re.sub(r"[.,]", "", number[:decimal]) + "." + number[decimal + 1 :]
    elif commas == 1:
        yield number.replace(",", ".")
        if re.fullmatch(r"[1-9]\d{0,2},\d{3}", number):
            yield number.replace(",", "")
    elif commas > 1 or points > 1:
        if re.fullmatch(r"\d{1,3}([.,]\d{3})+", number):
            yield re.sub(r"[.,]", "", number)
    else:
        yield number


def unit_of(written: str, asked: Quantity) -> Unit | None:
    """Return the unit of the quantity that was written, by exact case first, or None for another's."""
    bare = re.sub(r"(?<=[vVaAsSpPtT])(dc|DC|ac|AC|=|~)$", "", re.sub(r"[ .]", "", written))
    same = [unit for unit in asked.units if unit.name.lower() == bare.lower()]
    return max(same, key=lambda unit: sum(map(str.__eq__, unit.name, bare)), default=None)


def not_understood(text: str, asked: Quantity, limits: Range) -> str:
    """Return what to type instead of something that is no reading of the quantity."""
    wanted = f"Type {asked.words} as a number {range_in_words(asked, limits)}."
    if not text.strip():
        return f"There is no reading yet. {wanted}"
    if TWO_NUMBERS.search(tidy(text)):
        return f"{shown(text)} holds two numbers. Type one; where the meter wavers, the one in the middle."
    if OVER.search(tidy(text)) or UNDER.search(tidy(text)):
        return f"{shown(text)} tells a limit. Type the number that the meter shows."
    other = next((one for one in quantities() if one != asked and any(candidates(tidy(text), one))), None)
    if other is not None:
        return f"{shown(text)} looks like {other.words}. {wanted}"
    return f"{shown(text)} is not understood. {wanted}"


def out_of_range(text: str, value: float, asked: Quantity, limits: Range) -> str:
    """Return what to check about a value that cannot be."""
    return (
        f"{shown(text)} reads as {number_in_words(value)} {asked.unit}; {asked.words} here is"
        f" {range_in_words(asked, limits)}. Check the reading and its unit, then type it again."
    )


def two_meanings(text: str, values: list[float], asked: Quantity) -> str:
    """Return how to tell two values apart."""
    one, other = (f"{number_in_words(value)} {asked.unit}" for value in values[:2])
    return f"{shown(text)} can mean {one} or {other}. Type it without the comma."


def shown(text: str) -> str:
    """Return what was typed, shortened, in quotation marks."""
    plain = " ".join(text.split())
    return f"\u2018{plain if len(plain) <= MOST_CHARACTERS else plain[:MOST_CHARACTERS] + '...'}\u2019"


def range_in_words(asked: Quantity, limits: Range) -> str:
    """Return the plausible range with its unit."""
    return f"between {number_in_words(limits.low)} and {number_in_words(limits.high)} {asked.unit}"


def number_in_words(value: float) -> str:
    """Return a number as a person would write it."""
    return f"{value:,.6g}".replace(",", " ") if abs(value) < 1e7 else f"{value / 1e6:g} million"
