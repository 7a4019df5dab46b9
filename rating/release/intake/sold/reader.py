"""The sales on sold lists: rows of listings, matched to the checklist, whatever their columns are called."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import titles
from rating.release.intake.account import Account
from rating.release.intake.market import cells as cell_words
from rating.release.intake.market.strokes import parted_again
from rating.release.intake.sold import junk
from rating.release.intake.sold.amounts import Amounts
from rating.release.intake.sold.dates import Dates
from rating.release.intake.sold.entries import Entries, Entry
from rating.release.intake.titles import Match, Matcher
from rating.release.intake.values import Doubtful, Grid, Question, ReleaseWords, SeasonWords
from rating.release.intake.words import Columns, fold
from rating.release.market import Sale

_PRESALE = re.compile(r"\bpre[\s-]*(?:sale|sell|order|release)s?\b", re.IGNORECASE)


@dataclass(slots=True)
class Found:
    """The sales of the files, in the order of their rows, with everything that is to be told."""

    sales: list[Sale] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    doubtful: list[Doubtful] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    presales: list[Sale] = field(default_factory=list)


def title_key(title: str) -> str:
    """A title as corrections are remembered: without the copy's number and the grade of a slab."""
    bare = re.sub(r"\b\d{1,5}\s*/\s*(\d{1,5})\b", r"/\1", fold(title))
    return " ".join(re.findall(r"[a-z0-9/\ufffd]+", bare))


def read(
    grids: Sequence[Grid],
    season: SeasonWords,
    *,
    today: date,
    cards: Sequence[Card],
    parallels: Sequence[Parallel] = (),
    release: ReleaseWords | None = None,
    corrections: Mapping[str, tuple[str, str, str]] | None = None,
    slots: Sequence[str] = (),
) -> Found:
    """The sales on sold lists, matched to the checklist.

    Parameters
    ----------
    slots : what slots of breaks are called: teams that titles may name
    corrections : what a person said of a title (by `title_key`): subset, parallel and number
    """
    reader = _Reader(season, today, cards, parallels, release or ReleaseWords(), corrections or {}, slots)
    for grid in grids:
        reader.sheet(grid)
    return reader.found


class _Reader:
    def __init__(
        self,
        season: SeasonWords,
        today: date,
        cards: Sequence[Card],
        parallels: Sequence[Parallel],
        release: ReleaseWords,
        corrections: Mapping[str, tuple[str, str, str]],
        slots: Sequence[str],
    ) -> None:
        self.season, self.today, self.release, self.corrections = season, today, release, corrections
        self.cards, self.parallels, self.slots = cards, parallels, slots
        self.found = Found()
        self.columns = Columns("sold", season.columns)
        known = {(card.subset, card.number) for card in cards}
        self.known = known

    # ------------------------------------------------------------ a list
    def sheet(self, grid: Grid) -> None:
        grid = parted_again(grid)
        self.grid, self.account = grid, Account(grid, "sold list")
        self.found.accounts.append(self.account)
        reader = Entries(grid, self.account, self.season, self.today, self.columns)
        entries = reader.read()
        self.matcher = Matcher(
            self.cards,
            self.parallels,
            season=self.season,
            release=self.release,
            titles=[entry.title for entry in entries if not junk.state_of(entry.cells, entry.title)],
            slots=self.slots,
        )
        years = Counter(year for entry in entries for year in titles.years_in(entry.title))
        told = titles.years_in(self.release.title) or (
            {self.release.released_on.year, self.release.released_on.year - 1}
            if self.release.released_on
            else set()
        )
        self.years = told or ({years.most_common(1)[0][0]} if years else set())
        self.core = self._core(entries)
        self.amounts = Amounts(grid.file, self.season, entries)
        self.dates = Dates(grid, self.account, self.season, self.today, entries, reader.heads)
        self.seen: dict[tuple[str, ...], int] = {}
        for entry in entries:
            self._entry(entry)
        self.dates.ask()
        self.found.notes += (*self.amounts.notes, *self.dates.notes)
        self.found.questions += self.dates.questions

    def _core(self, entries: Sequence[Entry]) -> frozenset[str]:
        """The words of the line's name that the list's titles hold; none where it hardly ever names it."""
        named = [set(titles.name_words(entry.title)) for entry in entries]
        own = set(titles.name_words(self.release.line)) or self.matcher.known.line
        spoken = [words for words in named if own & words]
        core = frozenset(
            word for word in own if sum(word in words for words in spoken) * 4 >= len(spoken) * 3
        )
        holding = sum(core <= words for words in named)
        return core if core and holding * 5 >= len(named) * 3 else frozenset()

    # ------------------------------------------------------------ what holds for the whole list
    # ------------------------------------------------------------ one row
    def _entry(self, entry: Entry) -> None:
        row, account, cells = entry.row, self.account, entry.cells
        if why := self._why_aside(entry):
            account.aside(row, why)
            return
        priced = self.amounts.price(entry)
        if isinstance(priced, str):
            code = "missing-value" if "no price" in priced else "bad-value"
            account.problem(row, code, priced, "write the price of the sale, such as 4.50")
            return
        price, postage, currency = priced
        day = self.dates.day(entry)
        if isinstance(day, str):
            account.problem(row, "bad-date", day, "write the date as 2031-03-12")
            return
        match = self._match(entry)
        if match is None:
            return
        condition = "slabbed" if match.is_slabbed or self._is_slabbed(cells.get("condition", "")) else "raw"
        is_presale = bool(_PRESALE.search(entry.title)) or (
            self.release.released_on is not None and day < self.release.released_on
        )
        if not match.match:
            self.found.doubtful.append(
                Doubtful(
                    file=self.grid.file,
                    row=row.number,
                    title=entry.title,
                    why=match.why,
                    guesses=match.guesses,
                )
            )
        sale = Sale(
            day=day,
            subset=match.subset,
            parallel=match.parallel,
            number=match.number,
            price=price,
            postage=postage,
            currency=currency,
            how=_how(cells),
            condition=condition,
            title=entry.title[:500],
            source=self.grid.file,
            match=match.match,
            row=row.number,
        )
        self.found.sales.append(sale)
        if is_presale:
            self.found.presales.append(sale)
        account.take(row, "sale")

    def _why_aside(self, entry: Entry) -> str:
        """Why a row is no sale of one card; nothing where it may be one."""
        cells, title = entry.cells, entry.title
        if why := junk.state_of(cells, title):
            return why
        if not cell_words.has_words(title, 1):
            if any(
                re.match(r"\W*(?:totals?|sum|count|rows|average|median|mean)\b", cell, re.IGNORECASE)
                for cell in entry.row.filled
            ):
                return "a line of totals"
            return "no title" if any(cells.values()) else "no listing in the row"
        return junk.what_else(title, cells, self.matcher) or self._why_other(title) or self._why_twice(entry)

    def _why_other(self, title: str) -> str:
        """Why a title is of another release."""
        years = titles.years_in(title)
        if years and self.years and not years & self.years:
            return f"another product: {max(years)}"
        words = titles.name_words(title)
        bare = f" {' '.join(words)} "
        own = set(titles.name_words(self.release.line))
        for line in self.season.other_lines:
            if f" {' '.join(titles.name_words(line))} " in bare and not (own and own <= set(words)):
                return f"another product: {line}"
        missing = [word for word in self.core if word not in words]
        if not missing or all(any(titles.is_like(word, other) for other in words) for word in missing):
            return ""
        if unknown := self.matcher.unknown_words(title):
            return f"another product: {unknown[0]!r} in place of this one's name"
        return "another product: this one's name is not in the title"

    def _why_twice(self, entry: Entry) -> str:
        """Why a row is a sale that was counted before: the same listing, or the same in every cell."""
        number = entry.cells.get("id", "")
        key = ("id", number) if number else tuple(map(text.key, entry.row.filled))
        first = self.seen.setdefault(key, entry.row.number)
        return "" if first == entry.row.number else f"the same sale as row {first}"

    def _match(self, entry: Entry) -> Match | None:
        title = entry.title
        match = self.matcher.match(title)
        told = self.corrections.get(title_key(title))
        if told is not None and (told[0], told[2]) in self.known:
            return Match(
                subset=told[0], parallel=told[1], number=told[2], match="hand", is_slabbed=match.is_slabbed
            )
        return match

    def _is_slabbed(self, cell: str) -> bool:
        bare = cell.strip().lower()
        if not bare or re.search(r"\b(?:un|not )graded\b|ungraded|\braw\b|^no$|^n$", bare):
            return False
        return (
            re.search(r"\bslab|\bgraded\b|^(?:[a-z]{2,5}\s?)?(?:10|[1-9](?:\.5)?)$|^yes$|\bgem\b", bare)
            is not None
        )


def _how(cells: Mapping[str, str]) -> str:
    if how := cell_words.how_sold(cells.get("how", "")) or cell_words.how_sold(cells.get("status", "")):
        return how
    bids = cells.get("bids", "")
    return "auction" if bids.isdigit() and int(bids) > 0 else ""
