"""The states of the cases used last, so that an answer late in a long case does not fold all events again."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock

from api.cases.record import CaseRow, Records
from api.cases.state import CaseState, fold

KEPT = 512


class States:
    """States by case and version; a version never means another state, so that none can be stale."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, CaseState] = OrderedDict()
        self._lock = Lock()

    def read(self, records: Records, org: str, case_id: str) -> tuple[CaseRow, CaseState]:
        """Return a case as it is; raise UnknownCase."""
        return self.of(records, org, records.case(org, case_id))

    def of(self, records: Records, org: str, row: CaseRow) -> tuple[CaseRow, CaseState]:
        """Return a case that was just found with its state; it may have moved on meanwhile."""
        with self._lock:
            state = self._kept.get(row.id)
        if state is not None and state.version == row.version:
            return row, state
        row, events = records.read(org, row.id)
        state = fold(events)
        self.keep(row.id, state)
        return row, state

    def keep(self, case_id: str, state: CaseState) -> None:
        """Keep the state a case has now."""
        with self._lock:
            self._kept[case_id] = state
            self._kept.move_to_end(case_id)
            while len(self._kept) > KEPT:
                self._kept.popitem(last=False)
