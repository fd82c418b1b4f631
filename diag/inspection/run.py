"""Inspect a site: its facts through the rule engine, and every firing told as a finding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

from diag.engine import Engine
from diag.inspection.chapter import CHAPTER, compile_inspections, engine_rule
from diag.inspection.facts import describe, described_kinds, inspection_facts
from diag.inspection.findings import Finding, Inspection, worst_first
from diag.inspection.saying import name_part, say
from diag.inspection.sieve import Sieves, make_sieves
from diag.inspection.view import View
from diag.reasoner import Evaluate
from diag.rules import Firing, Value
from diag.site import Site
from diag.topology import KINDS, SITE_PART, read_topology
from knowledge.inspection_entries import InspectionRule
from knowledge.load import Inspections, load_inspections
from knowledge.located import Located

Variables = tuple[Mapping[str, str], ...]


@dataclass(frozen=True)
class Inspector:
    """The inspection rules made ready, and the engine that runs them; it must hold their chapter."""

    inspections: Inspections
    evaluate: Evaluate
    variables: Mapping[str, Variables]
    sieves: Sieves


def prepare_inspector(inspections: Inspections, evaluate: Evaluate) -> Inspector:
    """Return an inspector over an engine or pool that holds the chapter of `compile_inspections`."""
    rules = inspections.rules
    variables = {code: _variables(rule) for code, rule in rules.items()}
    sieves = make_sieves(map(engine_rule, rules.values()), described_kinds())
    return Inspector(inspections, evaluate, variables, sieves)


def open_inspector() -> Inspector:
    """Return an inspector over the knowledge base; raise BadKnowledge or RulesRefused."""
    return engine_inspector(load_inspections())


def engine_inspector(inspections: Inspections) -> Inspector:
    """Return an inspector with an engine of its own in this process; raise RulesRefused."""
    return prepare_inspector(inspections, Engine(compile_inspections(inspections.rules.values())).run)


def inspect(inspector: Inspector, site: Site, today: date | None = None, located: Located | None = None) -> Inspection:
    """Return all findings of a site, worst first, with lines when the file it was read from is given.

    Ages are not inspected when today is not given.
    """
    view = View(read_topology(site), today)
    facts = inspection_facts(view, inspector.sieves)
    firings = inspector.evaluate(CHAPTER, facts)
    findings = worst_first(dict.fromkeys(_finding(inspector, view, firing) for firing in firings))
    if located is not None:
        findings = tuple(_placed(it, located) for it in findings)
    return Inspection(site.name, findings)


def _variables(rule: InspectionRule) -> Variables:
    return tuple(
        {str(test.value): test.field for test in condition.tests if test.operator == "same-as"}
        for condition in engine_rule(rule).when
    )


def _finding(inspector: Inspector, view: View, firing: Firing) -> Finding:
    rule = inspector.inspections.rules[firing.rule.partition("/")[2]]
    part = str(firing.derived["part"])
    kind = view.topology.kind(part)
    bound = {
        variable: str(premise[field])
        for premise, fields in zip(firing.premises, inspector.variables[rule.id], strict=True)
        for variable, field in fields.items()
    }
    figures = _figures(view, firing)
    return Finding(
        rule=rule.id,
        severity=rule.severity,
        part=part,
        part_kind=kind,
        part_name=name_part(view.topology, part),
        title=rule.title,
        reason=say(rule.reason, bound, figures.__getitem__, view.topology),
        remedy=say(rule.remedy, bound, figures.__getitem__, view.topology),
        source=rule.source,
        cause=rule.cause,
        cautions=tuple(rule.cautions),
        path=_path(kind, part, rule.field),
    )


def _figures(view: View, firing: Firing) -> dict[str, Value]:
    """Return every figure of the parts a rule asked for; the first premise that has a figure gives it."""
    figures: dict[str, Value] = {}
    for premise in reversed(firing.premises):
        words = describe(view, premise.kind, str(premise["part"])) or dict(premise.fields)
        figures |= {name: value for name, value in words.items() if value is not None}
    return figures


def _path(kind: str, part: str, field: str | None) -> tuple[str, ...]:
    steps = tuple(field.split(".")) if field else ()
    if part == SITE_PART:
        return steps
    section = next(name for name, known in KINDS.items() if known == kind)
    return (section, part, *steps)


def _placed(finding: Finding, located: Located) -> Finding:
    """Add the line of the field, or of the part when the field is not written in the file."""
    line, column = located.key_position(finding.path)
    return replace(finding, line=line, column=column)
