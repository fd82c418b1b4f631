"""Time programmes run by the controller's clock, on their days, in their season."""

from __future__ import annotations

from datetime import datetime

from diag.virtual.faults import Fault
from diag.virtual.programmes import last_run, runs_of, within_days
from diag.virtual.site import VirtualSite
from tests.diag.virtual.sites import virtual

SATURDAY = datetime(2026, 5, 9, 0, 0)
SUNDAY = datetime(2026, 5, 10, 0, 0)
FRIDAY = datetime(2026, 5, 8, 0, 0)


def ran(site: VirtualSite, zone: str, start: datetime, end: datetime) -> list[tuple[str, str]]:
    """Return when the zone's programmes ran and what they did."""
    return [(f"{it.at:%H:%M}", it.does) for it in sorted(runs_of(site.topology, site.fitted, zone, start, end))]


def test_a_programme_runs_on_its_days_only() -> None:
    assert ran(virtual(), "zd", FRIDAY, SATURDAY) == [("07:00", "open"), ("07:45", "close")]
    assert ran(virtual(), "zd", SATURDAY, SUNDAY) == []


def test_a_seasonal_programme_does_not_run_before_its_season() -> None:
    assert ran(virtual(), "zn", FRIDAY, SATURDAY) == []
    summer = ran(virtual(), "zn", datetime(2026, 7, 1, 12), datetime(2026, 7, 2, 12))
    assert summer == [("23:00", "open"), ("05:30", "close")]


def test_a_clock_that_is_ahead_runs_programmes_early() -> None:
    site = virtual(Fault("clock-wrong", "c1"))
    site.fitted.controllers["c1"].clock_off_minutes = 60.0
    assert ran(site, "zd", FRIDAY, SATURDAY) == [("06:00", "open"), ("06:45", "close")]


def test_a_missing_programme_never_runs() -> None:
    site = virtual()
    site.fitted.zones["zd"].programme = "missing"
    assert ran(site, "zd", FRIDAY, SATURDAY) == []


def test_the_last_run_is_remembered_over_the_week() -> None:
    site = virtual()
    found = last_run(site.topology, site.fitted, "zd", datetime(2026, 5, 12, 6, 0))
    assert found is not None
    assert (found.at, found.does) == (datetime(2026, 5, 8, 7, 45), "close")


def test_a_span_of_days_may_pass_the_turn_of_the_year() -> None:
    assert [within_days("11-01", "02-28", it) for it in ("12-24", "02-28", "03-01", "10-31")] == [
        True,
        True,
        False,
        False,
    ]
