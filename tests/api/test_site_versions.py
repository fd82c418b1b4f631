"""Versions, files, drafts and door codes of stored sites."""

from __future__ import annotations

import re
from typing import Any

import pytest
from fastapi.testclient import TestClient

from api.sites.difference import Difference, differences
from api.sites.draft import collections, part_id
from tests.api.case_calls import kind_of

TABLE = """kind,id,name,output,opening,running_current_a,colour
controller,c1,Hall controller,,,,
output,O 1,First output,,,,
opening,rv1,Roof vent,,,,
drive,d1,Drive one,o-1,rv1,"1,2",red
gadget,g1,,,,,
"""
BRICK = """
@prefix brick: <https://brickschema.org/schema/Brick#> .
@prefix rdfs: <http://www.w3.org/2000/01/rdf-schema#> .
@prefix b: <urn:building#> .
b:Zone_1 a brick:HVAC_Zone ; rdfs:label "North hall" ; brick:hasPart b:Damper_1 .
b:Damper_1 a brick:Damper .
b:Ex a brick:Exhaust_Fan .
b:Rain a brick:Rain_Sensor .
b:Boiler a brick:Boiler .
"""


def test_every_version_is_kept_and_compared(client: TestClient) -> None:
    client.put("/v1/sites/kept", json={"name": "Kept", "drives": {"d1": {"running_current_a": 1}}})
    client.put("/v1/sites/kept", json={"name": "Kept", "drives": {"d1": {"running_current_a": 2}, "d2": {}}})
    versions = client.get("/v1/sites/kept/versions").json()["versions"]
    changed = client.get("/v1/sites/kept/differences").json()

    assert [it["version"] for it in versions] == [1, 2]
    assert client.get("/v1/sites/kept/versions/1").json()["description"]["drives"] == {"d1": {"running_current_a": 1}}
    assert changed["differences"] == [
        {"field": "drives.d1.running_current_a", "before": 1, "after": 2},
        {"field": "drives.d2", "before": None, "after": {}},
    ]
    assert client.get("/v1/sites/kept/versions/9").status_code == 404
    assert client.get("/v1/sites/never/versions").status_code == 404


def test_what_is_the_same_does_not_differ() -> None:
    site = {"name": "A", "zones": {"z1": {"openings": ["a", "b"]}}}

    assert differences(site, site) == []
    assert differences(site, {"name": "A"}) == [Difference("zones.z1.openings", ["a", "b"], None)]


def test_a_site_is_not_stored_over_a_version_its_author_has_not_seen(client: TestClient) -> None:
    tag = client.put("/v1/sites/race", json={"name": "Race"}).headers["etag"]
    mine = client.put("/v1/sites/race", json={"name": "Mine"}, headers={"If-Match": tag})
    theirs = client.put("/v1/sites/race", json={"name": "Theirs"}, headers={"If-Match": tag})

    assert (mine.status_code, mine.headers["etag"]) == (200, '"2"')
    assert (theirs.status_code, kind_of(theirs), theirs.headers["etag"]) == (412, "stale", '"2"')
    assert client.get("/v1/sites/race").json()["name"] == "Mine"


def test_a_site_goes_out_as_a_file_and_comes_back_the_same(client: TestClient) -> None:
    file = client.get("/v1/sites/medium/file")
    headers = {"content-type": "application/yaml"}
    stored = client.put("/v1/sites/copy/file", content=file.content, headers=headers)

    assert stored.status_code == 201
    assert client.get("/v1/sites/copy").json()["description"] == client.get("/v1/sites/medium").json()["description"]


def test_a_faulty_file_is_refused_with_the_lines_of_its_faults(client: TestClient) -> None:
    text = "name: Barn\ndrives:\n  d1:\n    output: o9\n    colour: red\n"
    response = client.put("/v1/sites/barn-file/file", content=text, headers={"content-type": "application/yaml"})

    assert kind_of(response) == "bad-site"
    assert {it["line"] for it in response.json()["errors"]} == {4, 5}


def test_a_site_that_is_removed_is_gone_with_its_versions(client: TestClient) -> None:
    client.put("/v1/sites/brief", json={"name": "Brief"})

    assert client.delete("/v1/sites/brief").status_code == 204
    assert client.get("/v1/sites/brief").status_code == 404
    assert client.get("/v1/sites/brief/versions").status_code == 404
    assert client.delete("/v1/sites/brief").status_code == 404


def test_a_table_becomes_a_draft_with_remarks(client: TestClient) -> None:
    draft = client.post("/v1/site-drafts?name=Hall", content=TABLE, headers={"content-type": "text/csv"}).json()

    assert draft["faults"] == []
    assert draft["description"]["name"] == "Hall"
    assert draft["description"]["drives"]["d1"] == {
        "name": "Drive one",
        "output": "o-1",
        "opening": "rv1",
        "running_current_a": 1.2,
    }
    assert [it.partition(":")[0] for it in draft["remarks"]] == ["Line 3", "Line 5", "Line 6"]


def test_a_draft_says_what_is_still_wrong_with_it(client: TestClient) -> None:
    table = "kind;id;output\ndrive;d1;o9\n"
    draft = client.post("/v1/site-drafts", content=table, headers={"content-type": "text/csv; charset=utf-8"}).json()

    assert len(draft["faults"]) == 1
    assert "o9" in draft["faults"][0]


def test_building_metadata_becomes_a_draft(client: TestClient) -> None:
    draft = client.post("/v1/site-drafts", content=BRICK, headers={"content-type": "text/turtle"}).json()
    site = draft["description"]

    assert draft["faults"] == []
    assert site["zones"] == {"zone-1": {"name": "North hall", "openings": ["damper-1"]}}
    assert site["fans"] == {"ex": {"kind": "extract"}}
    assert site["inputs"] == {"rain": {"kind": "rain"}}
    assert draft["remarks"] == ["Boiler is a Boiler, which no part here is; it was left out."]


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (b"a,b\n1,2\n", "text/csv"),
        (b"", "text/csv"),
        (b"kind\n\xff", "text/csv"),
        (b'kind,id\ndrive,"d1', "text/csv"),
        (b"this is no turtle", "text/turtle"),
        (b"<a:a> <b:b> <c:c> .", "text/turtle"),
        (b"kind\ndrive\n", "application/json"),
    ],
)
def test_what_no_draft_can_be_made_of_is_refused(client: TestClient, content: bytes, kind: str) -> None:
    response = client.post("/v1/site-drafts", content=content, headers={"content-type": kind})

    assert (response.status_code, kind_of(response)) == (422, "bad-draft")


def test_names_become_ids_and_kinds_become_collections() -> None:
    assert [part_id(it) for it in ("RV 1", "Straße/Süd", "---", "x" * 90)] == ["rv-1", "strasse-s-d", "part", "x" * 40]
    assert collections()["junction"] == "junctions"


def test_the_door_code_opens_the_site_and_is_small(client: TestClient) -> None:
    picture = client.get("/v1/sites/medium/door-code.svg")
    address = re.findall(r"<desc>(.*?)</desc>", picture.text)[0]
    opened: Any = client.get(address.removeprefix("HTTP://TESTSERVER"), follow_redirects=False)

    assert picture.headers["content-type"] == "image/svg+xml"
    assert address == "HTTP://TESTSERVER/S/MEDIUM"
    assert opened.headers["location"] == "/?site=medium"
    assert "Opens Hallowbeck" in picture.text
