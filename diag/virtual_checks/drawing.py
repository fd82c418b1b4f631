"""Draw virtual call-outs: faults by how common they are, parts evenly, and what the caller reports of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from random import Random
from typing import Literal

from diag.observations import Observed
from diag.reasoner import PreparedSite, Reasoner, prepare_site
from diag.topology import Topology
from diag.virtual.as_set import as_set
from diag.virtual.complaint import Complaint
from diag.virtual.faults import COMES_AND_GOES, Fault, possible_faults
from diag.virtual.noticing import complaints
from diag.virtual.pairs import draw_pair
from diag.virtual.site import VirtualSite
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.people import CAREFUL, Person
from diag.virtual_checks.telling import told

INTERMITTENT_SHARE, SHOWS_LEAST, SHOWS_MOST = 0.2, 0.5, 0.9
"""How many of the faults that can come and go do, and for which share of the time those are there; judgement."""
SECOND_SYMPTOM_SHARE = {1: 0.15, 2: 0.5}
"""How often a caller names a second symptom, by the number of faults; judgement."""
RELATED_SHARE = 0.5
"""How many pairs of faults have one event behind them; the others meet by chance; judgement."""
MOST_TRIES = 200

Description = Literal["as-drawn", "as-set"]
"""Whether the technician's description is the drawing or was read out of the settings as they are."""


class NothingToNotice(Exception):
    """No fault that this site can have shows itself to anybody."""


@dataclass(frozen=True)
class Odds:
    """Every cause at every part it can sit at, and how often each is drawn."""

    places: tuple[tuple[str, str], ...]
    weights: tuple[float, ...]


def draw(
    reasoner: Reasoner,
    prepared: PreparedSite,
    dice: Random,
    faults: int = 1,
    person: Person = CAREFUL,
    description: Description = "as-set",
    causes: frozenset[str] | None = None,
) -> CallOut:
    """Return a call-out with so many faults that somebody notices; `causes` keeps to some of them.

    The same state of the dice gives the same call-out. Raises NothingToNotice where the site can have none.
    """
    odds = odds_of(reasoner, prepared.topology, causes)
    for _ in range(MOST_TRIES if odds.places else 0):
        made = draw_faults(odds, prepared.topology, dice, faults)
        seed = dice.randrange(10**9)
        call = call_out(reasoner, prepared, made, seed, person, description) if len(made) == faults else None
        if call:
            return call
    raise NothingToNotice(f"{prepared.site.name}: {faults} of its {len(odds.places)} possible faults show nothing")


def call_out(
    reasoner: Reasoner,
    prepared: PreparedSite,
    faults: Sequence[Fault],
    seed: int = 0,
    person: Person = CAREFUL,
    description: Description = "as-set",
) -> CallOut | None:
    """Return the call-out about these faults, or None when nobody would call."""
    virtual = VirtualSite(prepared.site, faults, seed, prepared.topology)
    noticed = complaints(virtual)
    if not noticed:
        return None
    dice = Random(f"{seed}/caller")
    reported = report(noticed, len(faults), dice)
    if description == "as-set":
        prepared = _as_set(prepared, virtual)
    call = CallOut(reasoner, prepared, virtual, reported, told(virtual, dice), virtual.around.at, seed, person)
    call.note(noticed)
    return call


def report(noticed: Sequence[Complaint], faults: int, dice: Random) -> tuple[Observed, ...]:
    """Return what the caller names: one symptom, sometimes a second."""
    first = dice.choices(noticed, weights=[it.weight for it in noticed])[0]
    others = [it for it in noticed if it.symptom != first.symptom]
    named = [first]
    if others and dice.random() < SECOND_SYMPTOM_SHARE.get(faults, 0.5):
        named += dice.choices(others, weights=[it.weight for it in others])
    return tuple(Observed(it.symptom, it.part) for it in named)


def draw_faults(odds: Odds, topology: Topology, dice: Random, count: int) -> tuple[Fault, ...]:
    """Return faults at different causes or parts, each with its severity, some of them intermittent."""
    related = draw_pair(topology, dice) if count == 2 and dice.random() < RELATED_SHARE else None
    drawn = related or tuple(dict.fromkeys(dice.choices(odds.places, weights=odds.weights, k=count)))
    return tuple(Fault(cause, part, dice.random(), _share_of_time(cause, dice)) for cause, part in drawn)


def _share_of_time(cause: str, dice: Random) -> float:
    comes_and_goes = dice.random() < INTERMITTENT_SHARE and cause in COMES_AND_GOES
    return dice.uniform(SHOWS_LEAST, SHOWS_MOST) if comes_and_goes else 1.0


def odds_of(reasoner: Reasoner, topology: Topology, causes: frozenset[str] | None = None) -> Odds:
    """Return what can be drawn here: causes by their base rates, each split evenly over the parts it can sit at."""
    rates = tuple((name, it.base_rate.per_thousand) for name, it in sorted(reasoner.knowledge.causes.items()))
    return _odds(_Possible.of(topology), rates, causes)


@dataclass(frozen=True)
class _Possible:
    """What a site can have, as a value that can be kept."""

    places: tuple[tuple[str, str], ...]

    @staticmethod
    def of(topology: Topology) -> _Possible:
        return _Possible(tuple(possible_faults(topology)))


@lru_cache(8)
def _odds(possible: _Possible, rates: tuple[tuple[str, float], ...], causes: frozenset[str] | None) -> Odds:
    known: Mapping[str, float] = dict(rates)
    open_ = [it for it in possible.places if it[0] in known and (causes is None or it[0] in causes)]
    counts = Counter(cause for cause, _ in open_)
    return Odds(tuple(open_), tuple(known[cause] / counts[cause] for cause, _ in open_))


def _as_set(prepared: PreparedSite, virtual: VirtualSite) -> PreparedSite:
    described = as_set(prepared.site, virtual.fitted)
    return prepared if described == prepared.site else prepare_site(described, virtual.around.at.date())
