"""What playing a timeline needs to know of a site, as values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta, tzinfo

from diag.site import Site
from diag.timeline.recurring import Calendar, Programme

Ids = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Threshold:
    """When a reading, or a contact, makes a condition: at `limit` or beyond, until it is back by `dead_band`.

    The condition begins `delay` after its cause and ends `release` after it.
    """

    limit: float | None
    is_upper: bool
    dead_band: float
    delay: timedelta
    release: timedelta


@dataclass(frozen=True, slots=True)
class InputPlan:
    """One input, or the building link itself: what it asks for, where, and from when."""

    part: str
    command_class: str
    zones: Ids
    level: int
    threshold: Threshold
    active_does: str
    tap_does: str | None
    hold_does: str | None
    hold_threshold_s: float | None
    directions: Mapping[str, str]
    """What its open and close do."""
    write_level: int
    """The level its writes go to when they name none; only a building link uses it."""


@dataclass(frozen=True, slots=True)
class LockoutPlan:
    """One lockout: what it refuses to which classes, what it forces, and when it stands."""

    part: str
    kind: str | None
    zones: Ids
    input: str | None
    actions: frozenset[str]
    classes: frozenset[str]
    forces: str | None
    command_class: str
    level: int
    is_passed_by_hand: bool
    """True: a hand command given after it began still counts."""
    threshold: Threshold
    calendar: Calendar | None


@dataclass(frozen=True, slots=True)
class SchedulePlan:
    """One time programme."""

    part: str
    zones: Ids
    does: str
    programme: Programme


@dataclass(frozen=True, slots=True)
class ZonePlan:
    """One zone: its hold-off, its lockouts, and what keeps automatic off for good."""

    part: str
    hold_off: timedelta
    is_hold_off_known: bool
    lockouts: tuple[LockoutPlan, ...]
    automatic_off_by: str | None


@dataclass(frozen=True, slots=True)
class Plan:
    """A site made ready for playing; `order` lists the command classes strongest first.

    `inputs` holds building links under their own ids besides the inputs.
    """

    site: Site
    time_zone: tzinfo
    order: Ids
    levels: Mapping[str, tuple[int, ...]]
    zones: Mapping[str, ZonePlan]
    inputs: Mapping[str, InputPlan]
    lockouts: Mapping[str, LockoutPlan]
    schedules: Mapping[str, SchedulePlan]
    inputs_by_zone: Mapping[str, tuple[InputPlan, ...]]
    """Inputs alone, without the links."""
    lockouts_by_input: Mapping[str, Ids]
    schedules_by_zone: Mapping[str, tuple[SchedulePlan, ...]]
