"""Reading YAML and JSON with positions: what is understood, what is refused, and where."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Literal

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from pydantic import BaseModel, ConfigDict

from knowledge.faults import FAULT_LIMIT, Fault
from knowledge.located import Located, read_located, read_located_file, validate
from tests.effort import effort, growth


class Vent(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)

    name: str
    kind: Literal["window", "louvre"] | None = None
    width_m: float | None = None


class House(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True)

    vents: dict[str, Vent]


def only_fault(text: str) -> Fault:
    faults = read_located(text, "house.yaml").faults

    assert len(faults) == 1, [str(fault) for fault in faults]
    return faults[0]


@pytest.mark.parametrize(
    ("written", "value"),
    [
        ("no", "no"),
        ("off", "off"),
        ("12:30", "12:30"),
        ("2024-05-31", "2024-05-31"),
        ("1.10", 1.1),
        ("010", 10),
        ("-3", -3),
        ("1e3", 1000.0),
        (".5", 0.5),
        ("0x1F", "0x1F"),
        ("1_000", "1_000"),
        ("true", True),
        ("False", False),
        ("null", None),
        ("~", None),
        ("", None),
        ("'24'", "24"),
        ('"true"', "true"),
        ("rv1", "rv1"),
    ],
)
def test_plain_scalars_are_read_as_yaml_1_2_reads_them(written: str, value: object) -> None:
    read = read_located(f"a: {written}\n", "a.yaml")

    assert (read.data, read.faults) == ({"a": value}, ())
    assert type(read.data["a"]) is type(value)


def test_positions_lead_to_values_keys_and_list_members() -> None:
    read = read_located("vents:\n  w1: {name: left}\nlist:\n  - a\n  - b\n", "a.yaml")

    assert read.position(("vents", "w1", "name")) == (2, 14)
    assert read.key_position(("vents", "w1", "name")) == (2, 8)
    assert read.position(("list", 1)) == (5, 5)


def test_a_path_that_leads_nowhere_is_placed_at_the_nearest_key_above_it() -> None:
    read = read_located("vents:\n  w1: {name: left}\n", "a.yaml")

    assert read.position(("vents", "w1", "width_m")) == (2, 3)
    assert read.position(("nothing", "here")) == (1, 1)


def test_a_part_of_a_file_keeps_its_lines_and_its_full_path() -> None:
    part = read_located("- name: left\n- nam: right\n", "vents.yaml", top=(list,)).inside((1,))
    _, faults = validate(part, Vent)

    assert [(fault.line, fault.column, fault.path) for fault in faults] == [
        (2, 3, (1, "nam")),
        (2, 3, (1, "name")),
    ]


@pytest.mark.parametrize(
    ("text", "line", "column", "words"),
    [
        ("a: 1\nb: 2\na: 3\n", 3, 1, '"a" is given twice, first at line 1'),
        ("a: {b: 1, b: 2}\n", 1, 11, '"b" is given twice'),
        ("a: 1\nb: &x 2\n", 2, 4, "the anchor &x is not allowed"),
        ("a: 1\nb: *x\n", 2, 4, "the alias *x is not allowed"),
        ("a: !!int 3\n", 1, 4, "the tag"),
        ("a: 1\n---\nb: 2\n", 2, 1, "a second document"),
        ("a: 1\n\tb: 2\n", 2, 1, "a tab cannot stand here"),
        ("a: b: c\n", 1, 5, "a colon is out of place"),
        ("a:\n  [1, 2\n", 3, 1, "a list is not closed; add the missing comma or ]; it opens at line 2"),
        ('a: "open\n', 1, 4, "never closed"),
        ("a: x\nb: \x07\n", 2, 4, "U+0007 is not allowed"),
        ("a: \ud83d\n", 1, 4, "U+D83D is not allowed"),
        ("a: x\u2028y\n", 1, 5, "U+2028 is not allowed"),
        ('a: "x\\x07"\n', 1, 4, "control character U+0007"),
        ('{"a": "\\ude00"}', 1, 10, "an escape after \\ is not valid"),
        ("a: 1e999\n", 1, 4, "the number 1e999 is too large"),
        (f"a: {'9' * 5000}\n", 1, 4, "too long"),
        ("? [a]\n: 1\n", 1, 3, "a name must be plain text"),
        ("", 1, 1, "the file is empty"),
        ("# nothing\n", 1, 1, "the file is empty"),
        ("- a\n", 1, 1, "the file must hold names and values"),
        ("word\n", 1, 1, "the file must hold names and values"),
        ("a:\n  b: " + "[" * 30, 2, 24, "nested more than 20 levels deep"),
    ],
)
def test_what_can_surprise_or_harm_is_refused_where_it_stands(text: str, line: int, column: int, words: str) -> None:
    fault = only_fault(text)

    assert words in fault.message
    assert (fault.source, fault.line, fault.column) == ("house.yaml", line, column)


def test_faults_that_do_not_stop_reading_are_all_told() -> None:
    faults = read_located("a: &x 1\nb: *x\na: !!str 2\n", "a.yaml").faults

    assert [fault.line for fault in faults] == [1, 2, 3, 3]


def test_a_fault_reads_as_file_line_column_field_and_advice() -> None:
    assert str(only_fault("a:\n  b: *x\n")) == (
        "house.yaml:2:6: a.b: the alias *x is not allowed; write the value out again"
    )


def test_json_may_hold_tabs_and_escapes_of_surrogate_pairs() -> None:
    text = '{\n\t"a": "\\ud83d\\ude00\\ud83d\\ude00 \\\\ud83d", "b":1,\t"c": [true, null, "\\/"]\n}'
    read = read_located(text, "a.json")

    assert (read.data, read.faults) == (json.loads(text), ())
    assert read.key_position(("b",)) == (2, text.split("\n")[1].index('"b"') + 1)


def test_the_byte_order_mark_some_editors_write_is_passed_over() -> None:
    assert read_located("\ufeffa: 1\n", "a.yaml").data == {"a": 1}


def test_ten_megabytes_of_aliases_are_refused_unread(tmp_path: Path) -> None:
    bomb = "a: &a [x]\n" + "b: [*a, *a, *a, *a, *a, *a, *a, *a]\n" * 290_000
    file = tmp_path / "bomb.yaml"
    file.write_text(bomb, encoding="ascii")
    by_text, by_file = read_located(bomb, "bomb.yaml"), read_located_file(file)

    assert len(bomb) > 10_000_000
    assert [fault.message for fault in by_text.faults] == [fault.message for fault in by_file.faults]
    assert "larger than 4,000,000 bytes" in by_text.faults[0].message
    assert effort(lambda: read_located(bomb, "bomb.yaml")) < 100
    assert effort(lambda: read_located_file(file)) < 100


def test_a_small_alias_bomb_stops_at_its_first_thousand_aliases() -> None:
    read = read_located("a: &a [x]\nb: [" + "*a, " * 200_000 + "*a]\n", "bomb.yaml")

    assert len(read.faults) == FAULT_LIMIT + 1
    assert "at least" in read.faults[-1].message


def test_the_size_limit_counts_bytes_rather_than_characters() -> None:
    assert not read_located("a: éé", "a.yaml", max_bytes=7).faults
    assert read_located("a: éé", "a.yaml", max_bytes=6).faults


def test_a_file_that_is_not_utf_8_is_refused_at_the_first_bad_byte(tmp_path: Path) -> None:
    file = tmp_path / "old.yaml"
    file.write_bytes("name: x\nnote: caf\u00e9\n".encode("latin-1"))
    fault = read_located_file(file).faults[0]

    assert (fault.source, fault.line, fault.column) == ("old.yaml", 2, 10)
    assert "save the file as UTF-8" in fault.message


def test_shape_faults_say_what_was_found_what_is_allowed_and_the_nearest_name() -> None:
    text = "vents:\n  w1: {name: a, widht_m: 2}\n  w2: {name: b, kind: windw}\n  w3: {kind: louvre, width_m: 1 m}\n"
    house, faults = validate(read_located(text, "h.yaml"), House)

    assert house is None
    assert [(fault.line, fault.column, fault.where) for fault in faults] == [
        (2, 17, "vents.w1.widht_m"),
        (3, 23, "vents.w2.kind"),
        (4, 3, "vents.w3.name"),
        (4, 31, "vents.w3.width_m"),
    ]
    assert (faults[0].found, faults[0].nearest) == ("widht_m", ("width_m",))
    assert (faults[1].found, faults[1].allowed, faults[1].nearest) == (
        "windw",
        ("window", "louvre"),
        ("window",),
    )
    assert faults[2].message == '"name" is missing; add it'
    assert faults[3].message == 'found "1 m"; allowed: a number without its unit'


def test_faults_of_reading_and_of_shape_come_together() -> None:
    _, faults = validate(read_located("vents:\n  w1: {name: &x 3}\nroof: 1\n", "h.yaml"), House)

    assert [(fault.line, fault.where) for fault in faults] == [
        (2, "vents.w1.name"),
        (2, "vents.w1.name"),
        (3, "roof"),
    ]


def test_nothing_is_called_missing_in_a_file_whose_reading_stopped() -> None:
    _, faults = validate(read_located("vents:\n  w1: {kind: window, [\n", "h.yaml"), House)

    assert not [fault for fault in faults if "missing" in fault.message]
    assert len(faults) == 1


def test_a_sound_file_makes_the_model() -> None:
    house, faults = validate(read_located("vents: {w1: {name: left, width_m: 1}}\n", "h.yaml"), House)

    assert house == House(vents={"w1": Vent(name="left", width_m=1.0)})
    assert faults == []


def is_data_or_located_faults(read: Located) -> bool:
    told = all(fault.line >= 1 and fault.column >= 1 and fault.message for fault in read.faults)
    return told and (isinstance(read.data, dict) or bool(read.faults))


YAML_BITS = st.sampled_from(
    ["a", "b", ": ", ":", "\n", "\n  ", "- ", "[", "]", "{", "}", ", ", '"', "'", "&x ", "*x", "!!int ", "!x ", "# c",
     "---\n", "...\n", "%YAML 1.2\n", "%TAG ! x:\n", "|\n", ">-\n", "\t", "\\u12", "\\ud83d\\ude00", "? ", "~", "1e9",
     "010", "<<: ", "@", "`", "\r\n", "\ufeff", "é", "\x85", "\ud800", "\x00", "0x", ".inf"]
)  # fmt: skip


@settings(max_examples=1500, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(YAML_BITS, max_size=30).map("".join) | st.text(max_size=60))
@example('"\\U00110000": 1')
@example("a: !<tag:x> 1")
@example("\ufeff\ufeff")
def test_any_text_yields_data_or_located_faults(text: str) -> None:
    read = read_located(text, "any.yaml")
    validate(read, House)

    assert is_data_or_located_faults(read)


@settings(max_examples=300, deadline=None)
@given(st.lists(YAML_BITS, max_size=20).map("".join) | st.text(max_size=40))
@example('a: "\\U00110000"')
@example('a: "\\ud800"')
def test_any_text_is_read_without_the_c_parser_too(text: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.delattr(yaml, "CBaseLoader")
        read = read_located(text, "any.yaml")

    assert is_data_or_located_faults(read)


@settings(max_examples=300, deadline=None)
@given(
    st.dictionaries(
        st.text(st.characters(codec="utf-8", categories=("L", "N", "P", "Zs", "So")), max_size=8),
        st.recursive(
            st.none() | st.booleans() | st.integers(-(10**12), 10**12) | st.text("abc \\\"'é😀:#-", max_size=8),
            lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text("ab1", max_size=3), inner, max_size=3),
            max_leaves=8,
        ),
        max_size=4,
    ),
    st.booleans(),
)
def test_json_means_here_what_it_means_to_a_json_parser(data: dict[str, object], escapes: bool) -> None:
    read = read_located(json.dumps(data, ensure_ascii=escapes), "a.json")

    assert (read.data, read.faults) == (data, ())


def test_the_effort_of_reading_grows_with_the_file() -> None:
    def read(count: int) -> Located:
        line = "name: vent, note: closes on rain, width_m: 1.2"
        return read_located("".join(f"w{number}: {{{line}}}\n" for number in range(count)), "big.yaml")

    assert len(read(16_000).data) == 16_000
    assert growth(read, 500) < 5
