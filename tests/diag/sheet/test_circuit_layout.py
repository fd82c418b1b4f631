"""Where the parts of an output stand in its drawing."""

from __future__ import annotations

from itertools import pairwise

from diag.sheet.circuit_layout import lay_out
from diag.topology import read_topology
from tests.diag.sheet.builders import demo_part, described, ready


def test_an_output_feeds_its_box_and_the_box_its_drives() -> None:
    places = {it.part: it for it in lay_out(ready("small").topology, "out1")}

    assert [(it.part, it.column) for it in places.values()] == [("out1", 0), ("j1", 1), ("d1", 2), ("d2", 2)]
    assert (places["d2"].above, places["d2"].cable) == ("j1", "k3")


def test_a_part_stands_midway_beside_those_it_feeds() -> None:
    rows = {it.part: it.row for it in lay_out(ready("small").topology, "out1")}

    assert (rows["d1"], rows["d2"], rows["j1"], rows["out1"]) == (0.0, 1.0, 0.5, 0.5)


def test_drives_stand_in_the_order_of_the_description() -> None:
    drives = [it.part for it in lay_out(ready("medium").topology, "out3") if it.part.startswith("d")]

    assert drives == ["d7", "d8", "d9", "d10"]


def test_a_drive_without_a_cable_hangs_on_the_output_by_an_unknown_one() -> None:
    topology = ready(demo_part("small", "cables", "k2", to=None)).topology
    found = next(it for it in lay_out(topology, "out1") if it.part == "d1")

    assert (found.above, found.cable, found.column) == ("out1", None, 1)


def test_no_two_parts_share_a_place() -> None:
    topology = ready("medium").topology
    for output in topology.site.outputs:
        places = [(it.column, it.row) for it in lay_out(topology, output)]
        assert len(places) == len(set(places))


def test_a_chain_of_a_thousand_boxes_is_laid_out() -> None:
    boxes = [f"j{number}" for number in range(1000)]
    chain = ["o1", *boxes, "d1"]
    cables = {f"k{number}": {"from": one, "to": two} for number, (one, two) in enumerate(pairwise(chain))}
    site = described(
        outputs={"o1": {}}, junctions={it: {} for it in boxes}, drives={"d1": {"output": "o1"}}, cables=cables
    )

    assert lay_out(read_topology(site), "o1")[-1].column == 1001
