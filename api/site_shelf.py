"""Sites as objects, read from the store once for each version."""

from __future__ import annotations

from collections.abc import Mapping
from threading import Lock
from typing import Any

from api.store import Store
from diag.errors import UnknownSite
from diag.site import Site
from diag.site_file import site_from_data

NO_SITE = Site(name="a site without description")


class SiteShelf:
    """Hands out the site of an id, the same object as long as its stored version stays the same."""

    def __init__(self, store: Store) -> None:
        self._store = store
        self._read: dict[str, tuple[int, Site]] = {}
        self._lock = Lock()

    def site(self, wanted: str | Mapping[str, Any] | None) -> Site:
        """Return a stored site by id, an inline description as a site, or the site nobody described.

        Raises UnknownSite, or BadSite with every fault of an inline description.
        """
        if wanted is None:
            return NO_SITE
        if not isinstance(wanted, str):
            return site_from_data(wanted, "site")
        stored = self._store.site(wanted)
        if stored is None:
            raise UnknownSite(wanted, [it.id for it in self._store.sites()])
        with self._lock:
            version, site = self._read.get(wanted, (0, NO_SITE))
        if version == stored.version:
            return site
        site = site_from_data(stored.description, wanted)
        with self._lock:
            self._read[wanted] = (stored.version, site)
        return site
