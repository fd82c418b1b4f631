"""Which symptoms make the rules suspect a cause, and which parts of a site a symptom can be about."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from diag.training.workshop import Workshop
from knowledge.entries import Cause, Symptom


def symptoms_of(workshop: Workshop, cause: Cause) -> list[Symptom]:
    """Return the symptoms by which the rules suspect a cause, in the order of the rules."""
    found: dict[str, None] = {}
    for rule in cause.rules:
        if rule.suspect and rule.suspect != "never":
            found |= dict.fromkeys(_symptoms_asked(rule.when))
    return [workshop.knowledge.symptoms[it] for it in found]


def _symptoms_asked(when: Sequence[Mapping[str, Mapping[str, object]]]) -> Iterator[str]:
    for condition in when:
        asked = condition.get("symptom", {}).get("symptom", ())
        yield from [asked] if isinstance(asked, str) else asked if isinstance(asked, list) else ()


def parts_about(workshop: Workshop, symptom: Symptom) -> list[str]:
    """Return the parts of the site that a symptom can be about."""
    inputs = workshop.prepared.site.inputs
    parts = [part for kind in symptom.about for part in sorted(workshop.topology.of_kind(kind))]
    return [it for it in parts if it not in inputs or inputs[it].kind in (symptom.input_kinds or (inputs[it].kind,))]
