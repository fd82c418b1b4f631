"""Open a workshop for a site: the knowledge, the rules and the words that its questions need."""

from __future__ import annotations

from datetime import date
from functools import cache

from diag.inspection.run import Inspector, open_inspector
from diag.reasoner import Reasoner, prepare_site
from diag.site import Site
from diag.training.narrowing import part_for
from diag.training.phrases import Phrases
from diag.training.workshop import Workshop


@cache
def one_inspector() -> Inspector:
    """Return the inspector of this process; its rules are compiled once."""
    return open_inspector()


def open_workshop(
    reasoner: Reasoner, site: Site, language: str = "en", today: date | None = None, seed: int = 0
) -> Workshop:
    """Return a workshop for a site; of a large one for the part that the seed chooses. Raise UnknownLanguage."""
    day = today or date.today()
    phrases = Phrases(reasoner.knowledge, language)
    return Workshop(reasoner, prepare_site(part_for(site, seed), day), one_inspector, phrases, day)
