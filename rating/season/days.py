"""Days: the one that counts as today, and the one that a text names."""

from __future__ import annotations

import os
from datetime import date, datetime

from rating import text
from rating.errors import RatingError
from rating.release.columns import read_day
from rating.season.settings.config import Config

TODAY_VARIABLE = "BOXWRIGHT_TODAY"


def today_of(config: Config) -> date:
    """BOXWRIGHT_TODAY, else today in season.toml, else the clock in the season's zone."""
    told = os.environ.get(TODAY_VARIABLE)
    if told:
        return day_from(told, where=TODAY_VARIABLE)
    return config.today or datetime.now(config.zone).date()


def day_from(written: str, *, where: str) -> date:
    """The day that a text such as 2031-07-15 names.

    Raises
    ------
    RatingError
        if it names none
    """
    try:
        return read_day(written)
    except ValueError:
        shown = text.printable(written[:40])
        raise RatingError(f"{shown!r} is not a date", where=where, fix="write it as 2031-07-15") from None
