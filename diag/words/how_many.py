"""Tell one dead drive, one dead zone and a dead site apart by how many are spoken of."""

from __future__ import annotations

from collections.abc import Mapping

from diag.words.choosing import parts_meant
from diag.words.reading import Reading
from diag.words.site_names import SiteNames

AGAINST = -3.0
"""What is added to the logarithm of the chance of a symptom that is about another number of parts."""
ONE = frozenset({"drive", "opening"})
_SEVERAL = frozenset({"zones", "everywhere", "standstill", "many-together"})


def against_by_number(reading: Reading, names: SiteNames | None) -> Mapping[str, float]:
    """Return what speaks against symptoms of another number: a window named first against a dead zone, and so on."""
    named = parts_meant(reading.mentions, reading.features) if names else []
    if not names or not named or reading.ideas & _SEVERAL:
        return {}
    first, *others = ({names.kinds[part] for part in parts} for parts in named)
    if first <= ONE and all(kinds == {"zone"} for kinds in others):
        return {"zone-dead": AGAINST, "site-dead": AGAINST}
    return {"drive-dead": AGAINST, "site-dead": AGAINST} if first == {"zone"} and not others else {}
