"""What is said of a review once it is recorded: a note beside it, or a correction in its place."""

from __future__ import annotations

import re
from datetime import date, datetime

from rating import review as reviews
from rating import text
from rating.errors import RatingError
from rating.ledger.ledger import Entry, Note
from rating.season import folder
from rating.season.recorded import Recorded

# fewer letters of an id name too many reviews
_ID = re.compile(r"[0-9a-f]{6,64}", re.ASCII)
LIMIT = 2000


def named(recorded: Recorded, given: str) -> Entry:
    """The review that a word names: the first letters of its id, or a release, whose last review it then is.

    Raises
    ------
    RatingError
        if it names none, or more than one
    """
    of_release = recorded.of(given)
    if of_release:
        return of_release[-1]
    found = [entry for entry in recorded.entries if _ID.fullmatch(given) and entry.id.startswith(given)]
    if len(found) == 1:
        return found[0]
    what = f"{text.printable(given)} names {len(found)} reviews" if found else None
    releases = {entry.release for entry in recorded.entries}
    raise RatingError(
        what or f"there is no review {text.printable(given)}",
        where=folder.LEDGER_FILE,
        fix=text.hinted(
            given,
            releases,
            "name a release, or the review by what 'boxwright ledger history' shows of its id",
        ),
    )


def sentence(words: str, *, where: str) -> str:
    """What somebody says, as it is kept.

    Raises
    ------
    RatingError
        if it is blank, too long, or holds what cannot be seen
    """
    clean = text.tidy(words)
    if not clean:
        raise RatingError("it says nothing", where=where, fix="say it in a sentence")
    if len(clean) > LIMIT:
        raise RatingError(
            f"it has {len(clean):,} characters, at most {LIMIT:,} are kept", where=where, fix="say it shorter"
        )
    if mark := text.bad_marks(clean):
        raise RatingError(f"it holds the invisible mark {mark}", where=where, fix="type it again")
    return clean


def note(recorded: Recorded, entry: Entry, *, says: str, season_id: str, now: datetime) -> Note:
    """Keep beside a review what is said of it afterwards."""
    return recorded.ledger.note(
        Note(review=entry.id, says=says, noted_at=reviews.stamp(now), season_id=season_id or None)
    )


def hold_correctable(recorded: Recorded, entry: Entry, *, today: date) -> None:
    """Refuse to correct a review of a release that was withdrawn, or one of a later day.

    Raises
    ------
    RatingError
        if so
    """
    if entry.release not in recorded.current:
        raise RatingError(
            f"{entry.release} is withdrawn, so no review of it stands that could be corrected",
            where=folder.LEDGER_FILE,
            fix=f"'boxwright ledger note {entry.id[:12]} --because TEXT' says what was wrong",
        )
    if entry.published_on > today.isoformat():
        raise RatingError(
            f"this review is of {entry.published_on}, after today, {today.isoformat()}",
            where="--today",
            fix="name a later day",
        )


def puts_nothing_right(entry: Entry) -> RatingError:
    """The files say what the review says, so that there is no correction to record."""
    return RatingError(
        f"graded again, {entry.release} gets the same as before, so nothing has been corrected yet",
        where=folder.LEDGER_FILE,
        fix=(
            f"correct its files or scores first; what was wrong in words alone, "
            f"'boxwright ledger note {entry.id[:12]} --because TEXT' keeps"
        ),
    )
