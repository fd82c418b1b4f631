"""An inspector over the real rules and the real engine."""

from __future__ import annotations

import pytest

from diag.inspection.run import Inspector, open_inspector


@pytest.fixture(scope="session")
def inspector() -> Inspector:
    """Return an inspector with an engine in this process."""
    return open_inspector()
