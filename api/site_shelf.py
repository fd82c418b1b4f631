"""Sites as objects, read from the store once for each version."""

from __future__ import annotations

import hashlib
import json
from collections import OrderedDict
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from threading import Lock
from typing import Any

from api.store import Store
from diag.errors import UnknownSite
from diag.site import Site
from diag.site_file import site_from_data

NO_SITE = Site(name="a site without description")
MOST_KEPT = 256


@dataclass(frozen=True, slots=True)
class Shelved:
    """A site and what tells it from every other: its organisation, id and version, or the digest of a description."""

    key: tuple[str, ...]
    site: Site
    version: int | None = None


class Kept:
    """The sites used last, by what tells them apart."""

    def __init__(self) -> None:
        self._sites: OrderedDict[tuple[str, ...], Site] = OrderedDict()
        self._lock = Lock()

    def look(self, key: tuple[str, ...]) -> Site | None:
        """Return a site that is kept, or None."""
        with self._lock:
            if key in self._sites:
                self._sites.move_to_end(key)
            return self._sites.get(key)

    def once(self, key: tuple[str, ...], make: Callable[[], Site]) -> Site:
        """Return the site that is kept, or make it and keep it."""
        site = self.look(key) or make()
        with self._lock:
            site = self._sites.setdefault(key, site)
            while len(self._sites) > MOST_KEPT:
                self._sites.popitem(last=False)
        return site


class SiteShelf:
    """Hands out the site of an id and version, the same object as long as it is among those used last."""

    def __init__(self, store: Store, kept: Kept | None = None) -> None:
        self._store = store
        self._kept = kept or Kept()

    def of(self, org: str) -> SiteShelf:
        """Return the shelf of another organisation; what is kept ready is kept once."""
        return SiteShelf(self._store.of(org), self._kept)

    def site(self, wanted: str | Mapping[str, Any] | None) -> Site:
        """Return a stored site by id, an inline description as a site, or the site nobody described.

        Raises UnknownSite, or BadSite with every fault of an inline description.
        """
        return self.find(wanted).site

    def find(self, wanted: str | Mapping[str, Any] | None, version: int | None = None) -> Shelved:
        """Return the site with its key; of a stored one the version asked for, or the present one."""
        if wanted is None:
            return Shelved(("none",), NO_SITE)
        if not isinstance(wanted, str):
            digest = hashlib.sha256(json.dumps(wanted, sort_keys=True).encode("utf-8", "surrogatepass")).hexdigest()
            key: tuple[str, ...] = ("inline", digest)
            return Shelved(key, self._kept.once(key, lambda: site_from_data(wanted, "site")))
        org = self._store.org
        if version is not None and (site := self._kept.look((org, wanted, str(version)))):
            return Shelved((org, wanted, str(version)), site, version)
        version, description = self._description(wanted, version)
        key = (org, wanted, str(version))
        return Shelved(key, self._kept.once(key, lambda: site_from_data(description, wanted)), version)

    def _description(self, wanted: str, version: int | None) -> tuple[int, Mapping[str, Any]]:
        found = self._store.site(wanted)
        if version is not None and (found is None or found.version != version):
            old = self._store.site_version(wanted, version)
            if old is not None:
                return version, old.description
        if found is None:
            raise UnknownSite(wanted, [it.id for it in self._store.headings()])
        return found.version, found.description
