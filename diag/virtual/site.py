"""A described site as it behaves: give commands, let time pass, and see what moves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from random import Random

from diag.site import Site
from diag.topology import Topology, read_topology
from diag.virtual.commands import Action, Commands, Standing
from diag.virtual.contacts import Side, contact_made, stuck_side
from diag.virtual.driving import Driving
from diag.virtual.electrics import Wiring
from diag.virtual.faults import Fault, inject
from diag.virtual.feeding import Feed
from diag.virtual.fitted import Fitted, sound_parts
from diag.virtual.moving import Mover
from diag.virtual.programmes import runs_of
from diag.virtual.runs import DriveRun, SpeedClass, Wish
from diag.virtual.spot import Spot
from diag.virtual.supply import Busbars
from diag.virtual.surroundings import Surroundings

WATCH_S = 240.0
LONG_PRESS_S = 1.5
"""What people call a long press."""


@dataclass(frozen=True, slots=True)
class Response:
    """What a command did: which zones it reached, what refused it, and how the drives ran."""

    zones: tuple[str, ...]
    refused_by: Standing | None
    runs: Mapping[str, DriveRun]
    stops_on_tap: bool = True

    @property
    def moved(self) -> tuple[str, ...]:
        """Return the drives that moved enough to be seen."""
        return tuple(it for it, run in self.runs.items() if abs(run.moved_mm) > 3.0)


class VirtualSite:
    """One site with faults in it, a clock, and people's commands; the same seed gives the same site."""

    def __init__(
        self, site: Site, faults: Sequence[Fault] = (), seed: int = 0, topology: Topology | None = None
    ) -> None:
        self.topology = topology or read_topology(site)
        self.faults = tuple(faults)
        self.seed = seed
        self.dice = Random(seed)
        self.around = Surroundings()
        self.repaired: set[Fault] = set()
        self.fitted: Fitted = sound_parts(site)
        self.commands = Commands(self.topology, self.fitted, self.around)
        self.driving = Driving(self.topology, self.fitted)
        self.feed = Feed(self.topology, self.fitted)
        self.mover = Mover(self.driving, self.feed)
        self._active: frozenset[Fault] | None = None
        self._put(frozenset(self.faults))
        self.history = self.fitted.history
        self.history.comes_and_goes |= any(it.share_of_time < 1.0 for it in self.faults)
        self._stood = {zone: self.commands.standing(zone) for zone in self.fitted.zones}

    def luck(self, what: str) -> float:
        """Return a number from 0 to 1 that stays the same for this site: what its people know or have at hand."""
        return Random(f"{self.seed}/luck/{what}").random()

    def settle(self) -> None:
        """Roll whether the intermittent faults are there right now."""
        left = [it for it in self.faults if it not in self.repaired]
        active = frozenset(it for it in left if it.share_of_time >= 1.0 or self.dice.random() < it.share_of_time)
        if active != self._active:
            self._put(active)

    def show_all(self) -> None:
        """Let every fault that is not mended show itself, intermittent or not."""
        active = frozenset(it for it in self.faults if it not in self.repaired)
        if active != self._active:
            self._put(active)

    def repair(self, cause: str, part: str) -> bool:
        """Mend a cause at a part; return whether it was there."""
        found = {it for it in self.faults if it.cause == cause and it.part == part} - self.repaired
        self.repaired |= found
        self.show_all()
        return bool(found)

    def _put(self, active: frozenset[Fault]) -> None:
        fitted = sound_parts(self.topology.site)
        self.around.make_fair()
        for fault in self.faults:
            if fault in active:
                dice = Random(f"{self.seed}/{fault.cause}/{fault.part}")
                inject(fault, Spot(self.topology, fitted, self.around, fault.part, fault.severity, dice))
        if self._active is not None:
            # what happened has happened, but who was told why it is so wonders no more
            self.history.puzzled_by = fitted.history.puzzled_by
            fitted.history = self.history
        self.fitted = self.commands.fitted = self.driving.fitted = self.feed.fitted = fitted
        self.feed.wiring = Wiring(self.topology, fitted)
        self._active = active

    def wait(self, minutes: float) -> dict[str, DriveRun]:
        """Let time pass, minute by minute; whatever comes to stand acts. Return what each drive did last."""
        done: dict[str, DriveRun] = {}
        until = self.around.at + timedelta(minutes=minutes)
        while self.around.at < until:
            before = self.around.at
            self.around.at = min(until, before + timedelta(minutes=1))
            self.commands.note_weather()
            self.commands.spend_hands()
            for zone in self.fitted.zones:
                stands = self.commands.standing(zone)
                if stands and stands != self._stood[zone]:
                    done |= self._run_zones([zone], stands.action, speed_of(stands.command))
                self._stood[zone] = stands
                done |= self._close_by_programme(zone, before)
        return done

    def _close_by_programme(self, zone: str, before: datetime) -> dict[str, DriveRun]:
        """Close a zone whose programme says so in this minute, unless something stronger stands."""
        for it in runs_of(self.topology, self.fitted, zone, before, self.around.at):
            if it.does == "close" and self.commands.refused(zone, "schedule", "close") is None:
                return self._run_zones([zone], "close", "automatic")
        return {}

    def close_all(self) -> None:
        """Put every drive in its closed position, as when a person finds the site at rest."""
        self.mover.positions.clear()

    def stand_at(self, share: float) -> None:
        """Put every drive at a share of its stroke; one without voltage that has a spring stands shut."""
        for drive in self.fitted.drives:
            self.mover.positions[drive] = share * self.driving.stroke(drive)
            if share and self.topology.site.drives[drive].spring_return:
                run = self.run_alone(drive)
                self.mover.positions[drive] = 0.0 if run.stop == "no-voltage" else run.start_mm

    def put(self, zone: str, is_open: bool) -> None:
        """Put the drives of a zone at one end, without saying how they got there."""
        for drive in self.drives_of(zone):
            wish = Wish(1, limit_mm=self.fitted.zones[zone].limit_mm)
            self.mover.positions[drive] = self.driving.ends_mm(drive, wish)[1] if is_open else 0.0

    def press(self, part: str, side: Side, seconds: float = LONG_PRESS_S) -> Response:
        """Press one side of a switch for so long, with nothing moving before."""
        action = self._action_of_press(part, side, seconds)
        if action is None:
            return Response((), None, self._stuck_runs())
        return self._by_hand(self._zones_reached(part), action)

    def _by_hand(self, zones: tuple[str, ...], action: Action) -> Response:
        """Give a hand command; a refused one starts no hold-off."""
        for zone in zones:
            if self.commands.refused(zone, "manual", action) is None:
                self.commands.by_hand[zone] = (self.around.at, action)
                self.commands.spent.discard(zone)
                self._stood[zone] = Standing("manual", action)
        return self.command(zones, action, "manual")

    def command_at_panel(self, zone: str, action: Action) -> Response:
        """Give a hand command at the controller itself."""
        return self._by_hand((zone,), action)

    def automatic(self, zone: str, action: Action = "open") -> Response:
        """Force a demand for a zone and see whether it moves by itself."""
        it = self.fitted.zones[zone]
        if not it.automatic_enabled:
            return Response((zone,), Standing("disabled", "stop"), self._stuck_runs())
        if self.commands.hold_off_left_min(zone) > 0 and "manual" in self.commands.order():
            return Response((zone,), Standing("manual", "stop"), self._stuck_runs())
        return self.command((zone,), action, "automatic")

    def command(self, zones: tuple[str, ...], action: Action, command: str) -> Response:
        """Give a command of a class to zones; what is stronger refuses it."""
        free, refused = [], None
        for zone in zones:
            by = self.commands.refused(zone, command, action)
            by = by or self.kept_back(zone, command)
            refused = refused or by
            if by is None:
                free.append(zone)
        runs = self._run_zones(free, action, speed_of(command))
        return Response(zones, refused, runs)

    def kept_back(self, zone: str, command: str) -> Standing | None:
        """Return a standing refusal where the controller runs on battery and keeps it for smoke."""
        for output in self.outputs_of(zone):
            controller = self.topology.site.outputs[output].controller
            if controller and command != "smoke":
                bus = self.bus(controller)
                if bus.on_battery and not self.fitted.controllers[controller].comfort_on_battery:
                    return Standing("battery", "stop")
        return None

    def _run_zones(self, zones: Iterable[str], action: Action, speed: SpeedClass) -> dict[str, DriveRun]:
        wishes: dict[str, Wish] = {}
        if action != "stop":
            way = 1 if action == "open" else -1
            for zone in zones:
                limit = self.fitted.zones[zone].limit_mm
                wishes |= {it: Wish(way, speed, limit) for it in self.commanded_drives(zone)}
        return self.mover.run(wishes, WATCH_S)

    def _stuck_runs(self) -> dict[str, DriveRun]:
        return self.mover.run({}, WATCH_S)

    def run_alone(self, drive: str, way: int = 1, speed: SpeedClass = "manual") -> DriveRun:
        """Run one drive with its output commanded and return what it did."""
        zones = self.topology.zones_of_opening(self.topology.site.drives[drive].opening or "")
        limit = self.fitted.zones[zones[0]].limit_mm if zones else None
        runs = self.mover.run({drive: Wish(way, speed, limit)}, WATCH_S)
        return runs[drive]

    def drives_of(self, zone: str) -> list[str]:
        """Return the drives of the openings that the zone is set to move."""
        return [it for opening in self.fitted.zones[zone].openings for it in self.topology.drives_of_opening(opening)]

    def commanded_drives(self, zone: str) -> list[str]:
        """Return the drives that move when the zone's outputs are driven, crossed cables included."""
        reached: list[str] = []
        for drive in self.drives_of(zone):
            output = self.topology.output_of(drive) or ""
            crossed = self.fitted.outputs[output].crossed_with if output in self.fitted.outputs else None
            reached += list(self.topology.consumers_of_output(crossed)) if crossed else [drive]
        return [it for it in dict.fromkeys(reached) if it in self.fitted.drives]

    def outputs_of(self, zone: str) -> list[str]:
        """Return the outputs that feed the zone's drives and fans."""
        parts = [*self.drives_of(zone), *self.fitted.zones[zone].fans]
        return list(dict.fromkeys(it for it in map(self.topology.output_of, parts) if it))

    def bus(self, controller: str, load_a: float = 0.0) -> Busbars:
        """Return the busbars of a controller with nothing moving, or at another load."""
        supply = self.topology.site.controllers[controller].supply
        standing = (supply.standing_current_a if supply else None) or 0.1
        return self.feed.bus(controller, load_a + standing)

    def _zones_reached(self, part: str) -> tuple[str, ...]:
        it = self.fitted.inputs[part]
        if not it.wrong_terminal:
            return it.zones
        others = [other for other in self.fitted.inputs if other != part and self._is_switch(other)]
        return self.fitted.inputs[others[0]].zones if others else ()

    def _is_switch(self, part: str) -> bool:
        return self.topology.site.inputs[part].kind == "switch"

    def stuck_side(self, part: str) -> Side | None:
        """Return the side of a switch that the controller sees pressed though nobody touches it."""
        return stuck_side(self.fitted, part)

    def _action_of_press(self, part: str, side: Side, seconds: float) -> Action | None:
        it, described = self.fitted.inputs[part], self.topology.site.inputs[part]
        controller = described.controller
        if controller and (not self.bus(controller).alive or self.fitted.controllers[controller].board == "deaf"):
            return None
        if not contact_made(self.fitted, part, side) or it.function in ("nothing", "other-function"):
            return None
        if seconds < it.hold_threshold_s:
            return "stop" if it.tap_stops else None
        stuck = self.stuck_side(part)
        if stuck and stuck != side:
            return None
        turned = it.swapped != (it.function == "inverted")
        return side if not turned else ("close" if side == "open" else "open")


def speed_of(command: str) -> SpeedClass:
    """Return how fast a class of command moves."""
    if command == "smoke":
        return "smoke"
    return "manual" if command in ("manual", "maintenance") else "automatic"
