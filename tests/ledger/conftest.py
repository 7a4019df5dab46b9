"""What the tests of the ledger share: small reviews, and a ledger to put them in."""

from __future__ import annotations

import dataclasses
from types import SimpleNamespace

import pytest

from rating import review as reviews
from rating.ledger.ledger import Ledger
from rating.review import PrintedDisclosure, Review, Score, Unscored

RUBRIC = reviews.canonical(
    {
        "criteria": [
            {"group": "look", "key": "design", "points": 600, "scale": None},
            {"group": "look", "key": "finish", "points": 400, "scale": None},
            {"group": "look", "key": "relics", "points": 200, "scale": None},
        ],
        "format": 1,
        "verdicts": [{"from": 0, "words": "Look"}],
    }
)
FACTS = reviews.canonical({"release": "halyard"})
BASE = Review(
    season="Mine",
    release="halyard",
    title="Halyard",
    released_on="2031-03-12",
    price_class="middle",
    log_price="5.10565",
    product_format="hobby",
    stage="launch",
    published_on="2031-03-12",
    recorded_at="2031-03-12T20:00:00Z",
    raters=("mo",),
    disclosure=PrintedDisclosure(how_obtained=("bought",), sentence="I bought it."),
    rubric=reviews.hash_of(RUBRIC),
    scores=(Score(criterion="design", score=62, basis="judged", reason="Good.", spread=8, rater="mo"),),
    not_applicable=(Unscored(criterion="relics", why="none by design"),),
    unknown=(Unscored(criterion="finish", why="not seen"),),
    grade=620,
    lowest=372,
    highest=772,
    facts=reviews.hash_of(FACTS),
)


@pytest.fixture(scope="session")
def base():
    """A review that the rubric and facts below belong to."""
    return BASE


@pytest.fixture
def book(tmp_path):
    """A ledger with three reviews of two releases, and a way to add more."""
    ledger = Ledger(tmp_path / "ledger.db")

    def add(ledger=ledger, **changes):
        return ledger.append(dataclasses.replace(BASE, **changes), rubric=RUBRIC, facts=FACTS)

    stored = [
        add(),
        add(release="oakum", title="Oakum", published_on="2031-04-01"),
        add(grade=500, published_on="2031-05-01", stage="settled"),
    ]
    return SimpleNamespace(
        ledger=ledger, path=ledger.path, add=add, stored=stored, rubric=RUBRIC, facts=FACTS
    )
