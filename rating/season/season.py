"""A season as a Python user sees it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rating.ledger.ledger import Entry, silent
from rating.season import days
from rating.season.files import SeasonFiles
from rating.season.recorded import Recorded

# what answers one question is loaded where that is asked: a ranking knows no facts, a look-up no ranking
if TYPE_CHECKING:
    import pandas as pd

    from rating.doubt.landing import Landing, Move
    from rating.doubt.ranges import Ranges
    from rating.doubt.score_table import ScoreTable
    from rating.doubt.stability import Stability
    from rating.doubt.what_if import WhatIf
    from rating.facts.breaks.value import Break
    from rating.facts.context import Demand
    from rating.facts.facts import Facts, KeptFacts
    from rating.raters import Judgement
    from rating.review import Review
    from rating.rubric.rubric import Rubric
    from rating.season.beside import Beside
    from rating.season.context.facts import SeasonFacts
    from rating.season.recording import Draft
    from rating.season.settings.config import Config
    from rating.standings import Restated, Standing


class Season:
    """A season folder, opened. Nothing is read before it is asked for, and each file is read once.

    A table is a pandas data frame with the columns of the JSON and CSV; all else is a frozen value, or a
    tuple or mapping of such. Where no day is given it is today.

    Tables
    ------
    standings       the ranking, one release a row
    scores          the scores behind it, one a row
    what_if         every release before and after a change of points, scores or the rule, one a row
    checklist       the cards of a release, one a row
    tidy            any table of a release as its file has it: parallels, odds, prices, sales, slots, opened
    prices          its dated prices with what follows from them, one a row

    Values
    ------
    path            the folder
    today           the day that counts as today
    config          what season.toml says
    rubric          what releases are graded by now
    facts           what is computed of a release
    launch_facts    the same as its last launch review stored it, None where there is none
    demand          how much subjects are wanted, by their names as compared; None where nothing says
    sales_left_out  the releases whose sales do not count towards demand, with why
    slots           a break of a release cut into slots; its `frame()` has one slot a row
    grade           the review of a release as it would be recorded now
    overruled       the remark on its scores by hand that lie far from the computed ones, '' without any
    place_of        the place that this would take, None where it has no grade
    record          the review as it was recorded, None where nothing is new
    withdraw        the review that takes a release out of the ranking
    rank            the ranking, one value a release
    restated        the same as published and by the rubric of today, one pair a release
    last_show       the day since which a ranking says what changed
    beside          what stands beside each grade of it, by release
    table           its scores, exactly, as questions of doubt take them
    ranges          how sure each place is; its `frame()` has one release a row
    placed          the release of a name, refused where it has no place; without a name the leader
    stability       how firm one place is, or the whole order
    landing         what moved when a release landed
    moves           what moved between two days, one value a release
    to_come         the releases to come, each with its day or None
    not_reviewed    the releases that are out and were never reviewed
    held_back       the releases under embargo, each with the day it ends

    What is behind it
    -----------------
    files           `SeasonFiles`: the rest of the folder, its sheets, releases and criterion modules
    recorded        `Recorded`: the ledger and its entries
    """

    def __init__(self, files: SeasonFiles, *, today: date) -> None:
        self.files, self.today = files, today

    @classmethod
    def open(cls, path: Path, *, today: date | None = None, say: Callable[[str], None] = silent) -> Season:
        """The season in a folder; `today` goes before BOXWRIGHT_TODAY, season.toml and the clock.

        `say` is told what the ledger has to say beside its answers.
        """
        files = SeasonFiles(path, say=say)
        return cls(files, today=today or days.today_of(files.config))

    @cached_property
    def _facts(self) -> SeasonFacts:
        from rating.season.context.facts import SeasonFacts

        return SeasonFacts(self.files)

    @property
    def path(self) -> Path:
        """The folder."""
        return self.files.path

    @property
    def config(self) -> Config:
        """What season.toml says."""
        return self.files.config

    @property
    def rubric(self) -> Rubric:
        """What releases are graded by now."""
        return self.files.rubric

    @property
    def recorded(self) -> Recorded:
        """The ledger."""
        return self.files.recorded

    # what is known of a release --------------------------------------------------------------------------

    def facts(self, slug: str, *, as_of: date | None = None) -> Facts:
        """What is computed of a release."""
        return self._facts.facts(slug, as_of or self.today)

    def launch_facts(self, slug: str, *, before: date | None = None) -> KeptFacts | None:
        """The facts of the last launch review up to a day, as it kept them; None where there is none."""
        from rating.facts.stored import loaded
        from rating.season.context import frozen

        kept = frozen.launch_facts(self.recorded, slug, until=before or self.today)
        return None if kept is None else loaded(kept, self.files.context)

    def demand(self, as_of: date | None = None) -> Mapping[str, Demand] | None:
        """How much subjects are wanted, by their names as compared; None where nothing says."""
        return self._facts.demand(as_of or self.today)

    @property
    def sales_left_out(self) -> Mapping[str, str]:
        """The releases whose sales do not count towards demand, with what is wrong in their files."""
        return self._facts.sales_left_out

    def slots(
        self,
        slug: str,
        *,
        packed: str = "",
        cases: int | None = 1,
        boxes: int | None = None,
        by: Sequence[str] = ("team",),
    ) -> Break:
        """A break of some cases, or boxes, of a release.

        Parameters
        ----------
        packed : the key of a format; the headline format where it is blank
        by : team, pair, division, subject or box, or a filter for each slot
        """
        from rating.season.slots import slots  # numpy is loaded where slots are asked for

        asked = self.files.release(slug).slots or ()
        return slots(
            self.facts(slug),
            self.rubric,
            asked,
            day=self.today,
            packed=packed,
            cases=cases,
            boxes=boxes,
            by=by,
        )

    def checklist(self, slug: str) -> pd.DataFrame:
        """The cards of a release."""
        from rating.season import frames

        return frames.tidy(self.files.release(slug), "checklist")

    def tidy(self, slug: str, name: str) -> pd.DataFrame:
        """A table of a release as its file has it: checklist, parallels, odds, prices, sales, slots, opened.

        Raises
        ------
        rating.errors.RatingError
            if a release has no table of this name
        """
        from rating.season import frames

        return frames.tidy(self.files.release(slug), name)

    def prices(self, slug: str) -> pd.DataFrame:
        """The dated prices of a release's formats with what follows from them."""
        from rating.facts.economics.value import Economics
        from rating.season import frames

        economics = self.facts(slug).economics
        return frames.prices(economics if isinstance(economics, Economics) else None)

    # reviews ---------------------------------------------------------------------------------------------

    def grade(
        self,
        slug: str,
        *,
        stage: str = "",
        on: date | None = None,
        judgements: Sequence[Judgement] | None = None,
        reason_for_change: str = "",
        refresh_demand: bool = False,
    ) -> Draft:
        """The review of a release from its files as they are now, see `rating.season.recording.draft`."""
        from rating.season import recording

        return recording.draft(
            self._facts,
            slug,
            day=on or self.today,
            stage=stage,
            judgements=judgements,
            reason_for_change=reason_for_change,
            refresh_demand=refresh_demand,
        )

    def overruled(self, slug: str) -> str:
        """The remark on scores put beyond what is computed, see `rating.season.recording.overruled`."""
        from rating.season import recording

        return recording.overruled(self._facts, slug, day=self.today)

    def place_of(self, drafted: Draft) -> Standing | None:
        """The place that a draft would take today, None where it has no grade."""
        from rating.season import ranking

        return ranking.place_of(self.recorded, drafted, self.rubric, as_of=self.today)

    def record(self, drafted: Draft, *, now: datetime, corrects: str = "") -> Review | None:
        """Append a draft to the ledger; None where it says the same as the last recorded review.

        `corrects` is the id of a review that was wrong.

        Raises
        ------
        rating.errors.RatingError
            see `rating.season.recording.record`
        """
        from rating.season import recording

        return recording.record(self.files, drafted, today=self.today, now=now, corrects=corrects)

    def withdraw(self, slug: str, *, reason: str, on: date, now: datetime) -> Review:
        """Take a release out of the standings by a review that says so and why.

        Raises
        ------
        rating.errors.RatingError
            see `rating.season.recording.withdraw`
        """
        from rating.season import recording

        return recording.withdraw(self.files, slug, reason=reason, day=on, today=self.today, now=now)

    # the ranking -----------------------------------------------------------------------------------------

    def rank(
        self,
        *,
        as_of: date | None = None,
        since: date | None = None,
        stage: str = "",
        price_class: str = "",
        entries: Sequence[Entry] | None = None,
    ) -> tuple[Standing, ...]:
        """The ranking; with `entries` as if no others had been recorded."""
        from rating.season import ranking

        return ranking.rank(
            self.recorded,
            as_of=as_of or self.today,
            since=since,
            stage=stage,
            price_class=price_class,
            entries=entries,
        )

    def restated(self, *, as_of: date | None = None) -> tuple[Restated, ...]:
        """The ranking as it was published, with what each review comes to by the rubric of today."""
        from rating.season import ranking

        return ranking.restated(self.recorded, self.rubric, as_of=as_of or self.today)

    def last_show(self, *, as_of: date | None = None) -> date | None:
        """The last day but one with a review, up to a day; None where there is none."""
        from rating.standings import last_show

        return last_show(self.recorded.entries, as_of=as_of or self.today)

    def beside(self, rows: Iterable[Standing]) -> Mapping[str, Beside]:
        """What stands beside the grade of each release of a ranking, by release."""
        from rating.season import beside as besides

        return besides.all_of(self.recorded, rows, currency=self.config.currency)

    def standings(self, **options: Any) -> pd.DataFrame:
        """The ranking as a data frame; options as `rank`."""
        from rating.season import frames

        return frames.standings(self.rank(**options))

    def scores(self, *, as_of: date | None = None) -> pd.DataFrame:
        """The scores of the current reviews; `score` is missing where it is unknown."""
        from rating.season import frames

        rows = self.rank(as_of=as_of)
        return frames.scores(rows, self.recorded.ledger.scores([row.seq for row in rows]))

    def table(self, *, as_of: date | None = None, entries: Sequence[Entry] | None = None) -> ScoreTable:
        """The scores of the current reviews, in the order of the ranking."""
        from rating.season import ranking

        return ranking.table(self.recorded, as_of=as_of or self.today, entries=entries)

    def what_if(self, change: WhatIf, *, as_of: date | None = None) -> pd.DataFrame:
        """Every release before and after a change. Nothing is recorded."""
        from rating.doubt.what_if import try_out
        from rating.season import frames

        return frames.tried(try_out(self.table(as_of=as_of), change))

    def ranges(self, *, as_of: date | None = None, **options: Any) -> Ranges:
        """How sure each place is under doubt about weights and scores; options as `rating.doubt.ranges`."""
        from rating.doubt.ranges import ranges  # numpy is loaded where doubt is asked for

        return ranges(self.table(as_of=as_of), **options)

    def stability(self, slug: str = "", *, as_of: date | None = None) -> Stability:
        """How firm a release's place is, or without one the leader's and the order of all.

        Raises
        ------
        rating.errors.RatingError
            if the release has no place, or none has one
        """
        from rating.season import ranking

        return ranking.stability(self.recorded, slug, as_of=as_of or self.today)

    def placed(self, slug: str = "") -> str:
        """The release of that name, or without one the leader.

        Raises
        ------
        rating.errors.RatingError
            if the release has no place, or none has one
        """
        from rating.season import ranking

        return ranking.placed(self.recorded, slug, as_of=self.today)

    def landing(self, slug: str, **options: Any) -> Landing:
        """What moved when a release first took a place; options as `rating.doubt.ranges`.

        Raises
        ------
        rating.errors.RatingError
            if it was not recorded, or had no place
        """
        from rating.season import ranking

        return ranking.landing(self.recorded, slug, **options)

    def moves(self, start: date, end: date) -> tuple[Move, ...]:
        """Every release with its place and grade on two days."""
        from rating.doubt.landing import moves

        return moves(self.table(as_of=start), self.table(as_of=end))

    # beside it -------------------------------------------------------------------------------------------

    def to_come(self, *, as_of: date | None = None) -> tuple[tuple[str, date | None], ...]:
        """Releases without a review whose day is still to come or not known, soonest first."""
        from rating.season import calendar

        return calendar.to_come(self.files, as_of or self.today)

    def not_reviewed(self, *, as_of: date | None = None) -> tuple[str, ...]:
        """Releases that are out and were never reviewed."""
        from rating.season import calendar

        return calendar.not_reviewed(self.files, as_of or self.today)

    def held_back(self) -> Mapping[str, date]:
        """The releases that are under embargo today, with the day it ends."""
        from rating.season import calendar

        return calendar.held_back(self.files, self.today)
