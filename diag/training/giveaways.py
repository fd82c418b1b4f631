"""Keep out of a call-out what would give its cause away: words that only the cause's own name has."""

from __future__ import annotations

from collections.abc import Iterable

from diag.observations import Finding
from diag.training.lint import echoes
from diag.training.scenarios import Scene
from diag.training.telling import tell_case, tell_finding
from diag.training.workshop import Workshop


def report_gives_away(workshop: Workshop, scene: Scene) -> bool:
    """Return whether the report itself has a word of the cause that no other suspected cause has."""
    return bool(_echoes(workshop, scene, tell_case(workshop, scene.case)))


def discreet(workshop: Workshop, scene: Scene, findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings that can be told without naming the cause."""
    return [it for it in findings if not _echoes(workshop, scene, (tell_finding(workshop, it),))]


def _echoes(workshop: Workshop, scene: Scene, told: Iterable[str]) -> frozenset[str]:
    say, causes = workshop.phrases.cause, workshop.knowledge.causes
    others = {it.cause for it in scene.hypotheses if it.cause in causes} - {scene.cause}
    return echoes(told, say(scene.cause), map(say, sorted(others)))
