"""exports/log.csv only grows, by whole rows, and is safe in a spreadsheet program."""

from __future__ import annotations

import csv
import hashlib
import io
import multiprocessing
import os
from datetime import UTC, datetime, timedelta, timezone

import pytest

from rating.errors import RatingError
from rating.season import handed

NOW = datetime(2031, 7, 15, 20, 0, 0, tzinfo=UTC)
HEAD = "ab" * 32
REVIEWS = ("c" * 64, "d" * 64)


def log(season, *names, to="Ada", now=NOW, reviews=REVIEWS):
    files = []
    for name in names or ("season.xlsx",):
        path = season / "exports" / "2031-07-15" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(name.encode())
        files.append(path)
    handed.log(season, files, to=to, head=HEAD, reviews=reviews, now=now)


def text_of(season):
    return handed.path_of(season).read_bytes()


def test_a_row_says_who_got_what(tmp_path):
    """The hash is that of the file; the moment is UTC whatever zone it came in; read back, it is the same."""
    log(tmp_path, "a.csv", "b.csv", now=NOW.astimezone(timezone(timedelta(hours=9))))
    rows = list(csv.DictReader(io.StringIO(text_of(tmp_path).decode())))
    assert rows[1] == {
        "at": "2031-07-15T20:00:00Z",
        "file": "exports/2031-07-15/b.csv",
        "sha256": hashlib.sha256(b"b.csv").hexdigest(),
        "receiver": "Ada",
        "head": HEAD,
        "reviews": " ".join(REVIEWS),
    }
    found, lost = handed.read(tmp_path)
    assert (len(found), lost) == (2, 0)
    assert found[0] == handed.Handed(rows[0]["at"], rows[0]["file"], rows[0]["sha256"], "Ada", HEAD, REVIEWS)


def test_what_lies_outside_of_the_season_is_told_whole(tmp_path):
    """A person chose another folder."""
    season, other = tmp_path / "mine", tmp_path / "x.csv"
    season.mkdir()
    other.write_bytes(b"")
    handed.log(season, [other], to="", head=HEAD, reviews=REVIEWS, now=NOW)
    assert handed.read(season)[0][0].file == other.resolve().as_posix()


@pytest.mark.parametrize(
    "name", ["=1+1", "+1", "-1", "@SUM(A1)", "=cmd|' /C calc'!A0", '=HYPERLINK("x")', "'quoted"]
)
def test_no_name_is_a_formula(tmp_path, name):
    """As OWASP says: an apostrophe before it; read back, the name is what was given."""
    log(tmp_path, to=handed.receiver(name))
    (_, row) = csv.reader(io.StringIO(text_of(tmp_path).decode()))
    assert not row[3].startswith(("=", "+", "-", "@"))
    assert handed.read(tmp_path)[0][0].receiver == name


@pytest.mark.parametrize("name", ["a\u202eb", "a\x00b", "x" * 201])
def test_a_name_that_cannot_be_kept_is_refused(name):
    """Invisible marks and novels."""
    with pytest.raises(RatingError, match="the name"):
        handed.receiver(name)
    assert handed.receiver("  Ada\n Finch ") == "Ada Finch"


@pytest.mark.parametrize("holder", [".~lock.log.csv#", "~$log.csv"])
def test_nothing_is_exported_while_a_spreadsheet_holds_the_log(tmp_path, holder):
    """It would save over what is added."""
    log(tmp_path)
    handed.hold_ready(tmp_path)
    (tmp_path / "exports" / holder).write_text("", encoding="utf-8")
    with pytest.raises(RatingError, match="has it open"):
        handed.hold_ready(tmp_path)


@pytest.mark.parametrize("tail", [b"2031-07-15T20:0", b'2031-07-15T20:00:00Z,x,y,z,h,"c', b"\n\n", b""])
def test_a_row_that_was_cut_off_spoils_no_other(tmp_path, tail):
    """The next row begins on a line of its own; what was there before stays byte for byte."""
    log(tmp_path)
    path = handed.path_of(tmp_path)
    whole = path.read_bytes()
    path.write_bytes(whole + tail)
    log(tmp_path, to="Bo")
    assert path.read_bytes().startswith(whole + tail)
    if b'"' not in tail:
        found, lost = handed.read(tmp_path)
        assert [one.receiver for one in found] == ["Ada", "Bo"]
        assert lost == bool(tail.strip())


@pytest.mark.parametrize("mark", [";", "\t"])
def test_what_a_spreadsheet_made_of_it_is_read(tmp_path, mark):
    """Another separator, a byte order mark, another order of columns, a column more, CRLF."""
    log(tmp_path)
    rows = list(csv.DictReader(io.StringIO(text_of(tmp_path).decode())))
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, ["reviews", *handed.COLUMNS[:-1], "mine"], delimiter=mark)
    writer.writeheader()
    writer.writerows([row | {"mine": "x"} for row in rows] + [{"at": "nonsense"}])
    handed.path_of(tmp_path).write_bytes(("\ufeff" + out.getvalue()).encode())
    found, lost = handed.read(tmp_path)
    assert [(one.receiver, one.reviews) for one in found] == [("Ada", REVIEWS)]
    assert lost == 1


def test_a_write_that_fails_leaves_the_log_as_it_was(tmp_path, monkeypatch):
    """The disk is full after the write: the rows are taken back."""
    log(tmp_path)
    before = text_of(tmp_path)

    def full(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RatingError, match="No space left"):
        log(tmp_path)
    assert text_of(tmp_path) == before


def _many(season, name):
    for number in range(20):
        log(season, f"{name}.csv", to=f"{name} {number}")


def test_exports_at_once_keep_all_rows(tmp_path):
    """Four writers of twenty rows: eighty whole rows, one header."""
    (tmp_path / "exports").mkdir()
    log(tmp_path, to="first")
    context = multiprocessing.get_context("fork")
    writers = [context.Process(target=_many, args=(tmp_path, name)) for name in "abcd"]
    for one in writers:
        one.start()
    for one in writers:
        one.join()
    found, lost = handed.read(tmp_path)
    assert lost == 0
    assert sorted(one.receiver for one in found) == sorted(
        ["first", *(f"{name} {number}" for name in "abcd" for number in range(20))]
    )


def test_which_exports_had_a_review(tmp_path):
    """By its whole id."""
    log(tmp_path, to="Ada", reviews=("e" * 64,))
    log(tmp_path, to="Bo", reviews=("e" * 64, "f" * 64))
    found, _ = handed.read(tmp_path)
    assert [one.receiver for one in handed.of_review(found, "f" * 64, place=1)] == ["Bo"]
    assert handed.of_review(found, "e" * 63, place=1) == []
    assert handed.read(tmp_path / "none") == ([], 0)


def test_the_whole_ledger_holds_its_first_reviews(tmp_path):
    """By their number; a backup that went to nobody was not handed out, and nonsense names nothing."""
    for file, to, reviews in (
        ("ledger.jsonl", "", handed.all_of(7)),
        ("ledger.jsonl", "Bo", handed.all_of(8)),
        ("ledger.jsonl", "Cy", ("all", "x")),
        ("ledger.jsonl", "Di", ("all",)),
        ("ledger.jsonl", "Ed", ("all", "9" * 5000)),
    ):
        log(tmp_path, file, to=to, reviews=reviews)
    copies = tmp_path / "backups"
    copies.mkdir()
    (copies / "ledger-1.db").write_bytes(b"")
    for to in ("", "Fay"):
        handed.log(tmp_path, [copies / "ledger-1.db"], to=to, head=HEAD, reviews=handed.all_of(8), now=NOW)
    found, lost = handed.read(tmp_path)
    assert lost == 0
    assert [one.receiver for one in handed.of_review(found, "f" * 64, place=7)] == ["", "Bo", "Fay"]
    assert [one.receiver for one in handed.of_review(found, "f" * 64, place=8)] == ["Bo", "Fay"]
    assert handed.of_review(found, "f" * 64, place=9) == []
