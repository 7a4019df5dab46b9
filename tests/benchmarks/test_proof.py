"""Speed of a proof over ten thousand reviews, as a ratio to hashing what it must hash."""

from __future__ import annotations

import hashlib
import json
import sqlite3

import pytest

from rating import review as reviews
from rating.season import proving
from rating.season.files import SeasonFiles
from rating.season.season import Season

MANY = 10_000


@pytest.fixture
def large(own_season):
    """The sample season with ten thousand reviews in its ledger: what is in it, again and again."""
    with sqlite3.connect(own_season / "ledger.db") as db:
        bodies = [row[0] for row in db.execute("SELECT body FROM review ORDER BY seq")]
        for number in range(MANY - len(bodies)):
            plain = json.loads(bodies[number % len(bodies)]) | {"release": f"r{number}", "supersedes": []}
            text = reviews.canonical(plain)
            db.execute("INSERT INTO review (id, body) VALUES (?, ?)", (reviews.hash_of(text), text))
    db.close()
    return own_season


def test_a_proof_of_ten_thousand_reviews_takes_at_most_five_times_its_hashes(ratio, large, tmp_path):
    """Against SHA-256 of as many leaves and nodes; measured 2.8, 45 to 60 ms where those take 16 to 20."""
    files = SeasonFiles(large)
    today = Season.open(large).today
    target = tmp_path / "halyard-proof.json"

    def hashes():
        for number in range(2 * MANY):
            hashlib.sha256(b"\1" + number.to_bytes(64, "big")).digest()

    found = ratio(lambda: proving.prove(files, "halyard", target, today=today), hashes)
    assert json.loads(target.read_bytes())["reviews"] == MANY
    assert found <= 5
