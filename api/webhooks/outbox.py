"""Keep webhooks and the messages to them until they are delivered; messages are written with what they tell of."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from random import uniform
from typing import Any

from sqlalchemy import Connection, bindparam, insert, select, update

from api.cases.ids import new_id
from api.cases.record import CaseRow
from api.cases.state import CaseEvent
from api.storage.clock import later, now_text
from api.storage.database import Database
from api.storage.tables import DELIVERIES, WEBHOOKS
from api.webhooks.signing import make_secret
from api.who import Who
from diag.errors import UnknownName

WAITS_S = (5, 300, 1800, 7200, 18_000, 36_000, 50_400, 72_000, 86_400)
"""How long to wait after each failure, as the Standard Webhooks text suggests; after the last no more is tried."""

JITTER = 0.1
LEASE_S = 60
AT_ONCE = 20
GONE = 410


class UnknownWebhook(UnknownName):
    """No webhook of the organisation has this id."""

    thing = "webhook"


@dataclass(frozen=True, slots=True)
class Delivery:
    """A message that is due, with where it goes."""

    id: str
    webhook: str
    url: str
    secret: str
    body: str
    attempts: int


class Webhooks:
    """The webhooks of all organisations."""

    def __init__(self, database: Database) -> None:
        self.database = database

    def add(self, org: str, url: str, kinds: Sequence[str]) -> tuple[str, str]:
        """Keep a webhook and return its id and secret."""
        row = {"id": new_id(), "org": org, "url": url, "secret": make_secret(), "kinds": json.dumps(sorted(kinds))}
        with self.database.writing() as connection:
            connection.execute(insert(WEBHOOKS).values(**row, created_at=now_text()))
        return row["id"], row["secret"]

    def all(self, org: str) -> list[Any]:
        """Return the webhooks of an organisation, oldest first."""
        found = select(WEBHOOKS).where(WEBHOOKS.c.org == org).order_by(WEBHOOKS.c.id)
        with self.database.reading() as connection:
            return list(connection.execute(found))

    def delete(self, org: str, webhook: str) -> None:
        """Remove a webhook with what was still to be delivered; raise UnknownWebhook."""
        mine = (WEBHOOKS.c.id == webhook) & (WEBHOOKS.c.org == org)
        with self.database.writing() as connection:
            if not connection.execute(WEBHOOKS.delete().where(mine)).rowcount:
                raise UnknownWebhook(webhook)

    def deliveries(self, org: str, webhook: str, most: int) -> list[Any]:
        """Return the last messages to a webhook, newest first; raise UnknownWebhook."""
        if webhook not in {it.id for it in self.all(org)}:
            raise UnknownWebhook(webhook)
        found = select(DELIVERIES).where(DELIVERIES.c.webhook == webhook).order_by(DELIVERIES.c.id.desc()).limit(most)
        with self.database.reading() as connection:
            return list(connection.execute(found))

    def claim(self) -> list[Delivery]:
        """Return messages that are due; nobody else gets them for a minute, and after a crash they are due again."""
        due = (
            select(DELIVERIES, WEBHOOKS.c.url, WEBHOOKS.c.secret)
            .join(WEBHOOKS, WEBHOOKS.c.id == DELIVERIES.c.webhook)
            .where(DELIVERIES.c.next_at <= now_text(), WEBHOOKS.c.disabled_at.is_(None))
            .order_by(DELIVERIES.c.next_at)
            .limit(AT_ONCE)
            .with_for_update(skip_locked=True, of=DELIVERIES)
        )
        with self.database.writing() as connection:
            rows = connection.execute(due).all()
            mine = DELIVERIES.c.id.in_([it.id for it in rows])
            taken = update(DELIVERIES).where(mine).values(next_at=later(seconds=LEASE_S))
            if rows:
                connection.execute(taken.values(attempts=DELIVERIES.c.attempts + 1))
        return [Delivery(it.id, it.webhook, it.url, it.secret, it.body, it.attempts + 1) for it in rows]

    def done(self, delivery: Delivery, status: int | None) -> bool:
        """Keep what came of a try and return whether it was delivered; a webhook that is gone gets no more."""
        delivered = status is not None and 200 <= status < 300
        values: dict[str, Any] = {"last_status": status, "next_at": None}
        if delivered:
            values["delivered_at"] = now_text()
        elif status != GONE and delivery.attempts <= len(WAITS_S):
            wait_s = WAITS_S[delivery.attempts - 1] * uniform(1 - JITTER, 1 + JITTER)
            values["next_at"] = later(seconds=wait_s)
        with self.database.writing() as connection:
            connection.execute(update(DELIVERIES).where(DELIVERIES.c.id == delivery.id).values(**values))
            if status == GONE:
                gone = update(WEBHOOKS).where(WEBHOOKS.c.id == delivery.webhook)
                connection.execute(gone.values(disabled_at=now_text()))
        return delivered


def put_in_outbox(connection: Connection, who: Who, row: CaseRow, events: Sequence[CaseEvent]) -> None:
    """Write a message for each event and each webhook that wants its kind, in the transaction of the events.

    A message names the case and says what kind of thing happened; what was typed stays here.
    """
    hooks = connection.execute(_active(), {"its_org": who.org}).all()
    for hook in hooks:
        wanted = set(json.loads(hook.kinds))
        messages = [_message(hook.id, row, it) for it in events if not wanted or it.kind in wanted]
        if messages:
            connection.execute(insert(DELIVERIES), messages)


@cache
def _active() -> Any:
    """Return the statement, put together once, because that takes longer than running it."""
    active = (WEBHOOKS.c.org == bindparam("its_org")) & WEBHOOKS.c.disabled_at.is_(None)
    return select(WEBHOOKS.c.id, WEBHOOKS.c.kinds).where(active)


def _message(webhook: str, row: CaseRow, event: CaseEvent) -> dict[str, Any]:
    data = {"case": row.id, "number": row.number, "seq": event.seq, "status": row.status, "by": event.by}
    body = json.dumps({"type": f"case.{event.kind}", "timestamp": event.at, "data": data})
    fields = {"created_at": event.at, "attempts": 0, "next_at": now_text()}
    return {"id": new_id(), "webhook": webhook, "body": body, **fields}
