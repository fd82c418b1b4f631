"""`ventsleuth knowledge rates`: how often each cause is found, why that is thought, and what closed cases taught."""

from __future__ import annotations

from pathlib import Path

import click

from api.cli.kept import ORG_OPTION, open_data
from api.cli.knowledge_folder import folder_option, open_knowledge
from api.cli.plain import print_wrapped
from api.cli.where import DATA_OPTION
from api.rates import counts_of, forget, last_version
from diag.learning import Counted, counted_now, learned_rates, seen_at
from knowledge.entries import Cause
from knowledge.load import Knowledge


@click.command("rates")
@click.option("--family", help="Only the causes of this family, such as wiring.")
@click.option("--site-kind", help="With --data: as closed cases at this kind of site support, such as school.")
@click.option("--forget", "is_forgetting", is_flag=True, help="With --data: begin anew with the rates of the entries.")
@folder_option
@DATA_OPTION
@ORG_OPTION
def command(
    family: str | None, site_kind: str | None, is_forgetting: bool, folder: Path, data: str | None, org: str
) -> None:
    """List the base rates of the causes, the most frequent first, each with its reasoning.

    With --data, what the closed cases of an organisation made of each stands beside it, and how often it was seen.
    """
    knowledge = open_knowledge(folder)
    chosen = _chosen(knowledge, family)
    if data is None and (site_kind or is_forgetting):
        raise click.UsageError("Say with --data which service's closed cases are meant.")
    counted = counted_now(knowledge, _counted(data, org, is_forgetting)) if data else None
    _print_rates(knowledge, chosen, counted, site_kind)
    whole = sum(it.base_rate.per_thousand for it in knowledge.causes.values())
    shown = f", {sum(it.base_rate.per_thousand for it in chosen):g} of them here" if family else ""
    click.echo(f"\nOf 1,000 call-outs, with {whole:g} findings in all{shown}: some call-outs have more than one.")
    if counted is not None:
        cases = sum(counted.values())
        click.echo(f"First the entry's rate, then what {cases} closed case{'' if cases == 1 else 's'} made of it.")


def _chosen(knowledge: Knowledge, family: str | None) -> list[Cause]:
    causes = knowledge.causes.values()
    families = sorted({it.family for it in causes})
    if family and family not in families:
        raise click.BadParameter(f"“{family}” is no family of causes. Choose from: {', '.join(families)}.")
    chosen = [it for it in causes if family in (None, it.family)]
    return sorted(chosen, key=lambda it: (-it.base_rate.per_thousand, it.id))


def _counted(data: str, org: str, is_forgetting: bool) -> Counted:
    with open_data(data) as store:
        if is_forgetting:
            forget(store.database, org)
        return counts_of(store.database, org, last_version(store.database, org))


def _print_rates(knowledge: Knowledge, chosen: list[Cause], counted: Counted | None, site_kind: str | None) -> None:
    if counted is None:
        for it in chosen:
            print_wrapped(f"{it.base_rate.per_thousand:5g}  {it.id}: {it.base_rate.because}", " " * 7)
        return
    learned, seen = learned_rates(knowledge, counted, site_kind), seen_at(counted)
    for it in chosen:
        times = f" (seen {seen[it.id]}×)" if seen[it.id] else ""
        both = f"{it.base_rate.per_thousand:5g} {learned[it.id]:6.3g}"
        print_wrapped(f"{both}  {it.id}{times}: {it.base_rate.because}", " " * 14)
