"""What a season's host says of people: its rookie class, and their own word on who is wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Annotated, Any, NamedTuple

from rating.errors import Problem
from rating.release.columns import Column, day, whole, words
from rating.release.tables import Table


class RookieRow(NamedTuple):
    """A member of the season's rookie class, from a day on; None is from its beginning."""

    subject: Annotated[str, Column("who it is, as checklists have the name", words(), required=True)]
    team: Annotated[str, Column("their team", words())]
    since: Annotated[
        date | None,
        Column(
            "the day from which they count; blank is from the season's beginning",
            day(blank=None, fix="write the date as 2030-10-01, or leave it blank"),
        ),
    ]
    row: int


class DemandRow(NamedTuple):
    """The host's own word on how much a subject is wanted, 0 to 100; None where the cell says no number."""

    subject: Annotated[str, Column("who it is, as checklists have the name", words(), required=True)]
    demand: Annotated[
        int | None,
        Column(
            "how much collectors want them, from 0 to 100",
            whole(low=0, high=100, fix="write a whole number from 0 to 100"),
            required=True,
        ),
    ]
    why: Annotated[str, Column("why the host says so", words(limit=500))]
    row: int


def _same_rookies(rows: Sequence[RookieRow], file: str) -> Iterator[Problem]:
    return _repeated(ROOKIES, rows, "duplicate-rookie", file)


def _same_subjects(rows: Sequence[DemandRow], file: str) -> Iterator[Problem]:
    return _repeated(DEMAND, rows, "duplicate-subject", file)


def _repeated(table: Table[Any], rows: Sequence[Any], code: str, file: str) -> Iterator[Problem]:
    for _, one in table.repeated(rows):
        if one.subject:
            what = f"{one.subject} stands twice"
            yield Problem(code=code, file=file, row=one.row, what=what, fix="take one of the rows out")


ROOKIES = Table(
    file="rookies.csv",
    about="a member of the season's rookie class",
    nouns=("rookie", "rookies"),
    row=RookieRow,
    key=("subject",),
    problems=_same_rookies,
    is_usable=lambda one: bool(one.subject),
)
DEMAND = Table(
    file="demand.csv",
    about="the host's own rating of how wanted somebody is",
    nouns=("subject", "subjects"),
    row=DemandRow,
    key=("subject",),
    problems=_same_subjects,
    is_usable=lambda one: bool(one.subject) and one.demand is not None,
)
