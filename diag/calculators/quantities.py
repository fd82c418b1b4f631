"""Know the quantities a technician reads off, the units they are written in and how large they can be."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unit:
    """A way to write a unit, and how to turn its numbers into the quantity's own: times factor, plus offset."""

    name: str
    factor: float = 1.0
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class Quantity:
    """A quantity with its own unit, what it is called in a sentence, its plausible ends and its units.

    `takes_letters` says whether a letter may stand for the decimal point, as in 1k2 or 12V5.
    """

    name: str
    words: str
    unit: str
    low: float
    high: float
    units: tuple[Unit, ...]
    takes_letters: bool = False


def quantity_named(name: str) -> Quantity:
    """Return a quantity by its name, or raise ValueError with the names there are."""
    known = {quantity.name: quantity for quantity in quantities()}
    if name not in known:
        raise ValueError(f"quantity is {name}; expected one of {', '.join(known)}")
    return known[name]


def quantities() -> tuple[Quantity, ...]:
    """Return every quantity there is."""
    return (*electrical_quantities(), *other_quantities())


def electrical_quantities() -> tuple[Quantity, ...]:
    """Return the quantities of a meter; letters may stand for their decimal point."""
    ohms = ("\u03a9", "ohm", "ohms", "R", "")
    return (
        Quantity("voltage", "a voltage", "V", -60.0, 500.0, scaled(("V", "volt", "volts"), "mk"), True),
        Quantity("current", "a current", "A", 0.0, 100.0, scaled(("A", "amp", "amps"), "\u00b5m"), True),
        Quantity("resistance", "a resistance", "ohm", 0.0, 1e10, scaled(ohms, "mkMG"), True),
        Quantity("power", "a power", "W", 0.0, 10_000.0, scaled(("W", "watt", "watts"), "mk")),
        Quantity("charge", "a battery capacity", "Ah", 0.0, 1000.0, scaled(("Ah",), "m")),
        Quantity("frequency", "a frequency", "Hz", 0.0, 1e6, scaled(("Hz",), "k")),
    )


def other_quantities() -> tuple[Quantity, ...]:
    """Return the quantities of thermometer, watch, tape and displays."""
    celsius = tuple(Unit(name) for name in ("\u00b0C", "C", "degC", "deg", "degrees", "\u00b0", ""))
    fahrenheit = tuple(Unit(name, 5.0 / 9.0, -160.0 / 9.0) for name in ("\u00b0F", "F", "degF"))
    seconds = tuple(Unit(name) for name in ("s", "sec", "secs", "second", "seconds", ""))
    minutes = tuple(Unit(name, 60.0) for name in ("min", "mins", "minute", "minutes"))
    hours = tuple(Unit(name, 3600.0) for name in ("h", "hr", "hrs", "hour", "hours"))
    metres = (Unit("m"), Unit(""), Unit("metres"), Unit("cm", 0.01), Unit("mm", 0.001))
    millimetres = (Unit("mm"), Unit(""), Unit("cm", 10.0), Unit("m", 1000.0))
    winds = (Unit("m/s"), Unit(""), Unit("km/h", 1 / 3.6), Unit("kmh", 1 / 3.6), Unit("mph", 0.44704))
    percents = (Unit("%"), Unit("percent"), Unit(""))
    return (
        Quantity("temperature", "a temperature", "\u00b0C", -60.0, 150.0, celsius + fahrenheit),
        Quantity("time", "a time", "s", 0.0, 864_000.0, seconds + minutes + hours),
        Quantity("length", "a length", "m", 0.0, 5000.0, metres),
        Quantity("stroke", "a distance", "mm", 0.0, 5000.0, millimetres),
        Quantity("wind", "a wind speed", "m/s", 0.0, 75.0, winds),
        Quantity("percentage", "a percentage", "%", 0.0, 100.0, percents),
        Quantity("concentration", "a carbon dioxide reading", "ppm", 0.0, 10_000.0, (Unit("ppm"), Unit(""))),
    )


def scaled(names: tuple[str, ...], prefixes: str) -> tuple[Unit, ...]:
    """Return each way to write a unit with each of these prefixes and without one; nothing written is the unit."""
    factors = {"\u00b5": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9, "": 1.0}
    units = [Unit(prefix + name, factors[prefix]) for name in names for prefix in ("", *prefixes)]
    if "\u00b5" in prefixes:
        units += [Unit("u" + name, 1e-6) for name in names]
    return tuple(units if "" in names else [*units, Unit("")])
