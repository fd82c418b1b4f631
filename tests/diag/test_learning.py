"""What closed cases do to base rates."""

from __future__ import annotations

from dataclasses import replace

import pytest

from diag.learning import (
    ENTRIES_WEIGH,
    FLOOR_SHARE,
    LEARNED,
    Confirmed,
    learned_rates,
    learned_reason,
    with_learned_rates,
)
from diag.reasoner import PreparedSite, Reasoner
from knowledge.load import Knowledge
from tests.builders import diagnosis_of

FUSE, MAINS = "output-fuse-blown", "mains-absent"
KINDS = ("school", "library")


def test_without_cases_the_rates_are_those_of_the_entries(knowledge: Knowledge) -> None:
    rates = learned_rates(knowledge, ())

    assert rates == pytest.approx({it.id: it.base_rate.per_thousand for it in knowledge.causes.values()})
    assert with_learned_rates(knowledge, ()) is knowledge


def test_as_many_cases_as_the_entries_weigh_bring_the_rate_half_way(knowledge: Knowledge) -> None:
    total = sum(it.base_rate.per_thousand for it in knowledge.causes.values())
    before = knowledge.causes[FUSE].base_rate.per_thousand

    rates = learned_rates(knowledge, [Confirmed(FUSE)] * int(ENTRIES_WEIGH))

    assert rates[FUSE] == pytest.approx((before + total) / 2)


def test_a_cause_confirmed_rises_and_the_others_fall(knowledge: Knowledge) -> None:
    before = {it.id: it.base_rate.per_thousand for it in knowledge.causes.values()}
    after = learned_rates(knowledge, [Confirmed(FUSE)] * 20)

    assert after[FUSE] > before[FUSE]
    assert all(after[it] < before[it] for it in before if it != FUSE)


def test_cases_at_one_kind_of_site_count_for_more_there(knowledge: Knowledge) -> None:
    closed = [Confirmed(FUSE, "school")] * 20 + [Confirmed(MAINS, "library")] * 20

    school, library = (learned_rates(knowledge, closed, kind) for kind in ("school", "library"))

    assert school[FUSE] > learned_rates(knowledge, closed)[FUSE] > library[FUSE]


def test_no_cause_falls_below_its_floor(knowledge: Knowledge) -> None:
    rates = learned_rates(knowledge, [Confirmed(FUSE, "school")] * 100_000, "school")

    assert rates[MAINS] == pytest.approx(FLOOR_SHARE * knowledge.causes[MAINS].base_rate.per_thousand)


def test_a_case_taken_out_again_leaves_no_trace(knowledge: Knowledge) -> None:
    before, wrong = [Confirmed(MAINS), Confirmed(FUSE, "school")], Confirmed(FUSE)
    with_it = [*before, wrong]
    with_it.remove(wrong)

    assert learned_rates(knowledge, [*before, wrong]) != learned_rates(knowledge, before)
    assert learned_rates(knowledge, with_it) == learned_rates(knowledge, before)
    assert knowledge.causes[FUSE].base_rate.source != LEARNED


def test_the_order_of_the_cases_does_not_matter(knowledge: Knowledge) -> None:
    closed = [Confirmed(FUSE, "school"), Confirmed(MAINS), Confirmed(FUSE)]

    assert learned_rates(knowledge, closed, "school") == learned_rates(knowledge, closed[::-1], "school")


def test_a_cause_that_is_no_longer_described_is_passed_over(knowledge: Knowledge) -> None:
    assert learned_rates(knowledge, [Confirmed("long-gone")]) == pytest.approx(learned_rates(knowledge, ()))


def test_a_case_with_a_cause_by_an_earlier_id_counts_for_the_one_in_use(knowledge: Knowledge) -> None:
    renamed = replace(knowledge, redirects={"Cause": {"fuse-gone": FUSE}})

    assert learned_rates(renamed, [Confirmed("fuse-gone")]) == learned_rates(knowledge, [Confirmed(FUSE)])


def test_the_reason_names_the_cases_and_both_rates(knowledge: Knowledge) -> None:
    learned = with_learned_rates(knowledge, [Confirmed(FUSE)] * 3 + [Confirmed(MAINS)])

    reason = learned_reason(learned.causes[FUSE])

    before, after = knowledge.causes[FUSE].base_rate.per_thousand, learned.causes[FUSE].base_rate.per_thousand
    assert reason is not None
    assert reason.startswith("Seen 3 times here in 4 closed cases.")
    assert f"{after:.3g} of 1,000 call-outs instead of {before:g}" in reason
    assert learned_reason(knowledge.causes[FUSE]) is None


def test_the_reason_says_how_many_were_at_a_site_of_this_kind(knowledge: Knowledge) -> None:
    closed = {Confirmed(FUSE, "school"): 5, Confirmed(FUSE): 2}

    at_school, elsewhere = (learned_reason(with_learned_rates(knowledge, closed, it).causes[FUSE]) for it in KINDS)

    assert "5 of them at sites of this kind (school)" in str(at_school)
    assert str(elsewhere).startswith("Seen 7 times here in 7 closed cases. ")


def test_a_cause_never_met_is_said_to_be_rarer_only_once_it_is_so_by_a_good_deal(knowledge: Knowledge) -> None:
    few, many = (with_learned_rates(knowledge, {Confirmed(FUSE): it}) for it in (4, 400))

    assert learned_reason(few.causes[MAINS]) is None
    assert (learned_reason(many.causes[MAINS]) or "").startswith("Not seen here yet in 400 closed cases")
    assert few.causes[MAINS].base_rate.because == knowledge.causes[MAINS].base_rate.because


def test_counts_and_cases_one_by_one_come_to_the_same(knowledge: Knowledge) -> None:
    one_by_one = [Confirmed(FUSE, "school")] * 3 + [Confirmed(MAINS)]
    counted = {Confirmed(MAINS): 1, Confirmed(FUSE, "school"): 3}

    assert learned_rates(knowledge, one_by_one, "school") == learned_rates(knowledge, counted, "school")


def test_why_tells_what_closed_cases_did(reasoner: Reasoner, small: PreparedSite) -> None:
    taught = replace(reasoner, knowledge=with_learned_rates(reasoner.knowledge, [Confirmed(FUSE)] * 30))

    before = diagnosis_of(reasoner, small, "drive-dead@d1", "drive-dead@d2")
    after = diagnosis_of(taught, small, "drive-dead@d1", "drive-dead@d2")

    cause = next(it for it in after.causes if it.cause == FUSE)
    assert cause.probability > next(it.probability for it in before.causes if it.cause == FUSE)
    assert "Seen 30 times here in 30 closed cases" in next(it.says for it in cause.why if it.effect == "learned")
    assert not any(it.effect == "learned" for one in before.causes for it in one.why)
