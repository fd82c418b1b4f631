"""Time a timeline from ten thousand events to a million, read from CSV and played, and what one moment costs."""

from __future__ import annotations

import resource
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from random import Random
from zoneinfo import ZoneInfo

from diag.demo import load_demo
from diag.observations import Event
from diag.timeline.events import LogEvent, from_case
from diag.timeline.log_csv import LogReader
from diag.timeline.plan import Plan
from diag.timeline.play import open_world, records
from diag.timeline.prepare import prepare
from diag.timeline.standing import standing_at

SIZES = (10_000, 100_000, 1_000_000)
BEGIN = datetime(2026, 3, 1, tzinfo=UTC)
CLOCK = ZoneInfo("Europe/London")
MOST_GROWTH = 1.5
"""The time of an event at the largest size, as a multiple of that at the smallest, above which the run fails."""


def log_lines(count: int, seed: int = 3) -> Iterator[str]:
    """Yield a log of the medium site, 20 s to 2 min from line to line: mostly readings, and hands, rain and writes."""
    random = Random(seed)
    at, warmth_c, air_ppm = BEGIN, 21.0, 700.0
    yield "time,source,event,value,zone,priority\n"
    for _ in range(count):
        at += timedelta(seconds=random.randrange(20, 120))
        warmth_c += random.uniform(-0.4, 0.4) + (22 - warmth_c) * 0.02
        air_ppm += random.uniform(-60, 60) + (900 - air_ppm) * 0.02
        which = random.random()
        if which < 0.3:
            says = f"th1,reading,{warmth_c:.1f},,"
        elif which < 0.6:
            says = f"co2,reading,{air_ppm:.0f},,"
        elif which < 0.85:
            says = f"wind,reading,{random.uniform(0, 12):.1f},,"
        else:
            says = _command(random)
        yield f"{at.astimezone(CLOCK):%Y-%m-%d %H:%M:%S},{says}\n"


def _command(random: Random) -> str:
    which = random.random()
    if which < 0.4:
        direction = random.choice(("open", "close"))
        return f"sw-{random.choice('nsad')},{direction},{random.uniform(0.1, 2):.1f},,"
    if which < 0.55:
        return f"rain,{random.choice(('on', 'off'))},,,"
    if which < 0.75:
        return f"bl1,write,{random.choice(('open', 'close'))},,{random.randint(8, 16)}"
    return f"bl1,relinquish,,,{random.randint(8, 16)}"


def read(plan: Plan, count: int) -> Iterator[LogEvent]:
    """Yield the events of a log; end the run if a line of it cannot be read."""
    for it in LogReader(plan).read(log_lines(count)):
        if not isinstance(it, LogEvent):
            raise SystemExit(f"the log has a fault: {it}")
        yield it


def seconds_of(count: int, plan: Plan) -> tuple[float, float, int]:
    """Return the processor seconds to make and read a log, to make, read and play it, and the number of records."""
    started = time.process_time()
    events = sum(1 for _ in read(plan, count))
    reading = time.process_time() - started
    if events != count:
        raise SystemExit(f"{count} lines gave {events} events")
    started = time.process_time()
    world, stream = open_world(plan, read(plan, count))
    found = sum(1 for _ in records(world, stream, world.now))
    return reading, time.process_time() - started, found


def moment_ms(plan: Plan) -> float:
    """Return the median time of asking what stands, after three events of a case, in milliseconds."""
    zone = next(iter(plan.zones))
    told = [
        Event(datetime(2026, 5, 4, 10, 5), "manual", zone),
        Event(datetime(2026, 5, 4, 10, 10), "automatic"),
        Event(datetime(2026, 5, 4, 10, 12), "rain"),
    ]
    times = []
    for _ in range(301):
        started = time.perf_counter()
        standing_at(plan, from_case(told, plan.zones, plan.time_zone), datetime(2026, 5, 4, 9, 20, tzinfo=UTC))
        times.append(time.perf_counter() - started)
    return sorted(times)[150] * 1e3


def main() -> None:
    """Print one line for each size, then the time of one moment; fail when the time of an event grows."""
    plan = prepare(load_demo("medium"))
    print(f"{'events':>9}{'log us':>9}{'play us':>9}{'records':>9}{'peak MB':>9}")
    each = []
    for count in SIZES:
        reading, both, found = seconds_of(count, plan)
        each.append(both / count)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(f"{count:>9}{reading / count * 1e6:>9.2f}{(both - reading) / count * 1e6:>9.2f}{found:>9}{peak:>9.0f}")
    print(f"what stands at one moment, medium site: {moment_ms(plan):.3f} ms")
    if each[-1] > MOST_GROWTH * each[0]:
        raise SystemExit(f"an event costs {each[-1] / each[0]:.2f} times as much among a million as among ten thousand")


if __name__ == "__main__":
    main()
