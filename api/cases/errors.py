"""What can be wrong with a request about a case."""

from __future__ import annotations

from diag.errors import DiagError, UnknownName


class UnknownCase(UnknownName):
    """No case has this id, or it belongs to somebody else; which of the two is not told."""

    thing = "case"


class UnknownAttachment(UnknownName):
    """The case has no attachment of this id."""

    thing = "attachment"


class StaleCase(DiagError):
    """The case was changed since it was read."""

    def __init__(self, version: int) -> None:
        self.version = version
        super().__init__(
            f"The case was changed meanwhile and is at version {version} now. "
            "Read it again, then send what still holds."
        )


class NoVersionGiven(DiagError):
    """A change came without the version it is meant for."""

    def __init__(self) -> None:
        super().__init__(
            "Send If-Match with the ETag that the case was read with, so that nobody's change is overlooked; "
            "or If-Match: * to add to whatever is there."
        )


class BadVersion(DiagError):
    """An If-Match that is not one of our tags."""

    def __init__(self, found: str) -> None:
        super().__init__(f'If-Match "{found[:40]}" cannot be read; send the ETag that the case was read with.')


class CaseClosed(DiagError):
    """The case is closed and takes no more of this kind."""

    def __init__(self) -> None:
        super().__init__('The case is closed. Send an event {"kind": "reopened"} first, or open a new case.')


class BadEvent(DiagError):
    """An event that does not fit the case as it is."""


class KeyReused(DiagError):
    """An idempotency key that came before with another request."""

    def __init__(self) -> None:
        super().__init__("This Idempotency-Key was used for another request. Make a new key for each new request.")


class BadKey(DiagError):
    """An idempotency key of another form."""

    def __init__(self) -> None:
        super().__init__("An Idempotency-Key has 8 to 200 letters, digits, hyphens, underscores, dots or colons.")


class BadAttachment(DiagError):
    """A file of a kind or size that is not kept."""


class TooManyAttachments(DiagError):
    """The case has as many files as are kept."""
