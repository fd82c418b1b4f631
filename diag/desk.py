"""Everything a process needs to diagnose: the knowledge, the engine's workers, and sites kept ready."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from threading import Lock
from types import TracebackType
from typing import Self

from diag.chapters import compile_chapters
from diag.reasoner import PreparedSite, Reasoner, prepare_reasoner, prepare_site
from diag.rules import Rule
from diag.site import Site
from diag.workers import EnginePool
from knowledge.load import Knowledge, load_knowledge

SITES_KEPT = 16


@dataclass
class Desk:
    """A reasoner over a pool of engine workers, with the sites that were used last kept ready; close it at the end."""

    reasoner: Reasoner
    pool: EnginePool
    _prepared: OrderedDict[tuple[int, date | None], tuple[Site, PreparedSite]] = field(default_factory=OrderedDict)
    _lock: Lock = field(default_factory=Lock)

    def prepared(self, site: Site, today: date | None) -> PreparedSite:
        """Return the site made ready for a day, from those kept if it is the same object."""
        key = (id(site), today)
        with self._lock:
            kept = self._prepared.pop(key, None)
            ready = kept[1] if kept and kept[0] is site else prepare_site(site, today)
            self._prepared[key] = (site, ready)
            while len(self._prepared) > SITES_KEPT:
                self._prepared.popitem(last=False)
        return ready

    def close(self) -> None:
        """End the workers."""
        self.pool.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()


def open_desk(
    knowledge: Knowledge | None = None, workers: int = 1, chapters: Mapping[str, Sequence[Rule]] | None = None
) -> Desk:
    """Return a desk over the knowledge base, its pool holding further chapters; raise BadKnowledge or RulesRefused."""
    knowledge = knowledge or load_knowledge()
    pool = EnginePool({**compile_chapters(knowledge), **(chapters or {})}, workers=workers)
    return Desk(prepare_reasoner(knowledge, pool.run), pool)
