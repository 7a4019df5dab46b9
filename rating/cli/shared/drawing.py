"""How weights and scores are drawn, as the options say, with a bar where it takes long."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from rating.cli.shared import refusing

if TYPE_CHECKING:
    from rating.doubt.ranges import Ranges
    from rating.season.season import Season

# under so many draws of a release a bar would be gone before it is seen
_LONG = 20_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """What the options say of drawing."""

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
            raise RatingError(
                f"{self.seed} is not a seed", where="--seed", fix="use a whole number from 0 up"
            )
        return {"around": self.around, "spreads": self.spreads, "draws": self.draws, "seed": self.seed}


def drawn(season: Season, asked: Drawing, day: date | None = None) -> Ranges:
    """The ranges of the season's places on a day, today where none is given."""
    options = asked.options()
    with progress(asked.draws, len(season.recorded.current)) as tick:
        return season.ranges(as_of=day, progress=tick, **options)


@contextmanager
def progress(draws: int, releases: int) -> Iterator[Callable[[int], None] | None]:
    """A bar on standard error for work that takes over a second; nothing for less, and nothing in a pipe."""
    if draws * max(1, releases) < _LONG:
        yield None
        return
    with bar("drawing", draws) as tick:
        yield tick


@contextmanager
def bar(words: str, total: int) -> Iterator[Callable[[int], None] | None]:
    """A bar on standard error, told how much of a total is done; nothing in a pipe."""
    import sys

    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as shown:
        task = shown.add_task(words, total=total)
        yield lambda done: shown.update(task, completed=done)
