"""A question as an item of QTI 3.0: the same tree with the names that the newer standard gives its parts."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

from diag.training.export import qti21
from diag.training.item import Item, Quiz

NAMESPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
HTML = frozenset({"p"})
"""Elements of HTML inside an item, which keep their names."""

CAPITAL = re.compile(r"(?<=[a-z0-9])([A-Z])")


def item_element(item: Item) -> ET.Element:
    """Return a question as a qti-assessment-item."""
    return _renamed(qti21.item_element(item))


def test_element(quiz: Quiz) -> ET.Element:
    """Return a quiz as a qti-assessment-test."""
    return _renamed(qti21.test_element(quiz))


test_element.__test__ = False  # type: ignore[attr-defined]  # not a test, whatever a test runner makes of the name


def _renamed(old: ET.Element) -> ET.Element:
    """Return the tree with dashes in place of capitals; text for people goes into a body of its own."""
    is_html = old.tag in HTML
    new = ET.Element(old.tag if is_html else f"qti-{_dashed(old.tag)}", {_dashed(name): it for name, it in old.items()})
    new.text = old.text
    inside = ET.SubElement(new, "qti-content-body") if old.tag == "modalFeedback" else new
    inside.extend(_renamed(it) for it in old)
    return new


def _dashed(name: str) -> str:
    return name if name.startswith("{") else CAPITAL.sub(lambda it: f"-{it[1].lower()}", name)
