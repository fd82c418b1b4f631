"""Build the proving sheet of a site from its description."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from diag.facts import Situation
from diag.observations import Case
from diag.reasoner import PreparedSite
from diag.sheet.circuit_figures import circuit_figures
from diag.sheet.circuit_svg import draw_circuit
from diag.sheet.matrix import cause_and_effect
from diag.sheet.rows import Row, rows_of
from diag.sheet.scenarios import is_quiet, quiet_moment
from diag.sheet.sheet import (
    Block,
    Cautions,
    Effects,
    Facts,
    Method,
    Methods,
    Picture,
    Section,
    Sentences,
    Sheet,
    Tests,
    Warning,
)
from diag.sheet.supply_figures import Figure, supply_figures
from diag.sheet.zone_words import hold_off_words, lockout_words, order_words, schedule_words
from diag.timeline.assumptions import assumptions
from diag.timeline.plan import Plan
from diag.timeline.prepare import prepare
from knowledge.load import Knowledge

SMOKE_CAUTION = "life-safety"

MATRIX_INTRO = (
    "Worked out by playing each cause through this site's own order, hold-offs and lockouts. Each is played alone, "
    "from a quiet day on which nothing else is asked. Below an effect stands what still moves the zone the other way "
    "while the cause stands."
)


NOT_QUIET = (
    "On this site a lockout or a time programme stands on every day that was tried, so it hides what is weaker: "
    "look at the lockouts and programmes above."
)


def situation_of(prepared: PreparedSite) -> Situation:
    """Return the site without any case: what is expected when nothing is wrong."""
    return Situation(prepared.scope(()), prepared.described, Case(), (), ())


def proving_sheet(knowledge: Knowledge, prepared: PreparedSite) -> Sheet:
    """Return the sheet of a site; what is not described is left out or said to be missing."""
    situation, plan = situation_of(prepared), prepare(prepared.site)
    sections = [
        _supplies(knowledge, situation),
        *_outputs(knowledge, situation),
        _inputs(knowledge, situation),
        _zones(knowledge, situation, plan),
        _links_and_fans(knowledge, situation),
        _effects(plan),
    ]
    filled = tuple(it for it in sections if it.blocks)
    rows = [row for it in filled for block in it.blocks if isinstance(block, Tests) for row in block.rows]
    return Sheet(
        site=prepared.site.name,
        head=_head(knowledge, prepared),
        sections=(_cautions(knowledge, prepared, rows), *filled, _methods(knowledge, rows)),
    )


def _head(knowledge: Knowledge, prepared: PreparedSite) -> tuple[Figure, ...]:
    site = prepared.site
    counts = [
        f"{len(group)} {name if len(group) != 1 else name[:-1]}"
        for name, group in (
            ("zones", site.zones),
            ("drives", site.drives),
            ("fans", site.fans),
            ("inputs", site.inputs),
            ("lockouts", site.lockouts),
        )
        if group
    ]
    commissioned = f"{site.commissioned.day} {site.commissioned:%B %Y}" if site.commissioned else "not described"
    return (
        ("First commissioned", commissioned),
        ("Described", ", ".join(counts) or "no parts"),
        ("Knowledge", knowledge.version),
    )


def _tests(knowledge: Knowledge, situation: Situation, parts: Iterable[str]) -> Iterator[Tests]:
    places = situation.scope.topology.site.places
    for part in parts:
        rows = rows_of(knowledge, situation, part)
        if rows:
            place = getattr(situation.scope.topology.parts[part], "place", None)
            where = (places[place].name or place) if place in places else ""
            yield Tests(part, situation.scope.topology.name(part), where, rows)


def _supplies(knowledge: Knowledge, situation: Situation) -> Section:
    blocks: list[Block] = []
    for controller in situation.scope.topology.site.controllers:
        blocks.append(Facts(supply_figures(situation, controller)))
        blocks += _tests(knowledge, situation, [controller])
    return Section("Supply and battery", "", tuple(blocks))


def _outputs(knowledge: Knowledge, situation: Situation) -> Iterator[Section]:
    topology = situation.scope.topology
    for output, it in topology.site.outputs.items():
        consumers = topology.consumers_of_output(output)
        drives = [part for part in topology.site.drives if part in consumers]
        openings = list(dict.fromkeys(topology.site.drives[part].opening for part in drives))
        cables = [part for part, cable in topology.site.cables.items() if cable.from_ == output]
        blocks: list[Block] = [_picture(situation, output)] if consumers else []
        parts = [output, *cables, *drives, *(part for part in openings if part)]
        blocks += _tests(knowledge, situation, parts)
        yield Section(f"{_capital(it.name or output)} ({output})", _output_intro(situation, output), tuple(blocks))


def _output_intro(situation: Situation, output: str) -> str:
    it = situation.scope.topology.site.outputs[output]
    kinds = {
        "reversing-24v": "24 V, the sign turns with the direction",
        "data-24v": "24 V with a data core",
        "three-core-230v": "230 V, one core for each direction",
        "positioner-0-10v": "24 V with a 0 to 10 V position signal",
        "positioner-4-20ma": "24 V with a 4 to 20 mA position signal",
        "fan-contact": "contact for a fan",
    }
    said = [kinds[it.kind] if it.kind else "kind not described"]
    said += [f"rated {it.rated_current_a:g} A"] if it.rated_current_a else []
    said += [f"trips at {it.trip_current_a:g} A"] if it.trip_current_a else []
    said += [f"fuse {it.fuse_a:g} A"] if it.fuse_a else []
    said += [f"switches off after {it.run_time_s:g} s"] if it.run_time_s else []
    said += ["line supervised"] if it.supervised else []
    return f"{_capital(', '.join(said))}."


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _picture(situation: Situation, output: str) -> Picture:
    figures = circuit_figures(situation, output)
    notes = []
    if figures.voltages_v:
        taken = f" Taken where not described: {', '.join(figures.taken)}." if figures.taken else ""
        notes.append(
            f"Volts and amperes with all drives of this output running, cables at their largest resistance.{taken}"
        )
    elif figures.missing:
        notes.append(f"Volts are not worked out, as these are not described: {'; '.join(figures.missing)}.")
    return Picture(draw_circuit(situation, output), tuple(notes))


def _inputs(knowledge: Knowledge, situation: Situation) -> Section:
    return Section("Inputs", "", tuple(_tests(knowledge, situation, situation.scope.topology.site.inputs)))


def _zones(knowledge: Knowledge, situation: Situation, plan: Plan) -> Section:
    blocks: list[Block] = list(_tests(knowledge, situation, situation.scope.topology.site.zones))
    if plan.zones:
        blocks += [
            Sentences("Order of commands", (order_words(plan),)),
            Sentences("Hold-off after a hand command", tuple(hold_off_words(plan))),
            Sentences("Lockouts", tuple(lockout_words(plan))),
            Sentences("Time programmes", tuple(schedule_words(plan))),
            Sentences("Taken where the description is silent", assumptions(plan)),
        ]
    filled = (it for it in blocks if not isinstance(it, Sentences) or it.says)
    return Section("Zones, hold-offs and lockouts", "", tuple(filled))


def _links_and_fans(knowledge: Knowledge, situation: Situation) -> Section:
    site = situation.scope.topology.site
    return Section("Building link and fans", "", tuple(_tests(knowledge, situation, [*site.links, *site.fans])))


def _effects(plan: Plan) -> Section:
    blocks = tuple(Effects(plan, it) for it in cause_and_effect(plan) if it.rows)
    quiet = is_quiet(plan, quiet_moment(plan))
    return Section("Cause and effect", MATRIX_INTRO if quiet else f"{MATRIX_INTRO} {NOT_QUIET}", blocks)


def _cautions(knowledge: Knowledge, prepared: PreparedSite, rows: Iterable[Row]) -> Section:
    """Return the cautions of the tests; that of smoke is left out only where no controller serves smoke."""
    serves = [it.serves_smoke for it in prepared.site.controllers.values()]
    no_smoke = bool(serves) and all(it is False for it in serves)
    hazards = dict.fromkeys(hazard for row in rows for hazard in knowledge.checks[row.check].hazards)
    entries = [knowledge.cautions[it] for it in hazards if not (no_smoke and it == SMOKE_CAUTION)]
    warnings = tuple(Warning(it.name, it.text, it.defer) for it in entries)
    return Section("Before you start", "", (Cautions(warnings),) if warnings else ())


def _methods(knowledge: Knowledge, rows: Iterable[Row]) -> Section:
    checks = [knowledge.checks[it] for it in dict.fromkeys(row.check for row in rows)]
    methods = tuple(Method(it.id, it.name, it.how, tuple(it.tools), it.competence) for it in checks)
    return Section("How each test is made", "", (Methods(methods),) if methods else ())
