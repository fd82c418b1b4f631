"""Deliver what is due, in threads of its own, so that a slow receiver holds up no other."""

from __future__ import annotations

import logging
import threading
import time
from concurrent.futures import ThreadPoolExecutor

from sqlalchemy.exc import SQLAlchemyError

from api.operation.metrics import Metrics
from api.webhooks.address import BadAddress, target_of
from api.webhooks.outbox import AT_ONCE, Delivery, Webhooks
from api.webhooks.send import send
from api.webhooks.signing import signed_headers

LOG = logging.getLogger(__name__)
LOOK_EVERY_S = 1.0


class Courier:
    """Looks every second for messages that are due and sends those at once; several nodes share the work."""

    def __init__(self, webhooks: Webhooks, allowed: frozenset[str], metrics: Metrics) -> None:
        self._webhooks, self._allowed, self._metrics = webhooks, allowed, metrics
        self._stop = threading.Event()
        self._crowd = ThreadPoolExecutor(AT_ONCE, thread_name_prefix="courier")
        self._thread = threading.Thread(target=self._run, name="courier", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """End the threads after the messages they are at."""
        self._stop.set()
        self._thread.join()
        self._crowd.shutdown()

    def _run(self) -> None:
        while not self._stop.wait(LOOK_EVERY_S):
            try:
                self._deliver()
            except SQLAlchemyError as error:
                LOG.warning("webhooks wait: %s", type(error).__name__)
            except Exception:  # a defect of ours; the others are still delivered
                LOG.exception("webhooks")

    def _deliver(self) -> None:
        while not self._stop.is_set() and (due := self._webhooks.claim()):
            list(self._crowd.map(self._deliver_one, due))

    def _deliver_one(self, delivery: Delivery) -> None:
        if self._stop.is_set():
            return  # it is due again when the claim is over
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
