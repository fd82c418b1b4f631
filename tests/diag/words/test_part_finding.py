"""Parts are found by their names however the words are put, and never made up."""

from __future__ import annotations

from pathlib import Path

import pytest

from diag.site_file import load_site
from diag.topology import read_topology
from diag.words.cleaning import split_words
from diag.words.name_slips import as_names_are_written
from diag.words.part_finding import find_parts
from diag.words.site_names import SiteNames, build_site_names

DEMO = Path(__file__).parents[3] / "diag/demo"


@pytest.fixture(scope="module")
def medium() -> SiteNames:
    """Return the names of the medium demo site."""
    return build_site_names(read_topology(load_site(DEMO / "medium.yaml")))


@pytest.fixture(scope="module")
def small() -> SiteNames:
    """Return the names of the small demo site."""
    return build_site_names(read_topology(load_site(DEMO / "small.yaml")))


def found(text: str, names: SiteNames) -> list[tuple[str, ...]]:
    """Return what each stretch of the text can mean."""
    return [it.parts for it in find_parts(as_names_are_written(split_words(text), names, frozenset()), names)]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("south window 2 sticks", "w5"),
        ("S window 2 sticks", "w5"),
        ("sth window two sticks", "w5"),
        ("the 2nd window on the south side sticks", "w5"),
        ("window number two on the south side sticks", "w5"),
        ("south 2 window sticks", "w5"),
        ("Südfenster 2 klemmt", "w5"),
        ("det sydlige vindue 2 sidder fast", "w5"),
        ("motor 7 sticks", "d7"),
        ("drive number nine sticks", "d9"),
        ("atrium vent three sticks", "rv3"),
        ("kontakten i arkivet er død", "sw-d"),
        ("north sw is dead", "sw-n"),
        ("im nördlichen Lesesaal ist es heiß", "zn"),
        ("the archive ones stick", "zd"),
        ("the south room's second window sticks", "w5"),
        ("the left one in the north room sticks", "w1"),
        ("south window 3's motor hums", "d6"),
        ("Fenster Süd 2 klemmt", "w5"),
        ("atrium three leaks", "rv3"),
        ("zone s is dead", "zs"),
        ("the north reading room switch is dead", "sw-n"),
        ("output for the archive dampers is off", "out5"),
        ("library trunk is silent", "bl1"),
        ("GLT sendet nichts", "bms"),
        ("indblæsningsspjældet følger ikke", "dm1"),
        ("Zuluftklappe folgt nicht", "dm1"),
        ("N. window 1 sticks", "w1"),
        ("south reading room wall switch is dead", "sw-s"),
        ("motor of the right hand window south side is dead", "d6"),
        ("right motor of atrium vent one is dead", "d8"),
        ("channel 3 shows open line", "out3"),
        ("exhaust flap in the archive sticks", "dm2"),
        ("BACnet is down", "bl1"),
        ("Windmesser zeigt null", "wind"),
    ],
)
def test_a_name_is_met_in_other_order_other_words_and_other_languages(medium: SiteNames, text: str, part: str) -> None:
    assert found(text, medium) == [(part,)]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("the left one squeaks", "w1"),
        ("the old one squeaks", "w3"),
        ("lh window squeaks", "w1"),
        ("skylight on the north side squeaks", "rv1"),
        ("Eckfenster quietscht", "w3"),
        ("nordre ovenlys knirker", "rv1"),
        ("middle one squeaks", "w2"),
        ("switch for the roof vents is dead", "sw-b"),
        ("the drive for the left window squeaks", "d1"),
        ("output for the roof is off", "out2"),
        ("Dachfenster 2 klemmt", "rv2"),
        ("rain detektor says wet", "rain1"),
        ("motor 2 hums", "d2"),
    ],
)
def test_a_side_is_enough_where_one_part_has_it(small: SiteNames, text: str, part: str) -> None:
    assert found(text, small) == [(part,)]


@pytest.mark.parametrize(
    "text", ["window 99 sticks", "rv9 sticks", "motor 40 sticks", "I left one open", "2 of them", "north 2 of 3"]
)
def test_what_the_site_does_not_have_is_not_found(medium: SiteNames, text: str) -> None:
    assert not [parts for parts in found(text, medium) if len(parts) == 1]


def test_a_number_before_many_is_a_count(medium: SiteNames) -> None:
    assert ("w5",) not in found("south 2 windows stick", medium)


def test_what_could_be_several_is_left_open(medium: SiteNames) -> None:
    assert found("window 1 sticks", medium) == [("w1", "w4")]


def test_a_programme_without_its_verb_is_both_its_opening_and_its_closing(medium: SiteNames) -> None:
    assert found("night cooling is late", medium) == [("purge-off", "purge-on")]
