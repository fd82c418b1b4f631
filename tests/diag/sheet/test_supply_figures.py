"""What a supply and a battery can give against what is asked."""

from __future__ import annotations

from diag.sheet.build import situation_of
from diag.sheet.supply_figures import supply_figures
from diag.site import Battery, Site
from tests.diag.sheet.builders import demo_part, described, ready


def figures(site: Site | str) -> dict[str, str]:
    """Return the figures of controller c1."""
    return dict(supply_figures(situation_of(ready(site)), "c1"))


def with_battery(**fields: object) -> Site:
    """Return the medium site with some fields of its battery changed."""
    supply = ready("medium").site.controllers["c1"].supply
    assert supply is not None
    assert isinstance(supply.battery, Battery)
    changed = supply.model_copy(update={"battery": supply.battery.model_copy(update=fields)})
    return demo_part("medium", "controllers", "c1", supply=changed)


def test_the_load_is_the_sum_of_all_drives_on_24_v() -> None:
    """Six at 0.9 A, six at 1.2 A, two at 0.25 A: 13.1 A of 24 A is 55 %."""
    assert figures("medium")["All 14 drives on 24 V running"] == "13.1 A, 55% of the power unit"


def test_the_capacity_asked_for_is_stand_by_and_alarm_and_a_fifth() -> None:
    """(0.25 A x 72 h + 7.2 A x 0.05 h) x 1.2 = 22.0 Ah."""
    assert (
        figures("medium")["Capacity for 72 h and then 3 min of smoke drives, times 1.2"] == "22.0 Ah of 45 Ah: enough"
    )


def test_a_battery_too_small_is_said_loudly() -> None:
    found = figures(with_battery(capacity_ah=17))

    assert found["Capacity for 72 h and then 3 min of smoke drives, times 1.2"] == "22.0 Ah of 17 Ah: TOO LITTLE"
    assert "72 h asked for: TOO LITTLE" in found["Stand-by it can be expected to give"]
    assert found["Smoke openings left after that stand-by, by calculation"] == "0"


def test_a_charger_too_small_is_said_loudly() -> None:
    """45 Ah x 0.8 / 24 h / 0.85 + 0.25 A = 2.01 A."""
    found = figures(with_battery(charger_current_a=1.5))

    assert found["Charger, to 80 % in 24 h beside the standing current"] == "2.0 A needed, 1.5 A given: TOO LITTLE"


def test_what_is_not_described_is_said_to_be_so() -> None:
    found = figures("small")

    assert found["Battery"] == "not known"
    assert found["Fuse on the mains side"] == "not described"


def test_an_overloaded_power_unit_is_told_how_many_drives_may_run() -> None:
    supply = ready("small").site.controllers["c1"].supply
    assert supply is not None
    site = demo_part("small", "controllers", "c1", supply=supply.model_copy(update={"rated_current_a": 3.0}))

    assert figures(site)["At once at most"] == "3 drives"


def test_a_controller_nobody_described_has_no_figures() -> None:
    assert figures(described(controllers={"c1": {}})) == {"Supply": "not described", "Battery": "not known"}
