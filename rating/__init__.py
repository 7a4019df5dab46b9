"""Boxwright: turn a trading-card release into facts, a reasoned grade and a place in its season."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rating.season.season import Season

__all__ = ["open_season"]


def open_season(path: str | Path) -> Season:
    """The season in a folder, with its tables as pandas data frames.

    Raises
    ------
    rating.errors.RatingError
        if the folder holds no season, or its season.toml or rubric.toml cannot be used
    """
    from rating.season.season import Season  # kept out of start-up: it loads the plug-ins

    return Season.open(Path(path))
