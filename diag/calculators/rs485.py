"""Say what a two-wire data bus should measure: end resistors, resting volts, gaps between messages."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Final, Literal

from diag.calculators.arguments import require_between, require_not_negative, require_positive

END_OHM: Final = 120.0
LEAST_RESTING_V: Final = 0.2
"""A receiver is sure of its state from 200 mV across the pair (TIA-485, from memory)."""

Verdict = Literal["none", "one missing", "right", "one too many", "more than one too many", "odd value"]


@dataclass(frozen=True, slots=True)
class BusLoad:
    """Unit loads on a bus against the 32 that a sender must be able to drive (TIA-485, from memory)."""

    unit_loads: float
    most: float = 32.0

    @property
    def is_within(self) -> bool:
        """Whether the senders can drive them."""
        return self.unit_loads <= self.most


def pair_resistance_ohm(end_resistors: int, pair_ohm: float = 0.0, receiver_ohm: float = inf) -> float:
    """Return the ohms across an unpowered pair at one end, with so many 120 ohm end resistors.

    One sits at the meter, the others at the far end, beyond the pair's own there-and-back resistance.
    Receivers in parallel lower it little.
    """
    require_not_negative("pair_ohm", pair_ohm)
    require_between("end_resistors", end_resistors, 0, 32)
    near = 1.0 / END_OHM if end_resistors else 0.0
    far = 1.0 / (END_OHM / (end_resistors - 1) + pair_ohm) if end_resistors > 1 else 0.0
    total = near + far + (0.0 if receiver_ohm == inf else 1.0 / require_positive("receiver_ohm", receiver_ohm))
    return inf if total == 0 else 1.0 / total


def end_resistors_fitted(measured_ohm: float, tolerance: float = 0.12) -> int | None:
    """Return how many end resistors a reading across the unpowered pair speaks for, or None for an odd value.

    Above 1 kilohm there is none. A value between two counts points to a long pair, a wrong part or a live
    bus.
    """
    require_between("tolerance", tolerance, 0.0, 0.15)
    if measured_ohm > 1000.0:
        return 0
    count = round(END_OHM / require_positive("measured_ohm", measured_ohm))
    return count if count >= 1 and abs(measured_ohm * count / END_OHM - 1.0) <= tolerance else None


def termination_verdict(measured_ohm: float) -> Verdict:
    """Return what a reading across the unpowered pair says: 60 ohm right, 120 one short, 40 one too many."""
    count = end_resistors_fitted(measured_ohm)
    if count is None:
        return "odd value"
    verdicts: tuple[Verdict, ...] = ("none", "one missing", "right", "one too many")
    return verdicts[count] if count < len(verdicts) else "more than one too many"


def resting_v(bias_ohm: float, supply_v: float = 5.0, pair_ohm: float = 60.0) -> float:
    """Return the volts across an idle pair held by one resistor to plus and an equal one to minus."""
    require_positive("bias_ohm", bias_ohm)
    require_positive("pair_ohm", pair_ohm)
    return require_positive("supply_v", supply_v) * pair_ohm / (pair_ohm + 2.0 * bias_ohm)


def largest_bias_ohm(supply_v: float = 5.0, pair_ohm: float = 60.0, least_v: float = LEAST_RESTING_V) -> float:
    """Return the largest pair of bias resistors that still holds an idle bus at the least volts."""
    require_between("least_v", least_v, 1e-6, supply_v)
    return pair_ohm * (supply_v / least_v - 1.0) / 2.0


def message_gap_s(baud: float, bits: int = 11) -> float:
    """Return the silence that ends a message of Modbus on a serial line: 3.5 characters, 1.75 ms above 19200.

    Source: Modbus over Serial Line V1.02, from memory.
    """
    if require_positive("baud", baud) > 19200:
        return 1.75e-3
    return 3.5 * require_between("bits", bits, 7, 12) / baud


def unit_loads(receivers: int, each: float = 1.0) -> BusLoad:
    """Return the load of so many receivers; newer ones count an eighth or a quarter each."""
    return BusLoad(require_not_negative("receivers", receivers) * require_positive("each", each))
