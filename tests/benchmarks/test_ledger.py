"""Speed of the ledger with 10,000 reviews of 14 scores, held against bare SQLite on the same disk."""

from __future__ import annotations

import dataclasses
import sqlite3
import statistics
import time
from contextlib import closing

import pytest

from rating import review as reviews
from rating import standings
from rating.ledger import schema
from rating.ledger.copies import copies, points_of
from rating.ledger.ledger import Ledger
from rating.review import PrintedDisclosure, Review, Score

NUMBER, RELEASES, KEYS = 10_000, 500, [f"criterion-{one:02}" for one in range(14)]
RUBRIC = reviews.canonical(
    {
        "criteria": [{"group": "all", "key": key, "points": 100, "scale": None} for key in KEYS],
        "format": 1,
        "verdicts": [{"from": 0, "words": "Look"}],
    }
)


def facts(number):
    return reviews.canonical(
        {"release": f"release-{number % RELEASES}", "price": f"{number}.25", "of": "x" * 900}
    )


def review(number):
    """Each of 500 releases in turn, reviewed twenty times."""
    reason = "$100 gets you 2.0 autographs, 48 % of those on the checklist signed on the card. "
    scores = tuple(
        Score(criterion=key, score=number % 101, basis="computed", reason=reason, spread=6, measure="1.855")
        for key in KEYS
    )
    day = f"{2031 + number // 5000}-{1 + number // 420 % 12:02}-{1 + number // 15 % 28:02}"
    return Review(
        season="Mine",
        release=f"release-{number % RELEASES}",
        title=f"Release {number % RELEASES}",
        released_on="2031-03-12",
        price_class="middle",
        log_price="5.10565",
        product_format="hobby",
        stage="launch",
        published_on=day,
        recorded_at=f"{day}T20:00:00Z",
        raters=("mo",),
        disclosure=PrintedDisclosure(how_obtained=("bought",), sentence="I bought it."),
        rubric=reviews.hash_of(RUBRIC),
        scores=scores,
        not_applicable=(),
        unknown=(),
        grade=number % 1001,
        lowest=number % 1001,
        highest=number % 1001,
        facts=reviews.hash_of(facts(number)),
    )


def bare(path):
    """The same tables, without guards, and nothing but the inserts."""
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA journal_mode = DELETE")
    db.execute("PRAGMA synchronous = EXTRA")
    db.execute("PRAGMA foreign_keys = ON")
    if not db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
        for kind, sql in schema.wanted().values():
            if kind != "trigger":
                db.execute(sql)
    return db


def insert(db, stored):
    """What recording a review puts into the tables, in one durable transaction."""
    plain = reviews.as_plain(stored)
    text = reviews.canonical(plain)
    db.execute("BEGIN IMMEDIATE")
    db.execute("INSERT OR IGNORE INTO rubric VALUES (?, ?)", (stored.rubric, RUBRIC))
    db.execute("INSERT OR IGNORE INTO facts VALUES (?, ?)", (stored.facts, facts(insert.number)))
    seq = db.execute("INSERT INTO review (id, body) VALUES (?, ?)", (reviews.hash_of(text), text)).lastrowid
    entry, scores, superseded = copies(seq, plain, points_of(RUBRIC))
    db.execute(f"INSERT INTO entry VALUES ({', '.join('?' * len(entry))})", entry)
    db.executemany("INSERT INTO score VALUES (?, ?, ?, ?, ?, ?)", scores)
    db.executemany("INSERT INTO superseded VALUES (?, ?)", superseded)
    db.execute("COMMIT")


@pytest.fixture(scope="module")
def full(tmp_path_factory):
    """A ledger of 10,000 reviews, made in one transaction by merging what a smaller way of adding gives."""
    from rating.ledger.merging import Content, Stored

    ledger = Ledger(tmp_path_factory.mktemp("full") / "ledger.db")
    stored, last, heads = [], {}, ()
    for number in range(NUMBER):
        one = dataclasses.replace(review(number), heads=heads, supersedes=last.get(number % RELEASES, ()))
        text = reviews.text_of(one)
        identity = reviews.hash_of(text)
        stored.append(Stored(identity, text))
        last[number % RELEASES] = heads = (identity,)
    texts = {reviews.hash_of(facts(number)): facts(number) for number in range(NUMBER)}
    ledger.merge(Content({reviews.hash_of(RUBRIC): RUBRIC}, texts, tuple(stored)))
    return ledger


def medians(number, *sides):
    """Seconds of wall time of each side, called in turn so that the disk treats them alike: medians."""
    taken = [[] for _ in sides]
    for one in range(number):
        for place, side in enumerate(sides):
            start = time.perf_counter()
            side(one)
            taken[place].append(time.perf_counter() - start)
    return [statistics.median(each) for each in taken]


def test_an_append_costs_what_its_inserts_cost(tmp_path, benchmark):
    """At most 1.3 times bare SQLite, which makes the same durable inserts on the same disk."""
    ledger = Ledger(tmp_path / "ledger.db")
    theirs = tmp_path / "bare.db"

    def ours(one):
        ledger.append(review(one), rubric=RUBRIC, facts=facts(one))

    def bare_sqlite(one):
        insert.number = one
        with closing(bare(theirs)) as db:
            insert(db, review(one))

    mine, bare_s = medians(60, ours, bare_sqlite)
    benchmark.extra_info["ratio"] = mine / bare_s
    benchmark.pedantic(lambda: None, rounds=1)
    print(f"\n{mine * 1000:.2f} ms against {bare_s * 1000:.2f} ms: ratio {mine / bare_s:.2f}")
    assert mine <= 1.3 * bare_s


def test_an_append_costs_the_same_however_many_there_are(full, tmp_path, benchmark):
    """To a ledger of 10,000 reviews, against an empty one: at most half as much again."""
    fresh = Ledger(tmp_path / "ledger.db")

    def to(ledger, first):
        return lambda one: ledger.append(review(first + one), rubric=RUBRIC, facts=facts(first + one))

    many, few = medians(30, to(full, NUMBER), to(fresh, NUMBER))
    benchmark.extra_info["ratio"] = many / few
    benchmark.pedantic(lambda: None, rounds=1)
    print(f"\n{many * 1000:.2f} ms against {few * 1000:.2f} ms: ratio {many / few:.2f}")
    assert many <= 1.5 * few


def test_standings_cost_less_than_three_scans_of_the_scores(full, ratio):
    """All of `score` read by bare SQLite, against the ranking of 500 releases by 10,000 reviews."""

    def ranked():
        entries = full.entries()
        texts = {entry.rubric: full.rubric(entry.rubric) for entry in entries[:1]}
        assert len(standings.standings(entries, texts)) == RELEASES

    def scanned():
        with closing(sqlite3.connect(full.path)) as db:
            assert len(db.execute("SELECT * FROM score").fetchall()) >= NUMBER * len(KEYS)

    assert ratio(ranked, scanned) <= 3


def test_five_thousand_reviews_a_second_are_verified(full, benchmark):
    """Whole: pages, guards, texts, copies, order; the median of five times."""
    taken = []
    for _ in range(5):
        start = time.process_time()
        assert full.verify() == []
        taken.append(time.process_time() - start)
    took = statistics.median(taken)
    benchmark.extra_info["reviews_a_second"] = NUMBER / took
    benchmark.pedantic(lambda: None, rounds=1)
    print(f"\n{NUMBER / took:,.0f} reviews a second")
    assert NUMBER / took >= 5_000


def test_ten_thousand_reviews_take_sixty_megabytes(full, benchmark):
    """Without the texts of facts, which hang on the season."""
    benchmark.pedantic(lambda: None, rounds=1)
    size = full.path.stat().st_size - sum(len(facts(number)) for number in range(NUMBER))
    print(f"\n{size / 1e6:.1f} MB")
    assert size <= 60e6
