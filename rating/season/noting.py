"""A box that somebody opened, put into a release's opened.csv.

What a file counts must be counted in every box: a kind of card that is written down only where it is found
looks more common than it is. So the first box says what is noted, every box after it is noted alike, and a
line that was looked for and not found has a row of its own with the count 0.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from rating import text
from rating.errors import RatingError
from rating.facts.falling.lines import CardLine, lines_of
from rating.release import OPENED, edit_csv
from rating.release.checklist import Card, plain_number
from rating.release.market import OpenedRow
from rating.season import folder
from rating.season.season import Season

# what a first box may note
NOTED = ("hits", "numbered", "all")
Pull = tuple[CardLine, Card]


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A box that is being noted: what it is of, and the lines that every box of the format is noted by.

    is_first
        whether no box of the format was noted before, so that what is noted is still open
    lines
        those of the format
    noted
        those that are counted; all others are left out
    """

    release: str
    title: str
    day: date
    product_format: str
    is_first: bool
    lines: tuple[CardLine, ...]
    noted: tuple[CardLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Logged:
    """A box as it was written: how many boxes the file now has of that day and format, and what was in it."""

    file: str
    boxes: int
    pulls: tuple[tuple[CardLine, Card, int], ...]


def begin(season: Season, slug: str, *, packed: str, day: date, noting: str = "") -> Box:
    """The box to be noted.

    Parameters
    ----------
    packed : the key of its format, '' for the headline format
    noting : one of NOTED, '' for hits; only for the first box of a format

    Raises
    ------
    rating.errors.RatingError
        if there is no checklist or no such format, the day is still to come, or boxes before it were noted by
        something else
    """
    release = season.files.release(slug)
    sheet = release.sheet
    key = packed or sheet.headline
    folder.hold_format(sheet, key, where="--format")
    if not release.cards:
        raise RatingError(
            "there is no checklist yet to find cards in",
            where=f"{folder.RELEASES}/{slug}",
            fix=f"take it in with 'boxwright intake {slug} FILE'",
        )
    if day > season.today:
        raise RatingError(
            f"{day.isoformat()} is after today", where="--on", fix="name the day on which you opened it"
        )
    lines = tuple(one for one in lines_of(release) if key in one.formats)
    known = {
        _name(one.subset, one.parallel) for one in release.opened or () if one.format == key and one.subset
    }
    if known and noting:
        raise RatingError(
            "boxes of this format were noted before, and every box must be noted the same way",
            where="--noting",
            fix=f"leave it out: what {OPENED.file} counts is counted in this box too",
        )
    noted = (
        [one for one in lines if _name(one.subset, one.parallel) in known]
        if known
        else [one for one in lines if _is_noted(one, noting or NOTED[0])]
    )
    return Box(
        release=slug,
        title=sheet.title,
        day=day,
        product_format=key,
        is_first=not known,
        lines=lines,
        noted=tuple(noted),
    )


def _is_noted(line: CardLine, noting: str) -> bool:
    return noting == "all" or line.is_hit or (noting == "numbered" and line.is_of("numbered"))


def _name(subset: str, parallel: str) -> tuple[str, str]:
    return text.key(subset), text.key(parallel)


# finding cards -------------------------------------------------------------------------------------------


def cards_named(box: Box, words: str) -> list[Card]:
    """The cards of the lines that are noted which a number, or parts of a name, may mean."""
    cards = list(dict.fromkeys(card for line in box.noted for card in line.cards))
    wanted = plain_number(words)
    if wanted and (exact := [card for card in cards if plain_number(card.number) == wanted]):
        return exact
    parts = _folded(words).split()
    return [card for card in cards if parts and all(part in _told(card) for part in parts)]


def versions(box: Box, card: Card) -> list[CardLine]:
    """The lines that are noted in which a card can be, its base version first."""
    return [line for line in box.noted if card in line.cards]


def pull_named(box: Box, words: str) -> Pull:
    """The one card that words such as 'INK-1' or 'quenby: Gold' mean.

    Raises
    ------
    rating.errors.RatingError
        if they mean none, or several
    """
    name, _, parallel = (part.strip() for part in words.partition(":"))
    found = cards_named(box, name)
    if not found:
        raise RatingError(
            f"no card that is noted goes by {text.printable(name)!r}",
            where="--card",
            fix="write its number, or more of its name; cards beyond what is noted are left out",
        )
    pulls = [(line, card) for card in found for line in versions(box, card)]
    exact = [one for one in pulls if text.key(one[0].parallel) == text.key(parallel)]
    if len(exact) != 1:
        listed = text.some([told(*one) for one in exact or pulls], most=5)
        raise RatingError(
            f"{text.printable(words)!r} can be {listed}",
            where="--card",
            fix="write the number and the version, such as 'INK-1: Gold'",
        )
    return exact[0]


def told(line: CardLine, card: Card) -> str:
    """A card in a version, as one says it."""
    return f"{' / '.join(card.subjects)}, {line.name} {card.number}"


def _told(card: Card) -> str:
    return _folded(" ".join((card.subset, card.number, *card.subjects)))


def _folded(words: str) -> str:
    """Words without accents, as they are typed in a hurry."""
    plain = unicodedata.normalize("NFKD", text.key(words))
    return "".join(mark for mark in plain if not unicodedata.combining(mark))


# writing -------------------------------------------------------------------------------------------------


def log(season: Season, box: Box, pulls: Sequence[Pull]) -> Logged:
    """Put a box into opened.csv in one step. Rows of the same day and format speak of one box more.

    Raises
    ------
    rating.errors.RatingError
        if the file has errors or cannot be written; then nothing is
    """
    shown = f"{folder.RELEASES}/{box.release}/{OPENED.file}"

    def edit(rows: Sequence[OpenedRow]) -> edit_csv.Edit:
        same = _of_the_day(rows, box)
        boxes = 1 + max((one.boxes for one in same), default=0)
        return edit_csv.Edit(
            _added(box, same, pulls, boxes), lambda cells: _changed(cells, box, pulls, boxes)
        )

    rows = edit_csv.in_table(folder.release_folder(season.path, box.release), OPENED, shown=shown, edit=edit)
    boxes = max((one.boxes for one in _of_the_day(rows, box)), default=1)
    return Logged(file=shown, boxes=boxes, pulls=_counted(pulls))


def _of_the_day(rows: Sequence[OpenedRow], box: Box) -> list[OpenedRow]:
    return [one for one in rows if one.day == box.day and one.format == box.product_format]


def _counted(pulls: Sequence[Pull]) -> tuple[tuple[CardLine, Card, int], ...]:
    """Each card in its version once, with how often it was pulled."""
    return tuple((*one, pulls.count(one)) for place, one in enumerate(pulls) if one not in pulls[:place])


def _added(box: Box, same: Sequence[OpenedRow], pulls: Sequence[Pull], boxes: int) -> list[dict[str, str]]:
    """The rows that the file lacks: cards that were found, and lines without any."""
    there = {(*_name(one.subset, one.parallel), plain_number(one.number)) for one in same}
    rows = [
        (line, card.number, count)
        for line, card, count in _counted(pulls)
        if (*_name(line.subset, line.parallel), plain_number(card.number)) not in there
    ]
    counted = {_name(one.subset, one.parallel) for one in same}
    counted |= {_name(line.subset, line.parallel) for line, _, _ in rows}
    rows += [(line, "", 0) for line in box.noted if _name(line.subset, line.parallel) not in counted]
    start = (box.day.isoformat(), box.product_format, str(boxes))
    return [
        dict(zip(OPENED.names, (*start, line.subset, line.parallel, number, str(count)), strict=True))
        for line, number, count in rows
    ]


def _changed(cells: edit_csv.Cells, box: Box, pulls: Sequence[Pull], boxes: int) -> edit_csv.Cells:
    """A row of the same day and format, with one box more and what was found in it."""
    day, packed = text.tidy(cells.get("date", "")), text.key(cells.get("format", ""))
    if (day, packed) != (box.day.isoformat(), text.key(box.product_format)):
        return cells
    own = (*_name(cells.get("subset", ""), cells.get("parallel", "")), plain_number(cells.get("number", "")))
    more = sum((*_name(line.subset, line.parallel), plain_number(card.number)) == own for line, card in pulls)
    count = cells.get("count", "")
    return {**cells, "boxes": str(boxes), "count": str(int(count or 0) + more) if more or count else count}
