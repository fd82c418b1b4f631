"""Turn analogue signals into values and back, and recognise one kind of signal read as another."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from diag.calculators.arguments import require_finite, require_positive

Kind = Literal["voltage", "current"]
LoopState = Literal["valid", "failed low", "failed high", "in doubt"]

CURRENT_INPUT_OHM: Final = 250.0
VOLTAGE_INPUT_OHM: Final = 100_000.0
LOOP_SUPPLY_V: Final = 24.0
"""Usual sizes of an input's own resistance and of a loop's supply: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Signal:
    """A standard signal by its ends: volts for a voltage, milliamperes for a current."""

    kind: Kind
    low: float
    high: float

    @property
    def has_live_zero(self) -> bool:
        """Tell whether nothing measured still gives some signal, so that a broken wire shows."""
        return self.low > 0


SIGNALS: Final[Mapping[str, Signal]] = {
    "0-10 V": Signal("voltage", 0.0, 10.0),
    "2-10 V": Signal("voltage", 2.0, 10.0),
    "0-5 V": Signal("voltage", 0.0, 5.0),
    "1-5 V": Signal("voltage", 1.0, 5.0),
    "0-20 mA": Signal("current", 0.0, 20.0),
    "4-20 mA": Signal("current", 4.0, 20.0),
}


@dataclass(frozen=True, slots=True)
class Mismatch:
    """A way of sending and reading that would explain what is shown, and how far off it is on average."""

    sent_as: str
    read_as: str
    shunt_ohm: float | None
    mean_error: float


def named_signal(name: str) -> Signal:
    """Return a standard signal by its name, or raise ValueError with the names there are."""
    if name not in SIGNALS:
        raise ValueError(f"signal is {name}; expected one of {', '.join(SIGNALS)}")
    return SIGNALS[name]


def value_from_signal(amount: float, signal: Signal, low: float, high: float) -> float:
    """Return what a signal of so many volts or milliamperes stands for on a range from low to high."""
    return low + share_of(require_finite("amount", amount), signal) * (high - low)


def signal_from_value(value: float, signal: Signal, low: float, high: float) -> float:
    """Return the volts or milliamperes that stand for a value on a range from low to high."""
    if high == low:
        raise ValueError(f"low and high are both {low:g}; expected two ends of a range")
    return signal.low + (require_finite("value", value) - low) / (high - low) * (signal.high - signal.low)


def share_of(amount: float, signal: Signal) -> float:
    """Return a signal as a share of its range, 0 to 1, and beyond where it is beyond."""
    return (amount - signal.low) / (signal.high - signal.low)


def loop_state(current_ma: float) -> LoopState:
    """Return what the current of a 4-20 mA loop says of its sender, once it has lasted 4 s.

    Valid from 3.8 to 20.5 mA, failed at 3.6 or below and at 21 or above (NAMUR NE 43); in doubt between.
    """
    require_finite("current_ma", current_ma)
    if current_ma <= 3.6:
        return "failed low"
    if current_ma >= 21.0:
        return "failed high"
    return "valid" if 3.8 <= current_ma <= 20.5 else "in doubt"


def received(amount: float, sender: Signal, reader: Signal, shunt_ohm: float | None = None) -> float:
    """Return the volts or milliamperes that an input for one signal gets from a sender of another.

    A current into a voltage input makes volts across the shunt; without one it drives the input's own high
    resistance up to the loop's supply. A voltage into a current input drives its low resistance.
    """
    if shunt_ohm is not None:
        require_positive("shunt_ohm", shunt_ohm)
    if sender.kind == reader.kind:
        return amount
    if sender.kind == "current":
        return min(LOOP_SUPPLY_V, amount / 1000.0 * (shunt_ohm or VOLTAGE_INPUT_OHM))
    return amount / (shunt_ohm or CURRENT_INPUT_OHM) * 1000.0


def shown_share(true_share: float, sent_as: str, read_as: str, shunt_ohm: float | None = None) -> float:
    """Return the share of range an input shows, 0 to 1, for a true share; inputs stop at their ends."""
    sender, reader = named_signal(sent_as), named_signal(read_as)
    sent = sender.low + require_finite("true_share", true_share) * (sender.high - sender.low)
    return min(1.0, max(0.0, share_of(received(sent, sender, reader, shunt_ohm), reader)))


def explain_readings(
    pairs: Sequence[tuple[float, float]],
    read_as: str | None = None,
    shunts_ohm: Iterable[float | None] = (None, 250.0, 500.0),
    tolerance: float = 0.03,
) -> tuple[Mismatch, ...]:
    """Return the ways of sending and reading that give these (true, shown) shares of range, best first.

    Two readings well apart tell most: one alone fits many. `read_as` keeps to what the input is set to.
    Right ways (the same signal at both ends) are among them and win a tie, so a sound input answers with itself.
    """
    if not pairs:
        raise ValueError("pairs is empty; expected at least one true and shown share")
    readers = tuple(SIGNALS) if read_as is None else (read_as,)
    shunts = tuple(shunts_ohm)
    found = [
        Mismatch(sent_as, reader, shunt, mean_error(pairs, sent_as, reader, shunt))
        for sent_as in SIGNALS
        for reader in readers
        for shunt in (shunts if named_signal(sent_as).kind != named_signal(reader).kind else (None,))
    ]
    fitting = (one for one in found if one.mean_error <= tolerance)
    return tuple(sorted(fitting, key=lambda one: (round(one.mean_error, 6), one.sent_as != one.read_as)))


def mean_error(pairs: Sequence[tuple[float, float]], sent_as: str, read_as: str, shunt_ohm: float | None) -> float:
    """Return by how much, on average, shown shares differ from what this way of reading would show."""
    errors = (abs(shown_share(true, sent_as, read_as, shunt_ohm) - shown) for true, shown in pairs)
    return sum(errors) / len(pairs)
