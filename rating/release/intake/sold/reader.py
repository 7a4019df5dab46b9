"""The sales on sold lists: rows of listings, matched to the checklist, whatever their columns are called."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from rating import money, text
from rating.release.checklist import Card, Parallel
from rating.release.intake import days, titles
from rating.release.intake.account import Account
from rating.release.intake.market import cells as cell_words
from rating.release.intake.market import headings
from rating.release.intake.market.strokes import parted_again
from rating.release.intake.sold import junk
from rating.release.intake.sold.lines import POST_WORDS, LineReader
from rating.release.intake.sold.table import Reader as TableReader
from rating.release.intake.sold.table import Table
from rating.release.intake.titles import Match, Matcher
from rating.release.intake.values import Doubtful, Grid, Question, ReleaseWords, Row, SeasonWords
from rating.release.intake.words import Columns, fold
from rating.release.market import Sale

_ORDERS = ("day first", "month first")
_MOST_CELLS = 200
_PRESALE = re.compile(r"\bpre[\s-]*(?:sale|sell|order|release)s?\b", re.IGNORECASE)
_RANGE = re.compile(r"\d\s*(?:to|–|-)\s*[^\d\s]{0,4}\s?\d", re.IGNORECASE)
_NOT_SOLD_PRICE = re.compile(r"^(?:n\.?/?a\.?|-+|–|—|none|tbd|\?+|unknown)?$", re.IGNORECASE)
_MONTH_DAY = re.compile(r"\b([^\W\d_]{3,10}\.? \d{1,2}) \| ((?:19|20)\d\d\b)")
_DECIMAL = re.compile(r"(\d) \| (\d\d)\b(?!\d)")


@dataclass(slots=True)
class Found:
    """The sales of the files, in the order of their rows, with everything that is to be told."""

    sales: list[Sale] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    questions: list[Question] = field(default_factory=list)
    doubtful: list[Doubtful] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    presales: list[Sale] = field(default_factory=list)


@dataclass(slots=True)
class _Entry:
    """One row of a list, its cells by their columns."""

    row: Row
    cells: dict[str, str]
    title: str
    day_cell: str
    is_date: bool


def has_header(grid: Grid, columns: Columns) -> bool:
    """Whether a sheet is a table of sales: a title, its price and something more, or a date and a price."""
    reader = TableReader(SeasonWords(), _FAR, columns)
    grid = parted_again(grid)
    found = reader.table(grid)
    if found is None:
        return False
    names = found.columns.keys()
    named = set(columns.of_row(found.header.cells).values()) if found.header else set()
    if {"date", "price"} <= named or {"date", "total"} <= named:
        return True
    if "title" in named and named & {"price", "total"} and len(named) > 2:
        return True
    body = [row for row in grid.rows[found.first :][:200] if len(row.filled) > 1]
    listings = sum(map(reader.is_listing, body))
    tells = names & {"price", "total"} and names & {"date", "how", "status"}
    return bool(tells) and "title" in names and listings * 2 > len(body) and _are_titles(body, found)


def _are_titles(body: Sequence[Row], found: Table) -> bool:
    """Whether the texts of the title's column are as long and as many as titles are."""
    cells = [cell for row in body if (cell := row.cell(found.columns["title"]))]
    long = sum(cell_words.has_words(cell, 3) for cell in cells)
    told = sum(bool(re.search(r"\d", cell)) or cell_words.has_words(cell, 5) for cell in cells)
    return long * 2 > len(cells) and told * 2 > len(cells) and len(set(cells)) * 2 > len(cells)


def looks_pasted(grid: Grid) -> bool:
    """Whether text lines hold listings: amounts of money and dates in most entries, or a line each."""
    lines = [row.text for row in grid.rows[:400]]
    if len(lines) < 2:
        return False
    reader = LineReader(_FAR)
    priced = sum(reader.has_price(line) for line in lines)
    dated = sum(days.read_day(line, _FAR) is not None for line in lines)
    worded = sum(
        bool(re.search(r"\bsold\b|\bbids?\b|best offer|buy it now", line, re.IGNORECASE)) for line in lines
    )
    whole = sum(reader.is_whole(line) and cell_words.has_words(line, 4) for line in lines)
    if whole * 2 >= len(lines):
        return True
    long = sum(cell_words.has_words(line, 4) for line in lines)
    return worded * 5 >= len(lines) and priced * 5 >= len(lines) and dated * 6 >= len(lines) and long > 0


_FAR = date(2100, 1, 1)


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
        self.lines = LineReader(self.today)
        entries = self._entries()
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
        self.currency = self._usual_currency(entries)
        self.order = self._order(entries)
        self.totals = self._what_total_means(entries)
        self.seen: dict[tuple[str, ...], int] = {}
        for entry in entries:
            self._entry(entry)
        self._ask_dates()

    def _core(self, entries: Sequence[_Entry]) -> frozenset[str]:
        """The words of the line's name that the list's titles hold; none where it hardly ever names it."""
        named = [set(titles.name_words(entry.title)) for entry in entries]
        own = set(titles.name_words(self.release.line)) or self.matcher.known.line
        spoken = [words for words in named if own & words]
        core = frozenset(
            word for word in own if sum(word in words for words in spoken) * 4 >= len(spoken) * 3
        )
        holding = sum(core <= words for words in named)
        return core if core and holding * 5 >= len(named) * 3 else frozenset()

    def _entries(self) -> list[_Entry]:
        table = TableReader(self.season, self.today, self.columns).table(self.grid)
        if table is None or ("title" not in table.columns and table.header is None):
            return self._pasted(self.grid.rows)
        entries: list[_Entry] = []
        for place, row in enumerate(self.grid.rows):
            if row is table.header or (table.header and headings.is_again(row, table.header)):
                self.account.take(row, "header")
            elif place < table.first:
                self.account.take(row, "title")
            else:
                entries.append(self._cells(row, table.columns))
        return entries

    def _cells(self, row: Row, places: Mapping[str, int]) -> _Entry:
        cells: Mapping[str, str] = {name: row.cell(place) for name, place in places.items()}
        if not self._is_in_step(row, cells):
            cells = self.lines.by_content(row)
            return _Entry(row, dict(cells), cells.get("title", ""), cells.get("date", ""), is_date=False)
        # a title stays as its seller wrote it, damaged letters and all, so that it is found again
        title = row.written.get(places.get("title", -1), cells.get("title", ""))
        return _Entry(
            row,
            dict(cells),
            title.replace("\n", " "),
            cells.get("date", ""),
            places.get("date", -1) in row.dates,
        )

    def _is_in_step(self, row: Row, cells: Mapping[str, str]) -> bool:
        """Whether a row's cells stand under their columns; a row of another width may be out of step."""
        title = cells.get("title", "")
        if not title and any(cell_words.has_words(cell, 3) for cell in row.filled):
            return False
        if cell_words.is_money(title) or cell_words.is_day(title, self.today):
            return False
        if cell_words.is_how(title) and len(row.filled) > 2:
            return False
        wrong = [
            name
            for name in ("date", "price", "postage")
            if (cell := cells.get(name, "")) and not self._may_be(name, cell)
        ]
        better = any(
            cell_words.is_day(cell, self.today) or cell_words.is_marked(cell)
            for cell in row.filled
            if cell not in cells.values()
        )
        return not (wrong and better) and len(wrong) < 2

    def _may_be(self, name: str, cell: str) -> bool:
        if name == "date":
            return days.read_day(cell, self.today) is not None and len(cell) < 41
        return re.search(r"\d", cell) is not None or not cell_words.has_words(cell, 3)

    # ------------------------------------------------------------ pasted text
    def _pasted(self, rows: Sequence[Row]) -> list[_Entry]:
        """Entries out of text without columns: a line each, or a block of lines each."""
        lines = [self._line(row) for row in rows]
        whole = sum(map(self.lines.is_whole, lines))
        if whole * 2 >= len(lines):
            found = []
            for row, line in zip(rows, lines, strict=True):
                cells = self.lines.parted(line)
                found.append(_Entry(row, cells, cells.get("title", ""), cells.get("date", ""), is_date=False))
            return found
        return [self._from_block(block) for block in self.lines.blocks(rows)]

    def _line(self, row: Row) -> str:
        """A row as a line; what commas parted is whole again."""
        joined = " | ".join(cell for cell in row.cells if cell)
        return _DECIMAL.sub(r"\1,\2", _MONTH_DAY.sub(r"\1, \2", joined))

    def _from_block(self, rows: Sequence[Row]) -> _Entry:
        for other in rows[1:]:
            self.account.take(other, "part of a listing")
        if len(rows) == 1:
            cells = self.lines.parted(self._line(rows[0]))
        else:
            cells = self.lines.of_block([one.text for one in rows])
        return _Entry(rows[0], cells, cells.get("title", ""), cells.get("date", ""), is_date=False)

    # ------------------------------------------------------------ what holds for the whole list
    def _usual_currency(self, entries: Sequence[_Entry]) -> str:
        seen: Counter[str] = Counter()
        own = self.season.currency
        for entry in entries:
            for name in ("currency", "price", "total"):
                if code := days.currency_in(entry.cells.get(name, ""), own):
                    seen[code] += 1
                    break
        usual = seen.most_common(1)[0][0] if seen else own
        if own and (own in seen or sum(seen.values()) * 2 <= len(entries)):
            return own
        if usual != own:
            why = f"most prices are in {usual}" if own else "the season has no currency yet"
            self.found.notes.append(
                f"{self.grid.file}: {why}; {usual} is taken for the prices without a mark of their own"
            )
        return usual

    def _order(self, entries: Sequence[_Entry]) -> str:
        shown = days.order_of(e.day_cell for e in entries if not e.is_date)
        self.ambiguous: list[tuple[_Entry, date, date]] = []
        self.late: list[tuple[_Entry, date]] = []
        told = self.season.answer_to(self._order_question((), "", ""))
        shown = shown or told
        self.is_shown = bool(shown)
        if shown and self.season.date_order not in {"year first", shown}:
            self.found.notes.append(
                f"{self.grid.file}: dates are written {shown}, although the season reads "
                f"{self.season.date_order}"
            )
        return shown or (self.season.date_order if self.season.date_order != "year first" else "")

    def _what_total_means(self, entries: Sequence[_Entry]) -> str:
        """Whether 'total' is price with postage: told by the rows that have all three."""
        checked = fits = 0
        for entry in entries:
            price, total = self._money(entry, "price"), self._money(entry, "total")
            postage = self._postage(entry.cells.get("postage", ""))
            if price is not None and total is not None and postage is not None and postage > 0:
                checked += 1
                fits += abs(price.amount + postage - total.amount) <= Decimal("0.02")
        if checked and fits * 2 < checked:
            self.found.notes.append(
                f"{self.grid.file}: the total differs from price and postage in most rows (tax, or several"
                " cards); the price column is used"
            )
            return "other"
        return "price and postage"

    # ------------------------------------------------------------ one row
    def _entry(self, entry: _Entry) -> None:
        row, account, cells = entry.row, self.account, entry.cells
        if why := self._why_aside(entry):
            account.aside(row, why)
            return
        priced = self._price(entry)
        if isinstance(priced, str):
            code = "missing-value" if "no price" in priced else "bad-value"
            account.problem(row, code, priced, "write the price of the sale, such as 4.50")
            return
        price, postage, currency = priced
        day = self._day(entry)
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

    def _why_aside(self, entry: _Entry) -> str:
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

    def _why_twice(self, entry: _Entry) -> str:
        """Why a row is a sale that was counted before: the same listing, or the same in every cell."""
        number = entry.cells.get("id", "")
        key = ("id", number) if number else tuple(map(text.key, entry.row.filled))
        first = self.seen.setdefault(key, entry.row.number)
        return "" if first == entry.row.number else f"the same sale as row {first}"

    def _match(self, entry: _Entry) -> Match | None:
        title = entry.title
        match = self.matcher.match(title)
        told = self.corrections.get(title_key(title))
        if told is not None and (told[0], told[2]) in self.known:
            return Match(
                subset=told[0], parallel=told[1], number=told[2], match="hand", is_slabbed=match.is_slabbed
            )
        return match

    # ------------------------------------------------------------ cells
    def _money(self, entry: _Entry, name: str) -> days.Money | None:
        return days.read_money(entry.cells.get(name, ""), self.season.currency, self.season.decimal_mark)

    def _price(self, entry: _Entry) -> tuple[Decimal, Decimal | None, str] | str:
        """Price, postage and currency; words where the price cannot be read."""
        cells = entry.cells
        cell, total_cell = cells.get("price", ""), cells.get("total", "")
        postage = self._postage(cells.get("postage", ""))
        inner = POST_WORDS.search(cell) or re.search(r"\+", cell)
        if inner and len(days.amounts_in(cell, self.season.decimal_mark)) == 2:
            first, second = days.amounts_in(cell, self.season.decimal_mark)
            paid: Decimal | None = first
            postage = postage if postage is not None else second
        elif inner and cell_words.says("postage", "free", cell):
            paid = next(iter(days.amounts_in(cell, self.season.decimal_mark)), None)
            postage = postage if postage is not None else Decimal(0)
        else:
            if _RANGE.search(cell) and len(days.amounts_in(cell, self.season.decimal_mark)) == 2:
                return f"the price is a range: {cell[:40]!r}"
            amount = self._money(entry, "price")
            paid = amount.amount if amount else None
        if cell and paid is None and not _NOT_SOLD_PRICE.match(cell.strip()):
            return f"the price is {text.printable(cell[:40])!r}"
        total = self._money(entry, "total")
        if paid is None and total is not None:
            paid, postage = (
                (total.amount - postage, postage) if postage is not None else (total.amount, Decimal(0))
            )
        elif (
            total is not None and postage is None and self.totals == "price and postage" and paid is not None
        ):
            rest = total.amount - paid
            postage = rest if rest >= 0 else None
        if paid is None:
            return "there is no price"
        if paid <= 0:
            return f"the price is {paid}"
        currency = (
            days.currency_in(cells.get("currency", ""), self.season.currency)
            or cells.get("currency", "").strip().upper()[:3]
            or days.currency_in(cell or total_cell, self.season.currency)
            or self.currency
        )
        return money.cents(paid), None if postage is None else money.cents(postage), currency

    def _postage(self, cell: str) -> Decimal | None:
        """Postage in money; None where it is blank or says nothing that can be counted."""
        if not cell.strip():
            return None
        amounts = days.amounts_in(cell, self.season.decimal_mark)
        if len(amounts) == 1 and not (
            cell_words.says("postage", "free", cell) and amounts[0] > 0 and "over" in cell.lower()
        ):
            return amounts[0]
        return Decimal(0) if cell_words.says("postage", "free", cell) else None

    def _day(self, entry: _Entry) -> date | str:
        cell = entry.day_cell
        if not cell:
            return "there is no date"
        day = days.read_day(cell, self.today)
        if day is None:
            return f"the date is {text.printable(cell[:40])!r}"
        if day.day is not None:
            found = day.day
        else:
            # day first and month first; both are dates, or the day would be certain
            both = [one for order in ("day first", "month first") if (one := day.read_as(order)) is not None]
            fits = [one for one in both if one <= self.today]
            if self.order:
                found = both[0] if self.order == "day first" else both[-1]
                if not self.is_shown:
                    self.ambiguous.append((entry, both[0], both[-1]))
            elif len(fits) == 1:
                found = fits[0]
            else:
                return f"the date {cell!r} could be {both[0]} or {both[-1]}"
        if found > self.today:
            self.late.append((entry, found))
        if found.year < 1990:
            return f"the date is {text.printable(cell[:40])!r}"
        return found

    def _ask_dates(self) -> None:
        if self.late:
            entry, day = self.late[0]
            number = len(self.late)
            self.account.remark(
                entry.row,
                "late-date",
                f"{text.count(number, 'date')} {'lies' if number == 1 else 'lie'} after today, {self.today};"
                f" the first is {day}",
                "see to the dates, or to the clock",
            )
        if not self.ambiguous:
            return
        entry, as_day, as_month = self.ambiguous[0]
        what = (
            f"{text.count(len(self.ambiguous), 'date')} such as {entry.day_cell!r} could be"
            f" {as_day} or {as_month}. Which order does this list use?"
        )
        rows = [one.row.number for one, _, _ in self.ambiguous]
        meanwhile = f"read {self.order}, as the season says"
        self.found.questions.append(self._order_question(rows, what, meanwhile))

    def _order_question(self, rows: Sequence[int], what: str, meanwhile: str) -> Question:
        return Question(
            file=self.grid.file,
            sheet=self.grid.sheet,
            row=rows[0] if rows else None,
            what=what,
            meanwhile=meanwhile,
            topic="order of dates",
            about=" ".join(part for part in (self.grid.file, self.grid.sheet) if part),
            choices=_ORDERS,
            cells=tuple(str(row) for row in rows[:_MOST_CELLS]),
            weight=max(1, len(rows)),
        )

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
