"""Every check can be made at a virtual site, and what it shows follows from the faults there."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from diag.reasoner import Reasoner
from diag.virtual.faults import FAULTS, Fault
from diag.virtual.noticing import complaints
from diag.virtual.pairs import TOGETHER
from diag.virtual_checks.callout import CallOut
from diag.virtual_checks.performing import performances
from knowledge.load import Knowledge
from tests.diag.virtual.sites import NAMES, home_of, place_of
from tests.diag.virtual_checks.calls import call_about, prepared

UNKNOWN_BATTERY = ("small", "volts-battery-rest", "c1")
"""The small site does not say whether a battery is fitted, and its virtual twin has none."""


def parts_for(knowledge: Knowledge, check: str, name: str) -> Iterator[str]:
    """Yield the parts of a site at which a check may be made."""
    entry, ready = knowledge.checks[check], prepared(name)
    for part in ready.topology.of_kind(entry.at) if entry.at != "site" else ("site",):
        fields = ready.described.fields(part) if part != "site" else {}
        if all(fields.get(field) in values for field, values in entry.where.items()):
            yield part


def test_every_cause_that_can_be_put_in_is_one_of_the_catalogue(knowledge: Knowledge) -> None:
    assert set(FAULTS) <= set(knowledge.causes)
    assert set(TOGETHER) <= set(knowledge.causes)


def test_all_but_a_few_new_checks_can_be_made(knowledge: Knowledge) -> None:
    assert set(performances()) <= set(knowledge.checks)
    assert len(performances()) >= 0.97 * len(knowledge.checks)


@pytest.mark.parametrize("name", NAMES)
def test_a_sound_site_shows_what_a_sound_site_may_show_at_every_check(
    reasoner: Reasoner, knowledge: Knowledge, name: str
) -> None:
    call = call_about(reasoner, name=name, seed=1)
    odd = []
    for check in performances():
        healthy = {it.id: it.healthy for it in knowledge.checks[check].outcomes}
        for part in parts_for(knowledge, check, name):
            found = call.truth(check, part)
            if found is not None and healthy[found] == "never" and (name, check, part) != UNKNOWN_BATTERY:
                odd.append((check, part, found))
    assert odd == []


@pytest.mark.parametrize("cause", sorted(set(FAULTS) - {"as-designed"}))
def test_each_cause_changes_what_some_of_its_own_checks_show(
    reasoner: Reasoner, knowledge: Knowledge, cause: str
) -> None:
    name = home_of(cause)
    sound = call_about(reasoner, name=name, seed=1)
    faulty = call_about(reasoner, Fault(cause, place_of(cause)), name=name, seed=1)
    own = [it.check for it in knowledge.causes[cause].checks]
    assert any(differs(sound, faulty, check, part) for check in own for part in parts_for(knowledge, check, name))


def differs(sound: CallOut, faulty: CallOut, check: str, part: str) -> bool:
    """Return whether a check shows something else than at the sound site, and one of its outcomes."""
    found = faulty.truth(check, part)
    assert found is None or found in {it.id for it in faulty.question(check, part).check.outcomes}
    return found is not None and found != sound.truth(check, part)


@pytest.mark.parametrize(
    "cause", ["core-open", "hinge-seized", "switch-contact-stuck", "circuits-crossed", "output-stuck-on"]
)
def test_making_every_check_leaves_the_site_as_it_was(reasoner: Reasoner, knowledge: Knowledge, cause: str) -> None:
    call = call_about(reasoner, Fault(cause, place_of(cause)), name=home_of(cause))
    before, at = complaints(call.site), call.site.around.at
    for check in performances():
        for part in parts_for(knowledge, check, home_of(cause)):
            call.answer(check, part)
    assert complaints(call.site) == before
    assert call.site.around.at == at


CHECKS = [
    ("core-open", "k10", "volts-drive", "d7", "none"),
    ("core-open", "k10", "volts-drive", "d8", "normal"),
    ("core-open", "k10", "volts-junction", "j3", "normal"),
    ("core-open", "k10", "ohms-core", "k10", "open"),
    ("core-open", "k14", "ohms-end-of-line", "out4", "open"),
    ("polarity-swapped", "d7", "volts-drive", "d7", "reversed"),
    ("polarity-swapped", "d7", "try-swap-cores", "d7", "cured"),
    ("polarity-swapped", "d7", "try-swap-cores", "d8", "no-change"),
    ("drive-motor-failed", "d1", "try-swap-drive-channel", "d1", "fault-moves-with-drive"),
    ("core-open", "k2", "try-swap-drive-channel", "d1", "fault-stays"),
    ("hinge-seized", "w1", "try-drive-detached", "d1", "runs-full"),
    ("drive-motor-failed", "d1", "try-drive-detached", "d1", "same-fault"),
    ("output-fuse-blown", "out1", "ohms-fuse-output", "out1", "open"),
    ("output-fuse-blown", "out1", "volts-output", "out1", "none"),
    ("output-overcurrent-trip", "out1", "current-output", "out1", "trips"),
    ("loose-terminal", "k14", "volts-drive", "d11", "low"),
    ("charger-failed", "c1", "volts-battery-after-charge", "c1", "drops"),
    ("battery-disconnected", "c1", "ohms-battery-link", "c1", "open"),
    ("hold-off-active", "zn", "read-hold-off-remaining", "zn", "running"),
    ("hold-off-active", "zn", "ask-normal-behaviour", "zn", "as-described"),
    ("core-open", "k2", "ask-normal-behaviour", "zn", "differs"),
    ("sensor-badly-placed", "th1", "compare-thermometer", "th1", "agrees"),
    ("co2-sensor-drifted", "co2", "co2-outdoors", "co2", "off"),
    ("drive-reference-lost", "d1", "try-reference-run", "d1", "cured"),
    ("drive-motor-failed", "d1", "try-reference-run", "d1", "refused"),
    ("data-core-open", "k2", "volts-data-core", "d1", "none"),
    ("data-core-open", "k2", "volts-drive", "d1", "normal"),
    ("data-core-open", "k2", "try-discovery-single", "d1", "not-found"),
    ("link-termination-wrong", "bl1", "read-link-speed", "bl1", "matches"),
    ("circuits-crossed", "out1", "try-other-zone-switch", "zn", "other-moves"),
    ("mains-absent", "c1", "try-other-outputs", "c1", "none-move"),
    ("core-open", "k2", "try-other-outputs", "c1", "move"),
    ("automatic-disabled", "zn", "try-automatic", "zn", "nothing"),
    ("hold-off-active", "zn", "try-automatic", "zn", "refused"),
    ("sensor-failed", "co2", "try-automatic", "zd", "nothing"),
    ("thermostat-set-point", "th1", "try-automatic", "zn", "obeys"),
    ("tap-function-missing", "sw-n", "try-tap", "sw-n", "no-effect"),
    ("alarm-latched", "c1", "try-reset-alarm", "c1", "resets"),
    ("call-point-operated", "cp1", "try-reset-alarm", "c1", "returns"),
    ("core-open", "k2", "try-reset-alarm", "c1", "no-effect"),
    ("core-open", "k2", "look-gap", "w1", "even"),
    ("lockout-active", "zn", "volts-drive", "d1", "normal"),
    ("controller-board-failed", "c1", "try-controller-restart", "c1", "does-not-start"),
    ("insect-screen-clogged", "za", "look-insect-screen", "za", "clogged"),
]


@pytest.mark.parametrize(("cause", "part", "check", "at", "shows"), CHECKS)
def test_a_check_shows_what_the_fault_makes_of_it(
    reasoner: Reasoner, cause: str, part: str, check: str, at: str, shows: str
) -> None:
    assert call_about(reasoner, Fault(cause, part)).truth(check, at) == shows


@pytest.mark.parametrize("check", ["read-automatic-enabled", "look-clock", "look-fault-log", "try-controller-restart"])
def test_a_dark_controller_cannot_be_read_nor_started(reasoner: Reasoner, check: str) -> None:
    call = call_about(reasoner, Fault("mains-absent", "c1"), name="small")
    assert call.truth(check, "za" if check.startswith("read") else "c1") is None


@pytest.mark.parametrize("way", ["opens", "closes"])
def test_an_output_that_fails_one_way_is_measured_that_way(reasoner: Reasoner, way: str) -> None:
    call = call_about(reasoner)
    setattr(call.site.fitted.outputs["out4"], way, False)
    assert call.truth("volts-output", "out4") == "none"
    assert call.truth("volts-output", "out3") == "normal"
