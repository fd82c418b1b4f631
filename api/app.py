"""Put the service together: its parts, its routes, its errors and the phone page."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import ExitStack, asynccontextmanager, closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from fastapi import Depends, FastAPI
from fastapi.middleware.gzip import GZipMiddleware
from fastapi.staticfiles import StaticFiles

from api.access.desk import AccessDesk, guarded_door, open_access
from api.access.door import LocalDoor
from api.access.front_door import with_front_door
from api.access.pages import router as sign_in_page
from api.access.routes import router as access_router
from api.authoring import router as authoring_router
from api.body_limit import with_body_limit
from api.cases.knowledge_digest import knowledge_digest, program_digest
from api.cases.live import Live, live_events
from api.cases.reason import OpenCases
from api.cases.record import Records
from api.cases.routes import router as cases_router
from api.cases.states import States
from api.cases.work import Cases
from api.dependencies import Service
from api.fleet.routes import router as fleet_router
from api.headers import with_headers
from api.inspections import router as inspections_router
from api.openapi_document import tidy_document
from api.operation.metrics import Metrics, with_metrics
from api.operation.retention import Housekeeping
from api.operation.routes import probes
from api.operation.routes import router as operation_router
from api.pack_routes import router as pack_router
from api.page_worker import router as worker_router
from api.practices import router as practices_router
from api.problems import add_problem_handlers
from api.quizzes import router as quizzes_router
from api.quizzes_cards import router as cards_router
from api.quizzes_live import router as class_stream_router
from api.quizzes_sittings import router as sittings_router
from api.rates import Rates
from api.reference import router as reference
from api.routes import health, router
from api.sheets import router as sheets_router
from api.site_shelf import SiteShelf
from api.sites.routes import router as sites_router
from api.sites.routes import short_addresses
from api.store import Store, open_store
from api.timelines import router as timelines_router
from api.webhooks.courier import Courier
from api.webhooks.outbox import Webhooks, put_in_outbox
from api.webhooks.routes import router as webhooks_router
from api.who import Doorkeeper, needs
from diag.demo import load_demo
from diag.desk import open_desk
from diag.hearing import load_intake
from diag.inspection.chapter import compile_inspections
from diag.inspection.run import prepare_inspector
from diag.site import Site
from knowledge.load import load_inspections
from knowledge.translations import load_translations

PAGE = Path(__file__).parent / "page"
DESCRIPTION = "Finds the likely cause of a fault in a ventilation control installation, and the next check to make."


@dataclass(frozen=True)
class Settings:
    """Where the database lies, how many engine workers run, and which demo sites are loaded."""

    database: Path | str
    """The file of SQLite, or the address of PostgreSQL."""

    workers: int = 1
    sign_in: bool = False
    """Whether everybody needs a key or has to sign in; otherwise whoever reaches the service may do everything."""

    names: frozenset[str] | None = None
    """Without sign-in: the names the service may be called by; None for any."""

    requests_a_minute: int = 1200
    """With sign-in: how often one caller may ask."""

    webhook_hosts: frozenset[str] = frozenset()
    """Hosts that webhooks may go to although they are private or without TLS."""

    demos: tuple[str, ...] = ()


def create_app(settings: Settings) -> FastAPI:
    """Return the service; knowledge, engine and database open when it starts and close when it stops."""

    @asynccontextmanager
    async def run(app: FastAPI) -> AsyncIterator[None]:
        with ExitStack() as stack:
            open_parts(app, settings, stack)
            yield

    app = FastAPI(
        title="Ventsleuth",
        version="1.0.0",
        description=DESCRIPTION,
        lifespan=run,
        docs_url=None,
        redoc_url=None,
        generate_unique_id_function=lambda route: route.name,
        license_info={"name": "MIT", "identifier": "MIT"},
        servers=[{"url": "/", "description": "This service"}],
    )
    app.state.live = Live()
    app.state.metrics = Metrics()
    app.add_middleware(with_body_limit)
    app.add_middleware(with_front_door(settings.sign_in))
    app.add_middleware(with_headers)
    app.add_middleware(with_metrics(app.state.metrics))
    app.include_router(router)
    app.include_router(cases_router)
    app.include_router(authoring_router)
    app.include_router(access_router)
    app.include_router(sites_router)
    app.include_router(fleet_router)
    app.include_router(short_addresses)
    app.include_router(sign_in_page)
    app.include_router(inspections_router)
    app.include_router(sheets_router)
    app.include_router(timelines_router)
    app.include_router(pack_router, dependencies=[Depends(needs("sites:read"))])
    app.include_router(worker_router)
    app.include_router(quizzes_router)
    app.include_router(sittings_router)
    app.include_router(cards_router)
    app.include_router(class_stream_router)
    app.include_router(practices_router)
    app.include_router(webhooks_router)
    app.include_router(operation_router)
    app.include_router(probes)
    app.include_router(health)
    app.include_router(reference)
    add_problem_handlers(app)
    app.mount("/", GZipMiddleware(StaticFiles(directory=PAGE, html=True), minimum_size=500), name="page")
    tidy_document(app)
    return app


def open_parts(app: FastAPI, settings: Settings, stack: ExitStack) -> None:
    """Open all that lives as long as the service does and leave it in the app's state; the stack closes it."""
    store = stack.enter_context(closing(open_store(settings.database)))
    store_demos(store, settings.demos)
    inspections = load_inspections()
    chapter = compile_inspections(inspections.rules.values())
    desk = stack.enter_context(open_desk(workers=settings.workers, chapters=chapter))
    knowledge_digest(), program_digest()  # of the entries that were just read, and of what reads them
    rates = Rates(store.database, desk.reasoner)
    service = Service(desk, load_intake(), store, SiteShelf(store), datetime.now, load_translations(), rates)
    app.state.service = service
    app.state.inspector = prepare_inspector(inspections, desk.pool.run)
    app.state.access = open_access(store.database, settings.sign_in)
    app.state.doorkeeper = choose_door(settings, app.state.access)
    app.state.cases = Cases(service, Records(store.database), OpenCases(), States(), app.state.live, put_in_outbox)
    stack.enter_context(live_events(store.database, app.state.live, app.state.cases.records.versions))
    stack.enter_context(closing(Housekeeping(store.database)))
    app.state.webhooks, app.state.webhook_hosts = Webhooks(store.database), settings.webhook_hosts
    stack.enter_context(closing(Courier(app.state.webhooks, settings.webhook_hosts, app.state.metrics)))


def choose_door(settings: Settings, access: AccessDesk) -> Doorkeeper:
    """Return who decides whom a request comes from."""
    return guarded_door(access, settings.requests_a_minute) if settings.sign_in else LocalDoor(settings.names)


def store_demos(store: Store, names: tuple[str, ...]) -> None:
    """Store the demo sites of these names, or all; one that is stored and unchanged is left as it is."""
    for name in names:
        site = load_demo(name)
        description = describe_site(site)
        kept = store.site(name)
        if kept is None or kept.description != description:
            store.put_site(name, site.name, description, demo=True)


def describe_site(site: Site) -> dict[str, Any]:
    """Return a site as the plain data it is stored and sent as."""
    return site.model_dump(mode="json", by_alias=True, exclude_unset=True)
