"""What is dangerous about a check depends on what is live, what can move, and where one stands now."""

from __future__ import annotations

from diag.reasoner import Reasoner
from diag.virtual.faults import Fault
from diag.virtual_checks.callout import CallOut
from knowledge.load import Knowledge
from tests.diag.virtual_checks.calls import call_about


def asked_for(call: CallOut, check: str, part: str, *taken: str) -> set[str]:
    """Return the precautions that are still missing."""
    return {it.precaution for it in call.unsafe(check, part, frozenset(taken))}


def test_cores_are_measured_only_when_isolated_and_proved_dead(reasoner: Reasoner) -> None:
    call = call_about(reasoner)
    assert asked_for(call, "ohms-core", "k1") == {"isolated", "battery-off", "proved-dead"}
    assert asked_for(call, "ohms-core", "k1", "isolated", "battery-off", "proved-dead") == set()


def test_a_controller_without_mains_still_has_its_battery(reasoner: Reasoner) -> None:
    call = call_about(reasoner)
    call.site.fitted.controllers["c1"].isolator_on = False
    assert asked_for(call, "ohms-fuse-output", "out1") == {"battery-off", "proved-dead"}


def test_the_roof_asks_for_safe_access_and_in_rain_for_waiting(reasoner: Reasoner) -> None:
    call = call_about(reasoner, Fault("junction-box-wet", "j3"))
    assert "safe-access" in asked_for(call, "volts-drive", "d7")
    assert "weather-waited" not in asked_for(call, "volts-drive", "d7")
    call.site.around.raining = True
    assert "weather-waited" in asked_for(call, "volts-drive", "d7")


def test_an_opening_with_power_can_move_and_one_without_cannot(reasoner: Reasoner) -> None:
    assert "clear-of-edges" in asked_for(call_about(reasoner), "look-seal", "w1")
    dead = call_about(reasoner, Fault("output-fuse-blown", "out1"))
    assert "clear-of-edges" not in asked_for(dead, "look-seal", "w1")


def test_mains_is_read_with_a_tester_that_was_proved(reasoner: Reasoner) -> None:
    assert asked_for(call_about(reasoner), "volts-mains", "c1") == {"proved-tester"}
    assert "proved-tester" in asked_for(call_about(reasoner, name="workshop"), "volts-drive", "d1")


def test_a_drive_is_detached_only_from_a_secured_sash(reasoner: Reasoner) -> None:
    assert "secured-sash" in asked_for(call_about(reasoner), "try-drive-detached", "d1")


def test_a_smoke_test_is_made_only_when_people_know(reasoner: Reasoner) -> None:
    assert "told-people" in asked_for(call_about(reasoner), "try-test-smoke", "za")


def test_a_look_at_lamps_is_safe(reasoner: Reasoner) -> None:
    assert call_about(reasoner).unsafe("look-panel-lamps", "c1") == ()


def test_every_danger_names_a_caution_of_the_knowledge_base(reasoner: Reasoner, knowledge: Knowledge) -> None:
    call = call_about(reasoner)
    parts = {
        "controller": "c1",
        "output": "out3",
        "drive": "d7",
        "cable": "k9",
        "opening": "rv1",
        "fan": "f1",
        "zone": "za",
    }
    made = [(check, parts[it.at]) for check, it in knowledge.checks.items() if it.at in parts]
    found = {danger.caution for check, part in made for danger in call.unsafe(check, part)}
    assert len(found) >= 6
    assert found <= set(knowledge.cautions)


def test_a_wiring_repair_asks_for_dead_cores_and_a_setting_does_not(reasoner: Reasoner) -> None:
    call = call_about(reasoner)
    wiring = {it.precaution for it in call.unsafe_repair("core-open", "k2")}
    setting = {it.precaution for it in call.unsafe_repair("automatic-disabled", "zn")}
    assert wiring >= {"isolated", "battery-off", "proved-dead"}
    assert setting == {"told-people"}


def test_a_stiff_hinge_on_the_roof_asks_for_a_held_sash_and_a_safe_way_up(reasoner: Reasoner) -> None:
    found = {it.precaution for it in call_about(reasoner).unsafe_repair("hinge-seized", "rv1")}
    assert found >= {"secured-sash", "safe-access", "clear-of-edges"}
