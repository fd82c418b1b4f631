"""Write an inspection as SARIF 2.1.0, the format that editors and build servers show findings from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Any, Final
from urllib.parse import quote

from diag.inspection.findings import Finding, Inspection
from knowledge.inspection_entries import InspectionRule

SCHEMA: Final = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"


def sarif_log(
    inspection: Inspection, rules: Mapping[str, InspectionRule], version: str, artifact: str | None = None
) -> dict[str, Any]:
    """Return a SARIF log of one run of these rules, whose version is the knowledge's.

    `artifact` is the relative path of the site file, if there is one.

    All rules are listed, so that a reader also sees what was looked for and not found.
    """
    places = {rule: place for place, rule in enumerate(rules)}
    run: dict[str, Any] = {
        "tool": {
            "driver": {
                "name": "ventsleuth",
                "version": version,
                "rules": [_rule(rule) for rule in rules.values()],
            }
        },
        "invocations": [{"executionSuccessful": True}],
        "columnKind": "unicodeCodePoints",
        "results": [_result(it, places[it.rule], artifact) for it in inspection.findings],
        "properties": {"site": inspection.site_name},
    }
    if artifact is not None:
        run["artifacts"] = [{"location": {"uri": as_uri(artifact)}}]
    return {"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}


def as_uri(path: str) -> str:
    """Return a relative path as a URI reference: forward slashes, other characters escaped."""
    return quote(path.replace("\\", "/"), safe="/")


def _rule(rule: InspectionRule) -> dict[str, Any]:
    return {
        "id": rule.id,
        "shortDescription": {"text": f"{rule.title}."},
        "help": {"text": f"{_plain(rule.remedy)} Source: {rule.source}."},
        "defaultConfiguration": {"level": rule.severity},
        "properties": {"source": rule.source, **({"cause": rule.cause} if rule.cause else {})},
    }


def _plain(text: str) -> str:
    """Return a remedy without the marks for figures, which only a finding fills in."""
    return text.replace("{", "").replace("}", "").replace("_", " ")


def _result(it: Finding, place: int, artifact: str | None) -> dict[str, Any]:
    return {
        "ruleId": it.rule,
        "ruleIndex": place,
        "level": it.severity,
        "message": {"text": f"{it.reason} {it.remedy}"},
        "locations": [_location(it, artifact)],
        "partialFingerprints": {"rulePartReason/v1": _fingerprint((it.rule, it.part, it.reason))},
        "properties": {"part": it.part, "partKind": it.part_kind, "cautions": list(it.cautions)},
    }


def _location(it: Finding, artifact: str | None) -> dict[str, Any]:
    logical = {"name": it.part, "fullyQualifiedName": ".".join(it.path) or it.part, "kind": it.part_kind}
    location: dict[str, Any] = {"logicalLocations": [logical]}
    if artifact is not None and it.line is not None:
        region = {"startLine": it.line, "startColumn": it.column}
        location["physicalLocation"] = {"artifactLocation": {"uri": as_uri(artifact), "index": 0}, "region": region}
    return location


def _fingerprint(parts: Iterable[str]) -> str:
    return sha256("\0".join(parts).encode()).hexdigest()[:32]
