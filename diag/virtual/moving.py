"""Run drives for a while: what each one sees, how it moves, and what stops it."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from diag.virtual.driving import Driving
from diag.virtual.electrics import OutputState
from diag.virtual.feeding import Feed
from diag.virtual.runs import DriveRun, Wish

SURGE_FACTOR = 1.6
"""How much more than its limit an output lets pass while drives start; common practice, no source."""
MOST_STEPS = 60
TWIST_MM = 40.0
"""How far two drives of one sash may be apart before it twists and they stop; common practice, no source."""
LAG_STEP_S = 2.0
BACK_FEED_MM = 15.0
"""How far a drive is fed back before its end switch closes again and it turns round; judgement."""
BACK_OFF_MM = 20.0
"""How far a closing drive opens again after it met something; common practice, no source."""


@dataclass(slots=True)
class _Course:
    """One run in the making: what is wished, what was done so far, where something changes, and the clock."""

    wishes: Mapping[str, Wish]
    runs: dict[str, DriveRun]
    marks_mm: Mapping[str, list[float]]
    seconds: float
    clock: float = 0.0


class Mover:
    """The drives of a site with their positions; `run` moves them."""

    def __init__(self, driving: Driving, feed: Feed) -> None:
        self.driving = driving
        self.feed = feed
        self.positions: dict[str, float] = {}

    def run(self, wishes: Mapping[str, Wish], seconds: float) -> dict[str, DriveRun]:
        """Move the drives as wished for at most this long and return what each did."""
        wishes = self._with_stuck_outputs(wishes)
        runs = {it: self._start(it, wish) for it, wish in wishes.items()}
        course = _Course(wishes, runs, {it: self.driving.marks_mm(it, wish) for it, wish in wishes.items()}, seconds)
        for step in range(MOST_STEPS):
            live = [it for it, run in runs.items() if run.stop == "running"]
            if not live or course.clock >= seconds:
                break
            self._advance(course, live, starting=step == 0)
        for drive, run in runs.items():
            self._end(drive, run)
        return runs

    def draw_a(self, drive: str, way: int) -> float:
        """Return what a drive would draw where it stands, asked to open (1) or close (-1)."""
        force = self.driving.force(drive, self.positions.get(drive, 0.0), way)
        return min(self.driving.draws_a(drive, force), self.driving.cut_off_a(drive))

    def _start(self, drive: str, wish: Wish) -> DriveRun:
        here = self.positions.get(drive, 0.0)
        return DriveRun(wish.direction, here, here, stop=self.driving.refuses(drive, wish.direction) or "running")

    def _end(self, drive: str, run: DriveRun) -> None:
        if run.stop == "running":
            run.stop = "time"
        if run.stop == "no-voltage" and self.driving.topology.site.drives[drive].spring_return:
            run.position_mm = 0.0
        self.positions[drive] = run.position_mm

    def _with_stuck_outputs(self, wishes: Mapping[str, Wish]) -> dict[str, Wish]:
        result = dict(wishes)
        fitted = self.driving.fitted
        for output, condition in fitted.outputs.items():
            if condition.stuck:
                way = 1 if condition.stuck == "open" else -1
                fed = self.driving.topology.consumers_of_output(output)
                result |= {it: Wish(way) for it in fed if it in fitted.drives}
        return result

    def _energise(self, forces: Mapping[str, float], starting: bool) -> dict[str, OutputState]:
        drawn = {it: self.driving.draws_a(it, force) for it, force in forces.items()}
        states = self.feed.states(drawn)
        if starting:
            surge = {it: self.driving.start_a(it) for it in drawn if drawn[it] > 0}
            states |= {it: state for it, state in self.feed.states(surge, SURGE_FACTOR).items() if state.tripped}
        return states

    def _advance(self, course: _Course, live: Iterable[str], starting: bool) -> None:
        """Stop what cannot go on, and move the rest to the next thing that happens."""
        runs, wishes = course.runs, course.wishes
        forces = {it: self.driving.force(it, runs[it].position_mm, wishes[it].direction) for it in live}
        states = self._energise(forces, starting)
        speeds: dict[str, float] = {}
        for drive in live:
            speed = self._speed(drive, states[self.driving.output(drive)], wishes[drive], runs[drive], forces[drive])
            if speed is not None:
                speeds[drive] = speed
        if speeds:
            self._move(course, speeds)

    def _move(self, course: _Course, speeds: Mapping[str, float]) -> None:
        ends = [course.seconds, *(self._run_time(it) for it in speeds)]
        ahead = [self._until(course, it, speed) for it, speed in speeds.items()]
        span = max(0.0, min(min(ends) - course.clock, *ahead))
        course.clock += max(span, 1e-3)
        for drive, speed in speeds.items():
            run = course.runs[drive]
            run.position_mm += speed * span
            run.seconds += span
            self._check_stop(drive, course.wishes[drive], run, speed)
            if course.clock >= self._run_time(drive) - 1e-6 and run.stop == "running":
                run.stop = "run-time"
        for drive in speeds:
            self._check_back_feed(drive, course)
        self._check_twist(course.runs)

    def _check_back_feed(self, drive: str, course: _Course) -> None:
        """Let a drive at its end be driven back by the winding of another that is joined to its cores."""
        output, run = self.driving.output(drive), course.runs[drive]
        joined = [it for it in course.runs if it != drive and self.driving.output(it) == output]
        if run.stop == "end" and joined and self.driving.fitted.outputs[output].back_feeds:
            run.stop, run.noisy, run.past_end = "hum", True, True
            run.position_mm -= BACK_FEED_MM * (1 if run.moved_mm > 0 else -1)

    def _run_time(self, drive: str) -> float:
        return self.driving.fitted.outputs[self.driving.output(drive)].run_time_s

    def _speed(self, drive: str, state: OutputState, wish: Wish, run: DriveRun, force: float) -> float | None:
        """Return the signed speed, or mark why the drive does not run and return None."""
        driving = self.driving
        run.voltage_v = state.voltages_v.get(drive, state.voltages_v.get(driving.output(drive), 0.0))
        if state.tripped:
            run.stop = "trip"
        elif not driving.runs_at(drive, run.voltage_v):
            run.stop = "no-voltage"
        elif driving.is_dead(drive):
            run.stop = "dead"
        elif driving.fitted.drives[drive].gear == "stripped":
            run.stop, run.noisy = "hum", True
        elif driving.cuts_out(drive, force):
            self._cut_out(drive, run, wish)
        if run.stop != "running":
            return None
        run.current_a = max(run.current_a, driving.draws_a(drive, force))
        run.noisy = run.noisy or driving.is_noisy(drive, force)
        return driving.speed_mm_s(drive, run.voltage_v, wish, force)

    def _cut_out(self, drive: str, run: DriveRun, wish: Wish) -> None:
        run.stop = "cut-out"
        run.current_a = max(run.current_a, self.driving.cut_off_a(drive))
        if wish.direction < 0 and 0 < run.position_mm < run.start_mm:
            run.backed_off = True
            run.position_mm = min(run.start_mm, run.position_mm + BACK_OFF_MM)

    def _until(self, course: _Course, drive: str, speed: float) -> float:
        """Return the seconds to the next mark ahead of a drive."""
        here = course.runs[drive].position_mm
        ahead = [(mark - here) / speed for mark in course.marks_mm[drive] if (mark - here) / speed > 1e-6]
        pair = LAG_STEP_S if any(it.lags for it in self.driving.fitted.drives.values()) else math.inf
        return min([*ahead, pair])

    def _check_stop(self, drive: str, wish: Wish, run: DriveRun, speed: float) -> None:
        low, high = self.driving.ends_mm(drive, wish)
        past = run.position_mm <= low + 1e-6 if speed < 0 else run.position_mm >= high - 1e-6
        if past:
            run.position_mm = min(run.position_mm, low) if speed < 0 else max(run.start_mm, high)
            run.stop = "end"
            run.past_end = not self.driving.fitted.drives[drive].end_switch
            run.noisy = run.noisy or run.past_end

    def _check_twist(self, runs: Mapping[str, DriveRun]) -> None:
        """Stop both drives of an opening when they drift apart: the sash twists and their cut-outs act."""
        by_opening: dict[str, list[str]] = defaultdict(list)
        for drive in runs:
            opening = self.driving.topology.site.drives[drive].opening
            if opening:
                by_opening[opening].append(drive)
        for drives in by_opening.values():
            apart = [runs[it].position_mm for it in drives]
            if len(drives) > 1 and max(apart) - min(apart) > TWIST_MM:
                for drive in drives:
                    runs[drive].stop = "twist"
