"""Everything that stands on a site at one moment, and the record of how it changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from datetime import datetime
from heapq import heappop, heappush
from itertools import count

from diag.timeline.command import Command, LockoutSpan, Record, Refusal, Span
from diag.timeline.condition import Condition
from diag.timeline.plan import InputPlan, LockoutPlan, Plan
from diag.timeline.targets import Target, find_target
from diag.timeline.zone_state import HAND, ZoneState

Timer = tuple[datetime, int, str, str]
"""When, its number, what it is of, and which; equal moments keep the order in which they were set."""


@dataclass(slots=True)
class Watched:
    """A condition of one input, and the zones it commands."""

    condition: Condition
    source: InputPlan
    zones: tuple[str, ...]


@dataclass(slots=True)
class LockoutState:
    """One lockout: the condition it hangs on, whether the calendar has it stand, and since when it stands."""

    plan: LockoutPlan
    condition: Condition
    in_calendar: bool
    since: datetime | None = None

    @property
    def stands(self) -> bool | None:
        """Return whether it stands; None when nothing is known of its condition."""
        if not self.in_calendar:
            return False
        is_by_calendar_alone = self.plan.calendar is not None and self.plan.input is None
        return True if is_by_calendar_alone and self.condition.stands is None else self.condition.stands


@dataclass(slots=True)
class World:
    """Zones, conditions and timers of a site at the moment `now`; what happened is added to `records`."""

    plan: Plan
    now: datetime
    zones: dict[str, ZoneState]
    lockouts: dict[str, LockoutState]
    watched: dict[str, Watched] = field(default_factory=dict)
    next_at: dict[str, datetime] = field(default_factory=dict)
    records: list[Record] = field(default_factory=list)
    targets: dict[tuple[str, str | None], Target] = field(default_factory=dict)
    timers: list[Timer] = field(default_factory=list)
    numbers: Iterator[int] = field(default_factory=count)

    def target(self, source: str, zone: str | None) -> Target:
        """Return what an event's source stands for, narrowed to the zones that are played."""
        key = source, zone
        if key not in self.targets:
            self.targets[key] = find_target(self.plan, source, zone, self.zones)
        return self.targets[key]

    def watch(self, target: Target, zone: str | None) -> str:
        """Return the key of the condition of a target, made when it is first spoken of."""
        key = f"{target.source.part}@{zone}" if zone else target.source.part
        if key not in self.watched:
            self.watched[key] = Watched(Condition(target.source.threshold), target.source, target.zones)
        return key

    def set_timer(self, at: datetime, kind: str, of: str) -> None:
        """Ask to be told at a moment."""
        heappush(self.timers, (at, next(self.numbers), kind, of))

    def next_timer(self, until: datetime) -> tuple[datetime, str, str] | None:
        """Take the earliest timer up to a moment and go there; None when there is none."""
        if not self.timers or self.timers[0][0] > until:
            return None
        self.now, _, kind, of = heappop(self.timers)
        return self.now, kind, of

    def command(self, source: InputPlan, action: str) -> Command:
        """Return a command given now."""
        return Command(source.command_class, action, source.part, self.now, source.level)

    def refuse(self, zone: str, command: Command, reason: str, by: str) -> None:
        """Record that a command did not count."""
        self.records.append(Refusal(zone, self.now, command, reason, by))

    def turn_lockout(self, part: str) -> tuple[str, ...]:
        """Let a lockout stand or end as its condition says now; return the zones that changed."""
        state = self.lockouts[part]
        if bool(state.stands) == (state.since is not None):
            return ()
        zones = tuple(zone for zone in state.plan.zones if zone in self.zones)
        if state.since is None:
            state.since = self.now
            self._begin(state.plan, zones)
        else:
            self.records.append(LockoutSpan(part, state.since, self.now))
            state.since = None
            for zone in zones:
                del self.zones[zone].standing[part]
                self.zones[zone].drop(state.plan.command_class, part)
        return zones

    def settle(self, zones: Iterable[str], new: Command | None = None) -> None:
        """Decide anew which command stands for these zones, and record what changed and what was refused."""
        for zone in zones:
            state = self.zones[zone]
            winner = state.decide()
            if winner is not None:
                self._spend_hand(state, winner)
            if new is not None and winner is not new and (winner is None or winner.action != new.action):
                reason, by = state.refusal(new) or ("outranked", winner.source if winner else new.source)
                self.refuse(zone, new, reason, by)
            if winner is not state.current:
                self._stand(zone, winner)

    def give_once(self, zone: str, command: Command) -> None:
        """Let a command move the zone without standing; what weaker sources ask counts when they ask anew."""
        state = self.zones[zone]
        self._stand(zone, None)
        self.records.append(Span(zone, self.now, self.now, command, None, tuple(state.standing), None))
        state.last_moved = command
        state.spend(state.weaker_than(command.command_class))
        self.settle([zone])

    def finish(self) -> None:
        """Record what still stands now, as ending now."""
        for zone in self.zones:
            self._close(zone)
        for part, state in self.lockouts.items():
            if state.since is not None:
                self.records.append(LockoutSpan(part, state.since, self.now))

    def _begin(self, plan: LockoutPlan, zones: Iterable[str]) -> None:
        for zone in zones:
            self.zones[zone].standing[plan.part] = plan
            if plan.forces:
                self.zones[zone].ask(Command(plan.command_class, plan.forces, plan.part, self.now, plan.level))

    def _spend_hand(self, state: ZoneState, winner: Command) -> None:
        """A hand command that something stronger overrode moves nothing afterwards."""
        hand = state.hand
        if hand is None or hand.is_spent or winner is hand:
            return
        if state.order.index(winner.command_class) < state.order.index("manual"):
            state.ask(replace(hand, is_spent=True), HAND)

    def _stand(self, zone: str, command: Command | None) -> None:
        state = self.zones[zone]
        self._close(zone)
        state.current, state.started = command, self.now
        state.lockouts_at_start = tuple(state.standing)
        is_by_hand = command is not None and command.command_class == "manual"
        state.holds_at_start = state.holds_until if is_by_hand else None
        if command is not None and not command.is_spent:
            state.last_moved = command

    def _close(self, zone: str) -> None:
        state = self.zones[zone]
        if self.now <= state.started:
            return
        it = state.current
        left_by = state.last_moved if it is None or it.is_spent else None
        span = Span(zone, state.started, self.now, it, left_by, state.lockouts_at_start, state.holds_at_start)
        self.records.append(span)
