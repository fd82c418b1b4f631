"""A drive at its opening: what it draws, how fast it goes, where it stops itself, and whether commands get to it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from diag.topology import Topology
from diag.virtual.electrics import data_reaches, data_upset
from diag.virtual.fitted import Fitted
from diag.virtual.forces import SEAL_SHARE, STROKE_MM, USUAL_FORCE, force_at, rated_speed
from diag.virtual.runs import Stop, Wish
from diag.virtual.supply import RATED_V

STALLED = 100.0
IDLE_SHARE = 0.4
"""What a drive draws with no load on it, as a share of its running current; common practice, no source."""
CUT_OFF_FACTOR = 1.6
START_FACTOR = 1.4
RUNNING_A, RUNNING_230V_A = 1.0, 0.25
"""Taken where a drive does not say; common practice, no source."""
LEAST_SHARE = 0.8
"""Below this share of its rated voltage a drive does not run, where it does not say; common practice, no source."""
BOTH_WAYS = ("reversing-24v", "three-core-230v")
"""Outputs whose two cores tell the direction."""


@dataclass(frozen=True, slots=True)
class Plate:
    """What is printed on a drive and on its output, usual values where nothing is described."""

    output: str
    kind: str | None
    stroke_mm: float
    running_a: float
    start_a: float
    cut_off_a: float
    least_v: float


def read_plate(topology: Topology, drive: str) -> Plate:
    """Return the plate of a drive."""
    it, output = topology.site.drives[drive], topology.output_of(drive) or ""
    found = topology.site.outputs.get(output)
    kind = found.kind if found else None
    running = it.running_current_a or (RUNNING_230V_A if kind == "three-core-230v" else RUNNING_A)
    return Plate(
        output=output,
        kind=kind,
        stroke_mm=it.stroke_mm or STROKE_MM,
        running_a=running,
        start_a=it.starting_current_a or START_FACTOR * running,
        cut_off_a=it.cut_off_current_a or CUT_OFF_FACTOR * running,
        least_v=it.min_voltage_v or LEAST_SHARE * (it.supply_voltage_v or RATED_V),
    )


class Driving:
    """The drives of a site in their condition and at their openings."""

    def __init__(self, topology: Topology, fitted: Fitted) -> None:
        self.topology = topology
        self.fitted = fitted
        self.plates = {drive: read_plate(topology, drive) for drive in topology.site.drives}

    def output(self, drive: str) -> str:
        """Return the output that feeds the drive."""
        return self.plates[drive].output

    def stroke(self, drive: str) -> float:
        """Return the stroke in mm; a rotary drive's full turn counts as the usual stroke."""
        return self.plates[drive].stroke_mm

    def start_a(self, drive: str) -> float:
        """Return what the drive draws in the moment it starts."""
        return self.plates[drive].start_a

    def cut_off_a(self, drive: str) -> float:
        """Return the current at which the drive stops itself."""
        return self.plates[drive].cut_off_a * self.fitted.drives[drive].cut_off_share

    def is_dead(self, drive: str) -> bool:
        """Return whether the drive would not even try, however well it is fed."""
        it = self.fitted.drives[drive]
        return it.board == "dead" or it.motor == "open" or it.is_hot or it.other_voltage

    def force(self, drive: str, position_mm: float, direction: int) -> float:
        """Return the share of its force that the opening asks of the drive here; infinite where it is held."""
        opening, condition = self.topology.site.drives[drive].opening, self.fitted.drives[drive]
        if condition.gear == "stripped" or condition.shaft_slips or opening is None:
            return 0.2
        return force_at(self.fitted.openings[opening], position_mm / self.stroke(drive), direction)

    def draws_a(self, drive: str, force: float) -> float:
        """Return what a drive draws against this force; a stalled one gives up before it draws more."""
        if self.is_dead(drive):
            return 0.0
        asked = self.plates[drive].running_a * (IDLE_SHARE + (1 - IDLE_SHARE) * min(STALLED, force) / USUAL_FORCE)
        return min(asked, 1.02 * self.cut_off_a(drive))

    def cuts_out(self, drive: str, force: float) -> bool:
        """Return whether the drive stops itself against this force."""
        return math.isinf(force) or self.draws_a(drive, force) > self.cut_off_a(drive)

    def refuses(self, drive: str, direction: int) -> Stop | None:
        """Return why a command for this way does not get to the drive, or None when it does."""
        output = self.fitted.outputs.get(self.output(drive))
        if output is None or not (output.opens if direction > 0 else output.closes):
            return "no-voltage"
        if output.terminals == "wrong-terminal":
            return "no-voltage"
        return None if self._understands(drive) else "no-data"

    def _understands(self, drive: str) -> bool:
        output, condition = self.output(drive), self.fitted.drives[drive]
        if not self.fitted.outputs[output].kind_fits:
            return False
        if self.plates[drive].kind != "data-24v":
            return True
        whole = data_reaches(self.topology, self.fitted, drive) and not data_upset(self.topology, self.fitted, output)
        plain = not self.topology.site.drives[drive].addressable
        return whole and condition.version_known and (condition.addressable or plain)

    def runs_at(self, drive: str, volts: float) -> bool:
        """Return whether the drive runs at this voltage; one with a data core does not run the wrong way round."""
        plate = self.plates[drive]
        return abs(volts) >= plate.least_v and (volts > 0 or plate.kind in BOTH_WAYS)

    def speed_mm_s(self, drive: str, volts: float, wish: Wish, force: float) -> float:
        """Return the signed speed at this voltage and against this force."""
        it, condition = self.topology.site.drives[drive], self.fitted.drives[drive]
        speed = rated_speed(it.manual_speed_mm_s, it.automatic_speed_mm_s, it.smoke_speed_mm_s, wish.speed)
        if it.full_travel_s and not it.manual_speed_mm_s:
            speed = self.stroke(drive) / it.full_travel_s
        if self.plates[drive].kind == "reversing-24v":
            speed *= min(1.1, abs(volts) / (it.supply_voltage_v or RATED_V))
        speed *= 1.0 - 0.45 * max(0.0, min(1.0, (force - USUAL_FORCE) / USUAL_FORCE))
        speed *= 0.5 if condition.motor == "weak" else 1.0
        speed *= 0.6 if condition.gear == "slips" else 1.0
        speed *= 0.8 if condition.lags else 1.0
        turned = (volts < 0) != condition.inverted
        return -speed * wish.direction if turned else speed * wish.direction

    def is_noisy(self, drive: str, force: float) -> bool:
        """Return whether people hear it grind or knock against this force."""
        opening = self.topology.site.drives[drive].opening
        loose = bool(opening) and self.fitted.openings[str(opening)].bracket_loose
        return loose or force > 1.5 * USUAL_FORCE or self.fitted.drives[drive].gear == "slips"

    def ends_mm(self, drive: str, wish: Wish) -> tuple[float, float]:
        """Return the positions at which the drive stops itself when closing and when opening."""
        condition = self.fitted.drives[drive]
        top = self.stroke(drive) * condition.stroke_share - condition.reference_off_mm
        opening = self.topology.site.drives[drive].opening
        described = self.topology.site.openings[opening].opening_limit_mm if opening else None
        return 0.0, max(0.0, min([top, *(it for it in (wish.limit_mm, described) if it is not None)]))

    def marks_mm(self, drive: str, wish: Wish) -> list[float]:
        """Return the positions where something changes on the way."""
        opening, stroke = self.topology.site.drives[drive].opening, self.stroke(drive)
        marks = [*self.ends_mm(drive, wish), SEAL_SHARE * stroke]
        blocked = self.fitted.openings[opening].blocked_at if opening else None
        return [*marks, blocked * stroke] if blocked is not None else marks
