"""List the kinds of question."""

from __future__ import annotations

from collections.abc import Mapping

from diag.training.kinds.dead_working import draft_dead_working, prove_dead_working
from diag.training.kinds.description_fault import draft_description_fault, prove_description_fault
from diag.training.kinds.expect_outcome import draft_expect_outcome, prove_expect_outcome
from diag.training.kinds.interpret_reading import draft_interpret_reading, prove_interpret_reading
from diag.training.kinds.is_fault import draft_is_fault, prove_is_fault
from diag.training.kinds.kind import Kind
from diag.training.kinds.likeliest_cause import draft_likeliest_cause, prove_likeliest_cause
from diag.training.kinds.match_causes import draft_match_causes, prove_match_causes
from diag.training.kinds.moves_at import draft_moves_at, prove_moves_at
from diag.training.kinds.next_check import draft_next_check, prove_next_check
from diag.training.kinds.reading_here import draft_reading_here, prove_reading_here

KINDS: Mapping[str, Kind] = {
    it.id: it
    for it in (
        Kind("likeliest-cause", "the likeliest cause", draft_likeliest_cause, prove_likeliest_cause, 3),
        Kind("next-check", "which check next", draft_next_check, prove_next_check, 2),
        Kind("reading-here", "what a meter shows here", draft_reading_here, prove_reading_here, 3),
        Kind("moves-at", "when it opens by itself", draft_moves_at, prove_moves_at, 2),
        Kind("description-fault", "a fault in a description", draft_description_fault, prove_description_fault, 2),
        Kind("dead-working", "the order of safe dead working", draft_dead_working, prove_dead_working, 1),
        Kind("match-causes", "which cause with which report", draft_match_causes, prove_match_causes, 1),
        Kind("interpret-reading", "what a reading says", draft_interpret_reading, prove_interpret_reading, 2),
        Kind("is-fault", "fault or no fault", draft_is_fault, prove_is_fault, 2, 7),
        Kind("expect-outcome", "what a check shows", draft_expect_outcome, prove_expect_outcome, 2),
    )
}
