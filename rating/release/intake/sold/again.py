"""Sales of earlier lists matched to cards anew, after the checklist changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rating.release.checklist import Card, Parallel
from rating.release.intake.sold.reader import title_key
from rating.release.intake.titles import Matcher
from rating.release.intake.values import ReleaseWords, SeasonWords
from rating.release.market import SALES

_PLACES = tuple(SALES.place(name) for name in ("subset", "parallel", "number", "match"))
_TITLE, _SOURCE = SALES.place("title"), SALES.place("source")

Cells = tuple[str, ...]


def matched_anew(
    rows: Sequence[Cells],
    settled: Sequence[Cells],
    season: SeasonWords,
    *,
    cards: Sequence[Card],
    parallels: Sequence[Parallel],
    release: ReleaseWords,
    corrections: Mapping[str, tuple[str, str, str]],
    slots: Sequence[str] = (),
) -> list[Cells]:
    """Rows of sales.csv with the cards that their titles name by today's checklist.

    `settled` are sales whose cards are as they were: how sellers write their titles helps with the others.
    """
    titles: dict[str, list[str]] = {row[_SOURCE]: [] for row in rows}
    for row in settled or rows:
        titles.setdefault(row[_SOURCE], []).append(row[_TITLE])
    matchers = {
        source: Matcher(cards, parallels, season=season, release=release, titles=own, slots=slots)
        for source, own in titles.items()
    }
    known = {(card.subset, card.number) for card in cards}
    found = []
    for row in rows:
        told = corrections.get(title_key(row[_TITLE]))
        if told is not None and (told[0], told[2]) in known:
            found.append(_with(row, (*told, "hand")))
            continue
        match = matchers[row[_SOURCE]].match(row[_TITLE])
        found.append(_with(row, (match.subset, match.parallel, match.number, match.match)))
    return found


def _with(row: Cells, told: Sequence[str]) -> Cells:
    cells = list(row)
    for place, cell in zip(_PLACES, told, strict=True):
        cells[place] = cell
    return tuple(cells)
