"""Copies that went on apart become one ledger again; copies are made, put back, and written as lines."""

from __future__ import annotations

import dataclasses
import json
import shutil
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

import pytest
import rfc8785
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from rating import review as reviews
from rating import standings
from rating.errors import RatingError
from rating.ledger import head, lines, schema
from rating.ledger.ledger import Ledger
from rating.ledger.merging import in_order
from rating.ledger.notes import Note

DATA = Path(__file__).with_name("data")


def ids(ledger):
    return [entry.id for entry in ledger.entries()]


def table(ledger):
    """The standings in short: place, release, grade and movement."""
    entries = ledger.entries()
    texts = {entry.rubric: ledger.rubric(entry.rubric) for entry in entries}
    return [(row.place, row.release, row.grade, row.moved) for row in standings.standings(entries, texts)]


def apart(book, folder):
    """Two copies of the ledger, each with reviews that the other lacks."""
    folder.mkdir()
    other = Ledger(folder / "ledger.db")
    shutil.copy(book.path, other.path)
    book.add(release="fen", title="Fen", grade=700, published_on="2031-06-01")
    book.add(release="halyard", grade=510, published_on="2031-06-02", recorded_at="2031-06-02T20:00:00Z")
    book.add(ledger=other, release="gale", title="Gale", grade=300, published_on="2031-06-01")
    book.add(ledger=other, release="halyard", grade=520, published_on="2031-06-03")
    return book.ledger, other


def test_a_merge_is_the_union_whichever_way_and_however_often(book, tmp_path):
    """Commutative, idempotent, and the same standings; each copy keeps its own order."""
    one, other = apart(book, tmp_path / "other")
    before, content = ids(one), other.content()
    others, back = ids(other), one.content()
    merged = one.merge(content)
    other.merge(back)
    assert sorted(ids(one)) == sorted({*before, *others}) == sorted(ids(other))
    assert len(merged.added) == 2
    assert table(one) == table(other)
    assert [row.id for row in one.content().reviews][: len(before)] == before
    assert [one.verify(), other.verify()] == [[], []]
    size = one.path.read_bytes()
    assert one.merge(other.content()).added == ()
    assert one.path.read_bytes() == size
    assert head.read(one.path) == head.read(other.path)


def test_three_copies_in_any_order_are_one(book, tmp_path):
    """Associative: (a + b) + c and a + (b + c)."""
    one, other = apart(book, tmp_path / "other")
    third = Ledger(tmp_path / "third.db")
    shutil.copy(other.path, third.path)
    book.add(ledger=third, release="kelp", title="Kelp", published_on="2031-06-04")
    made = []
    for number, order in enumerate(((one, other, third), (third, one, other), (other, third, one))):
        ledger = Ledger(tmp_path / f"made-{number}.db")
        shutil.copy(order[0].path, ledger.path)
        for copy in order[1:]:
            ledger.merge(copy.content())
        assert ledger.verify() == []
        made.append((ids(ledger), table(ledger)))
    assert made[0] == made[1] == made[2]


def test_two_successors_of_one_review_are_a_fork_until_one_follows_both(book, tmp_path):
    """Both are kept and named; the next review of the release supersedes both and follows both heads."""
    one, other = apart(book, tmp_path / "other")
    merged = one.merge(other.content())
    (fork,) = merged.forks
    assert fork.release == "halyard"
    assert {one.review(identity).grade for identity in fork.ids} == {510, 520}
    assert standings.current(one.entries())["halyard"].grade == 520  # published later
    assert len(merged.head.ids) == 2
    chosen = book.add(grade=515, published_on="2031-06-05", reason_for_change="We looked at it together.")
    assert sorted(chosen.supersedes) == sorted(fork.ids)
    assert sorted(chosen.heads) == sorted(merged.head.ids)
    assert (one.forks(), one.verify()) == ((), [])


def test_a_ledger_that_is_behind_its_head_is_made_whole_by_a_merge(book, tmp_path):
    """The reviews that went missing come in again, and writing goes on."""
    older = book.path.read_bytes()
    book.add(grade=1)
    whole = book.ledger.content()
    book.path.write_bytes(older)
    told = []
    ledger = dataclasses.replace(book.ledger, say=told.append)
    ledger.merge(dataclasses.replace(whole, reviews=whole.reviews[:3]))
    assert "reviews are missing" in told[0]  # still: the head bears witness
    ledger.merge(whole)
    book.add(grade=2)
    assert len(book.ledger.entries()) == 5
    assert book.ledger.verify() == []


def test_what_a_merge_recorded_is_verified(book, tmp_path):
    """Somebody alters what the ledger ended with."""
    one, other = apart(book, tmp_path / "other")
    one.merge(other.content())
    with closing(sqlite3.connect(one.path, isolation_level=None)) as db:
        db.execute("DROP TRIGGER merged_no_update")
        db.execute("UPDATE merged SET heads = '[]'")
        db.execute(schema.guards()["merged_no_update"])
    assert any("ended with after a merge was altered" in found.what for found in one.verify())


@pytest.mark.parametrize("number", range(20))
def test_the_order_of_all_copies_is_an_order_of_the_graph(number):
    """By enumeration: it is the first, by time and id, of what may come next; a chain keeps its own order."""
    import random

    chosen = random.Random(number)
    names = [f"{place}" for place in chosen.sample(range(100), 8)]
    follows = {name: chosen.sample(names[:place], min(place, 2)) for place, name in enumerate(names)}
    times = {name: str(chosen.randrange(3)) for name in names}
    found = []
    while len(found) < len(names):
        free = [name for name in names if name not in found and set(follows[name]) <= set(found)]
        found.append(min(free, key=lambda name: (times[name], name)))
    assert in_order(times, follows) == found
    chain = {name: [before] if before else [] for before, name in zip(["", *names], names, strict=False)}
    assert in_order(times, chain) == names


def written(ledger):
    return "".join(lines.written(ledger.content(), season_id=""))


def read(told):
    return lines.read(iter(told.encode().splitlines(keepends=True)), file="x.jsonl")[0]


def test_lines_read_back_byte_for_byte(book, tmp_path):
    """Each line is RFC 8785, by the independent package; the ledger made of them says the same lines."""
    for ledger in (book.ledger, *apart(book, tmp_path / "other")):
        told = written(ledger)
        for line in told.splitlines():
            assert rfc8785.dumps(json.loads(line)) == line.encode()
        again = Ledger(tmp_path / "again.db")
        again.path.unlink(missing_ok=True)
        head.beside(again.path).unlink(missing_ok=True)
        again.merge(read(told))
        assert written(again) == told
        assert ids(again) == ids(ledger)
        assert again.verify() == []


BAD_LINES = {
    "nothing": (lambda _: "", "cut short"),
    "half": (lambda told: told[: len(told) // 2], "cannot be read|canonical"),
    "without its last line": (lambda told: told[: told.rstrip().rindex("\n") + 1], "cut short"),
    "without its header": (lambda told: told.partition("\n")[2], "not the header"),
    "a key twice": (lambda told: told.replace('{"rubric":{', '{"rubric":{"format":1,', 1), "canonical"),
    "blanks": (lambda told: told.replace('{"facts":{', '{"facts": {', 1), "canonical"),
    "too deep": (lambda told: told + "[" * 50 + "]" * 50 + "\n", "deeper than"),
    "a letter": (lambda told: told + "Dear aunt\n", "cannot be read"),
    "another kind": (lambda told: told + '{"letter":{}}\n', "neither a rubric nor facts, a review or a note"),
    "an altered grade": (lambda told: told.replace('"grade":620', '"grade":999', 1), "cut short"),
    "a review without its rubric": (
        lambda told: "".join(
            one for one in told.splitlines(keepends=True) if not one.startswith('{"rubric"')
        ),
        "rubric or its facts are not",
    ),
}


@pytest.mark.parametrize("name", BAD_LINES)
def test_lines_that_are_none_are_refused_with_their_number(book, name):
    """Nothing of them is taken."""
    change, told = BAD_LINES[name]
    with pytest.raises(RatingError, match=told):
        read(change(written(book.ledger)))


def test_a_line_without_end_is_refused(book, monkeypatch):
    """Before it is parsed."""
    monkeypatch.setattr(lines, "LINE_LIMIT", 300)
    with pytest.raises(RatingError, match="more than 300 bytes"):
        read(written(book.ledger))


def test_a_ledger_of_every_version_is_read_and_goes_on(book, tmp_path):
    """It is read as it is; the first review brings it up to date, after a copy."""
    for path in sorted(DATA.glob("version-*.db")):
        folder = tmp_path / path.stem
        folder.mkdir()
        shutil.copy(path, folder / "ledger.db")
        told = []
        ledger = Ledger(folder / "ledger.db", say=told.append)
        version = int(path.stem.partition("-")[2])
        assert [len(ledger.entries()), ledger.verify()] == [3, []]
        assert (folder / "ledger.db").read_bytes() == path.read_bytes()
        book.add(ledger=ledger, grade=1)
        assert [len(ledger.entries()), ledger.verify()] == [4, []]
        copies = list(folder.glob("backups/*"))
        if version < schema.VERSION:
            aside = f"as it was, it is ledger.version-{version}.db"
            assert told == [f"ledger.db is brought up to version {schema.VERSION}; {aside}"]
            assert Ledger(copies[0]).verify() == []
            assert len(Ledger(copies[0]).entries()) == 3
        else:
            assert (told, copies) == ([], [])


def test_a_copy_is_sound_and_is_put_back(book, tmp_path):
    """The ledger before is copied aside; the head says what the ledger has now."""
    copy = book.ledger.back_up(tmp_path / "copy.db")
    assert Ledger(copy).verify() == []
    assert ids(Ledger(copy)) == ids(book.ledger)
    book.add(grade=1)
    aside = book.ledger.restore(copy)
    assert [len(ids(book.ledger)), len(ids(Ledger(aside)))] == [3, 4]
    assert book.ledger.verify() == []
    book.add(grade=2)
    assert book.ledger.verify() == []


def test_an_altered_copy_is_not_put_back(book, tmp_path):
    """The ledger keeps every byte."""
    copy = book.ledger.back_up(tmp_path / "copy.db")
    content = bytearray(copy.read_bytes())
    content[content.index(b"Good.")] ^= 1
    copy.write_bytes(content)
    before = book.path.read_bytes()
    with pytest.raises(RatingError, match="not a sound copy"):
        book.ledger.restore(copy)
    assert book.path.read_bytes() == before


class Copies(RuleBasedStateMachine):
    """Two copies of a ledger against a plain model: which ids each holds."""

    def __init__(self):
        super().__init__()
        self.folder = tempfile.TemporaryDirectory(prefix="boxwright-", ignore_cleanup_errors=True)
        self.ledgers = [Ledger(Path(self.folder.name) / f"{name}.db") for name in "ab"]
        self.held = [set(), set()]
        self.saved = [None, None]
        self.day = 0

    def teardown(self):
        self.folder.cleanup()

    which = st.sampled_from((0, 1))

    @rule(
        which=which, release=st.sampled_from(("fen", "gale")), grade=st.integers(0, 1000), gone=st.booleans()
    )
    def record(self, which, release, grade, gone):
        self.day += 1
        one = dataclasses.replace(
            MACHINE["base"],
            release=release,
            grade=grade,
            withdrawn=gone,
            published_on=f"20{31 + self.day // 300}-01-01",
            recorded_at=f"{2031 + self.day}-01-01T00:00:00Z",
        )
        ledger = self.ledgers[which]
        stored = ledger.append(one, rubric=MACHINE["rubric"], facts=MACHINE["facts"])
        self.held[which].add(reviews.hash_of(reviews.text_of(stored)))

    @rule(which=which)
    def note(self, which):
        about = [one for one in self.held[which] if not one.startswith("note ")]
        if about:
            self.day += 1
            note = Note(review=min(about), says="Said later.", noted_at=f"{2031 + self.day}-01-01T00:00:00Z")
            self.held[which].add(f"note {self.ledgers[which].note(note).id}")

    @rule(which=which)
    def merge(self, which):
        other = self.ledgers[1 - which]
        if other.exists:
            self.ledgers[which].merge(other.content())
        self.held[which] |= self.held[1 - which]

    @rule(which=which)
    def back_up(self, which):
        if self.ledgers[which].exists:
            path = Path(self.folder.name) / f"copy-{which}.db"
            self.saved[which] = (self.ledgers[which].back_up(path), set(self.held[which]))

    @rule(which=which)
    def restore(self, which):
        if self.saved[which] is not None:
            path, held = self.saved[which]
            self.ledgers[which].restore(path)
            self.held[which] = set(held)

    @invariant()
    def each_holds_what_it_should(self):
        for ledger, held in zip(self.ledgers, self.held, strict=True):
            noted = {f"note {one.id}" for told in ledger.notes().values() for one in told}
            assert {*ids(ledger), *noted} == held
            if held:
                assert ledger.verify() == []
        if self.held[0] == self.held[1] and self.held[0]:
            assert table(self.ledgers[0]) == table(self.ledgers[1])


MACHINE = {}


def run_machine(book, base, runs):
    from hypothesis.stateful import run_state_machine_as_test

    MACHINE.update(base=base, rubric=book.rubric, facts=book.facts)
    chosen = settings(
        max_examples=runs, stateful_step_count=12, deadline=None, derandomize=True, database=None
    )
    run_state_machine_as_test(Copies, settings=chosen)


@pytest.mark.trial(seed=19, few=8, full=2000)
def test_copies_keep_to_a_plain_model(trial, book, base):
    """Record, withdraw, note, merge, back up and restore in any order."""
    run_machine(book, base, trial.count)


def test_two_reviews_of_one_day_stand_alike_in_both_copies(tmp_path, book):
    """Their numbers in the copies differ; the later recorded one counts on either side."""
    one, other = Ledger(tmp_path / "one.db"), Ledger(tmp_path / "two.db")
    book.add(ledger=one, grade=1, recorded_at="2031-03-12T20:00:00Z")
    book.add(ledger=other, grade=2, recorded_at="2031-03-12T21:00:00Z")
    first, second = one.content(), other.content()
    one.merge(second)
    other.merge(first)
    assert [standings.current(ledger.entries())["halyard"].grade for ledger in (one, other)] == [2, 2]
    assert table(one) == table(other)
