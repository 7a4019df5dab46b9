"""The copied values of a review: rows that say again what its text says, for fast reading."""

from __future__ import annotations

import json
from collections.abc import Mapping
from operator import itemgetter
from typing import Any, NamedTuple


class Entry(NamedTuple):
    """The copied values of one review, enough to rank it. Grades and points are tenths, dates ISO text."""

    seq: int
    release: str
    title: str
    released_on: str
    price_class: str
    log_price: str
    product_format: str
    stage: str
    published_on: str
    recorded_at: str
    rubric: str
    facts: str
    grade: int | None
    lowest: int | None
    highest: int | None
    unknown_points: int
    applying_points: int
    withdrawn: int
    id: str


# the columns of the table `entry`; the id stands in `review`
_COLUMN_NAMES = {"seq": "review", "price_class": "class"}
ENTRY_COLUMNS = tuple(_COLUMN_NAMES.get(name, name) for name in Entry._fields if name != "id")
# those that the review's JSON has under the same name
_TOLD = tuple(
    name for name in ENTRY_COLUMNS if name not in {"review", "unknown_points", "applying_points", "withdrawn"}
)


class ScoreEntry(NamedTuple):
    """The copied value of one score; `score` None is unknown. Criteria that do not apply have none."""

    seq: int
    criterion: str
    score: int | None
    basis: str
    spread: int
    points: int


Row = tuple[Any, ...]


def copies(seq: int, plain: Mapping[str, Any], points: Mapping[str, int]) -> tuple[Row, list[Row], list[Row]]:
    """The rows of entry, score and superseded of a review in plain form, each in the order of its key.

    `points` are those of the review's rubric by criterion, in tenths.
    """
    scored, unknown = plain["scores"], plain["unknown"]
    scores: list[Row] = [
        (seq, key := one["criterion"], one["score"], one["basis"], one["spread"], points.get(key, 0))
        for one in scored
    ]
    open_ones: list[Row] = [
        (seq, key := one["criterion"], None, "", 0, points.get(key, 0)) for one in unknown
    ]
    open_points = sum(row[-1] for row in open_ones)
    applying = open_points + sum(row[-1] for row in scores)
    entry = (seq, *(plain[name] for name in _TOLD), open_points, applying, int(plain["withdrawn"]))
    scores = sorted(scores + open_ones, key=itemgetter(1))
    return entry, scores, [(seq, one) for one in sorted(plain["supersedes"])]


def points_of(rubric: str) -> dict[str, int]:
    """The points (tenths) of each criterion in a rubric's text, none where it is no rubric."""
    try:
        return {str(one["key"]): int(one["points"]) for one in json.loads(rubric)["criteria"]}
    except (KeyError, TypeError, ValueError, RecursionError):
        return {}
