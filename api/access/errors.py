"""What can be wrong with a request about people, keys and sign-in."""

from __future__ import annotations

from diag.errors import DiagError, UnknownName


class WrongSignIn(DiagError):
    """Name and password, or the link, do not let anyone in; which part was wrong is not told."""

    def __init__(self) -> None:
        super().__init__("This does not sign you in. Check name and password, or ask for a new link.")


class WeakPassword(DiagError):
    """A password that is too short or too long."""


class LoginTaken(DiagError):
    """Somebody has this sign-in name already."""

    def __init__(self) -> None:
        super().__init__("This sign-in name is taken. Choose another.")


class UnknownPerson(UnknownName):
    """No person of the organisation has this id."""

    thing = "person"


class UnknownKey(UnknownName):
    """No key of the organisation has this id."""

    thing = "key"


class UnknownOrganisation(UnknownName):
    """No organisation has this id."""

    thing = "organisation"


class LastAdministrator(DiagError):
    """Nobody would be left to look after the organisation."""

    def __init__(self) -> None:
        super().__init__("This is the last administrator. Make somebody else one first.")


class ForeignPage(DiagError):
    """A page of another site sent the request."""

    def __init__(self) -> None:
        super().__init__("The request came from a page of another site and was not done.")


class TooMany(DiagError):
    """More requests than are allowed; `wait_s` says when to come back."""

    def __init__(self, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__(f"Too many requests. Send it again in {wait_s} s.")
