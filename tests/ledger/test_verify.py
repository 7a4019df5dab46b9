"""Verify finds what somebody altered, however they went about it, and never falls over it."""

from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from rating import review as reviews
from rating.ledger import schema


def tamper(path, *statements):
    """Take the guards away, alter, and put the guards back as they were."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.create_function("sha", 1, reviews.hash_of)
        for name in schema.guards():
            db.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            db.execute(statement)
        for statement in schema.guards().values():
            db.execute(statement)


def whats(ledger):
    """What verify says, in one text."""
    found = ledger.verify()
    assert all(
        (one.code, one.file, one.severity) == ("ledger-altered", "ledger.db", "error") for one in found
    )
    return " | ".join(one.what for one in found)


def test_a_sound_ledger_has_nothing_to_tell(book):
    """Also after the guards were taken away and put back without a change."""
    assert book.ledger.verify() == []
    tamper(book.path)
    assert book.ledger.verify() == []


ENTRY_COLUMNS = ["release", "title", "released_on", "class", "log_price", "product_format", "stage"]
ENTRY_COLUMNS += ["published_on", "recorded_at"]


@pytest.mark.parametrize("column", ENTRY_COLUMNS)
def test_a_copied_text_that_was_altered_is_found(book, column):
    """Every text that standings reads is compared with the review itself."""
    tamper(book.path, f"UPDATE entry SET {column} = 'x' WHERE review = 2")
    assert "copied values of the review" in whats(book.ledger)
    assert [one.row for one in book.ledger.verify()] == [2]


@pytest.mark.parametrize(
    "column", ["grade", "lowest", "highest", "unknown_points", "applying_points", "withdrawn"]
)
def test_a_copied_number_that_was_altered_is_found(book, column):
    """The same for numbers."""
    tamper(book.path, f"UPDATE entry SET {column} = 1 WHERE review = 2")
    assert "copied values of the review" in whats(book.ledger)


@pytest.mark.parametrize("column", ["score", "spread", "points"])
def test_a_copied_score_that_was_altered_is_found(book, column):
    """Score, spread and points."""
    tamper(book.path, f"UPDATE score SET {column} = 1 WHERE review = 2 AND criterion = 'design'")
    assert "copied scores of the review" in whats(book.ledger)


@pytest.mark.parametrize(
    ("statements", "told"),
    [
        (["UPDATE review SET body = replace(body, '620', '999') WHERE seq = 1"], "was altered"),
        # with its id forged as well, the copies and the review that follows give it away
        (
            [
                "PRAGMA foreign_keys = OFF",
                "UPDATE review SET body = replace(body, '\"grade\":620', '\"grade\":999') WHERE seq = 1",
                "UPDATE review SET id = sha(body) WHERE seq = 1",
                "UPDATE entry SET grade = 999 WHERE review = 1",
            ],
            "follows one that is not there",
        ),
        (
            ["UPDATE review SET body = body || ' ', id = sha(body || ' ') WHERE seq = 3"],
            "not in its canonical form",
        ),
        (["UPDATE review SET body = '{' WHERE seq = 3"], "not a review"),
        (["UPDATE review SET body = '[' WHERE seq = 3"], "not a review"),
        (["UPDATE review SET body = printf('%.*c', 90000, '[') WHERE seq = 3"], "not a review"),
        (
            ["UPDATE review SET body = replace(body, ':500', ':50.0') WHERE seq = 3"],
            "holds what no review holds",
        ),
        (
            ["UPDATE review SET body = replace(body, ':62,', ':[62],') WHERE seq = 3"],
            "copied scores",
        ),
        (
            ["UPDATE review SET body = replace(body, '\"format\":1', '\"format\":2') WHERE seq = 3"],
            "format 2",
        ),
        (["UPDATE rubric SET body = body || ' '"], "the rubric"),
        (["UPDATE rubric SET body = '{'"], "the rubric"),
        (["UPDATE rubric SET body = replace(body, '600', '601')"], "the rubric"),
        (["UPDATE facts SET body = '{}'"], "the facts"),
        (["PRAGMA foreign_keys = OFF", "DELETE FROM facts"], "the rubric or the facts of the review"),
        (["PRAGMA foreign_keys = OFF", "DELETE FROM rubric"], "the rubric or the facts of the review"),
        (["DELETE FROM superseded"], "copied links"),
        (
            ["PRAGMA foreign_keys = OFF", "UPDATE score SET review = 9 WHERE review = 3"],
            "copies of a review 9 that is not there",
        ),
        (
            ["PRAGMA foreign_keys = OFF", "UPDATE score SET review = 0 WHERE review = 1"],
            "copies of a review 0 that is not there",
        ),
        (["DELETE FROM score WHERE review = 3"], "copied scores"),
        (["DELETE FROM entry WHERE review = 3"], "3 reviews but 2 copies"),
        (["INSERT INTO review VALUES (4, sha('x'), 'x')"], "not a review"),
        (
            ["INSERT INTO rubric VALUES (sha('x'), 'x')", "UPDATE entry SET rubric = sha('x')"],
            "copied values",
        ),
        (
            [
                "PRAGMA foreign_keys = OFF",
                *(f"DELETE FROM {table} WHERE review = 2" for table in ("score", "superseded", "entry")),
                "DELETE FROM review WHERE seq = 2",
            ],
            "reviews 2 to 2 are missing",
        ),
        # the same with the numbers closed up: the chain of heads is broken
        (
            [
                "PRAGMA foreign_keys = OFF",
                *(f"DELETE FROM {table} WHERE review = 2" for table in ("score", "superseded", "entry")),
                "DELETE FROM review WHERE seq = 2",
                "UPDATE review SET seq = 2 WHERE seq = 3",
                *(
                    f"UPDATE {table} SET review = 2 WHERE review = 3"
                    for table in ("score", "superseded", "entry")
                ),
            ],
            "follows one that is not there",
        ),
        (["PRAGMA foreign_keys = OFF", "DELETE FROM review WHERE seq = 3"], "a reference leads nowhere"),
    ],
)
def test_what_was_altered_is_found(book, statements, told):
    """Although the guards are back in their places."""
    tamper(book.path, *statements)
    assert told in whats(book.ledger)


@pytest.mark.parametrize("name", schema.guards())
def test_each_missing_guard_is_named(book, name):
    """Somebody took it away, and may be about to alter."""
    with closing(sqlite3.connect(book.path)) as db:
        db.execute(f"DROP TRIGGER {name}")
    assert whats(book.ledger) == f"the guard {name} was removed"


def test_a_guard_that_guards_nothing_is_found(book):
    """One of the right name that does nothing, and one of another name."""
    with closing(sqlite3.connect(book.path)) as db:
        db.execute("DROP TRIGGER entry_no_update")
        db.execute("CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT 1; END")
        db.execute("CREATE TRIGGER helper AFTER INSERT ON entry BEGIN SELECT 1; END")
    assert (
        whats(book.ledger)
        == "the guard entry_no_update was altered | the trigger helper does not belong here"
    )


def test_a_damaged_page_is_found(book):
    """The page of the reviews overwritten with nonsense: told as damage, without a traceback."""
    with closing(sqlite3.connect(book.path)) as db:
        root = db.execute("SELECT rootpage FROM sqlite_master WHERE name = 'review'").fetchone()[0]
        page = db.execute("PRAGMA page_size").fetchone()[0]
    content = bytearray(book.path.read_bytes())
    content[(root - 1) * page : root * page] = b"\x5a" * page
    book.path.write_bytes(content)
    assert whats(book.ledger) == "the ledger is damaged"


def test_a_damaged_index_is_found(book):
    """An index that no longer says what its table says: the database's own check tells it."""
    with closing(sqlite3.connect(book.path, isolation_level=None)) as db:
        db.execute("PRAGMA writable_schema = ON")
        other = "replace(sql, '(release, published_on)', '(release, stage)')"
        db.execute(f"UPDATE sqlite_master SET sql = {other} WHERE name = 'entry_release'")
    assert "the database is damaged" in whats(book.ledger)
