"""Where an export goes, the log that says to whom, and what is said once it is written."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rating.cli.shared import printing

if TYPE_CHECKING:
    from datetime import datetime

    from rating.season.season import Season


def folder(season: Season, into: Path | None) -> Path:
    """Where an export goes: where a person said, else a folder of the season for the day."""
    from rating.season import handed

    return into or season.path / handed.FOLDER / season.today.isoformat()


def hand_out(
    season: Season, into: Path | None, write: Callable[[Path], Sequence[Path]], *, to: str, as_json: bool
) -> None:
    """Write an export into a folder, log to whom it goes, and say what was written and what is left out.

    Parameters
    ----------
    into : where a person said; by default a folder of the season for the day
    write : writes into a folder and gives the files
    """
    from datetime import UTC, datetime

    from rating.answers import files
    from rating.season import handed
    from rating.season.folder import shown_paths

    receiver = handed.receiver(to)
    handed.hold_ready(season.path)
    paths = list(write(folder(season, into)))
    held = season.held_back()
    log(season, paths, to=receiver, now=datetime.now(UTC))
    shown = shown_paths(paths, Path.cwd())
    if as_json:
        printing.data(files.exported(shown, held))
    else:
        printing.wrote(shown)
    for slug, day in held.items():
        printing.remark(f"remark: {slug} is left out: it is under embargo until {day.isoformat()}")


def log(
    season: Season, paths: Sequence[Path], *, to: str, now: datetime, reviews: Sequence[str] | None = None
) -> None:
    """Add to the log of exports which files went to whom.

    `reviews` are those that the files show, by default all that are current and not held back.
    """
    from rating.season import handed

    if reviews is None:
        held = season.held_back()
        entries = [entry for entry in season.recorded.entries if entry.release not in held]
        reviews = [row.review for row in season.rank(entries=entries)]
    handed.log(season.path, paths, to=to, head=season.recorded.tree_head, reviews=reviews, now=now)


def log_ledger(season: Season, path: Path, *, to: str, now: datetime, head: str, reviews: int) -> None:
    """Add to the log of exports to whom the whole ledger went, with the head over its reviews."""
    from rating.season import handed

    handed.log(season.path, [path], to=to, head=head, reviews=handed.all_of(reviews), now=now)


def remark_embargo(season: Season) -> None:
    """Say which releases are under embargo and yet in the ledger, which is handed out whole."""
    for slug, day in season.held_back().items():
        if season.recorded.of(slug):
            until = day.isoformat()
            printing.remark(f"remark: {slug} is in it and under embargo until {until}: ask to keep it close")


def say_head(head: str, reviews: int) -> None:
    """Print the head over some reviews, on a line of its own to copy."""
    from rating.export import notices

    printing.say(f"The head, which covers {notices.covered(reviews)}:")
    printing.say(f"  {head}")
