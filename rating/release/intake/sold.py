"""Sold lists: rows of listings as sales of cards, everything that is no sale of one card set aside."""

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
from rating.release.intake.titles import Match, Matcher
from rating.release.intake.values import Doubtful, Grid, Question, ReleaseWords, Row, SeasonWords
from rating.release.intake.words import Columns, fold
from rating.release.market import Sale

_ASKING = re.compile(
    r"\b(?:asking|ask|for sale|unsold|not sold|active|current bid|watching|listed at"
    r"|buy now price|still listed|relisted|no sale|open|live)\b",
    re.IGNORECASE,
)
_REMOVED = re.compile(
    r"\b(?:listing (?:was )?(?:removed|ended|deleted)|removed|cancel(?:l)?ed|ended early"
    r"|withdrawn|deleted|no longer available|refunded|returned|unpaid|void(?:ed)?"
    r"|not paid)\b",
    re.IGNORECASE,
)
_LOT = re.compile(
    r"\blots?\b|\bbundle\b|\bbulk\b|\bjob lot\b|\b(?:u|you|your)[\s-]*(?:pick|choose"
    r"|choice)\b|\bpick (?:your|from|a|any|one)\b|\bchoose (?:your|from)\b|\bchoice of\b"
    r"|\bcomplete your set\b|\bteam set\b|\bteam lot\b|\bplayer lot\b"
    r"|(?<![\w#/.])x\s?(?:[2-9]|[1-9]\d+)\b(?!/)|(?<![\w#/.])(?:[2-9]|[1-9]\d+)\s?x(?=\s)"
    r"|(?<![\w#/.-])(?<!#\s)(?<!\bno\.\s)(?<!\bno\s)(?<!\bof\s)(?<!/\s)(?!(?:19"
    r"|20)\d\d\b)(?:[2-9]|[1-9]\d+)(?:[\s-](?:cards|ct|count)\b|-card\b|\scard\s(?=lot"
    r"|bundle|collection|group|assort))(?! (?:set|per))"
    r"|\(\s*(?:[2-9]|[1-9]\d+)\s*\)(?!\s*/)|\bpair of\b|\bset of (?:[2-9]|[1-9]\d+)\b"
    r"|\brunning list\b|\bseveral\b|\bassorted\b|\bstarter collection\b",
    re.IGNORECASE,
)
_SET = re.compile(
    r"\b(?:complete|full|entire|whole|master|factory|hand[\s-]*collated"
    r"|near)[\s-]+(?:\w+[\s-]+){0,3}?set\b|\bset\s+(?:complete|break\s*up)\b"
    r"|\bcomplete\s+(?:run|insert|rainbow)\b|\brainbow\s+(?:set|complete)\b"
    r"|#?\b1\s?(?:-|–|to|thru|through)\s?#?\d{2,4}\b(?=.*\bset\b)|\bset\b.*#?\b1\s?(?:-|–"
    r"|to|thru|through)\s?#?\d{2,4}\b",
    re.IGNORECASE,
)
_SEALED = re.compile(
    r"\b(?:hobby|retail|jumbo|blaster|mega|hanger|fat|value|cello|display|sealed|wax"
    r"|booster|inner|master|collector)s?[\s-]+(?:\w+[\s-]+)?(?:box(?:es)?|cases?|packs?"
    r"|tins?|blasters?)\b"
    r"|\b(?:box|case|packs?|tin|blaster|hanger)\b.{0,30}\b(?:sealed|unopened)\b"
    r"|\b(?:sealed|unopened)\b.{0,30}\b(?:box(?:es)?|cases?|packs?|wax|tin)\b"
    r"|\b(?:factory\s+)?sealed\b|\bunopened\b|\bcase of \d+\b",
    re.IGNORECASE,
)
_SEALED_HARD = re.compile(r"\b(?:sealed|unopened)\b", re.IGNORECASE)
_BREAK = re.compile(
    r"\b(?:box|case|group|team|live|random|hit)[\s-]+breaks?\b|\bbreak\s*(?:spots?|#\d+"
    r"|slots?)\b|\b(?:team|random)\s+(?:spot|slot)\b|\bpersonal break\b|\brip and ship\b"
    r"|\brazz\b",
    re.IGNORECASE,
)
_NOT_CARD = re.compile(
    r"\b(?:reprint(?:ed)?|custom(?:\s+made)?|facsimile|proxy|replica|digital|fan[\s-]?made"
    r"|novelty|art card|aceo|copy of|homemade)\b"
    r"|\b(?:empty|wrapper|wrappers|poster|sticker sheet|binder|album|supplies"
    r"|toploaders? only|box only|display box only|magnet|pin\b|figurine|t-?shirt|puck\b"
    r"|ticket|(?:jersey|shirt|cap|hat)?\s?size\s(?:xs|s|m|l|xl|xxl|\d+)|bobblehead"
    r"|8\s?x\s?10)\b",
    re.IGNORECASE,
)
_PRESALE = re.compile(r"\bpre[\s-]*(?:sale|sell|order|release)s?\b", re.IGNORECASE)
_FREE = re.compile(r"\b(?:free|gratis|included|incl\.?|inclusive|none|no charge|zero)\b", re.IGNORECASE)
_OFFER = re.compile(r"\boffer|\bobo\b|\baccepted\b|\bnegotiat", re.IGNORECASE)
_AUCTION = re.compile(r"\bauction|\bbids?\b|\bhammer", re.IGNORECASE)
_FIXED = re.compile(
    r"\bfixed|\bbuy[\s-]*(?:it[\s-]*)?now\b|\bbin\b|\bstore\b|\bshop\b|\bbuy now\b"
    r"|\bset price\b|\bimmediate\b",
    re.IGNORECASE,
)
_RANGE = re.compile(r"\d\s*(?:to|–|-)\s*[^\d\s]{0,4}\s?\d", re.IGNORECASE)
_POST_WORDS = re.compile(
    r"(?:[+&]|plus|and)?\s*(?:[^\d\s]{0,4}\s*[\d.,]+\s*)?(?:postage|shipping|delivery"
    r"|p\s*&\s*p|s\s*&\s*h|ship\b)",
    re.IGNORECASE,
)
_NOT_SOLD_PRICE = re.compile(r"^(?:n\.?/?a\.?|-+|–|—|none|tbd|\?+|unknown)?$", re.IGNORECASE)


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
    """Whether a sheet has a sold list's header: title, price and something more, or date and price."""
    for row in grid.rows[:60]:
        names = set(columns.of_row(row.cells).values())
        if "title" in names and names & {"price", "total"} and len(names) > 2:
            return True
        if {"date", "price"} <= names or {"date", "total"} <= names:
            return True
    return False


def looks_pasted(grid: Grid) -> bool:
    """Whether text lines hold listings: amounts of money and dates in most entries, or a line each."""
    lines = [row.text for row in grid.rows[:400]]
    if len(lines) < 2:
        return False
    today = date(2100, 1, 1)
    priced = sum(bool(re.search(r"[$€£]\s?\d|\d[.,]\d\d\b", line)) for line in lines)
    dated = sum(days.read_day(line, today) is not None for line in lines)
    worded = sum(
        bool(re.search(r"\bsold\b|\bbids?\b|best offer|buy it now", line, re.IGNORECASE)) for line in lines
    )
    return priced * 5 >= len(lines) and (dated * 5 >= len(lines) or worded * 5 >= len(lines))


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
) -> Found:
    """The sales on sold lists, matched to the checklist.

    Parameters
    ----------
    corrections : what a person said of a title (by `title_key`): subset, parallel and number
    """
    reader = _Reader(season, today, cards, parallels, release or ReleaseWords(), corrections or {})
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
    ) -> None:
        self.season, self.today, self.release, self.corrections = season, today, release, corrections
        self.cards, self.parallels = cards, parallels
        self.found = Found()
        self.columns = Columns("sold", season.columns)
        known = {(card.subset, card.number) for card in cards}
        self.known = known

    # ------------------------------------------------------------ a list
    def sheet(self, grid: Grid) -> None:
        self.grid, self.account = grid, Account(grid, "sold list")
        self.found.accounts.append(self.account)
        entries = self._entries()
        self.matcher = Matcher(
            self.cards,
            self.parallels,
            season=self.season,
            release=self.release,
            titles=[entry.title for entry in entries],
        )
        years = Counter(year for entry in entries for year in titles.years_in(entry.title))
        told = titles.years_in(self.release.title) or (
            {self.release.released_on.year, self.release.released_on.year - 1}
            if self.release.released_on
            else set()
        )
        self.years = told or ({years.most_common(1)[0][0]} if years else set())
        spoken = sum(self.matcher.speaks_of_product(entry.title) for entry in entries)
        self.is_named = spoken * 10 >= len(entries) * 8
        self.currency = self._usual_currency(entries)
        self.order = self._order(entries)
        self.totals = self._what_total_means(entries)
        for entry in entries:
            self._entry(entry)
        self._ask_dates()

    def _entries(self) -> list[_Entry]:
        header: dict[int, str] | None = None
        entries: list[_Entry] = []
        before: list[Row] = []
        for row in self.grid.rows:
            named = self.columns.of_row(row.cells)
            names = set(named.values())
            if (
                len(named) > 1
                and names & {"title", "date"}
                and names & {"price", "total", "date", "title"}
                and not any(re.search(r"\d", cell) for cell in row.filled)
            ):
                header = self._complete(named, row)
                self.account.take(row, "header")
                continue
            if header is None:
                before.append(row)
                continue
            entries.append(self._cells(row, header))
        if header is None:
            return self._pasted(before)
        for row in before:
            self.account.take(row, "title")
        return entries

    def _complete(self, named: dict[int, str], header: Row) -> dict[int, str]:
        """Columns without a known name, told by what stands below: the longest texts are the titles."""
        found = dict(named)
        below = [row for row in self.grid.rows if row.number > header.number][:200]
        width = max((len(row.cells) for row in below), default=0)
        free = [place for place in range(width) if place not in found]
        cells = {place: [row.cell(place) for row in below if row.cell(place)] for place in free}
        if "title" not in found.values():
            lengths = {p: sum(map(len, c)) / len(c) for p, c in cells.items() if c}
            if lengths and max(lengths.values()) > 15:
                found[max(lengths, key=lambda p: lengths[p])] = "title"
        for name, fits in (
            ("date", lambda cell: days.read_day(cell, self.today) is not None),
            (
                "price",
                lambda cell: (
                    days.read_money(cell, self.season.currency, self.season.decimal_mark) is not None
                ),
            ),
        ):
            if name in found.values() or (name == "price" and "total" in found.values()):
                continue
            for place, column in cells.items():
                if place not in found and column and sum(map(fits, column)) * 5 >= len(column) * 4:
                    found[place] = name
                    break
        return found

    def _cells(self, row: Row, header: Mapping[int, str]) -> _Entry:
        cells = {name: row.cell(place) for place, name in header.items()}
        places = {name: place for place, name in header.items()}
        # a title stays as its seller wrote it, damaged letters and all, so that it is found again
        title = row.written.get(places.get("title", -1), cells.get("title", ""))
        return _Entry(
            row, cells, title.replace("\n", " "), cells.get("date", ""), places.get("date", -1) in row.dates
        )

    # ------------------------------------------------------------ pasted text
    def _pasted(self, rows: Sequence[Row]) -> list[_Entry]:
        """Entries out of text without a header: a line each, or a block of lines each."""
        lines = [row.text for row in rows]
        whole = sum(self._is_whole(line) for line in lines)
        if whole * 2 >= len(lines):
            return [self._from_lines([row]) for row in rows]
        blocks: list[list[Row]] = []
        had_price = had_date = True
        last = -1
        for row in rows:
            line = row.text
            says_price, says_date = self._has_price(line), days.read_day(line, self.today) is not None
            is_title = len(line) > 20 and not re.match(
                r"\s*(?:sold|[+$€£]|\d+ bids?|free\b|best offer|buy it|from )", line, re.IGNORECASE
            )
            is_new = (
                not blocks
                or row.number > last + 1
                or (is_title and had_price and (had_date or self._has_title(blocks[-1])))
            )
            if is_new and not (blocks and not is_title and row.number == last + 1):
                blocks.append([])
                had_price = had_date = False
            blocks[-1].append(row)
            had_price |= says_price
            had_date |= says_date
            last = row.number
        return [self._from_lines(block) for block in blocks]

    def _has_title(self, block: Sequence[Row]) -> bool:
        return any(len(row.text) > 20 for row in block)

    def _has_price(self, line: str) -> bool:
        return re.search(r"[$€£]\s?[\d.,]+|\b\d+[.,]\d\d\b(?!/)", line) is not None

    def _is_whole(self, line: str) -> bool:
        return self._has_price(line) and days.read_day(line, self.today) is not None and len(line) > 25

    def _from_lines(self, rows: Sequence[Row]) -> _Entry:
        cells: dict[str, str] = {}
        row = rows[0]
        for other in rows[1:]:
            self.account.take(other, "part of a listing")
        if len(rows) == 1:
            self._part_line(row.text, cells)
            return _Entry(row, cells, cells.get("title", ""), cells.get("date", ""), is_date=False)
        texts = [one.text for one in rows]
        longest = max(
            (one for one in texts if not re.match(r"\s*sold\b", one, re.IGNORECASE)),
            key=len,
            default=texts[0],
        )
        cells["title"] = re.sub(
            r"^\s*(?:new listing|opens in a new window.*?)\s+", "", longest, flags=re.IGNORECASE
        )
        for one in texts:
            if one is longest:
                continue
            if (
                "date" not in cells
                and days.read_day(one, self.today) is not None
                and not re.match(r"\s*[$€£+]", one)
            ):
                cells["date"] = one
            elif _POST_WORDS.search(one) or one.lstrip().startswith("+"):
                cells["postage"] = one
            elif "price" not in cells and self._has_price(one):
                cells["price"] = one
            elif _AUCTION.search(one) or _FIXED.search(one) or _OFFER.search(one):
                cells["how"] = one
            elif _REMOVED.search(one) or _ASKING.search(one):
                cells["status"] = one
        return _Entry(row, cells, cells["title"], cells.get("date", ""), is_date=False)

    def _part_line(self, line: str, cells: dict[str, str]) -> None:
        """A line such as '3/14/2031  2031 Halyard ... 41/75  $12.50 + 4.99  auction' in its parts."""
        rest = line
        if found := re.search(
            r"[+]\s*(?:US |CA |AU )?[$€£]?\s?\d+(?:[.,]\d\d)?(?:\s*(?:shipping|postage|delivery"
            r"|s&h|p&p|ship))?|\bfree (?:shipping|postage|delivery)\b",
            rest,
            re.IGNORECASE,
        ):
            cells["postage"] = found[0]
            rest = f"{rest[: found.start()]} | {rest[found.end() :]}"
        prices = list(
            re.finditer(
                r"(?:\b(?:US|CA|AU|C|A|NZ)\s?)?[$€£]\s?\d[\d.,]*|\b\d[\d.,]*\s?(?:€|EUR|USD|GBP)\b"
                r"|(?<![\d/#.])\d+[.,]\d\d(?![\d/.])",
                rest,
            )
        )
        if prices:
            found = prices[-1]
            cells["price"] = found[0].rstrip(".,")
            rest = f"{rest[: found.start()]} | {rest[found.end() :]}"
        rest = self._cut_date(rest, cells)
        for pattern, name in ((_OFFER, "how"), (_AUCTION, "how"), (_FIXED, "how")):
            if name not in cells and (
                hit := re.search(rf"[|,;(\s-]*(?:{pattern.pattern})[^|]*$", rest, re.IGNORECASE)
            ):
                cells[name] = hit[0].strip(" |,;-")
                rest = rest[: hit.start()]
        pieces = [piece.strip(" |,;-–\t") for piece in rest.split("|")]
        cells["title"] = text.tidy(" ".join(piece for piece in pieces if piece))

    def _cut_date(self, rest: str, cells: dict[str, str]) -> str:
        pattern = re.compile(
            r"(?:sold\s*(?:on)?:?\s*)?(?:\b\d{4}[-/.]\d{1,2}[-/.]\d{1,2}\b"
            r"|\b\d{1,2}\s*[./-]\s*\d{1,2}\s*[./-]\s*(?:\d{4}|\d{2})\b(?!/)"
            r"|\b\d{1,2}(?:st|nd|rd|th|\.)?[\s-]+[^\W\d_]{3,9}\.?,?[\s-]+\d{4}\b"
            r"|\b[^\W\d_]{3,9}\.?\s+\d{1,2}(?:st|nd|rd|th)?,?\s+\d{4}\b)",
            re.IGNORECASE,
        )
        for found in pattern.finditer(rest):
            if days.read_day(found[0], self.today) is not None:
                cells["date"] = found[0]
                return f"{rest[: found.start()]} | {rest[found.end() :]}"
        return rest

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
        state = " ".join((cells.get("how", ""), cells.get("status", "")))
        if (
            _REMOVED.search(state)
            or _REMOVED.match(title.strip())
            or (_REMOVED.search(title) and not cells.get("price"))
        ):
            return "removed or cancelled listing"
        if _ASKING.search(state) or re.search(
            r"\basking(?: price)?\b|\bnot sold\b|\bunsold\b", title, re.IGNORECASE
        ):
            return "asking price, not a sale"
        if _ASKING.search(cells.get("price", "")):
            return "asking price, not a sale"
        if not title:
            return "no title" if any(cells.values()) else "no listing in the row"
        if re.match(r"(?:sub|grand)?[\s-]*totals?\b|average\b|sum\b|median\b", title, re.IGNORECASE):
            return "a line of totals"
        if (count := cells.get("quantity", "")).isdigit() and int(count) > 1:
            return f"a lot: {count} cards sold together"
        if _BREAK.search(title):
            return "a slot in a break"
        is_card = self.matcher.match(title)
        if (found := _NOT_CARD.search(title)) and stemless(found[0], self.matcher):
            return f"another product: {found[0].lower()}"
        if _SET.search(title) and not (
            is_card.has_subject and is_card.match and re.search(r"#|\d/\d", title)
        ):
            return "a complete set"
        if (found := _LOT.search(title)) and not self._is_own_lot(found[0], is_card):
            return "a lot of several cards"
        if _SEALED.search(title) and (
            not is_card.has_subject or (_SEALED_HARD.search(title) and not re.search(r"#|\d/\d", title))
        ):
            return "a sealed box, pack or case"
        return self._why_other(title, is_card)

    def _is_own_lot(self, words: str, is_card: Match) -> bool:
        """Whether what looks like a lot is part of a name, such as a person called Lott."""
        return is_card.match == "sure" and not re.search(
            r"lot|bundle|bulk|pick|choose|x|\(|card|count|ct", words, re.IGNORECASE
        )

    def _why_other(self, title: str, is_card: Match) -> str:
        years = titles.years_in(title)
        if years and self.years and not years & self.years:
            return f"another product: {max(years)}"
        bare = f" {' '.join(titles.name_words(title))} "
        own = set(titles.name_words(self.release.line))
        for line in self.season.other_lines:
            if f" {' '.join(titles.name_words(line))} " in bare and not (own and own <= set(bare.split())):
                return f"another product: {line}"
        if not self.is_named or self.matcher.speaks_of_product(title):
            return ""
        if unknown := self.matcher.unknown_words(title):
            return f"another product: {unknown[0]!r} in place of this one's name"
        if not is_card.match:
            return "another product: this one's name is not in the title"
        return ""

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
        inner = _POST_WORDS.search(cell) or re.search(r"\+", cell)
        if inner and len(days.amounts_in(cell, self.season.decimal_mark)) == 2:
            first, second = days.amounts_in(cell, self.season.decimal_mark)
            paid: Decimal | None = first
            postage = postage if postage is not None else second
        elif inner and _FREE.search(cell):
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
        if len(amounts) == 1 and not (_FREE.search(cell) and amounts[0] > 0 and "over" in cell.lower()):
            return amounts[0]
        return Decimal(0) if _FREE.search(cell) else None

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
        self.found.questions.append(
            Question(
                file=self.grid.file,
                sheet=self.grid.sheet,
                row=entry.row.number,
                what=f"{text.count(len(self.ambiguous), 'date')} such as {entry.day_cell!r} could be"
                f" {as_day} or {as_month}. Which order does this list use?",
                meanwhile=f"read {self.order}, as the season says",
            )
        )

    def _is_slabbed(self, cell: str) -> bool:
        bare = cell.strip().lower()
        if not bare or re.search(r"\b(?:un|not )graded\b|ungraded|\braw\b|^no$|^n$", bare):
            return False
        return (
            re.search(r"\bslab|\bgraded\b|^(?:[a-z]{2,5}\s?)?(?:10|[1-9](?:\.5)?)$|^yes$|\bgem\b", bare)
            is not None
        )


def stemless(word: str, matcher: Matcher) -> bool:
    """Whether a word is not part of the checklist's own names."""
    return not any(titles.stem(one) in matcher.vocabulary for one in titles.name_words(word))


def _how(cells: Mapping[str, str]) -> str:
    cell = cells.get("how", "")
    if _OFFER.search(cell):
        return "offer"
    if _AUCTION.search(cell):
        return "auction"
    if _FIXED.search(cell):
        return "fixed"
    bids = cells.get("bids", "")
    return "auction" if bids.isdigit() and int(bids) > 0 else ""
