"""What `standings` and `stability` print about doubt: ranges of places, landings, what moved between days."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from rating.cli.shared import printing, refusing, tables

if TYPE_CHECKING:
    from rating.doubt.landing import Move
    from rating.doubt.ranges import Ranges
    from rating.season.season import Season

RESTATED = (
    "Some of these reviews were graded by another rubric than most; here all are weighed alike, so that "
    "a grade may differ from the published one."
)
# under this many draws a bar would be gone before it is seen
_LONG = 2_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """How weights and scores are drawn, as the options say."""

    around: str
    spreads: bool
    draws: int
    seed: int

    def options(self) -> dict[str, Any]:
        """The options of `rating.doubt.ranges`; RatingError for one that cannot be."""
        from rating.doubt.ranges import AROUND
        from rating.errors import RatingError

        refusing.hold_to(AROUND, self.around, "way to draw weights", where="--around")
        if not 1 <= self.draws <= 100_000_000:
            raise RatingError(
                f"{self.draws} draws cannot be made",
                where="--draws",
                fix="use 1 to 100,000,000; 20,000 is plenty",
            )
        if self.seed < 0:
            raise RatingError(f"{self.seed} is no seed", where="--seed", fix="use a whole number from 0 up")
        return {"around": self.around, "spreads": self.spreads, "draws": self.draws, "seed": self.seed}


@contextmanager
def progress(draws: int, releases: int) -> Iterator[Callable[[int], None] | None]:
    """A bar on standard error for work that takes over a second; nothing for less, and nothing in a pipe."""
    import sys

    if draws * max(1, releases) < _LONG * 10 or not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("drawing", total=draws)
        yield lambda done: bar.update(task, completed=done)


def drawn(season: Season, asked: Drawing, day: date | None = None) -> Ranges:
    """The ranges of the season's places, with a bar where it takes long."""
    options = asked.options()
    with progress(asked.draws, len(season.recorded.current)) as told:
        return season.ranges(as_of=day, progress=told, **options)


def ranges(season: Season, day: date, asked: Drawing, *, as_json: bool) -> None:
    """Print the range of each place."""
    from rating import text
    from rating.answers import doubt as answers

    found = drawn(season, asked, day)
    if as_json:
        printing.data(answers.ranges(found, season=season.config.name, as_of=day))
        return
    printing.say(f"{season.config.name}, as of {day.isoformat()}: how sure the places are")
    printing.say()
    names = text.short_titles([row.title for row in found.rows])
    tables.table(
        ("place", "range", "expected", "release", "first in", "before the next in"),
        [
            (
                row.place,
                f"{row.low}" if row.low == row.high else f"{row.low} to {row.high}",
                f"{row.expected:.1f}",
                tables.shorten(name, 40),
                _percent(row.shares[0]),
                _percent(float(found.wins[i, i + 1])) if i + 1 < len(found.rows) else "",
            )
            for i, (row, name) in enumerate(zip(found.rows, names, strict=True))
        ],
        right="place|range|expected|first in|before the next in",
    )
    printing.say()
    printing.paragraph(f"{_least_sure(found, names)} {basis(found)}")


def _least_sure(found: Ranges, names: list[str]) -> str:
    if len(found.rows) < 2:
        return "With fewer than two places there is nothing to doubt."
    widest = max(zip(found.rows, names, strict=True), key=lambda one: one[0].high - one[0].low)
    leaders = sorted(zip(found.rows, names, strict=True), key=lambda one: -one[0].shares[0])
    told = f"The place that is least sure is that of {widest[1]}: {widest[0].low} to {widest[0].high}."
    often, second = leaders[0], leaders[1]
    told += f" First is {often[1]} in {_percent(often[0].shares[0])} of the draws"
    told += f", {second[1]} in {_percent(second[0].shares[0])}." if second[0].shares[0] > 0 else "."
    if often[0].place not in {"1", "=1"}:
        told += " The release that leads by its grade is not the one that is first most often."
    return told


def basis(found: Ranges) -> str:
    """What a range rests on."""
    most = max((row.standard_error for row in found.rows), default=0.0)
    return (
        f"Ranges hold in nine draws of ten: {found.assumed}; {found.draws:,} draws, seed {found.seed}, "
        f"standard error of a share at most {100 * most:.2f} points."
    )


def landing(season: Season, release: str, asked: Drawing, *, as_json: bool) -> None:
    """Print what a release changed when it landed."""
    from rating.answers import doubt as answers
    from rating.doubt.landing import paragraph

    found = season.landing(release, **asked.options())
    if as_json:
        printing.data(answers.landing(found, season=season.config.name))
        return
    printing.say(f"{season.config.name}: {found.title} landed on {found.day}")
    printing.say()
    _moves(found.rows, landed=found.release)
    printing.say()
    printing.paragraph(paragraph(found))


def between(season: Season, start: str, end: str, *, as_json: bool) -> None:
    """Print what moved from one day to another."""
    from rating.answers import doubt as answers
    from rating.doubt.landing import told_between
    from rating.errors import RatingError
    from rating.season.days import day_from

    first, last = day_from(start, where="--between"), day_from(end, where="--between")
    if first >= last:
        raise RatingError(f"{start} is not before {end}", where="--between", fix="name the earlier day first")
    rows = season.moves(first, last)
    told = told_between(rows, first.isoformat(), last.isoformat())
    if as_json:
        printing.data(answers.between(rows, season=season.config.name, start=first, end=last))
        return
    printing.say(f"{season.config.name}, from {first.isoformat()} to {last.isoformat()}")
    printing.say()
    _moves(rows)
    printing.say()
    printing.paragraph(told)


def _moves(rows: tuple[Move, ...], landed: str = "") -> None:
    from rating import tenths, text

    names = text.short_titles([row.title for row in rows])
    shared = Counter(row.after for row in rows)
    shown = [
        [
            "" if row.after is None else f"={row.after}" if shared[row.after] > 1 else row.after,
            row.before or "",
            "new" if row.before is None and row.after else f"{row.moved:+d}" if row.moved else "",
            "" if row.grade is None else tenths.show(row.grade),
            "" if row.grade_before in {None, row.grade} else tenths.show(row.grade_before or 0),
            tables.shorten(name, 44),
        ]
        for row, name in zip(rows, names, strict=True)
    ]
    headers = ["place", "was", "moved", "grade", "grade was", "release"]
    if landed:
        headers += ["behind it in", "solid"]
        for line, row in zip(shown, rows, strict=True):
            is_behind = row.win_share is not None
            line += [_percent(row.win_share or 0) if is_behind else "", _solid(row)]
    tables.table(headers, shown, right="place|was|moved|grade|grade was|behind it in")


def _solid(row: Move) -> str:
    return "" if row.is_solid is None else "yes" if row.is_solid else "no"


def _percent(share: float) -> str:
    from rating.doubt.ranges import percent_text

    return percent_text(share)
