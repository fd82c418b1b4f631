"""What the endpoints share, named once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated

from fastapi import Depends, Request

from api.site_shelf import SiteShelf
from api.store import Store
from diag.desk import Desk
from diag.intake import Intake
from knowledge.translations import Translation


@dataclass(frozen=True)
class Service:
    """All that lives as long as the service does; `now` is its clock."""

    desk: Desk
    intake: Intake
    store: Store
    shelf: SiteShelf
    now: Callable[[], datetime]
    translations: Mapping[str, Translation]


def service_of(request: Request) -> Service:
    """Return the service the request came to."""
    service: Service = request.app.state.service
    return service


ServiceDep = Annotated[Service, Depends(service_of)]
