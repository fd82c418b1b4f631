"""What a check at a virtual site finds, and how somebody comes to find it."""

from __future__ import annotations

from collections.abc import Callable

from diag.virtual.site import VirtualSite

Found = str | float
"""What is really so: an outcome's id, or a reading in the check's unit."""

Perform = Callable[[VirtualSite, str], Found]
"""Makes one check at one part of a site."""
