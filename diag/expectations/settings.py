"""Say what settings and standing commands the description leads to expect."""

from __future__ import annotations

from datetime import datetime

from diag.expectations.words import sensed
from diag.facts import Situation
from diag.observations import Expectation
from diag.site import Input


def hold_off(situation: Situation, zone: str) -> Expectation | None:
    """Return how long a hand command keeps automatic out, and when it works again."""
    minutes = situation.hold_off_minutes(zone)
    if minutes is None:
        return None
    now = situation.hold_off(zone)
    text = f"After a manual command this zone keeps automatic out for {minutes:g} minutes"
    if now.since is not None:
        text += f". The last one was at {_clock(now.since)}"
    if now.resumes_at is not None:
        text += f", so automatic works again at {_clock(now.resumes_at)}"
    return Expectation(text + ".", {"hold-off-minutes": minutes}, calculated=True)


def _clock(time: datetime) -> str:
    return time.strftime("%H:%M")


def lockouts_now(situation: Situation, zone: str) -> Expectation | None:
    """Return the lockouts of a zone."""
    topology = situation.scope.topology
    lockouts = topology.lockouts_of_zone(zone)
    if not lockouts:
        return None
    names = ", ".join(topology.name(lockout) for lockout in lockouts)
    return Expectation(f"This zone has: {names}. None of them may stand without its cause.", calculated=True)


def discovery_count(situation: Situation, output: str) -> Expectation | None:
    """Return how many drives discovery can see on an output."""
    topology = situation.scope.topology
    drives = [topology.site.drives[it] for it in topology.consumers_of_output(output) if it in topology.site.drives]
    if not drives or any(it.addressable is None for it in drives):
        return None
    seen = sum(1 for it in drives if it.addressable)
    text = f"Discovery finds {seen} of the {len(drives)} drives on this output"
    text += "; the others cannot be seen by it." if seen < len(drives) else "."
    return Expectation(text, {"discovery-count": float(seen)}, calculated=True)


def hold_threshold(situation: Situation, part: str) -> Expectation | None:
    """Return how long a press must last to count as a hold."""
    it: Input = situation.scope.topology.site.inputs[part]
    if it.hold_threshold_s is None:
        return None
    return Expectation(f"A press longer than {it.hold_threshold_s:g} s counts as a hold.", calculated=True)


def set_point(situation: Situation, part: str) -> Expectation | None:
    """Return the set point that is described."""
    it: Input = situation.scope.topology.site.inputs[part]
    if it.set_point is None:
        return None
    return Expectation(f"The description says {sensed(it.set_point, it.unit or '')}.", calculated=True)
