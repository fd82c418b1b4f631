"""Loading site descriptions: what is accepted, every fault at once, and writing them back."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diag.errors import BadSite, UnreadableSite
from diag.site import Drive, Place, Site
from diag.site_file import SCHEMA_PATH, dump_site, load_site, read_site, site_from_data, site_schema
from knowledge.faults import FAULT_LIMIT, Fault
from knowledge.located import read_located
from tests.effort import growth

ROOM = """\
name: Reading room
places:
  hall: {}
controllers:
  c1: {place: hall}
outputs:
  out1: {controller: c1, kind: data-24v}
drives:
  d1: {output: out1, opening: w1}
  d2: {output: out1, opening: w2}
openings:
  w1: {kind: window}
  w2: {kind: window}
junctions:
  j1: {}
cables:
  k1: {from: out1, to: j1, length_m: 12}
  k2: {from: j1, to: d1}
  k3: {from: j1, to: d2}
zones:
  za: {openings: [w1, w2]}
inputs:
  sw-a: {kind: switch, zones: [za], controller: c1}
lockouts:
  lo-rain: {kind: rain, zones: [za]}
"""


def faults_of(text: str) -> list[Fault]:
    with pytest.raises(BadSite) as caught:
        read_site(text, "room.yaml")
    return list(caught.value.faults)


def faults_after(old: str, new: str) -> list[Fault]:
    assert ROOM.count(old) == 1
    return faults_of(ROOM.replace(old, new))


def test_a_sound_description_becomes_a_site() -> None:
    site = read_site(ROOM)

    assert site.drives["d1"] == Drive(output="out1", opening="w1")
    assert site.cables["k1"].from_ == "out1"


def test_a_name_alone_is_enough_and_nothing_is_guessed() -> None:
    site = read_site("name: Somewhere\n")

    assert (site.name, site.model_fields_set) == ("Somewhere", {"name"})
    assert (site.kind, site.precedence, site.drives) == (None, None, {})


def test_faults_of_shape_of_reference_and_of_sense_come_at_once_from_the_top_down() -> None:
    text = ROOM.replace("kind: data-24v", "kind: dta-24v").replace("output: out1, opening: w2", "output: ut1")
    text = text.replace("lo-rain: {kind: rain,", "lo-rain: {kind: rain, from_day: 11-01,")
    faults = faults_of(text)

    assert [(fault.line, fault.where) for fault in faults] == [
        (7, "outputs.out1.kind"),
        (10, "drives.d2.output"),
        (25, "lockouts.lo-rain.from_day"),
    ]
    assert str(faults[1]) == ('room.yaml:10:16: drives.d2.output: no output "ut1" is described. Did you mean out1?')


@pytest.mark.parametrize(
    ("old", "new", "where", "words"),
    [
        ("{place: hall}", "{place: hal}", "controllers.c1.place", 'no place "hal" is described. Did you mean hall?'),
        ("{place: hall}", "{place: w1}", "controllers.c1.place", '"w1" is an opening; a place is needed here'),
        ("d2: {output: out1", "d2: {output: c1", "drives.d2.output", '"c1" is a controller; an output is needed'),
        ("zones: [za], c", "zones: [zb], c", "inputs.sw-a.zones.0", 'no zone "zb" is described; there is za'),
        ("[w1, w2]", "[w1, w1]", "zones.za.openings.1", '"w1" is listed twice'),
        ("hall: {}", "hall: {walk_minutes: {roof: 2}}", "places.hall.walk_minutes.roof", 'no place "roof"'),
        ("hall: {}", "hall: {walk_minutes: {hall: 2}}", "places.hall.walk_minutes.hall", "no walk to itself"),
        ("hall: {}", "w1: {}\n  hall: {}", "openings.w1", '"w1" is already the id of a place'),
        ("k1: {from: out1", "k1: {from: w1", "cables.k1.from", "an output, a junction, a drive or a controller"),
        ("from: j1, to: d2", "from: j1, to: d1", "cables.k3.to", '"d1" is already fed by cable "k2"'),
        ("k1: {from: out1", "k1: {from: d1", "cables.k1", "the cables k1, k2 run in a ring"),
        ("from: j1, to: d2", "from: out2, to: d2", "cables.k3.from", 'or controller "out2" is described'),
        ("from: j1, to: d2", "from: c1, to: d2", "drives.d2.output", 'found "out1", but its cables start at "c1"'),
        ("length_m: 12", "length_m: 0", "cables.k1.length_m", "found 0; allowed: a number above 0"),
        ("length_m: 12", "length_m: 12 m", "cables.k1.length_m", 'found "12 m"; allowed: a number without its unit'),
        ("length_m: 12", "length_m: true", "cables.k1.length_m", "found true; allowed: a number"),
        ("length_m: 12", "conductor_class: 3", "cables.k1.conductor_class", "found 3; allowed: 1, 2, 5"),
        ("length_m: 12", "installed: 2024", "cables.k1.installed", "found 2024; allowed: a date such as 2024-05-31"),
        ("length_m: 12", "installed: 2024-02-30", "cables.k1.installed", "allowed: a date such as 2024-05-31"),
        ("length_m: 12", "data_core: no", "cables.k1.data_core", 'found "no"; allowed: true or false'),
        ("length_m: 12", "lenght_m: 12", "cables.k1.lenght_m", "Did you mean length_m?"),
        ("sw-a: {", "Sw A: {", "inputs.Sw A", "small letters, digits and single hyphens"),
        ("kind: rain", "from_time: 8:00, until_time: '9:00'", "lockouts.lo-rain.from_time", "a time of day"),
        ("kind: rain", "from_day: 02-30, until_day: 03-01", "lockouts.lo-rain.from_day", "no such day"),
        ("kind: rain", "from_time: 08:00, until_time: 08:00", "lockouts.lo-rain.until_time", "are the same"),
        ("name: Reading", "time_zone: Erope/Lisbon\nname: Reading", "time_zone", "Did you mean Europe/Lisbon"),
        ("name: Reading", "precedence: [rain, rain]\nname: Reading", "precedence.1", "listed twice"),
    ],
)  # fmt: skip
def test_each_fault_names_field_value_and_way_out(old: str, new: str, where: str, words: str) -> None:
    found = [fault.message.lower() for fault in faults_after(old, new) if fault.where == where]

    assert [words.lower() in message for message in found] == [True]


@pytest.mark.parametrize(
    ("drive", "words"),
    [
        ("min_voltage_v: 25, supply_voltage_v: 24", "min_voltage_v 25 is above supply_voltage_v 24"),
        ("supply_voltage_v: 24, max_voltage_v: 20", "supply_voltage_v 24 is above max_voltage_v 20"),
        ("installed: 2024-05-02, replaced: 2024-05-01", "replaced on 2024-05-01, before it was installed"),
    ],
)
def test_values_that_contradict_each_other_are_faults(drive: str, words: str) -> None:
    assert words in faults_of(f"name: x\ndrives:\n  d1: {{{drive}}}\n")[0].message


def test_only_an_input_of_kind_link_names_a_link() -> None:
    fault = faults_of(
        "name: x\nlinks: {bl1: {}}\ninputs:\n  a: {kind: switch, link: bl1}\n  b: {kind: link, link: bl1}\n"
    )[0]

    assert (fault.where, fault.line) == ("inputs.a.link", 4)


def test_a_described_battery_contradicts_a_controller_without_one() -> None:
    fault = faults_of("name: x\ncontrollers:\n  c1: {supply: {has_battery: false, battery: {}}}\n")[0]

    assert (fault.where, fault.line) == ("controllers.c1.supply.has_battery", 3)


def test_a_box_nobody_feeds_yet_is_incomplete_but_no_fault() -> None:
    assert "k1" not in read_site(ROOM.replace("  k1: {from: out1, to: j1, length_m: 12}\n", "")).cables


def test_a_cut_file_is_not_blamed_for_parts_that_come_later() -> None:
    faults = faults_of(ROOM[: ROOM.index("openings:")] + "fans: {f1: {\n")

    assert len(faults) == 1
    assert "a closing bracket is missing" in faults[0].message


def test_a_very_wrong_file_is_answered_quickly_with_a_bounded_list() -> None:
    def read(count: int) -> list[Fault]:
        drives = "".join(f"  d{number}: {{output: o{number}, colour: red}}\n" for number in range(count))
        return faults_of(f"name: x\ndrives:\n{drives}")

    faults = read(30_000)

    assert len(faults) == FAULT_LIMIT + 1
    assert "more faults" in faults[-1].message
    assert growth(read, 1_000) < 6


def test_drives_at_the_end_of_a_long_chain_of_cables_are_traced_quickly() -> None:
    def read(count: int) -> list[Fault]:
        boxes = "".join(f"  j{number}: {{}}\n" for number in range(count))
        chain = "".join(f"  k{number}: {{from: j{number - 1}, to: j{number}}}\n" for number in range(1, count))
        leads = "".join(f"  l{number}: {{from: j{count - 1}, to: d{number}}}\n" for number in range(count))
        drives = "".join(f"  d{number}: {{output: out2}}\n" for number in range(count))
        head = "name: x\noutputs: {out1: {}, out2: {}}\ncables:\n  k0: {from: out1, to: j0}\n"
        return faults_of(f"{head}{chain}{leads}junctions:\n{boxes}drives:\n{drives}")

    assert read(5_000)[0].message == 'found "out2", but its cables start at "out1"; mend one of them'
    assert growth(read, 500) < 6


def test_a_missing_file_is_told_in_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(UnreadableSite, match=r'The site file ".*gone.yaml" cannot be read: No such file'):
        load_site(tmp_path / "gone.yaml")


def test_a_file_is_named_in_its_faults(tmp_path: Path) -> None:
    file = tmp_path / "hall.yaml"
    file.write_text("name: 3\n", encoding="utf-8")
    with pytest.raises(BadSite, match=r"has 1 fault; the first is hall.yaml:1:7: name: found 3; allowed: text"):
        load_site(file)


def test_json_and_plain_data_mean_the_same_site_as_yaml() -> None:
    data = read_site(ROOM).model_dump(mode="json", by_alias=True, exclude_unset=True)

    assert read_site(json.dumps(data)) == site_from_data(data) == read_site(ROOM)


def test_faults_of_plain_data_keep_their_field_path() -> None:
    with pytest.raises(BadSite) as caught:
        site_from_data({"name": "x", "drives": {"d1": {"output": "out9"}}})

    assert [fault.path for fault in caught.value.faults] == [("drives", "d1", "output")]


def test_a_written_site_is_read_back_equal_and_as_silent_where_it_was_silent() -> None:
    site = read_site(f"{ROOM}links: {{}}\n")
    again = read_site(dump_site(site))

    assert again == site
    assert again.model_fields_set == site.model_fields_set


TRICKY_WORDS = st.sampled_from(["no", "1e5", "12:30", "010", "~", "- a", "a: b", "#x", "é😀", "'", '"', " x ", "true"])


@settings(max_examples=200, deadline=None)
@given(
    name=TRICKY_WORDS | st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), min_size=1, max_size=20),
    stroke_mm=st.floats(min_value=1e-9, max_value=1e8, exclude_min=True),
    day=st.dates(min_value=date(1900, 1, 1)),
    walk_minutes=st.integers(0, 99),
)
def test_any_site_survives_being_written_and_read(name: str, stroke_mm: float, day: date, walk_minutes: float) -> None:
    drive = Drive(name=name, also=[name], stroke_mm=stroke_mm, installed=day)
    places = {"p": Place(walk_minutes={"q": walk_minutes}), "q": Place()}
    site = Site(name=name, places=places, drives={"no": drive, "123": Drive(), "1e5": Drive()})

    assert read_site(dump_site(site)) == site


@settings(max_examples=150, deadline=None)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.floats() | st.sampled_from(["c1", "out1", "x"]),
        lambda inner: st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["name", "drives", "outputs", "cables", "zones", "from", "to", "output", "c1", "places",
                             "walk_minutes", "precedence", "supply", "from_day", "until_time", "time_zone", "x"]),
            inner,
            max_size=4,
        ),
        max_leaves=25,
    )
)  # fmt: skip
def test_data_of_any_shape_becomes_a_site_or_faults(data: Any) -> None:
    described = data if isinstance(data, dict) else {"name": data}
    faults: tuple[Fault, ...] = ()
    site = None
    try:
        site = site_from_data(described)
    except BadSite as error:
        faults = error.faults

    assert (site is None) == bool(faults)


def test_the_published_schema_is_the_one_the_code_makes() -> None:
    assert json.loads(SCHEMA_PATH.read_text(encoding="utf-8")) == site_schema()


def test_the_schema_is_valid_and_describes_every_part() -> None:
    schema = site_schema()
    jsonschema.Draft202012Validator.check_schema(schema)

    assert all(part["description"] for part in schema["$defs"].values())


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("name: Reading room\n", ""),
        ("length_m: 12", "length_m: 12 m"),
        ("length_m: 12", "lenght_m: 12"),
        ("kind: data-24v", "kind: dc"),
        ("sw-a: {", "Sw A: {"),
        ("length_m: 12", "cores: -1"),
    ],
)
def test_the_schema_refuses_what_the_loader_refuses(old: str, new: str) -> None:
    validator = jsonschema.Draft202012Validator(site_schema())

    assert validator.is_valid(read_located(ROOM, "room.yaml").data)
    assert not validator.is_valid(read_located(ROOM.replace(old, new), "room.yaml").data)
    assert faults_after(old, new)
