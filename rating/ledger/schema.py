"""The tables of the ledger, their triggers, and the steps that bring an older ledger up to date."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from functools import cache

APPLICATION_ID = 0x42785772  # 'BxWr'
VERSION = 3

# `review` holds the canonical texts; `entry`, `score` and `superseded` are copies for fast reading,
# which `verify` compares with the texts
TABLES = ("rubric", "facts", "review", "entry", "score", "superseded", "merged", "note")
# the tables that came later, by the version that brought them
_LATER = {"merged": 2, "note": 3}
# what an INSERT OR REPLACE would put in the place of another row: SQLite fires no DELETE trigger for it
_TAKEN = {
    "rubric": "hash = NEW.hash AND body IS NOT NEW.body",
    "facts": "hash = NEW.hash AND body IS NOT NEW.body",
    "review": "seq = NEW.seq OR id = NEW.id",
    "entry": "review = NEW.review",
    "score": "review = NEW.review AND criterion = NEW.criterion",
    "superseded": "review = NEW.review AND superseded = NEW.superseded",
    "merged": "review = NEW.review",
    "note": "seq = NEW.seq OR id = NEW.id",
}


def tables(version: int = VERSION) -> tuple[str, ...]:
    """The names of the tables of a version."""
    return tuple(one for one in TABLES if _LATER.get(one, 1) <= version)


def guards(version: int = VERSION) -> dict[str, str]:
    """The triggers that let the tables of a version only grow, by their names."""
    refuse = "BEGIN SELECT RAISE(ABORT, 'the ledger is append-only; add a review that supersedes'); END"
    triggers = {}
    for table in tables(version):
        whens = {
            "update": f"BEFORE UPDATE ON {table}",
            "delete": f"BEFORE DELETE ON {table}",
            "replace": f"BEFORE INSERT ON {table} WHEN EXISTS (SELECT 1 FROM {table} WHERE {_TAKEN[table]})",
        }
        for verb, when in whens.items():
            name = f"{table}_no_{verb}"
            triggers[name] = f"CREATE TRIGGER {name} {when} {refuse}"
    return triggers


def layout(db: sqlite3.Connection) -> dict[str, tuple[str, str]]:
    """Every table, index and trigger of a database: its kind and the statement that made it, by its name."""
    rows = db.execute("SELECT name, type, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {str(name): (str(kind), str(sql)) for name, kind, sql in rows}


@cache
def wanted(version: int = VERSION) -> dict[str, tuple[str, str]]:
    """The layout of a ledger of a version."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        _up_to(db, 0, version)
        return layout(db)


def create(db: sqlite3.Connection) -> None:
    """Lay out a new ledger inside the caller's transaction."""
    _up_to(db, 0, VERSION)
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")


def upgrade(db: sqlite3.Connection, version: int) -> None:
    """Bring a ledger of an older version up to date, inside the caller's transaction."""
    _up_to(db, version, VERSION)


def _up_to(db: sqlite3.Connection, version: int, target: int) -> None:
    for step in range(version + 1, target + 1):
        for statement in _STEPS[step]:
            db.execute(statement)
        there = guards(step - 1) if step > 1 else {}
        for name, statement in guards(step).items():
            if name not in there:
                db.execute(statement)
    db.execute(f"PRAGMA user_version = {target}")


_STEP_1 = (
    """CREATE TABLE rubric (
        hash TEXT PRIMARY KEY CHECK (length(hash) = 64),
        body TEXT NOT NULL
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE facts (
        hash TEXT PRIMARY KEY CHECK (length(hash) = 64),
        body TEXT NOT NULL
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE review (
        seq INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE CHECK (length(id) = 64),
        body TEXT NOT NULL
    ) STRICT""",
    """CREATE TABLE entry (
        review INTEGER PRIMARY KEY REFERENCES review (seq),
        release TEXT NOT NULL,
        title TEXT NOT NULL,
        released_on TEXT NOT NULL,
        class TEXT NOT NULL,
        log_price TEXT NOT NULL,
        product_format TEXT NOT NULL,
        stage TEXT NOT NULL,
        published_on TEXT NOT NULL,
        recorded_at TEXT NOT NULL,
        rubric TEXT NOT NULL REFERENCES rubric (hash),
        facts TEXT NOT NULL REFERENCES facts (hash),
        grade INTEGER,
        lowest INTEGER,
        highest INTEGER,
        unknown_points INTEGER NOT NULL,
        applying_points INTEGER NOT NULL,
        withdrawn INTEGER NOT NULL CHECK (withdrawn IN (0, 1))
    ) STRICT""",
    "CREATE INDEX entry_release ON entry (release, published_on)",
    """CREATE TABLE score (
        review INTEGER NOT NULL REFERENCES review (seq),
        criterion TEXT NOT NULL,
        score INTEGER CHECK (score BETWEEN 0 AND 100),
        basis TEXT NOT NULL,
        spread INTEGER NOT NULL,
        points INTEGER NOT NULL,
        PRIMARY KEY (review, criterion)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE superseded (
        review INTEGER NOT NULL REFERENCES review (seq),
        superseded TEXT NOT NULL REFERENCES review (id),
        PRIMARY KEY (review, superseded)
    ) STRICT, WITHOUT ROWID""",
    "CREATE INDEX superseded_by ON superseded (superseded)",
)
# where the reviews of another copy were added: after which review, what nothing follows since, what the other
# copy ended with, both as JSON lists of ids
_STEP_2 = (
    """CREATE TABLE merged (
        review INTEGER PRIMARY KEY REFERENCES review (seq),
        heads TEXT NOT NULL,
        others TEXT NOT NULL
    ) STRICT""",
)
# what was said of reviews afterwards, as canonical texts; `review` says again which one each is about
_STEP_3 = (
    """CREATE TABLE note (
        seq INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE CHECK (length(id) = 64),
        review TEXT NOT NULL REFERENCES review (id),
        body TEXT NOT NULL
    ) STRICT""",
)
# released steps are never edited; a new one gets the next number, and VERSION is raised
_STEPS = {1: _STEP_1, 2: _STEP_2, 3: _STEP_3}
