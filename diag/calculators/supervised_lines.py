"""Say what a meter or an input should see on a supervised line in each state, and what a reading means."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

from diag.calculators.arguments import require_between, require_not_negative, require_positive

Contact = Literal["normally open", "normally closed"]
State = Literal["healthy", "one contact", "two contacts", "second end resistor", "short", "open"]


@dataclass(frozen=True, slots=True)
class SupervisedLine:
    """A line with its end-of-line resistor and what its contacts add.

    Normally open contacts put `contact_ohm` across the line when they close; a normally closed one has it
    across itself, so that it stands in series when it opens. None means a contact without a resistor.
    `line_ohm` is the most the cable may add, there and back.
    """

    end_ohm: float
    contact_ohm: float | None = None
    tolerance: float = 0.05
    line_ohm: float = 0.0
    contact: Contact = "normally open"


@dataclass(frozen=True, slots=True)
class Window:
    """The ohms a line may show in one state, measured at its near end with the panel disconnected."""

    state: State
    low_ohm: float
    high_ohm: float


def windows(line: SupervisedLine) -> tuple[Window, ...]:
    """Return the window of every state the line can be in, healthy first.

    Low is R (1 - t), high is R (1 + t) and the cable; values in parallel vary by the same share. A short is
    anything up to the cable, or half the least other value; an open line is anything above twice the most.
    """
    check_line(line)
    resistances = contact_states(line)
    resistances["second end resistor"] = line.end_ohm / 2.0
    spread = [
        Window(state, ohm * (1.0 - line.tolerance), ohm * (1.0 + line.tolerance) + line.line_ohm)
        for state, ohm in resistances.items()
        if ohm > 0
    ]
    short_up_to = max(line.line_ohm, min(window.low_ohm for window in spread) / 2.0)
    open_from = max(window.high_ohm for window in spread) * 2.0
    return (*spread, Window("short", 0.0, short_up_to), Window("open", open_from, inf))


def contact_states(line: SupervisedLine) -> dict[State, float]:
    """Return the ohms, without the cable, of the line healthy and with contacts operated where they show."""
    if line.contact_ohm is None:
        return {"healthy": line.end_ohm}
    if line.contact == "normally closed":
        return {"healthy": line.end_ohm, "one contact": line.end_ohm + line.contact_ohm}
    return {
        "healthy": line.end_ohm,
        "one contact": in_parallel_ohm(line.end_ohm, line.contact_ohm),
        "two contacts": in_parallel_ohm(line.end_ohm, line.contact_ohm / 2.0),
    }


def hidden_states(line: SupervisedLine) -> tuple[str, ...]:
    """Return, in plain words, what this line cannot tell apart; empty when it tells all states apart."""
    said = []
    if line.contact_ohm is None and line.contact == "normally open":
        said.append("a closed contact looks like a short")
    if line.contact_ohm is None and line.contact == "normally closed":
        said.append("an open contact looks like a broken line")
    found = windows(line)
    for place, one in enumerate(found):
        said.extend(
            f"{one.state} and {other.state} overlap"
            for other in found[place + 1 :]
            if one.low_ohm <= other.high_ohm and other.low_ohm <= one.high_ohm
        )
    return tuple(said)


def states_matching(measured_ohm: float, line: SupervisedLine) -> tuple[State, ...]:
    """Return every state whose window holds a reading; none means damp, a bad joint or a wrong part."""
    if measured_ohm != inf:
        require_not_negative("measured_ohm", measured_ohm)
    return tuple(one.state for one in windows(line) if one.low_ohm <= measured_ohm <= one.high_ohm)


def leak_across_line_ohm(healthy_ohm: float, measured_ohm: float) -> float:
    """Return the leak across the line that turns the healthy value into the measured one, or infinity."""
    require_positive("healthy_ohm", healthy_ohm)
    require_positive("measured_ohm", measured_ohm)
    if measured_ohm >= healthy_ohm:
        return inf
    return 1.0 / (1.0 / measured_ohm - 1.0 / healthy_ohm)


def fitted_end_resistors(end_ohm: float, measured_ohm: float, tolerance: float = 0.05) -> int | None:
    """Return how many equal end resistors in parallel a reading speaks for, or None when no count fits."""
    require_between("tolerance", tolerance, 0.0, 0.2)
    count = round(require_positive("end_ohm", end_ohm) / require_positive("measured_ohm", measured_ohm))
    if count < 1 or abs(measured_ohm * count / end_ohm - 1.0) > tolerance + 1e-9:
        return None
    return count


def line_voltage_v(resistance_ohm: float, source_v: float, feed_ohm: float) -> float:
    """Return the volts across a line fed from a source through a resistance; an open line has them all."""
    require_positive("source_v", source_v)
    require_positive("feed_ohm", feed_ohm)
    if resistance_ohm == inf:
        return source_v
    return source_v * require_not_negative("resistance_ohm", resistance_ohm) / (resistance_ohm + feed_ohm)


def voltage_windows_v(line: SupervisedLine, source_v: float, feed_ohm: float) -> tuple[tuple[State, float, float], ...]:
    """Return the lowest and highest volts at the panel's terminals in each state, the line connected."""
    return tuple(
        (one.state, line_voltage_v(one.low_ohm, source_v, feed_ohm), line_voltage_v(one.high_ohm, source_v, feed_ohm))
        for one in windows(line)
    )


def in_parallel_ohm(*resistances_ohm: float) -> float:
    """Return resistances in parallel; infinite ones count for nothing."""
    return 1.0 / sum(1.0 / require_at_least_something(value) for value in resistances_ohm)


def require_at_least_something(resistance_ohm: float) -> float:
    """Return a resistance above zero, infinite allowed, or raise ValueError."""
    return resistance_ohm if resistance_ohm == inf else require_positive("resistance_ohm", resistance_ohm)


def check_line(line: SupervisedLine) -> None:
    """Raise ValueError, naming the field, for a line that cannot be."""
    require_positive("end_ohm", line.end_ohm)
    require_between("tolerance", line.tolerance, 0.0, 0.2)
    require_not_negative("line_ohm", line.line_ohm)
    if line.contact_ohm is not None:
        require_positive("contact_ohm", line.contact_ohm)
    if line.contact not in ("normally open", "normally closed"):
        raise ValueError(f"contact is {line.contact}; expected normally open or normally closed")
