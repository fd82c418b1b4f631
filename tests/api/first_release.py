"""Write a database as the first release left it: the statements are its own, from a dump."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

DUMP = """
CREATE TABLE heard (
	id INTEGER NOT NULL,
	heard_at VARCHAR(40) NOT NULL,
	site VARCHAR(80),
	text TEXT NOT NULL,
	PRIMARY KEY (id)
);
INSERT INTO heard VALUES(1,'2026-05-04T10:00:00+00:00','gym','roof vent wont shut');
INSERT INTO heard VALUES(2,'2026-05-04T10:01:00+00:00',NULL,'the flurble has gone sideways');
CREATE TABLE sites (
	id VARCHAR(80) NOT NULL,
	name TEXT NOT NULL,
	description TEXT NOT NULL,
	demo BOOLEAN NOT NULL,
	version INTEGER NOT NULL,
	PRIMARY KEY (id)
);
INSERT INTO sites VALUES('gym','Gym hall','{"drives": {"d1": {}}, "name": "Gym hall"}',0,2);
INSERT INTO sites VALUES('shed','Shed','{"name": "Shed"}',1,1);
"""


def write_first_release(path: Path) -> None:
    """Write the database with two sites and two typed texts to a new file."""
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(DUMP)
