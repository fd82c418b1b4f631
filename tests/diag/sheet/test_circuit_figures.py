"""The figures of an output's circuit against sums made another way."""

from __future__ import annotations

import pytest

from diag.sheet.build import situation_of
from diag.sheet.circuit_figures import circuit_figures
from tests.diag.sheet.builders import demo_part, ready


@pytest.mark.parametrize("output", ["out1", "out2", "out3", "out4", "out5"])
def test_the_current_of_the_trunk_is_the_sum_of_its_drives(output: str) -> None:
    site = ready("medium")
    figures = circuit_figures(situation_of(site), output)
    drives = site.topology.consumers_of_output(output)
    trunk = next(name for name, it in site.site.cables.items() if it.from_ == output)

    assert figures.currents_a[trunk] == pytest.approx(sum(site.site.drives[it].running_current_a or 0 for it in drives))


@pytest.mark.parametrize("output", ["out1", "out2", "out3", "out4", "out5"])
def test_a_drive_sees_what_the_diagnosis_expects_it_to_see(output: str) -> None:
    situation = situation_of(ready("medium"))
    figures = circuit_figures(situation, output)

    for drive, supply in situation.described.supplies(output).items():
        assert figures.voltages_v[drive] == pytest.approx(supply.together_v, abs=1e-9)


def test_what_keeps_volts_from_being_worked_out_is_named() -> None:
    figures = circuit_figures(situation_of(ready(demo_part("small", "cables", "k2", length_m=None))), "out1")

    assert figures.missing == ("k2: length and area",)
    assert not figures.voltages_v
