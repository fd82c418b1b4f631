"""Name the tests that prove each kind of part, and the outcome of each that passes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ProvingTest:
    """A check made for proof, the outcomes that pass, and whether it moves something."""

    check: str
    passes: tuple[str, ...]
    moves: bool = False


TESTS: Mapping[str, tuple[ProvingTest, ...]] = {
    "controller": (
        ProvingTest("volts-mains", ("normal",)),
        ProvingTest("volts-supply-idle", ("normal",)),
        ProvingTest("volts-supply-loaded", ("normal",)),
        ProvingTest("current-supply-total", ("normal",)),
        ProvingTest("volts-charger", ("normal",)),
        ProvingTest("volts-battery-rest", ("normal",)),
        ProvingTest("volts-battery-load", ("holds",)),
        ProvingTest("try-mains-off", ("runs-on-battery",), moves=True),
    ),
    "output": (
        ProvingTest("volts-output", ("normal",)),
        ProvingTest("current-output", ("normal",)),
        ProvingTest("ohms-end-of-line", ("normal",)),
    ),
    "cable": (ProvingTest("insulation-earth", ("good",)),),
    "drive": (
        ProvingTest("look-drive-behaviour", ("moves",), moves=True),
        ProvingTest("time-full-travel", ("expected",)),
        ProvingTest("volts-drive", ("normal",)),
        ProvingTest("current-drive", ("normal",)),
        ProvingTest("signal-positioner", ("follows",)),
    ),
    "opening": (
        ProvingTest("look-drives-in-step", ("together",), moves=True),
        ProvingTest("try-close-watch", ("closes",), moves=True),
    ),
    "fan": (ProvingTest("try-fan-direct", ("runs",), moves=True), ProvingTest("current-fan", ("normal",))),
    "input": (
        ProvingTest("look-input-lamp", ("follows",), moves=True),
        ProvingTest("try-tap", ("stops",), moves=True),
        ProvingTest("try-hold", ("moves",), moves=True),
        ProvingTest("try-wet-sensor", ("closes",), moves=True),
        ProvingTest("signal-sensor", ("plausible",)),
        ProvingTest("compare-thermometer", ("agrees",)),
        ProvingTest("co2-outdoors", ("near-420",)),
        ProvingTest("ohms-detector-line", ("normal",)),
    ),
    "zone": (
        ProvingTest("try-switch-directions", ("right",), moves=True),
        ProvingTest("try-automatic", ("obeys",), moves=True),
        ProvingTest("read-hold-off", ("usual",)),
        ProvingTest("try-test-smoke", ("within-60s",), moves=True),
    ),
    "link": (
        ProvingTest("try-link-command", ("obeyed",), moves=True),
        ProvingTest("ohms-link-pair", ("sixty",)),
        ProvingTest("volts-link-pair", ("normal",)),
    ),
}
"""For each kind of part, its tests in the order in which they are made."""
