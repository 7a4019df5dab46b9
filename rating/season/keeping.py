"""Looking after a season's ledger: backups, putting one back, handing it on as text, joining copies."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from rating.errors import RatingError, errors_in
from rating.ledger import backups, head, lines, merkle, verifying
from rating.ledger.ledger import Ledger
from rating.ledger.merging import Content, Merged
from rating.release.swap import write_whole
from rating.season.files import SeasonFiles

OLD = timedelta(days=14)


@dataclass(frozen=True, slots=True)
class BackedUp:
    """A backup that was made, how many reviews are in it, their head, and the older ones that went."""

    path: Path
    reviews: int
    head: str
    gone: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Exported:
    """How many reviews were written as lines, and the head over them."""

    reviews: int
    head: str


@dataclass(frozen=True, slots=True)
class Restored:
    """How many reviews the ledger has now, those that only the one before had, and where that is.

    `lost_notes` are the notes that only the one before had.
    """

    reviews: int
    lost: tuple[str, ...]
    aside: Path | None
    lost_notes: tuple[str, ...] = ()


def back_up(files: SeasonFiles, *, now: datetime) -> BackedUp:
    """Copy the ledger, look the copy over, and keep the last so many.

    Raises
    ------
    RatingError
        if there is no ledger, it is not sound, or the disk refuses
    """
    ledger = files.recorded.ledger
    ledger.need()
    _hold_sound(ledger.path, files.config.season_id, with_head=True)
    target = ledger.back_up(backups.name_at(ledger.path, now.astimezone(UTC)))
    _hold_sound(target, files.config.season_id, with_head=False)
    gone = backups.prune(ledger.path, files.config.keep, newest=target)
    copy = Ledger(target, files.config.season_id)
    return BackedUp(target, len(copy.ids()), copy.tree_head(), tuple(gone))


def nudge(files: SeasonFiles, *, now: datetime) -> str:
    """What to say where the last backup is old, '' where it is not, or little is to lose."""
    ledger = files.recorded.ledger
    copies = backups.kept(ledger.path)
    last = backups.moment_of(copies[-1]) if copies else None
    if last is None:
        return "There is no backup of the ledger yet: 'boxwright ledger backup' makes one."
    age = now - last
    if age <= OLD:
        return ""
    return f"The last backup of the ledger is {age.days} days old: 'boxwright ledger backup' makes a new one."


def restore(files: SeasonFiles, copy: Path, *, even_if_lost: bool) -> Restored:
    """Put a copy in the place of the ledger.

    Raises
    ------
    RatingError
        if the copy is not sound, or lacks reviews that the ledger has and nobody said that they may go
    """
    ledger = files.recorded.ledger
    _hold_file(copy)
    _hold_sound(copy, files.config.season_id, with_head=False)
    there, noted = _ids_of(Ledger(copy, files.config.season_id))
    here, noted_here = _ids_of(ledger)
    lost, lost_notes = (
        tuple(one for one in mine if one not in theirs)
        for mine, theirs in ((here, there), (noted_here, noted))
    )
    if (lost or lost_notes) and not even_if_lost:
        told = f"{len(lost)} of the reviews" if lost else f"{len(lost_notes)} of the notes"
        raise RatingError(
            f"{copy.name} lacks {told} that the ledger has",
            where=str(copy),
            fix=f"'boxwright ledger merge {copy}' keeps them all; --even-if-lost goes on without them",
        )
    aside = ledger.restore(copy)
    return Restored(len(there), lost, aside, lost_notes)


def _ids_of(ledger: Ledger) -> tuple[list[str], list[str]]:
    """The reviews and the notes of a ledger, none where it can no longer be read."""
    try:
        notes = [note.id for told in ledger.notes().values() for note in told]
        return [entry.id for entry in ledger.entries()], notes
    except RatingError:
        return [], []


def export(files: SeasonFiles, target: Path) -> Exported:
    """Write the ledger as lines of JSON.

    Raises
    ------
    RatingError
        if there is no ledger, the file would take its place, or the disk refuses
    """
    ledger = files.recorded.ledger
    ledger.need()
    for own in (ledger.path, head.beside(ledger.path)):
        if target.exists() and own.exists() and target.samefile(own):
            raise RatingError(
                f"{own.name} is the season's own, and nothing is written over it",
                where=str(target),
                fix="name another file, such as ledger.jsonl",
            )
    content, season_id = ledger.content(), files.config.season_id
    write_whole(target, "".join(lines.written(content, season_id=season_id)).encode())
    ids = [one.id for one in content.reviews]
    return Exported(len(ids), merkle.head(season_id, ids))


def take_over(files: SeasonFiles, source: Path) -> Merged:
    """Begin a ledger from exported lines, where there is none yet.

    Raises
    ------
    RatingError
        if there is a ledger, or the lines are not those of this season
    """
    if files.recorded.ledger.exists:
        raise RatingError(
            "there is a ledger already",
            where=files.recorded.ledger.path.name,
            fix=f"'boxwright ledger merge {source}' adds what it lacks",
        )
    return _joined(files, _content(files, source))


def merge(files: SeasonFiles, source: Path) -> Merged:
    """Add the reviews of another copy, a database or exported lines.

    Raises
    ------
    RatingError
        if it is this very ledger, not sound, or of another season
    """
    ledger = files.recorded.ledger
    _hold_file(source)
    if ledger.path.exists() and source.samefile(ledger.path):
        raise RatingError("this is the season's own ledger", where=str(source), fix="name the other copy")
    return _joined(files, _content(files, source))


def _joined(files: SeasonFiles, content: Content) -> Merged:
    merged = files.recorded.ledger.merge(content)
    files.recorded.forget()
    return merged


def _content(files: SeasonFiles, source: Path) -> Content:
    _hold_file(source)
    season_id = files.config.season_id
    with source.open("rb") as file:
        is_database = file.read(16) == b"SQLite format 3\0"
    if is_database:
        _hold_sound(source, season_id, with_head=False)
        return Ledger(source, season_id).content()
    with source.open("rb") as file:
        long_lines = iter(lambda: file.readline(lines.LINE_LIMIT + 1), b"")
        content, found = lines.read(long_lines, file=source.name)
    if found != season_id:
        raise RatingError(
            "these reviews belong to another season", where=source.name, fix="name a file of this one"
        )
    return _verified(content, files, source)


def _verified(content: Content, files: SeasonFiles, source: Path) -> Content:
    """Hold lines to what `verify` holds a ledger to, in a ledger of their own."""
    import tempfile

    with tempfile.TemporaryDirectory(prefix="boxwright-") as folder:
        trial = Ledger(Path(folder) / "ledger.db", files.config.season_id)
        trial.merge(content)
        wrong = errors_in(trial.verify())
    if wrong:
        raise RatingError(
            f"its reviews are not sound: {wrong[0].what}", where=source.name, fix="export it again"
        )
    return content


def _hold_file(path: Path) -> None:
    if not path.is_file():
        raise RatingError("there is no such file", where=str(path), fix="name a copy of the ledger")


def _hold_sound(path: Path, season_id: str, *, with_head: bool) -> None:
    """Refuse a ledger in which anything is wrong."""
    if wrong := errors_in(verifying.verify(path, season_id=season_id, with_head=with_head)):
        raise RatingError(wrong[0].what, where=wrong[0].where, fix=wrong[0].fix)


def conflicted(ledger: Path) -> list[Path]:
    """Copies that sync programs leave beside a ledger where two machines changed it."""
    known = {ledger.name}
    found = ledger.parent.glob(f"{ledger.stem}*{ledger.suffix}")
    return sorted(
        path for path in found if path.name not in known and not path.name.startswith(f"{ledger.stem}.aside-")
    )
