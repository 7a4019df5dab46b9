"""Boxwright: turn a trading-card release into facts, a reasoned grade and a place in its season.

    season = rating.open_season("demo-season")
    season.standings()                    # a pandas data frame, one release a row
    season.grade("halyard").graded.grade  # 619 is 61.9: whole tenths, exact

`rating.season.season.Season` lists all that a season gives.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rating import threads

if TYPE_CHECKING:
    from rating.season.season import Season

__all__ = ["open_season"]

threads.limit()


def open_season(path: str | Path) -> Season:
    """The season in a folder; its tables are pandas data frames, all else frozen values.

    Today is BOXWRIGHT_TODAY, else `today` in season.toml, else the clock in the season's zone.

    Raises
    ------
    rating.errors.RatingError
        if the folder holds no season, or its season.toml cannot be used; other files are read, and refused,
        when something is asked that needs them
    """
    from rating.season.season import Season  # kept out of start-up: it loads the plug-ins

    return Season.open(Path(path))
