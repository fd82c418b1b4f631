"""Fixtures shared by all tests: the real knowledge, the real engine, the demo sites."""

from __future__ import annotations

import pytest

from diag.chapters import compile_chapters
from diag.demo import load_demo
from diag.engine import Engine
from diag.reasoner import PreparedSite, Reasoner, prepare_reasoner, prepare_site
from knowledge.load import Knowledge, load_knowledge
from tests.builders import NOON

pytest_plugins = ["tests.browser"]


@pytest.fixture(scope="session")
def knowledge() -> Knowledge:
    """Return the whole knowledge base."""
    return load_knowledge()


@pytest.fixture(scope="session")
def reasoner(knowledge: Knowledge) -> Reasoner:
    """Return a reasoner with an engine in this process."""
    return prepare_reasoner(knowledge, Engine(compile_chapters(knowledge)).run)


@pytest.fixture(scope="session")
def small() -> PreparedSite:
    """Return the small demo site, ready."""
    return prepare_site(load_demo("small"), NOON.date())


@pytest.fixture(scope="session")
def medium() -> PreparedSite:
    """Return the medium demo site, ready."""
    return prepare_site(load_demo("medium"), NOON.date())
