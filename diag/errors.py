"""What can be wrong with a request to diagnose, each with what was found and what would be right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from knowledge.faults import Fault, nearest, quoted, suggestion

SHOWN_FAULTS = 20


class DiagError(Exception):
    """Something a person can mend; its text is fit to show to them."""


class BadSite(DiagError):
    """A site description with faults; `faults` lists every one of them from the top of the file down."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(faults)
        count = f"{len(self.faults)} fault{'' if len(self.faults) == 1 else 's'}"
        super().__init__(f"The site description has {count}; the first is {self.faults[0]}")


class UnreadableSite(DiagError):
    """A site file that is not there or cannot be opened."""

    def __init__(self, path: str, reason: str) -> None:
        self.found = path
        super().__init__(f'The site file "{path}" cannot be read: {reason}.')


class UnknownName(DiagError):
    """A name that stands for nothing known; `found` holds it, `nearest` the known names most like it."""

    thing = "name"

    def __init__(self, found: str, known: Iterable[str] = ()) -> None:
        self.found = found
        self.nearest = nearest(found, known)
        super().__init__(f"There is no {self.thing} {quoted(found)}{suggestion(self.nearest) or '.'}")


class UnknownPart(UnknownName):
    """No part of the site has this id."""

    thing = "part"


class UnknownSymptom(UnknownName):
    """No symptom has this id."""

    thing = "symptom"


class UnknownCause(UnknownName):
    """No cause has this id."""

    thing = "cause"


class UnknownCheck(UnknownName):
    """No check has this id."""

    thing = "check"


class UnknownSite(UnknownName):
    """No site is stored or shown under this name."""

    thing = "site"


class UnknownOutcome(DiagError):
    """The check has no such outcome; `allowed` lists those it has."""

    def __init__(self, check: str, found: str, allowed: Iterable[str]) -> None:
        self.check = check
        self.found = found
        self.allowed = tuple(allowed)
        self.nearest = nearest(found, self.allowed)
        outcomes = ", ".join(self.allowed)
        super().__init__(f"The check {quoted(check)} has no outcome {quoted(found)}; it has {outcomes}.")


class BadTime(DiagError):
    """A text that is not a time."""

    def __init__(self, found: str) -> None:
        self.found = found
        super().__init__(f"{quoted(found)} is not a time; write it as 2024-05-31T10:20 or 10:20.")
