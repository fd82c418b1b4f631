"""The code on the panel door: it opens the site's page on a phone, and grants nothing."""

from __future__ import annotations

from io import BytesIO

import segno

SHORT = "/S/"
BORDER = 4
"""The quiet zone that ISO/IEC 18004 asks for, in modules."""


def door_address(base: str, site_id: str) -> str:
    """Return the short address of a site in capitals, which a code holds in fewer modules."""
    return f"{base.rstrip('/')}{SHORT}{site_id}".upper()


def door_code(address: str, title: str) -> bytes:
    """Return the code as an SVG picture that survives dirt and scratches over a third of it (level H)."""
    picture = BytesIO()
    code = segno.make(address, error="h", micro=False, boost_error=False)
    code.save(picture, kind="svg", scale=8, border=BORDER, title=title, desc=address, light="#fff", xmldecl=False)
    return picture.getvalue()
