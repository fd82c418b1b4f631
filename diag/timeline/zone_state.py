"""What is asked of one zone now, and which of it stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from diag.timeline.command import Command
from diag.timeline.plan import LockoutPlan, ZonePlan
from diag.timeline.priority_array import PriorityArray

HAND = "hand"
"""The key of the one hand command; the last replaces those before."""

BOTH = frozenset({"open", "close"})

Obstacle = tuple[str, str]
"""Why a command does not count, and the part in its way."""


class ZoneState:
    """The commands asked of a zone by class, the lockouts that stand, and what last moved it."""

    __slots__ = (
        "asked",
        "automatic_off_by",
        "current",
        "hand_at",
        "holds_at_start",
        "holds_until",
        "last_moved",
        "link",
        "lockouts_at_start",
        "order",
        "passable",
        "plan",
        "standing",
        "started",
    )

    def __init__(self, plan: ZonePlan, order: Sequence[str], start: datetime) -> None:
        self.plan = plan
        self.order = order
        self.asked: dict[str, dict[str, Command]] = {}
        self.link: PriorityArray[Command] = PriorityArray()
        self.standing: dict[str, LockoutPlan] = {}
        self.passable = {part for it in plan.lockouts if it.is_passed_by_hand for part in (it.part, it.input)}
        self.automatic_off_by = plan.automatic_off_by
        self.holds_until: datetime | None = None
        self.holds_at_start: datetime | None = None
        self.hand_at: datetime | None = None
        self.current: Command | None = None
        self.last_moved: Command | None = None
        self.lockouts_at_start: tuple[str, ...] = ()
        self.started = start

    @property
    def hand(self) -> Command | None:
        """Return the hand command that keeps weaker ones out, if any."""
        return self.asked.get("manual", {}).get(HAND)

    def ask(self, command: Command, key: str | None = None) -> None:
        """Let a command stand among those of its class until it is dropped."""
        self.asked.setdefault(command.command_class, {})[key or command.source] = command

    def drop(self, command_class: str, key: str) -> None:
        """Take a command back; there need not be one."""
        self.asked.get(command_class, {}).pop(key, None)

    def settle_link(self) -> None:
        """Let the strongest write of the building link be its command."""
        standing = self.link.standing()
        if standing is None:
            self.drop("link", "link")
        else:
            self.ask(standing, "link")

    def decide(self) -> Command | None:
        """Return the command that stands: the strongest that nothing refuses."""
        return next(self._counting(self.order), None)

    def obstacle(self, command: Command) -> Obstacle | None:
        """Return what would keep a new command from counting now, or None."""
        refused = self.refusal(command)
        if refused:
            return refused
        stronger = self.order[: self.order.index(command.command_class)]
        winner = next(self._counting(stronger, command), None)
        return ("outranked", winner.source) if winner else None

    def refusal(self, command: Command) -> Obstacle | None:
        """Return what refuses a command whatever else is asked: a lockout, or automatic being off."""
        if command.is_spent:
            return None
        if command.command_class == "automatic" and self.automatic_off_by:
            return "automatic-off", self.automatic_off_by
        for part, lockout in self.standing.items():
            if command.command_class in lockout.classes and _is_refused(command.action, lockout.actions):
                return "lockout", part
        return None

    def spend(self, classes: Sequence[str]) -> None:
        """Let the commands of these classes move nothing until they are given anew."""
        for name in classes:
            group = self.asked.get(name, {})
            for key, command in group.items():
                group[key] = replace(command, is_spent=True)
        for level, write in enumerate(self.link.slots(), 1):
            if write and "link" in classes:
                self.link.write(replace(write, is_spent=True), level)

    def best_of_each_class(self) -> tuple[Command, ...]:
        """Return the best command of each class in which anything is asked, strongest class first."""
        return tuple(command for name in self.order if (command := self._best(name)))

    def weaker_than(self, command_class: str) -> Sequence[str]:
        """Return the classes that come after one."""
        return self.order[self.order.index(command_class) + 1 :]

    def _counting(self, classes: Sequence[str], newest: Command | None = None) -> Iterator[Command]:
        """Yield the best command of each class that is neither refused nor passed by a newer hand command."""
        hand = newest if newest and newest.command_class == "manual" else self.hand
        for name in classes:
            command = self._best(name)
            if command is None or (name != "manual" and self.refusal(command)):
                continue
            if command.source in self.passable and hand and not hand.is_spent and hand.since > command.since:
                continue
            yield command

    def _best(self, name: str) -> Command | None:
        group = self.asked.get(name)
        if not group:
            return None
        if len(group) == 1:
            return next(iter(group.values()))
        return min(group.values(), key=self._strength)

    def _strength(self, command: Command) -> tuple[int, bool, bool, datetime]:
        """Return the key that puts the strongest of one class first: any sensor that asks to open, then the first."""
        closes = command.command_class == "automatic" and command.action != "open"
        return command.level, closes, command.source in self.standing, command.since


def _is_refused(action: str, actions: frozenset[str]) -> bool:
    """A stop is never refused; a move whose direction is not known only by what refuses both."""
    if action == "stop":
        return False
    return action in actions if action in BOTH else actions == BOTH
