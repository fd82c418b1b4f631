"""The endpoints of webhooks."""

from __future__ import annotations

import json
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Request
from pydantic import Field, StringConstraints

from api.access.desk import AccessDeskDep
from api.cases.ids import FORM
from api.cases.state import STEPS
from api.routes import PROBLEM
from api.schemas import In, Out
from api.strict_query import refuse_unknown_query
from api.webhooks.address import target_of
from api.webhooks.outbox import Webhooks
from api.who import Admin

SHOWN = 50
Kind = Annotated[str, StringConstraints(pattern=f"^({'|'.join(STEPS)})$")]
WebhookId = Annotated[str, Path(pattern=FORM)]

router = APIRouter(
    prefix="/v1/webhooks", tags=["webhooks"], responses=PROBLEM, dependencies=[Depends(refuse_unknown_query)]
)


class WebhookIn(In):
    """Where to tell of events of cases, and of which kinds; of all when none is named."""

    url: Annotated[str, StringConstraints(min_length=1, max_length=2_000, pattern=r"^[^\x00-\x20\x7f]+$")]
    kinds: Annotated[list[Kind], Field(max_length=30)] = Field(default=[])


class WebhookOut(Out):
    """A webhook; its secret is shown once, when it is made."""

    id: str
    url: str
    kinds: list[str]
    created_at: str
    disabled_at: str | None
    secret: str | None = Field(default=None, description="Keep it now; the receiver checks signatures with it.")


class WebhooksOut(Out):
    """The webhooks of the organisation."""

    webhooks: list[WebhookOut]


class DeliveryOut(Out):
    """A message to a webhook and what came of it; `next_at` is when it is tried again."""

    id: str
    type: str
    created_at: str
    attempts: int
    last_status: int | None
    delivered_at: str | None
    next_at: str | None


class DeliveriesOut(Out):
    """The last messages, newest first."""

    deliveries: list[DeliveryOut]


def webhooks_of(request: Request) -> Webhooks:
    """Return the webhooks of the service."""
    webhooks: Webhooks = request.app.state.webhooks
    return webhooks


WebhooksDep = Annotated[Webhooks, Depends(webhooks_of)]


@router.get("")
def list_webhooks(who: Admin, webhooks: WebhooksDep) -> WebhooksOut:
    """Return the webhooks of the organisation, without their secrets."""
    return WebhooksOut(webhooks=[_webhook(it) for it in webhooks.all(who.org)])


@router.post("", status_code=201)
def add_webhook(
    sent: WebhookIn, request: Request, who: Admin, webhooks: WebhooksDep, access: AccessDeskDep
) -> WebhookOut:
    """Tell an address of events of cases from now on."""
    target_of(sent.url, request.app.state.webhook_hosts)
    made, secret = webhooks.add(who.org, sent.url, sent.kinds)
    access.audit.note(who, "webhook-added", made)
    return next(_webhook(it, secret) for it in webhooks.all(who.org) if it.id == made)


@router.delete("/{webhook_id}", status_code=204)
def delete_webhook(webhook_id: WebhookId, who: Admin, webhooks: WebhooksDep, access: AccessDeskDep) -> None:
    """Tell an address no more."""
    webhooks.delete(who.org, webhook_id)
    access.audit.note(who, "webhook-deleted", webhook_id)


@router.get("/{webhook_id}/deliveries")
def list_deliveries(webhook_id: WebhookId, who: Admin, webhooks: WebhooksDep) -> DeliveriesOut:
    """Return the last messages to a webhook and what came of them."""
    return DeliveriesOut(deliveries=[_delivery(it) for it in webhooks.deliveries(who.org, webhook_id, SHOWN)])


def _webhook(row: Any, secret: str | None = None) -> WebhookOut:
    fields = {name: getattr(row, name) for name in ("id", "url", "created_at", "disabled_at")}
    return WebhookOut(**fields, kinds=json.loads(row.kinds), secret=secret)


def _delivery(row: Any) -> DeliveryOut:
    names = ("id", "created_at", "attempts", "last_status", "delivered_at", "next_at")
    return DeliveryOut(**{name: getattr(row, name) for name in names}, type=json.loads(row.body)["type"])
