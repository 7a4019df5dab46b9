"""What is said of a review afterwards is kept beside it, alters no review, and cannot go missing unseen."""

from __future__ import annotations

import hashlib
import json
import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
import rfc8785

from rating.errors import RatingError
from rating.ledger import head, lines, schema
from rating.ledger.ledger import Ledger
from rating.ledger.notes import Note

AT = "2031-06-01T20:00:00Z"


def ids(ledger):
    return [entry.id for entry in ledger.entries()]


def say(ledger, review, says="The box was opened on camera.", at=AT):
    return ledger.note(Note(review=review, says=says, noted_at=at))


def said(ledger):
    return {one.says for told in ledger.notes().values() for one in told}


@pytest.fixture
def noted(book):
    """A ledger with three reviews, the first of which has two notes."""
    first = ids(book.ledger)[0]
    book.notes = [say(book.ledger, first), say(book.ledger, first, "And the price was wrong.")]
    return book


def test_a_note_is_a_text_of_its_own_with_its_hash(noted):
    """Canonical by the independent package; it names the note before, and what the ledger ended with."""
    with closing(sqlite3.connect(noted.path)) as db:
        rows = db.execute("SELECT id, review, body FROM note ORDER BY seq").fetchall()
    first, second = (json.loads(body) for _, _, body in rows)
    for identity, about, body in rows:
        assert rfc8785.dumps(json.loads(body)) == body.encode()
        assert hashlib.sha256(body.encode()).hexdigest() == identity
        assert json.loads(body)["review"] == about == ids(noted.ledger)[0]
    assert (first["follows"], second["follows"]) == ([], [rows[0][0]])
    assert first["heads"] == [ids(noted.ledger)[-1]]
    assert [one.id for one in noted.notes] == [row[0] for row in rows]
    assert noted.ledger.verify() == []


def test_no_review_is_altered_and_the_next_one_follows_the_notes(noted):
    """A review after a note names it; one before any note has no such key."""
    assert [noted.ledger.review(one) for one in ids(noted.ledger)] == noted.stored
    later = noted.add(grade=1)
    assert later.notes == (noted.notes[1].id,)
    with closing(sqlite3.connect(noted.path)) as db:
        bodies = [json.loads(row[0]) for row in db.execute("SELECT body FROM review ORDER BY seq")]
    assert ["notes" in one for one in bodies] == [False, False, False, True]
    assert noted.ledger.review(ids(noted.ledger)[-1]) == later
    assert noted.ledger.verify() == []


def test_a_note_about_nothing_is_refused(noted):
    """And nothing is changed."""
    before = noted.path.read_bytes()
    with pytest.raises(RatingError, match="holds no review"):
        say(noted.ledger, "0" * 64)
    assert noted.path.read_bytes() == before


@pytest.mark.parametrize(
    ("statements", "told"),
    [
        (["UPDATE note SET body = replace(body, 'camera', 'stream') WHERE seq = 1"], "was altered"),
        (
            ["UPDATE note SET body = body || ' ', id = printf('%064d', 1) WHERE seq = 1"],
            "follows one that is not there",
        ),
        (["UPDATE note SET review = (SELECT id FROM review WHERE seq = 2) WHERE seq = 1"], "about a review"),
        (["DELETE FROM note WHERE seq = 1"], "is missing"),
        (["DELETE FROM note WHERE seq = 1", "UPDATE note SET seq = 1"], "follows one that is not there"),
        (["DELETE FROM note WHERE seq = 2"], "reviews are missing"),
        (["DELETE FROM note"], "ending with"),
        (["UPDATE note SET body = '[' WHERE seq = 2"], "is not a note"),
        (["UPDATE note SET body = replace(body, '\"says\"', '\"sayz\"') WHERE seq = 2"], "is not a note"),
        (["DROP TABLE note"], "the table note was removed"),
    ],
)
def test_what_was_altered_is_found(noted, statements, told):
    """With the guards taken away and put back."""
    with closing(sqlite3.connect(noted.path, isolation_level=None)) as db:
        for verb in ("update", "delete", "replace"):
            db.execute(f"DROP TRIGGER note_no_{verb}")
        for statement in statements:
            db.execute(statement)
        for verb in ("update", "delete", "replace") if "DROP TABLE note" not in statements else ():
            db.execute(schema.guards()[f"note_no_{verb}"])
    whats = [one.what for one in noted.ledger.verify()]
    assert any(told in what for what in whats), whats


def test_a_note_that_went_is_told_by_the_review_after_it_without_a_head(noted):
    """The head beside the ledger may be gone too."""
    noted.add(grade=1)
    head.beside(noted.path).unlink()
    with closing(sqlite3.connect(noted.path, isolation_level=None)) as db:
        db.execute("DROP TRIGGER note_no_delete")
        db.execute("DELETE FROM note WHERE seq = 2")
        db.execute(schema.guards()["note_no_delete"])
    assert any("follows a note that is not there" in one.what for one in noted.ledger.verify())


def test_a_ledger_that_lost_a_note_is_not_written_to(noted):
    """The head tells of it; merging the copy that has it makes the ledger whole."""
    short = noted.path.read_bytes()
    say(noted.ledger, ids(noted.ledger)[1], "A third.")
    whole = noted.ledger.content()
    noted.path.write_bytes(short)
    with pytest.raises(RatingError, match="and 3 notes, ending with"):
        noted.add(grade=1)
    assert noted.ledger.merge(whole).notes == (whole.notes[2].id,)
    noted.add(grade=1)
    assert noted.ledger.verify() == []


def test_notes_of_two_copies_are_joined(noted, tmp_path):
    """The union, whichever way and however often; the next note follows both."""
    other = Ledger(tmp_path / "other.db")
    shutil.copy(noted.path, other.path)
    say(noted.ledger, ids(noted.ledger)[1], "Here.")
    say(other, ids(noted.ledger)[1], "There.")
    mine, theirs = noted.ledger.content(), other.content()
    noted.ledger.merge(theirs)
    other.merge(mine)
    for ledger in (noted.ledger, other):
        assert said(ledger) == {
            "The box was opened on camera.",
            "And the price was wrong.",
            "Here.",
            "There.",
        }
        assert ledger.verify() == []
    assert head.read(noted.path).line == head.read(other.path).line
    assert noted.ledger.merge(other.content()).notes == ()
    last = say(noted.ledger, ids(noted.ledger)[2], "After both.")
    assert set(last.follows) == {mine.notes[2].id, theirs.notes[2].id}
    assert noted.ledger.verify() == []


def test_notes_go_with_lines_and_copies(noted, tmp_path):
    """Byte for byte through lines of JSON; a backup has them, and a restored ledger too."""
    told = "".join(lines.written(noted.ledger.content(), season_id=""))
    content, _ = lines.read(iter(told.encode().splitlines(keepends=True)), file="x.jsonl")
    made = Ledger(tmp_path / "made.db")
    made.merge(content)
    assert made.verify() == []
    assert "".join(lines.written(made.content(), season_id="")) == told
    copy = noted.ledger.back_up(tmp_path / "copy.db")
    say(noted.ledger, ids(noted.ledger)[0], "Later.")
    noted.ledger.restore(copy)
    assert said(noted.ledger) == {"The box was opened on camera.", "And the price was wrong."}
    assert noted.ledger.verify() == []
    say(noted.ledger, ids(noted.ledger)[0], "Later.")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda told: told[: told.rindex('{"note"')], "3 reviews and 1 notes"),
        (lambda told: told.replace('"says"', '"sayz"', 1), "canonical|other parts"),
        (
            lambda told: told.replace('"note":{"follows":[],"format":1', '"note":{"follows":[],"format":2'),
            "format 2",
        ),
        (lambda told: told.replace('"noted_at":"2031-06-01T20:00:00Z"', '"noted_at":7', 1), "not text"),
    ],
)
def test_lines_without_their_notes_are_refused(noted, change, told):
    """Cut short, or no notes any more."""
    whole = "".join(lines.written(noted.ledger.content(), season_id=""))
    with pytest.raises(RatingError, match=told):
        lines.read(iter(change(whole).encode().splitlines(keepends=True)), file="x.jsonl")


def test_a_ledger_of_the_version_before_has_no_notes_until_it_is_written_to(tmp_path):
    """It is read as it is; the first note brings it up to date."""
    path = tmp_path / "old.db"
    shutil.copy(Path(__file__).with_name("data") / "version-2.db", path)
    ledger = Ledger(path)
    assert ledger.notes() == {}
    note = say(ledger, ids(ledger)[0])
    assert ledger.notes() == {ids(ledger)[0]: (note,)}
    assert ledger.verify() == []


def test_a_head_says_each_letter_of_its_notes(noted):
    """A bit altered in any byte of the line is told."""
    path = head.beside(noted.path)
    content = path.read_bytes()
    for place in range(len(content)):
        altered = bytearray(content)
        altered[place] ^= 1
        path.write_bytes(altered)
        with pytest.raises(RatingError, match="damaged"):
            head.read(noted.path)
