"""Data frames for notebooks; columns are called as in the JSON and CSV that the commands give.

Missing numbers are missing, grades and points are points (not tenths), amounts are exact decimals.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields
from typing import Any

import pandas as pd

from rating import text
from rating.doubt.what_if import Outcome
from rating.errors import RatingError
from rating.facts.economics.value import DatedPrice, Economics
from rating.ledger.ledger import ScoreEntry
from rating.release.release import TABLES_BY_FIELD, Release
from rating.standings import Standing

_STANDING = (
    "release", "title", "rank", "class_rank", "price_class", "tied", "grade", "verdict", "stage", "partial",
    "ranked_apart", "movement", "released_on", "published_on", "review",
)  # fmt: skip
_SCORE = ("release", "criterion", "score", "points", "basis", "spread")
_TRIED = ("release", "title", "rank", "rank_before", "movement", "tied", "grade", "grade_before", "value")


def standings(rows: Iterable[Standing]) -> pd.DataFrame:
    """A ranking, one release a row."""
    frame = _frame(_STANDING, ([getattr(row, name) for name in _STANDING] for row in rows))
    frame = _whole(frame, "rank", "class_rank", "movement", "grade")
    frame["grade"] = frame["grade"] / 10
    return frame.rename(columns={"price_class": "class"})


def scores(rows: Sequence[Standing], scored: Mapping[int, Sequence[ScoreEntry]]) -> pd.DataFrame:
    """The recorded scores of some reviews, one score a row; `score` is missing where it is unknown."""
    frame = _frame(
        _SCORE,
        (
            (row.release, score.criterion, score.score, score.points / 10, score.basis, score.spread)
            for row in rows
            for score in scored[row.seq]
        ),
    )
    return _whole(frame, "score")


def tidy(release: Release, name: str) -> pd.DataFrame:
    """A tidy table of a release by the name of its file without ending; empty where there is no such file.

    Raises
    ------
    RatingError
        if a release has no table of this name
    """
    fields_by_name = {table.file.removesuffix(".csv"): field for field, table in TABLES_BY_FIELD.items()}
    if name not in fields_by_name:
        raise RatingError(
            f"a release has no table {text.printable(name)!r}", fix=f"name one of {', '.join(fields_by_name)}"
        )
    field = fields_by_name[name]
    return TABLES_BY_FIELD[field].frame(getattr(release, field) or ())


def prices(economics: Economics | None) -> pd.DataFrame:
    """The dated prices of a release's formats with what follows from them; None has no rows."""
    names = [field.name for field in fields(DatedPrice)]
    formats = economics.formats.items() if economics else ()
    return _frame(
        ("format", *names),
        ((key, *(getattr(line, name) for name in names)) for key, one in formats for line in one.prices),
    )


def tried(rows: Iterable[Outcome]) -> pd.DataFrame:
    """A ranking before and after a change, one release a row; `value` is what another rule makes of it."""
    frame = _frame(
        _TRIED,
        (
            (
                row.release,
                row.title,
                row.after,
                row.before,
                row.moved,
                row.after_tied,
                row.after_grade,
                row.before_grade,
                None if row.value is None else float(row.value),
            )
            for row in rows
        ),
    )
    frame = _whole(frame, "rank", "rank_before", "movement", "grade", "grade_before")
    for name in ("grade", "grade_before"):
        frame[name] = frame[name] / 10
    return frame


def _frame(columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> pd.DataFrame:
    return pd.DataFrame(list(rows), columns=list(columns))


def _whole(frame: pd.DataFrame, *names: str) -> pd.DataFrame:
    """The frame with some columns of whole numbers that may be missing."""
    return frame.astype(dict.fromkeys(names, "Int64"))
