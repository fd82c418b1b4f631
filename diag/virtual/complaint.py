"""One thing that somebody notices at a site."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Complaint:
    """A symptom by its id, the part it is about, and how likely people are to name it before others."""

    symptom: str
    part: str
    weight: float
