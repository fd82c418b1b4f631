"""Pick the typed texts that nobody understood, for those who write phrases."""

from __future__ import annotations

from collections.abc import Iterable

from diag.intake import Intake, understand
from diag.likeness import alike_groups


def unheard_groups(intake: Intake, texts: Iterable[str]) -> list[list[str]]:
    """Return the texts that mean no symptom, in groups of like ones, the largest first."""
    return alike_groups(text for text in texts if not understand(intake, text).recognised)
