"""Speed of the season's spine, as ratios of CPU time against a plain yardstick in the same run."""

from __future__ import annotations

import dataclasses
import os
import resource
import subprocess
import sys
import time

import pandas as pd
import pytest

from rating import standings
from rating.ledger.ledger import Ledger
from rating.release import CHECKLIST
from rating.season.season import Season


def in_child(code):
    """CPU seconds of a fresh interpreter."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run([sys.executable, "-c", code], check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def test_help_takes_at_most_twice_the_import_of_typer():
    """`boxwright --help` against `python -c "import typer"`."""
    pairs = [
        (in_child("from rating.cli import main; main(['--help'])"), in_child("import typer"))
        for _ in range(7)
    ]
    ours, theirs = (sorted(side)[3] for side in zip(*pairs, strict=True))
    print(f"\nhelp {ours:.3f} s, import typer {theirs:.3f} s: ratio {ours / theirs:.2f}")
    assert ours <= 2 * theirs


def test_a_checklist_of_50_000_rows_takes_at_most_five_times_pandas(ratio, tmp_path):
    """Into checked values, against `read_csv` of the same file as text."""
    rows = ["subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note"]
    rows += [
        f"Subset {n // 300},base,{n:05d},First{n % 501} Last{n * 7 % 2003},Team {n % 16},"
        f"{'yes' * (n % 7 == 0)},{'' if n % 3 else 99},,,,,"
        for n in range(50_000)
    ]
    path = tmp_path / "checklist.csv"
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    cards, problems = CHECKLIST.read(path)
    assert (len(cards), problems) == (50_000, [])
    del cards
    found = ratio(lambda: CHECKLIST.read(path), lambda: pd.read_csv(path, dtype=str, keep_default_na=False))
    assert found <= 5


@pytest.fixture
def one_review(sample_season):
    season = Season.open(sample_season)
    entry = season.recorded.current["halyard"]
    review = season.recorded.ledger.review(entry.id)
    return review, season.rubric.text, season.recorded.ledger.facts(entry.facts)


def test_an_append_takes_at_most_ten_durable_writes(ratio, one_review, tmp_path):
    """A review of 14 scores against one write of 8 KiB with fdatasync on the same disk.

    By the clock on the wall: both sides wait for the disk, which is what durable means.
    """
    review, rubric, facts = one_review
    ledger = Ledger(tmp_path / "ledger.db")
    ledger.append(review, rubric=rubric, facts=facts)
    handle = os.open(tmp_path / "plain", os.O_CREAT | os.O_WRONLY)
    block = os.urandom(8192)
    count = iter(range(10_000))

    def append():
        for _ in range(20):
            number = next(count)  # in turn over eighteen releases, as a season has
            one = dataclasses.replace(review, release=f"r{number % 18}", reason_for_change=f"no. {number}")
            ledger.append(one, rubric=rubric, facts=facts)

    def write():
        for _ in range(20):
            os.write(handle, block)  # at the end: what is appended is new on the disk, on both sides
            os.fdatasync(handle)

    try:
        found = ratio(append, write, clock=time.perf_counter)
    finally:
        os.close(handle)
    assert found <= 10


def test_standings_from_10_000_reviews_take_at_most_three_scans_of_the_scores(ratio, one_review, tmp_path):
    """Reading and ranking, against reading every row of the scores."""
    import sqlite3

    review, rubric, facts = one_review
    ledger = Ledger(tmp_path / "ledger.db")
    with ledger._writing() as db:
        from rating import review as reviews
        from rating.ledger import ledger as inside

        points = {one["key"]: one["points"] for one in __import__("json").loads(rubric)["criteria"]}
        db.execute("INSERT INTO rubric VALUES (?, ?)", (review.rubric, rubric))
        db.execute("INSERT INTO facts VALUES (?, ?)", (review.facts, facts))
        for seq in range(1, 10_001):
            other = dataclasses.replace(
                review, release=f"release-{seq % 400}", reason_for_change=str(seq), supersedes=(), heads=()
            )
            text = reviews.text_of(other)
            db.execute("INSERT INTO review VALUES (?, ?, ?)", (seq, reviews.hash_of(text), text))
            entry, scores, _ = inside._copies(seq, other, points)
            db.execute(f"INSERT INTO entry VALUES ({inside._marks(len(entry))})", entry)
            db.executemany("INSERT INTO score VALUES (?, ?, ?, ?, ?, ?)", scores)

    def rank():
        return standings.standings(ledger.entries(), {review.rubric: rubric})

    def scan():
        db = sqlite3.connect(tmp_path / "ledger.db")
        rows = db.execute("SELECT * FROM score").fetchall()
        db.close()
        return rows

    assert len(rank()) == 400
    assert len(scan()) == 140_000
    assert ratio(rank, scan) <= 3
