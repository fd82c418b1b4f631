"""Words are put as a site writes its names before parts are looked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.site_file import load_site
from diag.topology import read_topology
from diag.words.cleaning import split_words
from diag.words.name_slips import as_names_are_written
from diag.words.site_names import SiteNames, build_site_names

DEMO = Path(__file__).parents[3] / "diag/demo"
KNOWN = frozenset({"window", "whole", "group", "is", "leaks", "sought", "inside", "plan", "of", "the", "vents"})


@pytest.fixture(scope="module")
def medium() -> SiteNames:
    """Return the names of the medium demo site."""
    return build_site_names(read_topology(load_site(DEMO / "medium.yaml")))


def written(text: str, names: SiteNames) -> str:
    """Return the text as its words are put."""
    return " ".join(word.text for word in as_names_are_written(split_words(text), names, KNOWN))


@pytest.mark.parametrize(
    ("typed", "put"),
    [
        ("Nordfenster klemmt", "nord fenster klemmt"),
        ("roof light leaks", "rooflight leaks"),
        ("ovenlys nr. 3", "ovenlys 3"),
        ("N rdg rm", "n reading room"),
        ("atr vent 3", "atrium vent 3"),
        ("sought window", "south window"),
        ("the whole switch", "the hall switch"),
        ("atriumvent leaks", "atrium vent leaks"),
        ("atriumvemt leaks", "atrium vent leaks"),
        ("inthe archive", "in the archive"),
    ],
)
def test_what_is_cut_short_misheard_or_run_together_is_put_as_in_the_names(
    medium: SiteNames, typed: str, put: str
) -> None:
    assert written(typed, medium) == put


@pytest.mark.parametrize("text", ["the whole group", "the plan of the vents", "is the 3. window", "5 mm"])
def test_words_that_are_right_stay_as_they_are(medium: SiteNames, text: str) -> None:
    assert written(text, medium) == " ".join(word.text for word in split_words(text))
