"""Refuse arguments no calculation can use, naming the argument and what is allowed."""

from __future__ import annotations

import math


def require_finite(name: str, value: float) -> float:
    """Return the value, or raise ValueError when it is not an ordinary number."""
    if math.isfinite(value):
        return value
    raise ValueError(f"{name} is {value}; expected an ordinary number")


def require_positive(name: str, value: float) -> float:
    """Return the value, or raise ValueError unless it is finite and above zero."""
    if require_finite(name, value) > 0:
        return value
    raise ValueError(f"{name} is {value:g}; expected above 0")


def require_not_negative(name: str, value: float) -> float:
    """Return the value, or raise ValueError unless it is finite and zero or above."""
    if require_finite(name, value) >= 0:
        return value
    raise ValueError(f"{name} is {value:g}; expected 0 or above")


def require_between(name: str, value: float, low: float, high: float) -> float:
    """Return the value, or raise ValueError unless low <= value <= high."""
    if low <= require_finite(name, value) <= high:
        return value
    raise ValueError(f"{name} is {value:g}; expected {low:g} to {high:g}")
