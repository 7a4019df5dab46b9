"""The ledger only grows, gives back what it was given, and chains what it holds."""

from __future__ import annotations

import dataclasses
import json
import sqlite3
import unicodedata
from contextlib import closing

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rating import review as reviews
from rating import standings
from rating.errors import RatingError
from rating.ledger import schema
from rating.ledger.ledger import Ledger
from rating.review import Score

composed = st.text(st.characters(exclude_categories=("Cs",)), max_size=20).map(
    lambda text: unicodedata.normalize("NFC", text)
)


def opened(path):
    """A connection of somebody else, who knows nothing of our rules."""
    return closing(sqlite3.connect(path, isolation_level=None))


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(title=composed, reason=composed, grade=st.none() | st.integers(0, 1000), score=st.integers(0, 100))
def test_what_is_appended_comes_back(book, base, title, reason, grade, score):
    """Any text, any grade: the review by its id, with its copies, and the ledger verifies."""
    one = Score(criterion="design", score=score, basis="judged", reason=reason, spread=3)
    stored = book.add(title=title, grade=grade, scores=(one,), release="other")
    entry = book.ledger.entries()[-1]
    assert book.ledger.review(entry.id) == stored
    assert stored == dataclasses.replace(
        base,
        title=title,
        grade=grade,
        scores=(one,),
        release="other",
        supersedes=stored.supersedes,
        heads=stored.heads,
    )
    assert entry.id == reviews.hash_of(reviews.text_of(stored))
    assert (entry.title, entry.grade, entry.release) == (title, grade, "other")
    assert book.ledger.verify() == []


def test_the_stored_text_is_the_canonical_one(book):
    """Whole, uncompressed, and with the hash that names it: any program can check it."""
    with opened(book.path) as db:
        rows = db.execute("SELECT id, body FROM review ORDER BY seq").fetchall()
    assert [body for _, body in rows] == [reviews.text_of(one) for one in book.stored]
    assert [reviews.hash_of(body) for _, body in rows] == [identity for identity, _ in rows]
    assert json.loads(rows[0][1])["class"] == "middle"


def test_rubric_and_facts_are_stored_once(book):
    """Three reviews by one rubric keep one text of it."""
    with opened(book.path) as db:
        counts = [db.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in schema.TABLES]
    # rubric, facts, review, entry; design and finish of each review; one review superseded; never merged,
    # nothing noted
    assert counts == [1, 1, 3, 3, 6, 1, 0, 0]


def test_copies_hold_the_points_that_count(book):
    """Unknown points apply, points of what does not apply do not."""
    entry = book.ledger.entries()[0]
    assert (entry.unknown_points, entry.applying_points) == (400, 1000)
    scores = book.ledger.scores([1])[1]
    assert [(one.criterion, one.score, one.basis, one.spread, one.points) for one in scores] == [
        ("design", 62, "judged", 8, 600),
        ("finish", None, "", 0, 400),
    ]


ROWS = {
    "rubric": "VALUES ((SELECT hash FROM rubric), 'other')",
    "facts": "VALUES ((SELECT hash FROM facts), 'other')",
    "review": "SELECT seq, id, 'other' FROM review WHERE seq = 1",
    "entry": "SELECT 1, release, title, released_on, class, log_price, product_format, stage, published_on, "
    "recorded_at, rubric, facts, 999, lowest, highest, unknown_points, applying_points, withdrawn FROM entry "
    "WHERE review = 1",
    "score": "SELECT review, criterion, 99, basis, spread, points FROM score WHERE review = 1",
    "superseded": "SELECT * FROM superseded",
    "merged": "SELECT 1, '[]', '[]'",
    "note": "SELECT seq, id, review, 'other' FROM note",
}
SETS = {"rubric": "body = 'x'", "facts": "body = 'x'", "review": "body = 'x'", "entry": "grade = 1"}
SETS |= {"score": "score = 1", "superseded": "review = 1", "merged": "heads = ''", "note": "body = ''"}


@pytest.mark.parametrize("table", schema.TABLES)
@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE {table} SET {sets}",
        "UPDATE OR IGNORE {table} SET {sets}",
        "UPDATE OR REPLACE {table} SET {sets}",
        "DELETE FROM {table}",
        "INSERT OR REPLACE INTO {table} {rows}",
        "REPLACE INTO {table} {rows}",
        "INSERT INTO {table} {rows}",
    ],
)
def test_no_row_can_be_changed_deleted_or_replaced(book, table, statement):
    """By a connection that knows nothing of us: the database refuses, and every byte stays."""
    with opened(book.path) as db:  # or there would be no row to change
        db.execute("INSERT INTO merged VALUES (1, '[]', '[]')")
        db.execute("INSERT INTO note SELECT 1, id, id, '{}' FROM review WHERE seq = 1")
    before = book.path.read_bytes()
    with opened(book.path) as db, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        db.execute(statement.format(table=table, sets=SETS[table], rows=ROWS[table]))
    assert book.path.read_bytes() == before


def test_another_id_in_the_place_of_a_review_is_refused(book):
    """Neither its number nor its id can be taken."""
    with opened(book.path) as db:
        for values in ("(1, printf('%064d', 7), 'x')", "(9, (SELECT id FROM review WHERE seq = 1), 'x')"):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                db.execute(f"INSERT OR REPLACE INTO review VALUES {values}")
    assert book.ledger.verify() == []


def test_a_review_supersedes_the_current_one_of_its_release_alone(book):
    """And the heads are the id that the ledger ended with."""
    ids = [entry.id for entry in book.ledger.entries()]
    assert [one.heads for one in book.stored] == [(), (ids[0],), (ids[1],)]
    assert [one.supersedes for one in book.stored] == [(), (), (ids[0],)]


def test_a_withdrawal_does_not_bring_the_older_review_back(book):
    """It supersedes the current one; a review after it supersedes the withdrawal."""
    gone = book.add(withdrawn=True, reason_for_change="A misprint.", published_on="2031-06-01")
    ids = [entry.id for entry in book.ledger.entries()]
    assert gone.supersedes == (ids[2],)
    assert list(standings.current(book.ledger.entries())) == ["oakum"]
    again = book.add(published_on="2031-06-02")
    assert again.supersedes == (ids[3],)
    assert standings.current(book.ledger.entries())["halyard"].published_on == "2031-06-02"


def test_a_text_that_is_not_the_one_named_is_a_wrong_call(book, base):
    """Nothing is stored under a hash that is not its own."""
    for texts in ({"rubric": book.rubric + " ", "facts": book.facts}, {"rubric": book.rubric, "facts": "{}"}):
        with pytest.raises(ValueError, match="does not have the hash"):
            book.ledger.append(base, **texts)
    assert len(book.ledger.entries()) == 3


@pytest.mark.parametrize("score", [101, -1])
def test_a_score_off_the_scale_leaves_nothing_behind(book, score):
    """The database holds it back although the review and its entry were written before it."""
    before = book.path.read_bytes()
    with pytest.raises(RatingError):
        book.add(scores=(Score(criterion="design", score=score, basis="judged", reason="x", spread=1),))
    assert book.path.read_bytes() == before
    assert book.ledger.verify() == []


def test_what_is_not_there_is_told(book, tmp_path):
    """An unknown id, and a ledger that is not there yet."""
    with pytest.raises(RatingError, match="holds no review 000000000000"):
        book.ledger.review("0" * 64)
    with pytest.raises(RatingError, match="holds no rubric"):
        book.ledger.rubric("0" * 64)
    none = Ledger(tmp_path / "none.db")
    assert none.entries() == []
    assert none.scores([]) == {}
    assert not none.exists
    with pytest.raises(RatingError, match="no ledger yet"):
        none.review("0" * 64)
    assert not (tmp_path / "none.db").exists()


@pytest.mark.parametrize("name", ["a b", "100 %41", "what?", "a#b", "Núñez"])
def test_the_folder_may_be_called_anything(tmp_path, base, book, name):
    """Marks that mean something in an address are only letters in a folder's name."""
    folder = tmp_path / name
    folder.mkdir()
    ledger = Ledger(folder / "ledger.db")
    ledger.append(base, rubric=book.rubric, facts=book.facts)
    assert sorted(one.name for one in folder.iterdir()) == ["ledger.db", "ledger.head"]
    assert len(ledger.entries()) == 1


def test_at_rest_it_is_one_file_whatever_another_program_set(book):
    """Set to write-ahead by somebody, it is back to one file with the next use; its marks stay."""
    with opened(book.path) as db:
        assert db.execute("PRAGMA journal_mode = WAL").fetchone() == ("wal",)
        db.execute("SELECT * FROM review").fetchall()
    book.add(grade=1)
    assert sorted(one.name for one in book.path.parent.iterdir()) == ["ledger.db", "ledger.head"]
    head = book.path.read_bytes()[:100]
    assert (
        head[18:20] == b"\x01\x01"
    )  # https://www.sqlite.org/fileformat.html, 1.3.3: 1 is the rollback journal
    assert head[68:72] == b"BxWr"  # 1.3.14: application id
    assert int.from_bytes(head[60:64]) == schema.VERSION  # 1.3.10: user version
