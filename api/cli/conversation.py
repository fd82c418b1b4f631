"""Walk one call-out at a terminal: ask, take the answer, rank again, to the proof of repair."""

from __future__ import annotations

from dataclasses import replace

import click

from api.cli.plain import check_to_make, print_causes, print_check, print_plan, print_repair, print_wrapped
from api.plans import look_out, plan_out
from diag.case_text import NOT_QUITE_SURE
from diag.desk import Desk
from diag.diagnose import answer
from diag.errors import DiagError
from diag.observations import THINK_SO, Case, Diagnosis, Finding, NextCheck, Repair
from diag.reasoner import Reasoner
from diag.reasoning import Reasoning, open_case
from diag.site import Site

HELP = (
    "A number or a reading with its unit, with ~ behind it if you only think so; c (cannot do this), n (not sure), "
    "u (undo), w (why), q (stop)."
)
UNSAID = {"c": "cannot", "n": "not-sure"}


def converse(desk: Desk, site: Site, case: Case) -> None:
    """Ask and rank until a repair is proved, nothing is left to ask, or the user stops."""
    prepared = desk.prepared(site, case.at.date() if case.at else None)
    reasoning = open_case(desk.reasoner, prepared, case)
    findings: list[Finding] = []
    while True:
        diagnosis = answer(desk.reasoner, reasoning, findings)
        for advice in diagnosis.advice:
            print_wrapped(f"Note: {advice.says}")
        print_causes(diagnosis)
        outlook = look_out(desk.reasoner, reasoning, findings)
        if outlook:
            print_plan(plan_out(desk.reasoner, reasoning, outlook))
        if diagnosis.repair and _is_proved(desk, diagnosis.repair):
            click.echo("Good. Note what you found and what you did.")
            return
        if diagnosis.repair:
            case = replace(case, repaired=(*case.repaired, (diagnosis.repair.cause, diagnosis.repair.part)))
            reasoning = open_case(desk.reasoner, prepared, case)
            continue
        check = check_to_make(diagnosis, outlook)
        if not check:
            click.echo("No check is left that would tell more. Note what you found and pass the case on.")
            return
        if not _ask(desk.reasoner, reasoning, diagnosis, check, findings):
            return


def _is_proved(desk: Desk, repair: Repair) -> bool:
    print_repair(desk.reasoner.knowledge, repair)
    return click.confirm("Is it proved?", default=False)


def _ask(
    reasoner: Reasoner, reasoning: Reasoning, diagnosis: Diagnosis, check: NextCheck, findings: list[Finding]
) -> bool:
    """Ask a check and add its answer to the findings; return False when the user stops."""
    print_check(reasoner.knowledge, check)
    for number, outcome in enumerate(check.outcomes, 1):
        click.echo(f"  {number}  {outcome.label}")
    while True:
        typed = click.prompt("Answer", prompt_suffix="> ").strip()
        if typed.lower() in ("q", "quit"):
            return False
        if typed.lower() == "u":
            if findings:
                findings.pop()
            return True
        if typed.lower() == "w":
            print_causes(diagnosis, reasons=6)
            continue
        if _take(reasoner, reasoning, check, typed, findings):
            return True


def _take(reasoner: Reasoner, reasoning: Reasoning, check: NextCheck, typed: str, findings: list[Finding]) -> bool:
    said = typed.removesuffix(NOT_QUITE_SURE).strip()
    outcome = UNSAID.get(said.lower(), said)
    if said.isdecimal() and 1 <= int(said) <= len(check.outcomes):
        outcome = check.outcomes[int(said) - 1].id
    finding = Finding(check.check, outcome, check.part, THINK_SO if typed.endswith(NOT_QUITE_SURE) else 1.0)
    try:
        answer(reasoner, reasoning, [*findings, finding])
    except DiagError as error:
        print_wrapped(str(error))
        click.echo(HELP)
        return False
    findings.append(finding)
    return True
