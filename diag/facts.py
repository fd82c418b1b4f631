"""Turn one case on one site into the flat facts that rules reason over."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diag.observations import Case, Event, Observed
from diag.part_facts import DescribedFacts
from diag.rules import UNKNOWN, Fact, Value, fact
from diag.scope import OWN_CABLE, SHARED_CABLE, Scope, is_stand_in
from diag.standing import HoldOff, hold_off, lockout_state
from diag.topology import SITE_PART

Vocabulary = Mapping[str, tuple[str, ...]]
"""The fields of each kind of fact that rules may ask for."""

TIMELY = frozenset({"zone", "drive", "lockout"})
"""Kinds of part whose facts depend on the case; those of all others are worked out once."""

HIGHER_COMMANDS = frozenset({"smoke", "maintenance", "link"})
"""Classes that outrank automatic and stand until they are released; rain and wind are lockouts of their own."""


@dataclass(frozen=True)
class Situation:
    """The case seen on its site: symptoms placed on parts, the parts in reach, and what stands now."""

    scope: Scope
    described: DescribedFacts
    case: Case
    placed: tuple[Observed, ...]
    parts: tuple[str, ...]

    def hold_off(self, zone: str) -> HoldOff:
        """Return the hold-off of a zone at the time of the case."""
        return hold_off(self.hold_off_minutes(zone), self.commands_to(zone), self.case.at)

    def hold_off_minutes(self, zone: str) -> float | None:
        """Return the zone's hold-off, or the one all described zones share for a stand-in."""
        zones = self.scope.topology.site.zones
        if not is_stand_in(zone):
            return zones[zone].hold_off_minutes
        lengths = {it.hold_off_minutes for it in zones.values()}
        return lengths.pop() if len(lengths) == 1 else None

    def commands_to(self, zone: str) -> Iterator[Event]:
        """Yield the commands that were given to a zone, or to no part in particular."""
        for event in self.case.events:
            if event.part is None or is_stand_in(zone) or zone in self.scope.chain(event.part):
                yield event


def build_facts(situation: Situation, vocabulary: Vocabulary) -> tuple[Fact, ...]:
    """Return every fact of the situation, sorted; fields of the vocabulary that nobody knows hold the word unknown."""
    facts = {*_symptom_facts(situation), *(fact("told", {"condition": it}) for it in situation.case.told)}
    kept = situation.scope.timeless
    for part in situation.parts:
        if part not in kept:
            kept[part] = tuple(_timeless_facts(situation, part, vocabulary))
        facts.update(kept[part])
        if situation.scope.kind(part) in TIMELY:
            facts.update(_part_facts(situation, part, vocabulary))
    return tuple(sorted(facts, key=_by_kind_and_fields))


def _by_kind_and_fields(it: Fact) -> tuple[str, tuple[tuple[str, Value], ...]]:
    return it.kind, it.fields


def _timeless_facts(situation: Situation, part: str, vocabulary: Vocabulary) -> Iterator[Fact]:
    kind = situation.scope.kind(part)
    if kind in vocabulary and kind not in TIMELY:
        yield from _part_facts(situation, part, vocabulary)
    yield from _relation_facts(situation.scope, part, kind)


def _part_facts(situation: Situation, part: str, vocabulary: Vocabulary) -> Iterator[Fact]:
    kind = situation.scope.kind(part)
    known = situation.scope.keep(("fields", part), lambda: _known_fields(situation, part, vocabulary[kind]))
    for links in _links_of(situation, kind, part):
        yield fact(kind, {**known, **links})


def _known_fields(situation: Situation, part: str, names: Iterable[str]) -> dict[str, Value]:
    """Return what the description says of a part, in the order of names, in which a fact wants them."""
    static = situation.described.common(part[1:]) if is_stand_in(part) else situation.described.fields(part)
    return dict(sorted({**dict.fromkeys(names, UNKNOWN), **static, "part": part}.items()))


def _symptom_facts(situation: Situation) -> Iterator[Fact]:
    for seen in situation.placed:
        part = seen.part or SITE_PART
        yield fact("symptom", {"symptom": seen.symptom, "part": part, "part_kind": situation.scope.kind(part)})


def _links_of(situation: Situation, kind: str, part: str) -> list[Mapping[str, str]]:
    """Return the fields that tie a part to others: once, or once for each zone of a part that serves several."""
    own = _own_links(situation, kind, part)
    if kind in ("lockout", "schedule", "link"):
        return [{**own, "zone": zone} for zone in situation.scope.zones_of(part)]
    return [own]


def _own_links(situation: Situation, kind: str, part: str) -> Mapping[str, str]:
    scope = situation.scope
    if kind in ("input", "link"):
        return {"controller": scope.controller_of(part)}
    if kind == "output":
        zones = scope.zones_of(part)
        return {"controller": scope.controller_of(part), "zone": zones[0] if len(zones) == 1 else UNKNOWN}
    if kind == "drive":
        return _links_of_drive(situation, part)
    if kind == "fan":
        return _links_of_fan(scope, part)
    if kind == "opening":
        return {"zone": scope.zones_of(part)[0]} | ({"moves": "yes"} if is_stand_in(part) else {})
    if kind == "zone":
        return _links_of_zone(situation, part)
    return _links_of_lockout(situation, part) if kind == "lockout" else {}


def _links_of_drive(situation: Situation, drive: str) -> Mapping[str, str]:
    scope = situation.scope
    output = scope.output_of(drive)
    return {
        "output": output,
        "controller": scope.controller_of(output),
        "opening": scope.opening_of(drive),
        "zone": scope.zones_of(drive)[0],
        "neighbours": _neighbours(situation, drive, output),
    }


def _links_of_fan(scope: Scope, fan: str) -> Mapping[str, str]:
    output = scope.output_of(fan)
    interlock = None if is_stand_in(fan) else scope.topology.site.fans[fan].interlock
    return {
        "output": output,
        "controller": scope.controller_of(output),
        "zone": scope.zones_of(fan)[0],
        "damper": interlock or UNKNOWN,
    }


def _links_of_zone(situation: Situation, zone: str) -> Mapping[str, str]:
    scope = situation.scope
    controllers = {scope.controller_of(scope.output_of(it)) for it in scope.consumers_of_zone(zone)}
    return {
        "controller": controllers.pop() if len(controllers) == 1 else UNKNOWN,
        "hold_off": situation.hold_off(zone).state,
        "lockout": _lockouts_now(situation, zone),
        "higher_command": _higher_command(situation, zone),
    }


def _links_of_lockout(situation: Situation, lockout: str) -> Mapping[str, str]:
    described = situation.scope.topology.site.lockouts.get(lockout)
    return {
        "input": (described.input if described else None) or UNKNOWN,
        "state": _state_now(situation, lockout, situation.scope.zones_of(lockout)),
    }


def _neighbours(situation: Situation, drive: str, output: str) -> str:
    others = [part for part in situation.scope.consumers_of_output(output) if part != drive]
    if not is_stand_in(drive) and not others:
        return "none"
    dead = {seen.part for seen in situation.placed if seen.symptom in ("drive-dead", "zone-dead")}
    if not is_stand_in(drive) and all(part in dead for part in others):
        return "dead"
    if "others-fine" in situation.case.told:
        return "alive"
    return "dead" if "all-affected" in situation.case.told else UNKNOWN


def _lockouts_now(situation: Situation, zone: str) -> str:
    lockouts = situation.scope.lockouts_of_zone(zone)
    if not lockouts:
        return "none"
    states = {_state_now(situation, part, (zone,)) for part in lockouts}
    return "standing" if "standing" in states else "clear" if states == {"clear"} else UNKNOWN


def _state_now(situation: Situation, lockout: str, zones: Iterable[str]) -> str:
    described = situation.scope.topology.site.lockouts.get(lockout)
    if described is None:
        return UNKNOWN
    commands = [event for zone in zones for event in situation.commands_to(zone)]
    return lockout_state(described, situation.case.at, commands)


def _higher_command(situation: Situation, zone: str) -> str:
    stronger = [event for event in situation.commands_to(zone) if event.command in HIGHER_COMMANDS]
    return "standing" if stronger else UNKNOWN


def _relation_facts(scope: Scope, part: str, kind: str) -> Iterator[Fact]:
    if kind in ("drive", "fan"):
        yield from _feeds(scope, part, kind)
    if kind == "drive":
        yield fact("moved-by", {"opening": scope.opening_of(part), "drive": part})
    if kind == "zone":
        yield from _serves(scope, part)
        yield from _commands(scope, part)


def _feeds(scope: Scope, consumer: str, kind: str) -> Iterator[Fact]:
    output = scope.output_of(consumer)
    for source in (*scope.path(consumer), output, scope.controller_of(output)):
        yield fact(
            "feeds",
            {
                "source": source,
                "source_kind": scope.kind(source),
                "consumer": consumer,
                "consumer_kind": kind,
                "shared": _shared(scope, source),
                "trunk": _trunk(scope, source, output),
                "outdoors": _outdoors(scope, source),
            },
        )


def _serves(scope: Scope, zone: str) -> Iterator[Fact]:
    consumers = scope.consumers_of_zone(zone)
    sources: dict[str, set[str]] = {}
    for consumer in consumers:
        output = scope.output_of(consumer)
        for source in (*scope.path(consumer), output, scope.controller_of(output)):
            sources.setdefault(source, set()).add(consumer)
    for source, fed in sources.items():
        whole, only = _whole_and_only(scope, source, fed, set(consumers))
        kind = scope.kind(source)
        yield fact("serves", {"source": source, "source_kind": kind, "zone": zone, "whole": whole, "only": only})


def _whole_and_only(scope: Scope, source: str, fed: set[str], consumers: set[str]) -> tuple[str, str]:
    if is_stand_in(source) or any(map(is_stand_in, consumers)):
        return ("no" if source == OWN_CABLE else UNKNOWN), UNKNOWN
    whole = "yes" if fed == consumers else "no"
    if scope.kind(source) in ("cable", "junction"):
        all_fed = set(scope.fed_through(source))
    elif scope.kind(source) == "output":
        all_fed = set(scope.consumers_of_output(source))
    else:
        outputs = scope.topology.outputs_of_controller(source)
        all_fed = {it for output in outputs for it in scope.consumers_of_output(output)}
    return whole, "yes" if all_fed <= consumers else "no"


def _commands(scope: Scope, zone: str) -> Iterator[Fact]:
    for part in scope.inputs_of_zone(zone):
        described = scope.topology.site.inputs.get(part)
        kind = (described.kind if described else part.partition("-")[2]) or UNKNOWN
        command_class = (described.command_class if described else None) or UNKNOWN
        yield fact("commands", {"input": part, "input_kind": kind, "zone": zone, "command_class": command_class})


def _shared(scope: Scope, source: str) -> str:
    if source in (OWN_CABLE, SHARED_CABLE):
        return "no" if source == OWN_CABLE else "yes"
    if is_stand_in(source):
        return UNKNOWN
    kind = scope.kind(source)
    if kind == "controller":
        return "yes"
    consumers = scope.consumers_of_output(source) if kind == "output" else scope.fed_through(source)
    return "yes" if len(consumers) > 1 else "no"


def _trunk(scope: Scope, source: str, output: str) -> str:
    if is_stand_in(source) or is_stand_in(output):
        return "no" if source == OWN_CABLE else UNKNOWN
    if scope.kind(source) not in ("cable", "junction"):
        return "yes"
    return "yes" if set(scope.consumers_of_output(output)) <= set(scope.fed_through(source)) else "no"


def _outdoors(scope: Scope, source: str) -> str:
    described = None if is_stand_in(source) else getattr(scope.topology.parts[source], "outdoors", None)
    return UNKNOWN if described is None else "yes" if described else "no"
