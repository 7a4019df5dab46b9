"""Cells of tables: text of a number, blank where there is none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Protocol

from rating import money, tenths, text
from rating.cli.shared import screen, tables


class Titled(Protocol):
    """Whatever stands for a release in a table."""

    @property
    def release(self) -> str:
        """Its folder's name."""

    @property
    def title(self) -> str:
        """Its full title."""


def names(rows: Sequence[Titled]) -> Mapping[str, str]:
    """The titles of releases by their folders' names, without the words that nearly all of them share."""
    return text.short_names({row.release: row.title for row in rows})


def nicknames(rows: Sequence[Titled]) -> Mapping[str, str]:
    """What releases are called for short: the words of the title that the slug has, else the slug."""
    short = {}
    for row in rows:
        known = set(row.release.split("-"))
        words = [word for word in row.title.split() if text.slug_of(word) in known]
        short[row.release] = " ".join(words) or row.release
    return short if len(set(short.values())) == len(short) else {name: name for name in short}


def of_releases(
    headers: Sequence[str],
    rows: Sequence[Sequence[object]],
    releases: Sequence[Titled],
    *,
    right: str,
    spare: Sequence[str] = (),
) -> None:
    """Print a table of releases, one a row, by their short titles, or by nicknames where those do not fit.

    Parameters
    ----------
    headers : with "release" where the names stand
    rows : their cells but for the names
    right, spare : as for `tables.table`
    """
    at = headers.index("release")

    def named(called: Mapping[str, str]) -> list[list[object]]:
        return [[*row[:at], called[one.release], *row[at:]] for row, one in zip(rows, releases, strict=True)]

    shown, room = named(names(releases)), screen.columns()
    if room is not None and tables.width(headers, shown) > room:
        shown = named(nicknames(releases))
    tables.table(headers, shown, right=right, spare=spare)


def grade(grade_tenths: int | None) -> str:
    """A grade with one place."""
    return "" if grade_tenths is None else tenths.show(grade_tenths)


def change(places: int | None) -> str:
    """Places gained, with their sign."""
    return f"{places:+d}" if places else ""


def amount(price: Decimal | None) -> str:
    """An amount of money."""
    return "" if price is None else money.show(price)


def chance(share: Decimal | None) -> str:
    """A chance as one says it."""
    return "" if share is None else tenths.share(share)
