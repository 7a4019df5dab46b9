"""The season as one object: its releases, facts, gradings and standings, with tables as data frames."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rating import grading, raters, registry, standings, text, tomlfile
from rating import review as reviews
from rating.doubt.score_table import ScoreTable, table_of
from rating.errors import Problem, RatingError, refuse_if_any
from rating.facts.context import Demand, Rookie, SeasonContext
from rating.facts.earlier.compute import Before
from rating.facts.economics.compute import economics
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts, demand_of
from rating.facts.gather import Lasting, gather
from rating.facts.gather import lasting as facts_that_last
from rating.facts.history.value import Edition, History
from rating.grading import Graded, Occasion
from rating.ledger.ledger import Entry, Ledger
from rating.raters import Judgement
from rating.registry import Module
from rating.release import exchange
from rating.release.release import Release
from rating.release.sheet import Sheet
from rating.review import PrintedDisclosure, Review
from rating.rubric import rubric as rubrics
from rating.rubric.rubric import Rubric
from rating.season import days, folder
from rating.season.answers import scores
from rating.season.lending import Lending
from rating.season.settings import config as configs
from rating.season.settings import help_lines
from rating.season.settings.config import Config
from rating.season.settings.help_lines import HelpLines
from rating.season.wanted import Wanted
from rating.stage import STAGES
from rating.standings import Standing

if TYPE_CHECKING:
    import pandas as pd

    from rating.doubt.landing import Landing, Move
    from rating.doubt.ranges import Ranges
    from rating.doubt.stability import Stability
    from rating.doubt.what_if import WhatIf
    from rating.facts.breaks.value import Break

LAUNCHED = STAGES[STAGES.index("launch") :]


@dataclass(frozen=True, kw_only=True)
class Grading:
    """A grading with what surrounds it: its facts, stage, and how it stands to the recorded review."""

    sheet: Sheet
    facts: Facts
    stage: str
    graded: Graded
    review: Review
    facts_text: str
    recorded: Entry | None
    recorded_review: Review | None

    @property
    def differs(self) -> bool:
        """Whether it says something else than the last recorded review; False where there is none."""
        if self.recorded_review is None:
            return False
        return not reviews.same_judgement(self.review, self.recorded_review)


class Season:
    """A season folder, opened. Nothing is read before it is asked for, and each file is read once."""

    def __init__(self, path: Path, config: Config, *, today: date) -> None:
        self.path, self.config, self.today = path, config, today
        self.ledger = Ledger(path / folder.LEDGER_FILE)
        self._releases: dict[str, Release] = {}
        self._lasting: dict[str, Lasting] = {}
        self._lending = Lending(self)

    @classmethod
    def open(cls, path: Path, *, today: date | None = None) -> Season:
        """The season in a folder; `today` goes before BOXWRIGHT_TODAY, season.toml and the clock."""
        config = configs.read(tomlfile.read(path / folder.SEASON_FILE))
        return cls(path, config, today=today or days.today_of(config))

    @cached_property
    def rubric(self) -> Rubric:
        """The rubric that gradings use now."""
        return rubrics.read(tomlfile.read(self.path / folder.RUBRIC_FILE))

    @cached_property
    def profiles(self) -> dict[str, dict[str, int]]:
        """The points (tenths) of every criterion for each kind of buyer that season.toml names.

        Raises
        ------
        rating.errors.Refused
            with every criterion that is none, and every profile without points
        """
        found, problems = configs.weighed(self.config.profiles, self.rubric, file=folder.SEASON_FILE)
        refuse_if_any(problems)
        return found

    @cached_property
    def _found_modules(self) -> tuple[Mapping[str, Module], list[Problem]]:
        return registry.find_modules()

    @property
    def modules(self) -> Mapping[str, Module]:
        """The criterion modules by their keys."""
        return self._found_modules[0]

    @property
    def module_problems(self) -> list[Problem]:
        """A problem for each criterion module that cannot be used."""
        return self._found_modules[1]

    @cached_property
    def rookies(self) -> tuple[Rookie, ...] | None:
        """The season's rookie class, None where there is no rookies.csv."""
        path = self.path / "rookies.csv"
        if not path.exists():
            return None
        found, problems = folder.read_rookies(path)
        refuse_if_any(problems)
        return found

    @cached_property
    def help_lines(self) -> HelpLines | None:
        """Where people find help, as help_lines.toml says; None where there is no such file."""
        return help_lines.read(self.path)

    @cached_property
    def nudges(self) -> Mapping[str, Demand] | None:
        """The host's own word on who is wanted, by names as compared; None where there is no demand.csv."""
        path = self.path / folder.DEMAND_FILE
        if not path.exists():
            return None
        found, problems = folder.read_demand(path)
        refuse_if_any(problems)
        return {text.key(one.subject): one for one in found}

    @cached_property
    def _wanted(self) -> Wanted:
        sold = [slug for slug in self.slugs if folder.has_sales(self.path, slug)]
        return Wanted(sold, self.release, currency=self.config.currency, nudges=self.nudges)

    def demand(self, as_of: date | None = None) -> Mapping[str, Demand] | None:
        """How much subjects are wanted, by their names as compared, as of a day; None where nothing says.

        It is worked out from the sales of all releases up to the day, today where none is given, and nudged
        by demand.csv. A release whose files hold errors says nothing, see `sales_left_out`.
        """
        return self._wanted.on(as_of or self.today)

    @property
    def sales_left_out(self) -> Mapping[str, str]:
        """The releases whose sales did not count towards demand, with what is wrong in their files."""
        return self._wanted.left_out

    @cached_property
    def plain_context(self) -> SeasonContext:
        """What the season's own files say, demand apart."""
        return SeasonContext(
            name=self.config.name,
            currency=self.config.currency,
            teams=tuple(team.name for team in self.config.teams),
            rookies=self.rookies,
            classes=self.config.classes,
            buying=self.config.buying,
            aliases=self.config.aliases,
            selling=self.config.selling,
            house=self.config.house,
            slots=self.config.slots,
        )

    def context(self, as_of: date | None = None, *, release: str = "") -> SeasonContext:
        """What the facts of a release need to know of the season as of a day, today where none is given.

        Parameters
        ----------
        release : the one whose facts are asked for: the demand for its prices leaves out its own sales
        """
        day = as_of or self.today
        own = self._wanted.speaks(release, day)
        return dataclasses.replace(
            self.plain_context,
            demand=self._wanted.on(day),
            demand_elsewhere=self._wanted.on(day, without=release) if own else None,
            has_own_sales=own,
        )

    @cached_property
    def slugs(self) -> list[str]:
        """The releases by their folders' names."""
        return folder.slugs(self.path)

    @cached_property
    def entries(self) -> list[Entry]:
        """The ledger's entries, in the order they were added."""
        return self.ledger.entries()

    @cached_property
    def earlier(self) -> list[Season]:
        """The earlier seasons that season.toml names, newest first as listed there."""
        found = []
        for one in self.config.earlier:
            path = self.path / one
            if self.path.resolve() not in path.resolve().parents:
                raise RatingError(
                    f"the earlier season {one} is not inside the season folder",
                    where=folder.SEASON_FILE,
                    fix="put it into the folder, for example as earlier/2030",
                )
            if not (path / folder.SEASON_FILE).is_file():
                raise RatingError(
                    f"there is no earlier season in {one}",
                    where=folder.SEASON_FILE,
                    fix="take it out of earlier = [...], or put the season there",
                )
            found.append(Season.open(path))
        return found

    @cached_property
    def current(self) -> dict[str, Entry]:
        """The entry that counts now for each release that was recorded and not withdrawn."""
        return standings.current(self.entries)

    def write_points(self, points: Mapping[str, int], *, method: str) -> None:
        """Put points (tenths by criterion) into rubric.toml, with the method and today; comments stay."""
        from rating.season.answers import weights  # numpy is loaded where weights are chosen

        weights.write(self.path / folder.RUBRIC_FILE, points, method=method, on=self.today)

    def forget(self) -> None:
        """Read the ledger anew at the next question: something was added."""
        for name in ("entries", "current"):
            self.__dict__.pop(name, None)

    def release(self, slug: str) -> Release:
        """A release without errors in its files, amounts in the season's currency where a rate is given."""
        if slug not in self._releases:
            found = folder.sound_release(self.path, slug)
            self._releases[slug] = exchange.converted(found, self.config.rates)
        return self._releases[slug]

    def sheet(self, slug: str) -> Sheet:
        """The sheet of a release alone, without its tables."""
        if slug in self._releases:
            return self._releases[slug].sheet
        found, problems = folder.read_sheet(self.path, slug)
        refuse_if_any(problems)
        return found

    @cached_property
    def sheets(self) -> dict[str, Sheet]:
        """The sheets of all releases; two releases of one title are refused."""
        found = {slug: self.sheet(slug) for slug in self.slugs}
        titles: dict[str, str] = {}
        for slug, one in found.items():
            other = titles.setdefault(text.key(one.title), slug)
            if other != slug:
                raise RatingError(
                    f"{other} and {slug} have the same title, {one.title!r}",
                    where=f"{folder.RELEASES}/{slug}/release.toml",
                    fix="give each release a title of its own",
                )
        return found

    def history(self, slug: str) -> History:
        """What the earlier seasons know of a release's line, newest first."""
        own = self.sheet(slug)
        found = (season.edition(other) for season, other in self.earlier_editions(own))
        return History(line=own.line, since=own.since, editions=tuple(found))

    def earlier_editions(self, own: Sheet) -> Iterator[tuple[Season, str]]:
        """The earlier editions of a release, at most one a season, newest first."""
        for season in self.earlier:
            for other, sheet in season.sheets.items():
                is_named = bool(own.earlier) and other == own.earlier
                if is_named or (not own.earlier and text.key(sheet.line) == text.key(own.line)):
                    yield season, other
                    break

    def edition(self, slug: str) -> Edition:
        """What a later season wants to know of a release of this one."""
        release = self.release(slug)
        costs = economics(release, self.plain_context, as_of=date.max)
        main = costs.main if isinstance(costs, Economics) else None
        entry = self.last_recorded(slug)
        kept = self.ledger.scores([entry.seq])[entry.seq] if entry else []
        return Edition(
            season=self.config.name,
            release=slug,
            title=self.sheet(slug).title,
            list_price=main.list_price if main else None,
            street_price=main.street_price if main else None,
            grade=entry.grade if entry else None,
            scores={one.criterion: one.score for one in kept if one.score is not None},
        )

    def edition_before(self, slug: str) -> Before | None:
        """The newest earlier edition of a release with its files and all prices that its season knows."""
        found = next(self.earlier_editions(self.sheet(slug)), None)
        if found is None:
            return None
        season, other = found
        release = season.release(other)
        return Before(
            season=season.config.name,
            currency=season.config.currency,
            release=release,
            economics=economics(release, season.plain_context, as_of=date.max),
        )

    def facts(
        self,
        slug: str,
        *,
        as_of: date | None = None,
        context: SeasonContext | None = None,
        carried_on: date | None = None,
    ) -> Facts:
        """The facts of a release as of a day, today where none is given.

        Parameters
        ----------
        context : instead of the season as it is now
        carried_on : prices of other releases are carried over as of this day, not of the day of the facts
        """
        day = as_of or self.today
        return gather(
            self.release(slug),
            context or self.context(day, release=slug),
            self.history(slug),
            as_of=day,
            before=self.edition_before(slug),
            donors=self._lending.to(slug, day, carried_on or day),
            carried_on=carried_on,
            kept=self.lasting(slug),
        )

    def lasting(self, slug: str) -> Lasting:
        """The facts of a release that no day changes, worked out once: its files are read once."""
        if slug not in self._lasting:
            self._lasting[slug] = facts_that_last(self.release(slug), self.plain_context.team_names())
        return self._lasting[slug]

    def _carried_when_recorded(self, slug: str, stage: str) -> date | None:
        """The day as of which a release's recorded review at a stage carried prices over.

        So that its grade stands still until there is something new to say, at the least another stage. None
        where there is no such review, or it carried nothing over.
        """
        entry = self.last_recorded(slug)
        if entry is None or entry.stage != stage:
            return None
        kept = json.loads(self.ledger.facts(entry.facts)).get("values") or {}
        told = entry.published_on if "unknown" in kept else kept.get("carried_on")
        return date.fromisoformat(told) if told else None

    def launch_facts(self, slug: str, *, before: date | None = None) -> dict[str, Any] | None:
        """The facts that the last launch review up to a day was made from, None where there is none."""
        until = (before or self.today).isoformat()
        own = [one for one in self.entries if one.release == slug and one.published_on <= until]
        launched = [one for one in own if one.stage == LAUNCHED[0] and not one.withdrawn]
        return json.loads(self.ledger.facts(launched[-1].facts)) if launched else None

    def frozen_context(self, slug: str, as_of: date | None = None) -> SeasonContext:
        """The season with who was wanted when a release was last recorded, so that its grade stands still.

        Parameters
        ----------
        as_of : the day for a release that was not recorded yet, today where none is given
        """
        entry = self.last_recorded(slug)
        kept = json.loads(self.ledger.facts(entry.facts)) if entry else {}
        if "demand" not in kept:
            return self.context(as_of, release=slug)
        return dataclasses.replace(
            self.plain_context,
            demand=demand_of(kept["demand"]),
            demand_elsewhere=demand_of(kept.get("demand_elsewhere")),
            has_own_sales="demand_elsewhere" in kept,
        )

    def judgements(self, slug: str) -> tuple[Judgement, ...]:
        """What the raters say in a release's scores.toml."""
        path = folder.release_folder(self.path, slug) / "scores.toml"
        if not path.exists():
            return ()
        table = tomlfile.read(path, file=f"{folder.RELEASES}/{slug}/scores.toml")
        criteria = tuple(one.key for one in self.rubric.criteria)
        found = scores.read(table, raters=self.config.rater_keys, criteria=criteria)
        tomlfile.finish(table)
        return found

    def last_recorded(self, slug: str) -> Entry | None:
        """The current entry of a release, None where it has none or was withdrawn."""
        return self.current.get(slug)

    def default_stage(self, slug: str) -> str:
        """The last recorded stage, else what the files say was known."""
        entry = self.last_recorded(slug)
        return self.stage_of_files(slug) if entry is None else entry.stage

    def stage_of_files(self, slug: str) -> str:
        """What the files of a release say was known: launch with odds, preview with a checklist."""
        release = self.release(slug)
        if release.odds:
            return "launch"
        return "preview" if release.cards else "announced"

    def grade(
        self,
        slug: str,
        *,
        stage: str | None = None,
        on: date | None = None,
        judgements: Sequence[Judgement] | None = None,
        reason_for_change: str = "",
        refresh_demand: bool = False,
    ) -> Grading:
        """The grading of a release from its files as they are now.

        Parameters
        ----------
        on : the day it would be published; prices after it do not count; today by default
        judgements : instead of those in scores.toml
        refresh_demand : take who is wanted, and prices to carry over, from now, not from when the release was
            last recorded
        """
        day = on or self.today
        context = self.context(day, release=slug) if refresh_demand else self.frozen_context(slug, day)
        stage = stage or self.default_stage(slug)
        carried_on = day if refresh_demand else min(day, self._carried_when_recorded(slug, stage) or day)
        facts = self.facts(slug, as_of=day, context=context, carried_on=carried_on)
        given = self.judgements(slug) if judgements is None else judgements
        keys = self.config.rater_keys
        published = raters.published(given, keys, self.config.published)  # type: ignore[arg-type]  # config holds one of the rules
        graded = grading.grade(facts, self.rubric, self.modules, published, stage=stage)
        sheet = self.sheet(slug)
        told = sheet.disclosure
        occasion = Occasion(
            season=self.config.name,
            stage=stage,
            published_on=day.isoformat(),
            recorded_at="",
            raters=keys[:1] if self.config.published == "first" else keys,
            disclosure=PrintedDisclosure(
                how_obtained=told.how_obtained if told else (), sentence=told.sentence if told else ""
            ),
            reason_for_change=reason_for_change,
            frozen_class=self._frozen_class(slug),
        )
        review, facts_text = grading.to_review(graded, facts, self.rubric, occasion)
        recorded = self.last_recorded(slug)
        return Grading(
            sheet=sheet,
            facts=facts,
            stage=stage,
            graded=graded,
            review=review,
            facts_text=facts_text,
            recorded=recorded,
            recorded_review=self.ledger.review(recorded.id) if recorded else None,
        )

    def _frozen_class(self, slug: str) -> str:
        """The price class of the first review from launch on: it does not change afterwards."""
        launched = (one for one in self.entries if one.release == slug and one.stage in LAUNCHED)
        return next((one.price_class for one in launched if one.price_class), "")

    def record(self, found: Grading, *, now: datetime) -> Review | None:
        """Append a grading to the ledger; None where it says the same as the last recorded review.

        Raises
        ------
        RatingError
            if there is no grade or no disclosure yet, or its day is not between the last review and today
        """
        slug, day = found.review.release, reviews.day_of(found.review)
        where = f"{folder.RELEASES}/{slug}"
        if found.graded.grade is None:
            raise RatingError(
                "there is nothing to record: no criterion has a score",
                where=where,
                fix=f"score it with 'boxwright grade {slug} --ask', or write scores.toml",
            )
        if found.sheet.disclosure is None:
            raise RatingError(
                "a review says how the reviewer came by the product, and this one does not",
                where=f"{where}/release.toml",
                fix="fill in [disclosure]: how_obtained and a sentence",
            )
        if day > self.today:
            raise RatingError(
                f"{day.isoformat()} is after today, {self.today.isoformat()}",
                where="--on",
                fix="record a review on the day it is published, or later with --on",
            )
        last = max((one.published_on for one in self.entries if one.release == slug), default="")
        if day.isoformat() < last:
            raise RatingError(
                f"the last review of {slug} is of {last}, after {day.isoformat()}",
                where="--on",
                fix=f"use a day from {last} on; what is recorded is never changed",
            )
        if found.recorded is not None and not found.differs:
            return None
        stamped = _stamped(found.review, now)
        stored = self.ledger.append(stamped, rubric=self.rubric.text, facts=found.facts_text)
        self.forget()
        return stored

    def withdraw(self, slug: str, *, reason: str, on: date, now: datetime) -> Review:
        """Take a release out of the standings by a review that says so and why."""
        entry = self.last_recorded(slug)
        if entry is None:
            raise RatingError(
                f"there is no current review of {slug} to withdraw",
                where=folder.LEDGER_FILE,
                fix=f"see 'boxwright ledger history {slug}'",
            )
        clean = text.tidy(reason)
        if not clean:
            raise RatingError("a withdrawal needs a reason", where="--reason", fix="say why in a sentence")
        if mark := text.bad_marks(clean):
            raise RatingError(
                f"the reason holds the invisible mark {mark}", where="--reason", fix="type it anew"
            )
        if not entry.published_on <= on.isoformat() <= self.today.isoformat():
            raise RatingError(
                f"{on.isoformat()} does not lie between the last review, {entry.published_on}, and today",
                where="--on",
                fix="leave --on out to withdraw it today",
            )
        last = self.ledger.review(entry.id)
        gone = _stamped(last, now, withdrawn=True, published_on=on.isoformat(), reason_for_change=clean)
        stored = self.ledger.append(
            gone, rubric=self.ledger.rubric(last.rubric), facts=self.ledger.facts(last.facts)
        )
        self.forget()
        return stored

    def rubric_texts(self, entries: Sequence[Entry]) -> dict[str, str]:
        """The canonical rubrics that some entries were graded by, by their hashes."""
        return {one: self.ledger.rubric(one) for one in {entry.rubric for entry in entries}}

    def rank(
        self,
        *,
        as_of: date | None = None,
        since: date | None = None,
        stage: str = "",
        price_class: str = "",
        entries: Sequence[Entry] | None = None,
    ) -> list[Standing]:
        """The standings as of a day, today where none is given."""
        held = self.entries if entries is None else entries
        return standings.standings(
            held,
            self.rubric_texts(held),
            as_of=as_of or self.today,
            since=since,
            stage=stage,
            price_class=price_class,
        )

    def table(self, *, as_of: date | None = None, entries: Sequence[Entry] | None = None) -> ScoreTable:
        """The current reviews as one table of scores, in the order of the standings as of a day."""
        rows = self.rank(as_of=as_of, entries=entries)
        scores = self.ledger.scores([one.seq for one in rows])
        return table_of(rows, scores, self.rubric_texts(self.entries))

    def ranges(self, *, as_of: date | None = None, **options: Any) -> Ranges:
        """The range of each place under doubt about weights and scores; options as `rating.doubt.ranges`."""
        from rating.doubt.ranges import ranges  # numpy is loaded where doubt is asked for

        return ranges(self.table(as_of=as_of), **options)

    def stability(self, slug: str = "", *, as_of: date | None = None) -> Stability:
        """How firm a release's place is, or without one the leader's and the order of all.

        Raises
        ------
        RatingError
            if the release has no place, or none has one
        """
        from rating.doubt.stability import stability

        table = self.table(as_of=as_of)
        places = table.places()
        if not places:
            raise RatingError(
                "no release has a place yet",
                where=folder.LEDGER_FILE,
                fix="record one with 'boxwright grade RELEASE --record'",
            )
        if slug and slug not in places:
            raise RatingError(
                f"{text.printable(slug)} has no place",
                where=folder.LEDGER_FILE,
                fix=f"use one of the ranked releases: {', '.join(sorted(places))}",
            )
        return stability(table, slug)

    def landing(self, slug: str, **options: Any) -> Landing:
        """What moved when a release first took a place; options as `rating.doubt.ranges`.

        Raises
        ------
        RatingError
            if it was not recorded, or had no place
        """
        from rating.doubt.landing import landing
        from rating.doubt.ranges import ranges

        told = sorted(self.entries, key=lambda one: (one.published_on, one.seq))
        own = [place for place, one in enumerate(told) if one.release == slug]
        if not own:
            raise RatingError(
                f"{text.printable(slug)} was not recorded yet, so it has not landed",
                where=folder.LEDGER_FILE,
                fix=f"record it with 'boxwright grade {text.printable(slug)} --record'",
            )
        for first in own:
            after = self.table(as_of=date.max, entries=told[: first + 1])
            if slug in after.places():
                before = self.table(as_of=date.max, entries=told[:first])
                day = told[first].published_on
                return landing(before, after, slug, day=day, ranges=ranges(after, **options))
        raise RatingError(
            f"{slug} has no place yet: too much of it is unknown",
            where=folder.LEDGER_FILE,
            fix="record it again when more is known",
        )

    def moves(self, start: date, end: date) -> tuple[Move, ...]:
        """Every release with its place and grade on two days."""
        from rating.doubt.landing import moves

        return moves(self.table(as_of=start), self.table(as_of=end))

    def place_of(self, found: Grading) -> Standing | None:
        """The place that an unrecorded grading would take today, None where it has no grade."""
        if found.graded.grade is None:
            return None
        would_be = Entry(
            seq=1 + max((one.seq for one in self.entries), default=0),
            release=found.review.release,
            title=found.review.title,
            released_on=found.review.released_on,
            price_class=found.review.price_class,
            log_price=found.review.log_price,
            product_format=found.review.product_format,
            stage=found.stage,
            published_on=self.today.isoformat(),
            recorded_at="",
            rubric=self.rubric.hash,
            facts=found.review.facts,
            grade=found.graded.grade,
            lowest=found.graded.lowest,
            highest=found.graded.highest,
            unknown_points=found.graded.unknown_points,
            applying_points=found.graded.applying_points,
            withdrawn=0,
            id="",
        )
        texts = self.rubric_texts(self.entries) | {self.rubric.hash: self.rubric.text}
        rows = standings.standings([*self.entries, would_be], texts, as_of=self.today)
        return next(one for one in rows if one.release == would_be.release)

    def to_come(self, *, as_of: date | None = None) -> list[tuple[str, date | None]]:
        """Releases without a review whose date lies after a day or is not known, soonest first."""
        day = as_of or self.today
        reviewed = standings.current(self.entries, as_of=day)
        found = [
            (slug, sheet.released_on)
            for slug, sheet in self.sheets.items()
            if slug not in reviewed and (sheet.released_on is None or sheet.released_on > day)
        ]
        return sorted(found, key=lambda one: (one[1] or date.max, one[0]))

    def not_reviewed(self, *, as_of: date | None = None) -> list[str]:
        """Releases that are out and were never reviewed."""
        day = as_of or self.today
        known = {one.release for one in self.entries if one.published_on <= day.isoformat()}
        return [
            slug
            for slug, sheet in self.sheets.items()
            if slug not in known and sheet.released_on is not None and sheet.released_on <= day
        ]

    def embargo_of(self, sheet: Sheet) -> date | None:
        """The day before which nothing of a release may be published, None where there is none."""
        if sheet.embargo is not None:
            return sheet.embargo
        return sheet.released_on if self.config.embargo == "release date" else None

    def held_back(self) -> dict[str, date]:
        """The releases that are under embargo today, with the day it ends."""
        found = {slug: self.embargo_of(sheet) for slug, sheet in self.sheets.items()}
        return {slug: day for slug, day in found.items() if day is not None and day > self.today}

    # tables for people and notebooks ---------------------------------------------------------------------

    def standings(self, **options: Any) -> pd.DataFrame:
        """The standings as a data frame, one release a row; grades in points. Options as in `rank`."""
        import pandas as pd

        names = ("release", "title", "rank", "class_rank", "price_class", "tied", "grade", "verdict", "stage")
        more = ("partial", "ranked_apart", "movement", "released_on", "published_on", "review")
        rows = [{name: getattr(one, name) for name in (*names, *more)} for one in self.rank(**options)]
        frame = pd.DataFrame(rows, columns=[*names, *more])
        frame["grade"] = frame["grade"].astype("Int64") / 10
        for name in ("rank", "class_rank", "movement"):
            frame[name] = frame[name].astype("Int64")
        return frame.rename(columns={"price_class": "class"})

    def scores(self, *, as_of: date | None = None) -> pd.DataFrame:
        """The scores of the current reviews, one score a row; `score` is missing where it is unknown."""
        import pandas as pd

        rows = self.rank(as_of=as_of)
        kept = self.ledger.scores([one.seq for one in rows])
        found = [
            {
                "release": one.release,
                "criterion": scored.criterion,
                "score": scored.score,
                "points": scored.points / 10,
                "basis": scored.basis,
                "spread": scored.spread,
            }
            for one in rows
            for scored in kept[one.seq]
        ]
        frame = pd.DataFrame(found, columns=["release", "criterion", "score", "points", "basis", "spread"])
        frame["score"] = frame["score"].astype("Int64")
        return frame

    def checklist(self, slug: str) -> pd.DataFrame:
        """The checklist of a release, one card a row; two people on a card are parted by ' / '."""
        import pandas as pd

        from rating.release.checklist import CHECKLIST_COLUMNS, Card

        cards = self.release(slug).cards or ()
        frame = pd.DataFrame(cards, columns=[*CHECKLIST_COLUMNS, "row"])
        if list(Card._fields) != [*CHECKLIST_COLUMNS, "row"]:
            raise ValueError("the fields of a card and the columns of a checklist went apart")
        frame["subjects"] = [" / ".join(card.subjects) for card in cards]
        frame["teams"] = [" / ".join(card.teams) for card in cards]
        frame["print_run"] = frame["print_run"].astype("Int64")
        return frame.drop(columns="row")

    def what_if(self, change: WhatIf, *, as_of: date | None = None) -> pd.DataFrame:
        """Every release before and after a change, one a row; grades in points. Nothing is recorded."""
        import pandas as pd

        from rating.doubt.what_if import try_out

        rows = [
            {
                "release": one.release,
                "title": one.title,
                "before": one.before,
                "after": one.after,
                "moved": one.moved,
                "grade_before": one.before_grade,
                "grade": one.after_grade,
                "value": None if one.value is None else float(one.value),
            }
            for one in try_out(self.table(as_of=as_of), change)
        ]
        frame = pd.DataFrame(rows)
        for name in ("before", "after", "moved"):
            frame[name] = frame[name].astype("Int64")
        for name in ("grade_before", "grade"):
            frame[name] = frame[name].astype("Int64") / 10
        return frame

    def slots(
        self,
        slug: str,
        *,
        packed: str = "",
        cases: int | None = 1,
        boxes: int | None = None,
        by: Sequence[str] = ("team",),
    ) -> Break:
        """A break of some cases, or boxes, of a release; `frame()` of it is one slot a row.

        Parameters
        ----------
        packed : the key of a format; the headline format where it is blank
        by : team, pair, division, subject or box, or a filter for each slot
        """
        from rating.season import slots  # numpy is loaded where slots are asked for

        return slots.slots(self, slug, packed=packed, cases=cases, boxes=boxes, by=by)

    def prices(self, slug: str) -> pd.DataFrame:
        """The dated prices of a release's formats with what follows from them, amounts as decimals."""
        import pandas as pd

        economics = self.facts(slug).economics
        if not isinstance(economics, Economics):
            return pd.DataFrame()
        return pd.DataFrame(
            [
                {"format": key, **{name: getattr(line, name) for name in line.__slots__}}
                for key, one in economics.formats.items()
                for line in one.prices
            ]
        )


def _stamped(review: Review, now: datetime, **changes: Any) -> Review:
    stamp = now.astimezone(UTC).replace(microsecond=0).isoformat().replace("+00:00", "Z")
    return dataclasses.replace(review, recorded_at=stamp, supersedes=(), heads=(), **changes)
