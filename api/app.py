"""Put the service together: its parts, its routes, its errors and the phone page."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from api.body_limit import with_body_limit
from api.dependencies import Service
from api.headers import with_headers
from api.inspections import router as inspections_router
from api.openapi_document import tidy_document
from api.problems import add_problem_handlers
from api.reference import router as reference
from api.routes import health, router
from api.sheets import router as sheets_router
from api.site_shelf import SiteShelf
from api.store import Store, open_store
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

    database: Path
    workers: int = 1
    demos: tuple[str, ...] = ()


def create_app(settings: Settings) -> FastAPI:
    """Return the service; knowledge, engine and database open when it starts and close when it stops."""

    @asynccontextmanager
    async def run(app: FastAPI) -> AsyncIterator[None]:
        store = open_store(settings.database)
        store_demos(store, settings.demos)
        inspections = load_inspections()
        chapter = compile_inspections(inspections.rules.values())
        with open_desk(workers=settings.workers, chapters=chapter) as desk:
            app.state.inspector = prepare_inspector(inspections, desk.pool.run)
            app.state.service = Service(desk, load_intake(), store, SiteShelf(store), datetime.now, load_translations())
            yield
        store.close()

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
    app.add_middleware(with_body_limit)
    app.add_middleware(with_headers)
    app.include_router(router)
    app.include_router(inspections_router)
    app.include_router(sheets_router)
    app.include_router(health)
    app.include_router(reference)
    add_problem_handlers(app)
    app.mount("/", StaticFiles(directory=PAGE, html=True), name="page")
    tidy_document(app)
    return app


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
