"""Say why a cause is likely, and why another is not."""

from __future__ import annotations

from collections.abc import Sequence

from diag.learning import learned_reason
from diag.likelihoods import SOMETHING_ELSE
from diag.observations import Reason
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning
from diag.rules import Firing
from diag.scope import is_stand_in
from diag.topology import SITE_PART
from diag.weighing import Weighed
from diag.wording import bound_parts, fill_in, name_part, say_fact
from knowledge.entries import ConditionFields

CLEAR_SHIFT = 1.25
"""A finding speaks for or against a cause when it shifts its odds by more than this."""

CLOSED_CASES = "closed-cases"
ELSE_NAME = "Something else"
ELSE_SAYS = "A share is kept for what no entry describes; it grows when findings fit none of the causes."


def cause_name(reasoner: Reasoner, cause: str) -> str:
    """Return the cause's name for people."""
    return ELSE_NAME if cause == SOMETHING_ELSE else reasoner.knowledge.causes[cause].name


def public_part(part: str) -> str | None:
    """Return the part's id for callers; None for a stand-in or the site as a whole."""
    return None if is_stand_in(part) or part == SITE_PART else part


def why(reasoner: Reasoner, reasoning: Reasoning, place: int, weighed: Sequence[Weighed]) -> tuple[Reason, ...]:
    """Return the reasons for and against one hypothesis: rules, closed cases, then findings in their order."""
    hypothesis = reasoning.hypotheses.open[place]
    if hypothesis.cause == SOMETHING_ELSE:
        return (Reason(SOMETHING_ELSE, ELSE_SAYS, "kept"),)
    by_rule = [explain_firing(reasoner, reasoning, firing) for firing in hypothesis.firings]
    by_finding = [_explain_finding(reasoner, reasoning, place, it) for it in weighed]
    learned = learned_reason(reasoner.knowledge.causes[hypothesis.cause])
    by_cases = [Reason(CLOSED_CASES, learned, "learned")] if learned else []
    return (*dict.fromkeys(by_rule), *by_cases, *(reason for reason in by_finding if reason))


def why_not(reasoner: Reasoner, reasoning: Reasoning, cause: str) -> tuple[Reason, ...]:
    """Return why a cause is not among the hypotheses; empty when it is."""
    if any(it.cause == cause for it in reasoning.hypotheses.open):
        return ()
    excluded = [it for it in reasoning.firings if it.derived.kind == "exclusion" and it.derived["cause"] == cause]
    if excluded:
        return tuple(dict.fromkeys(explain_firing(reasoner, reasoning, firing) for firing in excluded))
    asked = sorted({seen.symptom for seen, _ in reasoning.seen})
    rules = [entry for code, entry in reasoner.entries.items() if code.startswith(f"{cause}/") and entry.suspect]
    speaks = any(set(asked) & _symptoms(rules_entry.when) for rules_entry in rules)
    names = " or ".join(f"“{reasoner.knowledge.symptoms[it].name}”" for it in asked)
    if speaks:
        says = f"It can show {names}, but what is described of this site does not meet its rules."
    else:
        says = f"No rule connects it with {names}."
    return (Reason(cause, says, "not suspected"),)


def _symptoms(when: Sequence[object]) -> set[str]:
    found: set[str] = set()
    for fact in when:
        asked = fact.get("symptom", {}).get("symptom", ()) if isinstance(fact, dict) else ()
        found |= {asked} if isinstance(asked, str) else set(asked)
    return found


def explain_firing(reasoner: Reasoner, reasoning: Reasoning, firing: Firing) -> Reason:
    """Return the rule's own words with the parts it fired for, and the facts it stands on."""
    scope = reasoning.situation.scope
    return scope.keep(("reason", firing), lambda: _put_into_words(reasoner, reasoning, firing))


def _put_into_words(reasoner: Reasoner, reasoning: Reasoning, firing: Firing) -> Reason:
    entry = reasoner.entries[firing.rule]
    scope = reasoning.situation.scope
    bound = bound_parts(firing, reasoner.variables[firing.rule])
    effect = "suspected" if entry.suspect else entry.weigh or ("ruled out" if entry.exclude else "told")
    asked = (_asked(fields) for fact in entry.when for fields in fact.values())
    pairs = zip(firing.premises, asked, strict=True)
    facts = tuple(dict.fromkeys(say_fact(scope, reasoner.knowledge, premise, fields) for premise, fields in pairs))
    return Reason(firing.rule, fill_in(entry.because, bound, scope), effect, facts)


def _asked(fields: ConditionFields) -> list[str]:
    """Return the fields a condition compares with words or numbers, without those that only say what kind of part."""
    return [
        name
        for name, value in fields.items()
        if not name.endswith("kind") and not (isinstance(value, str) and value.startswith("$"))
    ]


def _explain_finding(reasoner: Reasoner, reasoning: Reasoning, place: int, weighed: Weighed) -> Reason | None:
    shift = float(weighed.chances[place] / weighed.expected)
    if 1 / CLEAR_SHIFT < shift < CLEAR_SHIFT:
        return None
    hypothesis = reasoning.hypotheses.open[place]
    check = reasoner.knowledge.checks[weighed.finding.check]
    outcome = next(it for it in check.outcomes if it.id == weighed.finding.outcome)
    where = name_part(reasoning.situation.scope, weighed.part)
    said = f"{check.name}, {where}: {_plain(outcome.label)}."
    because = next(
        (it.because for it in reasoner.knowledge.causes[hypothesis.cause].checks if it.check == check.id), ""
    )
    if shift > 1:
        return Reason(check.id, f"{said} {because}".strip(), "supported")
    return Reason(check.id, f"{said} This fault seldom shows that.", "weakened")


def _plain(label: str) -> str:
    return label.replace(": {expect}", "").replace("{expect}", "as expected").rstrip(".")
