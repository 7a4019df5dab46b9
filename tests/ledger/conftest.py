"""What the tests of the ledger share: small reviews, and a ledger to put them in."""

from __future__ import annotations

import dataclasses
import importlib.util
import sys
from pathlib import Path
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


def add_to(ledger, **changes):
    """Record a review; as BASE but for the changes."""
    return ledger.append(dataclasses.replace(BASE, **changes), rubric=RUBRIC, facts=FACTS)


@pytest.fixture(scope="session")
def lab():
    """The module of faults, a way to record, and one to make a ledger with some reviews in a new folder."""
    path = Path(__file__).with_name("injected.py")
    spec = importlib.util.spec_from_file_location("injected", path)
    injected = importlib.util.module_from_spec(spec)
    sys.modules["injected"] = injected  # where its dataclass looks for its own names
    spec.loader.exec_module(injected)
    if injected.library() is None:
        pytest.skip("SQLite cannot be reached from outside here")

    def made(folder, number):
        folder.mkdir()
        ledger = Ledger(folder / "ledger.db")
        for one in range(number):
            add_to(ledger, reason_for_change=f"{one}")
        return ledger

    return SimpleNamespace(faults=injected, add=add_to, made=made)


@pytest.fixture(scope="session")
def base():
    """A review that the rubric and facts below belong to."""
    return BASE


@pytest.fixture
def book(tmp_path):
    """A ledger with three reviews of two releases, and a way to add more."""
    ledger = Ledger(tmp_path / "ledger.db")

    def add(ledger=ledger, **changes):
        return add_to(ledger, **changes)

    stored = [
        add(),
        add(release="oakum", title="Oakum", published_on="2031-04-01"),
        add(grade=500, published_on="2031-05-01", stage="settled"),
    ]
    return SimpleNamespace(
        ledger=ledger, path=ledger.path, add=add, stored=stored, rubric=RUBRIC, facts=FACTS
    )
