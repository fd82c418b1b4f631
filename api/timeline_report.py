"""Tell a timeline as JSON: spans, refusals and sentences by zone, a table, a chart, and what was taken for granted."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from pydantic import Field

from api.schemas import Out
from diag.timeline.chart_svg import draw
from diag.timeline.command import Timeline
from diag.timeline.names import name_of
from diag.timeline.plain_data import timeline_data
from diag.timeline.plan import Plan
from diag.timeline.sentences import tell, tell_due
from diag.timeline.table import HEADER, table_rows


class CommandOut(Out):
    """What one source asks of a zone; `moves` is false once it only keeps weaker commands out."""

    command_class: str = Field(alias="class")
    action: str
    source: str
    since: datetime
    level: int
    moves: bool


class SpanOut(Out):
    """How long one command stood; null when nothing commanded the zone."""

    start: datetime
    end: datetime
    command: CommandOut | None
    left_by: CommandOut | None
    lockouts: list[str]
    holds_until: datetime | None


class RefusedOut(Out):
    """A command that did not count, and what stood in its way."""

    at: datetime
    command: CommandOut
    reason: str
    by: str
    says: str


class DueChangeOut(Out):
    """What changes next by itself."""

    at: datetime
    part: str
    what: str


class SentenceOut(Out):
    """One plain sentence or two, and the moment it begins to be true."""

    at: datetime
    says: str


class ZoneTimelineOut(Out):
    """All that stood for one zone, in order of time."""

    zone: str
    name: str
    spans: list[SpanOut]
    refused: list[RefusedOut]
    due: DueChangeOut | None
    sentences: list[SentenceOut]
    next: str


class TableOut(Out):
    """The spans of all zones as rows of text under their columns."""

    columns: list[str]
    rows: list[list[str]]


class LockoutSpanOut(Out):
    """How long a lockout stood."""

    lockout: str
    start: datetime
    end: datetime


class TimelineOut(Out):
    """What commanded each zone and when, by the site's clock; `notes` says what was taken for granted."""

    site: str
    start: datetime
    end: datetime
    zones: list[ZoneTimelineOut]
    table: TableOut
    lockouts: list[LockoutSpanOut]
    notes: list[str]
    svg: str | None = Field(description="The chart, where it was asked for.")


def describe_timeline(
    plan: Plan, timeline: Timeline, zones: Sequence[str], notes: Iterable[str], has_chart: bool
) -> TimelineOut:
    """Return a timeline of these zones as JSON shapes."""
    data = timeline_data(plan, timeline, zones, notes)
    found = {
        **data,
        "zones": [_zone(plan, timeline, zone, data["zones"][zone]) for zone in zones],
        "table": {"columns": list(HEADER), "rows": [list(row) for row in table_rows(plan, timeline, zones)]},
        "svg": draw(plan, timeline, zones) if has_chart else None,
    }
    return TimelineOut.model_validate(found)


def _zone(plan: Plan, timeline: Timeline, zone: str, data: dict[str, Any]) -> dict[str, Any]:
    lines = tell(plan, timeline, zone)
    said = [{"at": line.at.astimezone(plan.time_zone), "says": line.says} for line in lines]
    next_ = tell_due(plan, timeline, zone)
    return {**data, "zone": zone, "name": name_of(plan, zone), "sentences": said, "next": next_}
