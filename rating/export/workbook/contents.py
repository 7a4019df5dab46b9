"""What the workbook is made from: the published reviews of a season, and what its formulas give for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rating import text
from rating.export import notices
from rating.export.published import published
from rating.export.workbook import cells
from rating.export.workbook.formulas import FormulaValues, formula_values
from rating.export.workbook.positions import (
    FIRST,
    FIXED_SHEETS,
    HELPERS,
    LEFT,
    SCORES,
    SHOWN,
    STANDINGS,
    down,
)
from rating.facts import cautions
from rating.facts.facts import KeptFacts
from rating.review import Review, Score
from rating.rubric.rubric import Rubric
from rating.season.beside import Beside
from rating.season.season import Season
from rating.standings import Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class ReviewedRelease:
    """One release: its published standing, its review, the facts it used, and its own sheet's name.

    `name` is its title without the words that nearly all titles of the season share, `disclosed` how the
    reviewer came by it, `beside` what is told with the grade.
    """

    standing: Standing
    name: str
    review: Review
    disclosed: str
    beside: Beside
    facts: KeptFacts
    sheet: str
    scores: Mapping[str, Score]
    not_applicable: Mapping[str, str]
    unknown: Mapping[str, str]

    def covers(self, key: str) -> bool:
        """Whether the review says anything of a criterion."""
        return key in self.scores or key in self.unknown or key in self.not_applicable

    def unscored(self, key: str) -> tuple[str, str]:
        """How a criterion without a score stands, and why: not known yet, or it does not apply."""
        if key in self.unknown:
            return "not known yet", self.unknown[key]
        return "does not apply", self.not_applicable[key]


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """The values of a workbook; `classes`, `order` and `values` run parallel to `releases`."""

    season: Season
    rubric: Rubric
    releases: Sequence[ReviewedRelease]
    classes: Sequence[int]
    order: Sequence[int]
    values: FormulaValues

    @property
    def keys(self) -> list[str]:
        """The criteria in the order of the rubric."""
        return [criterion.key for criterion in self.rubric.criteria]

    @property
    def weights(self) -> list[int]:
        """The points of the criteria, in tenths."""
        return [criterion.points for criterion in self.rubric.criteria]

    @property
    def last(self) -> int:
        """The last row of releases on the sheet Standings, from 0."""
        return FIRST + len(self.releases) - 1

    @property
    def after(self) -> int:
        """The first column right of the scores on the sheet Standings, from 0."""
        return SCORES + len(self.keys)

    def column(self, name: str) -> int:
        """A column of the sheet Standings, but for the scores, by its name."""
        return LEFT.index(name) if name in LEFT else self.after + (*SHOWN, *HELPERS).index(name)

    @property
    def counting(self) -> int:
        """The first of the columns that hold the scores as they count."""
        return self.after + len(SHOWN) + len(HELPERS)

    @property
    def kept(self) -> int:
        """The first of the columns that hold the scores as they were published."""
        return self.counting + len(self.keys)

    @property
    def end(self) -> int:
        """The last column of all that belongs to a release, from 0."""
        return self.kept + len(self.keys) - 1

    def there(self, name: str) -> str:
        """The address of a column of releases by its name, with the sheet."""
        return self.down(self.column(name))

    def down(self, column: int) -> str:
        """The address of a column of releases, with the sheet: 'Standings!$A$9:$A$26'."""
        return f"{STANDINGS}!{down(column, FIRST, self.last)}"

    def verdict(self, place: int) -> str | None:
        """The verdict that the formulas give a release, as a cell holds it; None where it has no place."""
        grade = self.values.grades[place]
        if grade is None or self.values.ranks[place] is None:
            return None
        return cells.cell_text(self.rubric.verdict(grade))

    def moved(self, place: int) -> int | None:
        """How many places a release gains on its published one; None where it has none on one side."""
        rank, published_rank = self.values.ranks[place], self.releases[place].standing.rank
        return None if rank is None or published_rank is None else published_rank - rank

    @property
    def disclosed(self) -> str:
        """How the reviewer came by the releases, counted, in a sentence for the top of a sheet."""
        counted = Counter(how for row in self.releases for how in row.review.disclosure.how_obtained)
        told = ", ".join(f"{how} {number}" for how, number in counted.most_common())
        return (
            f"How the reviewer came by these {len(self.releases)} releases (one may be several): {told}. "
            "The words for each stand at the top of its own sheet."
        )

    @property
    def cautions(self) -> str:
        """The cautions of everything that is handed out, with the season's help lines."""
        return notices.with_help(cautions.CAUTIONS, self.season.files.help_lines)


def gather(season: Season) -> Contents:
    """The values that a season's workbook shows: current reviews without those under embargo."""
    rubric, releases = season.rubric, _releases(season)
    keys = [criterion.key for criterion in rubric.criteria]
    classes, order = _classes(season, releases), _order(releases)
    values = formula_values(
        [
            [release.scores[key].score if key in release.scores else None for key in keys]
            for release in releases
        ],
        [criterion.points for criterion in rubric.criteria],
        absent=[
            [key not in release.scores and key in release.not_applicable for key in keys]
            for release in releases
        ],
        classes=classes,
        order=order,
    )
    return Contents(
        season=season, rubric=rubric, releases=releases, classes=classes, order=order, values=values
    )


def _releases(season: Season) -> list[ReviewedRelease]:
    shown = published(season)
    names = text.short_titles([given.standing.title for given in shown])
    sheets = cells.sheet_names((given.standing.release for given in shown), taken=FIXED_SHEETS)
    return [
        ReviewedRelease(
            standing=given.standing,
            name=name,
            review=given.review,
            disclosed=given.disclosed,
            beside=given.beside,
            facts=given.facts,
            sheet=sheet,
            scores={score.criterion: score for score in given.review.scores},
            not_applicable={unscored.criterion: unscored.why for unscored in given.review.not_applicable},
            unknown={unscored.criterion: unscored.why for unscored in given.review.unknown},
        )
        for given, name, sheet in zip(shown, names, sheets, strict=True)
    ]


def _classes(season: Season, releases: Sequence[ReviewedRelease]) -> list[int]:
    """The number of each release's price class from 1, 0 for none."""
    numbers = {band.name: number for number, band in enumerate(season.config.classes, start=1)}
    for release in releases:  # a class that was renamed since still groups its own
        numbers.setdefault(release.standing.price_class, len(numbers) + 1)
    numbers[""] = 0
    return [numbers[release.standing.price_class] for release in releases]


def _order(releases: Sequence[ReviewedRelease]) -> list[int]:
    """The place of each among equal ranks, from 1: the earlier one first, then by slug."""
    standings = [release.standing for release in releases]
    dated = sorted(
        range(len(standings)),
        key=lambda place: (standings[place].released_on, standings[place].release),
    )
    return [dated.index(place) + 1 for place in range(len(standings))]
