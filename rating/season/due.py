"""What of the ledger is due: reviews that files have outrun, later stages, provisional scores, no review.

It is what `tonight` knows, asked of every release, and each reviewed one graded anew, since a checklist that
was revised or a rate that was added has no day.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from rating.errors import RatingError
from rating.ledger.ledger import Entry
from rating.season import outrun
from rating.season.outrun import Need
from rating.season.season import Season
from rating.season.tonight import Due, in_order, not_reviewed


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerDue:
    """What is due on a day, by why it is.

    outrun
        reviews that say something else than the files do now
    stages
        reviews whose release has reached a later stage
    provisional
        reviews with scores that count as provisional
    not_reviewed
        releases that are out and have no review
    """

    day: date
    outrun: tuple[Due, ...]
    stages: tuple[Due, ...]
    provisional: tuple[Due, ...]
    not_reviewed: tuple[Due, ...]

    @property
    def is_nothing(self) -> bool:
        """Whether nothing is due."""
        return not (self.outrun or self.stages or self.provisional or self.not_reviewed)


def ledger_due(
    season: Season, *, whole: bool = True, progress: Callable[[int], None] | None = None
) -> LedgerDue:
    """What of the ledger is due.

    Parameters
    ----------
    whole : grade each reviewed release anew; without it what has no day is not found
    progress : told how many reviews were looked at
    """
    found: dict[str, list[Due]] = {"outrun": [], "stages": [], "provisional": []}
    for number, (slug, entry) in enumerate(season.recorded.current.items()):
        if progress is not None:
            progress(number)
        try:
            title = season.files.sheet(slug).title
            release = season.files.release(slug)
        except RatingError:
            need = Need(what="its files have errors, or are gone", settle=f"boxwright check {slug}")
            found["outrun"].append(_due(slug, entry.title, entry, [need]))
            continue
        for kind, needs in (
            ("outrun", outrun.moved(season, release, slug, entry, whole=whole)),
            ("stages", outrun.stage_due(release, slug, entry, today=season.today)),
            ("provisional", outrun.provisional(season, slug, entry)),
        ):
            if told := list(needs):
                found[kind].append(_due(slug, title, entry, told))
    out, _ = not_reviewed(season, days=0)
    missing = tuple(in_order(one for one in out if one.day))
    return LedgerDue(
        day=season.today, not_reviewed=missing, **{kind: tuple(due) for kind, due in found.items()}
    )


def _due(slug: str, title: str, entry: Entry, needs: list[Need]) -> Due:
    why = f"reviewed on {entry.published_on} at the stage {entry.stage}"
    return Due(
        release=slug, title=title, day=date.fromisoformat(entry.published_on), why=why, needs=tuple(needs)
    )
