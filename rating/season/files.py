"""The files of a season, each read once: its settings, its releases, its ledger, and the seasons before."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from rating import text, tomlfile
from rating.errors import Problem, RatingError, refuse_if_any
from rating.ledger.ledger import Ledger, silent
from rating.rubric import rubric as rubrics
from rating.rubric.rubric import Rubric
from rating.season import folder
from rating.season.recorded import Recorded
from rating.season.settings import config as configs
from rating.season.settings.config import Config

if TYPE_CHECKING:
    from rating.facts.context import Demand, Rookie, SeasonContext
    from rating.facts.section import Lasting
    from rating.raters import Judgement
    from rating.registry import Module
    from rating.release.release import Release
    from rating.release.sheet import Sheet
    from rating.season.settings.help_lines import HelpLines


class SeasonFiles:
    """What a season's folder holds. Nothing is read before it is asked for, and each file is read once.

    `say` is told what the ledger has to say while it is opened: that it waits, or what is missing from it.
    """

    def __init__(self, path: Path, *, say: Callable[[str], None] = silent) -> None:
        self.path, self._say = path, say
        self.config: Config = configs.read(tomlfile.read(path / folder.SEASON_FILE))
        self.recorded = Recorded(Ledger(path / folder.LEDGER_FILE, self.config.season_id, say))
        self._releases: dict[str, Release] = {}
        self._lasting: dict[str, Lasting] = {}

    @cached_property
    def rubric(self) -> Rubric:
        """The rubric that releases are graded by now."""
        return rubrics.read(tomlfile.read(self.path / folder.RUBRIC_FILE))

    @cached_property
    def profiles(self) -> Mapping[str, Mapping[str, int]]:
        """The points (tenths) of every criterion for each kind of buyer that season.toml names.

        Raises
        ------
        rating.errors.Refused
            with every criterion that is none, and every profile without points
        """
        points, problems = configs.weighed(self.config.profiles, self.rubric, file=folder.SEASON_FILE)
        refuse_if_any(problems)
        return points

    @cached_property
    def _modules(self) -> tuple[Mapping[str, Module], list[Problem]]:
        from rating import registry  # which knows all that criteria may ask for

        return registry.find_modules()

    @property
    def modules(self) -> Mapping[str, Module]:
        """The criterion modules by their keys."""
        return self._modules[0]

    @property
    def module_problems(self) -> list[Problem]:
        """A problem for each criterion module that cannot be used."""
        return self._modules[1]

    @cached_property
    def rookies(self) -> tuple[Rookie, ...] | None:
        """The season's rookie class, None where there is no rookies.csv."""
        path = self.path / folder.ROOKIES_FILE
        if not path.exists():
            return None
        rookies, problems = folder.read_rookies(path)
        refuse_if_any(problems)
        return rookies

    @cached_property
    def nudges(self) -> Mapping[str, Demand] | None:
        """The host's own word on who is wanted, by names as compared; None where there is no demand.csv."""
        path = self.path / folder.DEMAND_FILE
        if not path.exists():
            return None
        nudges, problems = folder.read_demand(path)
        refuse_if_any(problems)
        return {text.key(nudge.subject): nudge for nudge in nudges}

    @cached_property
    def help_lines(self) -> HelpLines | None:
        """Where people find help, as help_lines.toml says; None where there is no such file."""
        from rating.season.settings import help_lines

        return help_lines.read(self.path)

    @cached_property
    def context(self) -> SeasonContext:
        """What the season's own files say to the facts of a release, demand apart."""
        from rating.facts.context import SeasonContext

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

    @cached_property
    def earlier(self) -> tuple[SeasonFiles, ...]:
        """The earlier seasons that season.toml names, newest first as listed there."""
        return tuple(SeasonFiles(self._earlier_folder(name), say=self._say) for name in self.config.earlier)

    def _earlier_folder(self, name: str) -> Path:
        path = self.path / name
        if self.path.resolve() not in path.resolve().parents:
            raise RatingError(
                f"the earlier season {name} is not inside the season folder",
                where=folder.SEASON_FILE,
                fix="put it into the folder, for example as earlier/2030",
            )
        if not (path / folder.SEASON_FILE).is_file():
            raise RatingError(
                f"there is no earlier season in {name}",
                where=folder.SEASON_FILE,
                fix="take it out of earlier = [...], or put the season there",
            )
        return path

    @cached_property
    def slugs(self) -> tuple[str, ...]:
        """The releases by their folders' names."""
        return tuple(folder.slugs(self.path))

    @cached_property
    def slugs_with_sales(self) -> tuple[str, ...]:
        """The releases that have a table of sales."""
        return tuple(slug for slug in self.slugs if folder.has_sales(self.path, slug))

    def sheet(self, slug: str) -> Sheet:
        """The sheet of a release alone, without its tables."""
        if slug in self._releases:
            return self._releases[slug].sheet
        sheet, problems = folder.read_sheet(self.path, slug)
        refuse_if_any(problems)
        return sheet

    @cached_property
    def sheets(self) -> Mapping[str, Sheet]:
        """The sheets of all releases; two releases of one title are refused."""
        sheets = {slug: self.sheet(slug) for slug in self.slugs}
        titles: dict[str, str] = {}
        for slug, sheet in sheets.items():
            other = titles.setdefault(text.key(sheet.title), slug)
            if other != slug:
                raise RatingError(
                    f"{other} and {slug} have the same title, {sheet.title!r}",
                    where=f"{folder.RELEASES}/{slug}/release.toml",
                    fix="give each release a title of its own",
                )
        return sheets

    def release(self, slug: str) -> Release:
        """A release without errors in its files, amounts in the season's currency where a rate is given."""
        if slug not in self._releases:
            from rating.release import exchange

            release = folder.sound_release(self.path, slug)
            self._releases[slug] = exchange.converted(release, self.config.rates)
        return self._releases[slug]

    def lasting(self, slug: str) -> Lasting:
        """The facts of a release that no day changes."""
        if slug not in self._lasting:
            from rating.facts.gather import lasting  # every section

            self._lasting[slug] = lasting(self.release(slug), self.context.team_names())
        return self._lasting[slug]

    def judgements(self, slug: str) -> tuple[Judgement, ...]:
        """What the raters say in a release's scores.toml."""
        path = folder.release_folder(self.path, slug) / "scores.toml"
        if not path.exists():
            return ()
        from rating.season.scoring import scores

        table = tomlfile.read(path, file=f"{folder.RELEASES}/{slug}/scores.toml")
        criteria = tuple(weighted.key for weighted in self.rubric.criteria)
        judgements = scores.read(table, raters=self.config.rater_keys, criteria=criteria)
        tomlfile.finish(table)
        return judgements
