"""What the endpoints share, named once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Annotated

from fastapi import Depends, Request

from api.rates import Rates
from api.site_shelf import SiteShelf
from api.store import Store
from api.who import who_of
from diag.desk import Desk
from diag.intake import Intake
from diag.reasoner import Reasoner
from diag.site import Site
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
    rates: Rates

    def taught(self, site: Site) -> Reasoner:
        """Return the reasoner with what the organisation's closed cases have taught by now, for a site."""
        return self.rates.taught(self.store.org, site)


def open_service_of(request: Request) -> Service:
    """Return the service for what everybody may see, whoever asks; its store is nobody's to show."""
    service: Service = request.app.state.service
    return service


def service_of(request: Request) -> Service:
    """Return the service as the organisation of whoever asks sees it; raise NotSignedIn."""
    service, who = open_service_of(request), who_of(request)
    return replace(service, store=service.store.of(who.org), shelf=service.shelf.of(who.org))


ServiceDep = Annotated[Service, Depends(service_of)]
OpenServiceDep = Annotated[Service, Depends(open_service_of)]
