"""Deliver what is due, in a thread of its own."""

from __future__ import annotations

import logging
import threading
import time

from sqlalchemy.exc import SQLAlchemyError

from api.operation.metrics import Metrics
from api.webhooks.address import BadAddress, target_of
from api.webhooks.outbox import Delivery, Webhooks
from api.webhooks.send import send
from api.webhooks.signing import signed_headers

LOG = logging.getLogger(__name__)
LOOK_EVERY_S = 1.0


class Courier:
    """Looks every second for messages that are due; several nodes share the work."""

    def __init__(self, webhooks: Webhooks, allowed: frozenset[str], metrics: Metrics) -> None:
        self._webhooks, self._allowed, self._metrics = webhooks, allowed, metrics
        self._stop = threading.Event()
        self._thread = threading.Thread(target=self._run, name="courier", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End the thread after the message it is at."""
        self._stop.set()
        self._thread.join()

    def _run(self) -> None:
        while not self._stop.wait(LOOK_EVERY_S):
            try:
                self._deliver()
            except SQLAlchemyError as error:
                LOG.warning("webhooks wait: %s", type(error).__name__)

    def _deliver(self) -> None:
        while due := self._webhooks.claim():
            for delivery in due:
                if self._stop.is_set():
                    return
                delivered = self._webhooks.done(delivery, deliver(delivery, self._allowed))
                self._metrics.deliveries.labels("delivered" if delivered else "failed").inc()


def deliver(delivery: Delivery, allowed: frozenset[str]) -> int | None:
    """Send a message and return the status, or None when nothing came back or the address may not be used."""
    body = delivery.body.encode()
    headers = signed_headers(delivery.secret, delivery.id, int(time.time()), body)
    try:
        target = target_of(delivery.url, allowed)
    except BadAddress as error:
        LOG.warning("webhook %s: %s", delivery.webhook, error)
        return None
    return send(target, headers, body)
