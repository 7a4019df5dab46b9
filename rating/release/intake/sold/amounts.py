"""What a sale cost: price, postage and currency, told by a row and by the whole list."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from decimal import Decimal

from rating import money, text
from rating.release.intake import days
from rating.release.intake.market import cells as cell_words
from rating.release.intake.sold.entries import Entry
from rating.release.intake.sold.lines import POST_WORDS
from rating.release.intake.values import SeasonWords

_RANGE = re.compile(r"\d\s*(?:to|–|-)\s*[^\d\s]{0,4}\s?\d", re.IGNORECASE)
_NOT_SOLD_PRICE = re.compile(r"^(?:n\.?/?a\.?|-+|–|—|none|tbd|\?+|unknown)?$", re.IGNORECASE)


class Amounts:
    """Reads the amounts of one list; `notes` say what was taken for all of them."""

    def __init__(self, file: str, season: SeasonWords, entries: Sequence[Entry]) -> None:
        self.file, self.season = file, season
        self.notes: list[str] = []
        self.currency = self._usual_currency(entries)
        self.totals = self._what_total_means(entries)

    def _usual_currency(self, entries: Sequence[Entry]) -> str:
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
            self.notes.append(
                f"{self.file}: {why}; {usual} is taken for the prices without a mark of their own"
            )
        return usual

    def _what_total_means(self, entries: Sequence[Entry]) -> str:
        """Whether 'total' is price with postage: told by the rows that have all three, or by small totals."""
        checked = fits = 0
        for entry in entries:
            price, total = self._money(entry, "price"), self._money(entry, "total")
            postage = self._postage(entry.cells.get("postage", ""))
            if price is not None and total is not None and postage is not None and postage > 0:
                checked += 1
                fits += abs(price.amount + postage - total.amount) <= Decimal("0.02")
            if price is None and total is not None and postage is not None and total.amount <= postage > 0:
                self.notes.append(
                    f"{self.file}: a total is no more than the postage beside it, so totals are prices alone"
                )
                return "price"
        if checked and fits * 2 < checked:
            self.notes.append(
                f"{self.file}: the total differs from price and postage in most rows (tax, or several"
                " cards); the price column is used"
            )
            return "other"
        return "price and postage"

    def _money(self, entry: Entry, name: str) -> days.Money | None:
        return days.read_money(entry.cells.get(name, ""), self.season.currency, self.season.decimal_mark)

    def price(self, entry: Entry) -> tuple[Decimal, Decimal | None, str] | str:
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
            paid = total.amount
            if self.totals == "price and postage":
                postage = postage or Decimal(0)
                paid -= postage
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
