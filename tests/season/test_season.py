"""What a Python user gets from a season: every name is listed, tables are data frames, all else is frozen."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping
from datetime import UTC, date, datetime
from pathlib import Path

import pandas as pd
import pytest

import rating
from rating.doubt.landing import Landing, Move
from rating.doubt.ranges import Ranges
from rating.doubt.score_table import ScoreTable
from rating.doubt.stability import Stability
from rating.doubt.what_if import WhatIf
from rating.errors import RatingError
from rating.facts.breaks.value import Break
from rating.facts.context import Demand
from rating.facts.facts import Facts, KeptFacts
from rating.facts.section import Asked
from rating.review import Review
from rating.rubric.rubric import Rubric
from rating.season.beside import Beside
from rating.season.files import SeasonFiles
from rating.season.recorded import Recorded
from rating.season.recording import Draft
from rating.season.season import Season
from rating.season.settings.config import Config
from rating.standings import Restated, Standing

NOW = datetime(2031, 7, 15, 20, 0, tzinfo=UTC)
TABLES = {
    "standings": lambda season: season.standings(),
    "scores": lambda season: season.scores(),
    "what_if": lambda season: season.what_if(WhatIf(points={"design": 0})),
    "checklist": lambda season: season.checklist("halyard"),
    "tidy": lambda season: season.tidy("halyard", "sales"),
    "prices": lambda season: season.prices("halyard"),
}
# what each gives; of tuples and mappings what they hold
VALUES = {
    "path": (lambda season: season.path, Path),
    "today": (lambda season: season.today, date),
    "config": (lambda season: season.config, Config),
    "rubric": (lambda season: season.rubric, Rubric),
    "facts": (lambda season: season.facts("halyard"), Facts),
    "launch_facts": (lambda season: season.launch_facts("halyard"), KeptFacts),
    "demand": (lambda season: season.demand(), Demand),
    "sales_left_out": (lambda season: season.sales_left_out, str),
    "slots": (lambda season: season.slots("halyard"), Break),
    "grade": (lambda season: season.grade("halyard"), Draft),
    "overruled": (lambda season: season.overruled("halyard"), str),
    "place_of": (lambda season: season.place_of(season.grade("halyard")), Standing),
    "record": (lambda season: season.record(season.grade("halyard", stage="in-hand"), now=NOW), Review),
    "withdraw": (lambda season: season.withdraw("halyard", reason="Lost.", on=NOW.date(), now=NOW), Review),
    "rank": (lambda season: season.rank(), Standing),
    "restated": (lambda season: season.restated(), Restated),
    "last_show": (lambda season: season.last_show(as_of=date(2031, 7, 15)), date),
    "beside": (lambda season: season.beside(season.rank()), Beside),
    "table": (lambda season: season.table(), ScoreTable),
    "ranges": (lambda season: season.ranges(draws=100), Ranges),
    "placed": (lambda season: season.placed("halyard"), str),
    "stability": (lambda season: season.stability("halyard"), Stability),
    "landing": (lambda season: season.landing("halyard", draws=100), Landing),
    "moves": (lambda season: season.moves(date(2031, 5, 1), date(2031, 7, 1)), Move),
    "to_come": (lambda season: season.to_come(as_of=date(2030, 12, 1)), tuple),
    "not_reviewed": (lambda season: season.not_reviewed(as_of=date(2031, 4, 1)), str),
    "held_back": (lambda season: season.held_back(), date),
}
BEHIND = {"files": SeasonFiles, "recorded": Recorded}


@pytest.fixture
def season(own_season):
    return rating.open_season(own_season)


def is_frozen(value):
    """Whether a value cannot be changed: text, numbers, days, tuples of such, frozen data classes, facts."""
    if dataclasses.is_dataclass(value):
        return value.__dataclass_params__.frozen
    if isinstance(value, Asked):
        with pytest.raises(dataclasses.FrozenInstanceError):
            value.economics = None
        return True
    return isinstance(value, str | int | float | date | Path | tuple | None)


def listed(heading):
    """The names under a heading of the docstring, in their order."""
    block = re.search(rf"{heading}\n    -+\n(.*?)\n\n", f"{Season.__doc__}\n\n", re.DOTALL)[1]
    return [line.split()[0] for line in block.splitlines() if line.strip()]


def test_every_name_is_listed_where_it_belongs():
    """In the docstring, with what it gives; `open` makes a season."""
    assert listed("Tables") == list(TABLES)
    assert listed("Values") == list(VALUES)
    assert listed("What is behind it") == list(BEHIND)
    public = {name for name in vars(Season) if not name.startswith("_")} | {"today", "files"}
    assert public == {*TABLES, *VALUES, *BEHIND, "open"}


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_a_data_frame(season, name):
    """With rows, and a column for each thing that its first line says."""
    found = TABLES[name](season)
    assert type(found) is pd.DataFrame
    assert len(found)


@pytest.mark.parametrize("name", VALUES)
def test_all_else_is_a_frozen_value(season, name):
    """Or a tuple or mapping of such, of the kind that is listed above."""
    call, kind = VALUES[name]
    found = call(season)
    held = (found,)
    if isinstance(found, Mapping):
        held = tuple(found.values())
    elif type(found) is tuple:
        held = found
    assert all(isinstance(one, kind) for one in held)
    assert all(is_frozen(one) for one in held)


@pytest.mark.parametrize("name", BEHIND)
def test_what_is_behind_it_can_be_asked(season, name):
    """For what no method of the season gives."""
    assert isinstance(getattr(season, name), BEHIND[name])


def test_a_folder_that_is_no_season_is_refused(tmp_path):
    """With its file."""
    with pytest.raises(RatingError, match=r"season\.toml|no such|not there"):
        rating.open_season(tmp_path)
