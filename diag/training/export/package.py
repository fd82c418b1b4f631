"""Pack a quiz as QTI: a zip with a manifest, a test and an item for each question, the same bytes each time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from io import BytesIO
from xml.etree import ElementTree as ET
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from diag.training.export import qti21, qti30
from diag.training.item import Item, Quiz

LONG_AGO = (1980, 1, 1, 0, 0, 0)
"""The earliest time a zip can carry: the package does not change with the clock."""


@dataclass(frozen=True)
class Standard:
    """One version of QTI: its namespace, the elements of items and tests, and how a manifest calls them."""

    namespace: str
    item: Callable[[Item], ET.Element]
    test: Callable[[Quiz], ET.Element]
    manifest_namespace: str
    schema: str
    schema_version: str
    item_type: str
    test_type: str


STANDARDS: Mapping[str, Standard] = {
    "qti": Standard(
        qti21.NAMESPACE,
        qti21.item_element,
        qti21.test_element,
        "http://www.imsglobal.org/xsd/imscp_v1p1",
        "QTIv2.1 Package",
        "1.0.0",
        "imsqti_item_xmlv2p1",
        "imsqti_test_xmlv2p1",
    ),
    "qti3": Standard(
        qti30.NAMESPACE,
        qti30.item_element,
        qti30.test_element,
        "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1",
        "QTI Package",
        "3.0.0",
        "imsqti_item_xmlv3p0",
        "imsqti_test_xmlv3p0",
    ),
}


def quiz_package(quiz: Quiz, form: str) -> bytes:
    """Return a quiz as a zip; `form` is qti (2.1) or qti3 (3.0)."""
    standard = STANDARDS[form]
    packed = BytesIO()
    with ZipFile(packed, "w", ZIP_DEFLATED) as archive:
        for name, content in _files(quiz, standard):
            archive.writestr(ZipInfo(name, LONG_AGO), content, ZIP_DEFLATED)
    return packed.getvalue()


def _files(quiz: Quiz, standard: Standard) -> Iterator[tuple[str, bytes]]:
    yield "imsmanifest.xml", written(_manifest(quiz, standard), standard.manifest_namespace)
    yield "test.xml", written(standard.test(quiz), standard.namespace)
    for item in quiz.items:
        yield f"items/{item.id}.xml", written(standard.item(item), standard.namespace)


def written(root: ET.Element, namespace: str) -> bytes:
    """Return a tree as an XML document, all of it in one namespace."""
    root.set("xmlns", namespace)
    ET.indent(root)
    text: bytes = ET.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"


def _manifest(quiz: Quiz, standard: Standard) -> ET.Element:
    root = ET.Element("manifest", {"identifier": f"manifest-{quiz.id}"})
    metadata = ET.SubElement(root, "metadata")
    ET.SubElement(metadata, "schema").text = standard.schema
    ET.SubElement(metadata, "schemaversion").text = standard.schema_version
    ET.SubElement(root, "organizations")
    resources = ET.SubElement(root, "resources")
    test = _resource(resources, quiz.id, standard.test_type, "test.xml")
    for item in quiz.items:
        ET.SubElement(test, "dependency", {"identifierref": f"resource-{item.id}"})
        _resource(resources, item.id, standard.item_type, f"items/{item.id}.xml")
    return root


def _resource(resources: ET.Element, name: str, kind: str, href: str) -> ET.Element:
    found = ET.SubElement(resources, "resource", {"identifier": f"resource-{name}", "type": kind, "href": href})
    ET.SubElement(found, "file", {"href": href})
    return found
