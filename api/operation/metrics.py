"""Count and time what the service does, for Prometheus."""

from __future__ import annotations

import json
import logging
import re
import secrets
import time
from collections.abc import Callable

from prometheus_client import CollectorRegistry, Counter, Gauge, Histogram
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LOG = logging.getLogger("ventsleuth.requests")
BUCKETS_S = (0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0)
REQUEST_ID = re.compile(rb"[A-Za-z0-9_.-]{1,64}")


class Metrics:
    """The counters of one service."""

    def __init__(self) -> None:
        self.registry = CollectorRegistry()
        labels = ["method", "route"]
        self.seconds = Histogram(
            "ventsleuth_request_seconds",
            "Time to answer a request.",
            labels,
            buckets=BUCKETS_S,
            registry=self.registry,
        )
        self.answers = Counter(
            "ventsleuth_answers_total", "Answers by status.", [*labels, "status"], registry=self.registry
        )
        self.streams = Gauge("ventsleuth_streams", "Live streams that are open.", registry=self.registry)
        self.deliveries = Counter(
            "ventsleuth_webhook_deliveries_total", "Webhook deliveries.", ["outcome"], registry=self.registry
        )


def with_metrics(metrics: Metrics) -> Callable[[ASGIApp], ASGIApp]:
    """Return what counts, times and logs the requests of an application, each under an id that is sent back.

    A line of the log holds the route, the ids of case and caller, and no text that anybody typed.
    """

    def wrap(app: ASGIApp) -> ASGIApp:
        async def answer(scope: Scope, receive: Receive, send: Send) -> None:
            if scope["type"] != "http":
                await app(scope, receive, send)
                return
            request_id, started, status = _request_id(scope), time.perf_counter(), 500

            async def send_with_id(message: Message) -> None:
                nonlocal status
                if message["type"] == "http.response.start":
                    status = message["status"]
                    message["headers"] = [*message["headers"], (b"x-request-id", request_id)]
                await send(message)

            try:
                await app(scope, receive, send_with_id)
            finally:
                _note(metrics, scope, status, time.perf_counter() - started, request_id.decode())

        return answer

    return wrap


def _note(metrics: Metrics, scope: Scope, status: int, seconds: float, request_id: str) -> None:
    route, method = route_of(scope), scope["method"] if scope["method"].isalpha() else "OTHER"
    if not route.endswith("/stream"):
        metrics.seconds.labels(method, route).observe(seconds)
    metrics.answers.labels(method, route, str(status)).inc()
    if LOG.isEnabledFor(logging.INFO):
        LOG.info(_line(scope, method, route, status, seconds, request_id))


def _line(scope: Scope, method: str, route: str, status: int, seconds: float, request_id: str) -> str:
    who = scope.get("state", {}).get("who")
    line = {
        "request_id": request_id,
        "method": method,
        "route": route,
        "status": status,
        "ms": round(seconds * 1000, 1),
        "case": scope.get("path_params", {}).get("case_id"),
        "org": who.org if who else None,
        "who": who.id if who else None,
    }
    return json.dumps({name: it for name, it in line.items() if it is not None})


def route_of(scope: Scope) -> str:
    """Return the pattern of the route that answered, so that ids do not make ever more series."""
    route = scope.get("route")
    return getattr(route, "path", None) or ("page" if scope.get("endpoint") else "none")


def _request_id(scope: Scope) -> bytes:
    given = next((value for name, value in scope["headers"] if name == b"x-request-id"), b"")
    return given if REQUEST_ID.fullmatch(given) else secrets.token_hex(8).encode()
