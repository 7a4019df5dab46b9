"""Listings in text without columns: a line each, or a block of lines each, parted by what each part is."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date

from rating import text
from rating.release.intake import days
from rating.release.intake.market import cells
from rating.release.intake.values import Row

POST_WORDS = re.compile(
    r"(?:[+&]|plus|and)?\s*(?:[^\d\s]{0,4}\s*[\d.,]+\s*)?(?:postage|shipping|delivery"
    r"|p\s*&\s*p|s\s*&\s*h|ship\b)",
    re.IGNORECASE,
)
_DATE = re.compile(
    r"(?:sold\s*(?:on)?:?\s*)?(?:\b\d{4}[-/.]\d{1,2}[-/.]\d{1,2}\b"
    r"|\b\d{1,2}\s*[./-]\s*\d{1,2}\s*[./-]\s*(?:\d{4}|\d{2})\b(?!/)"
    r"|\b\d{1,2}(?:st|nd|rd|th|\.)?[\s-]+(?:of |de )?[^\W\d_]{3,10}\.?,?[\s-]+(?:de )?\d{4}\b"
    r"|\b[^\W\d_]{3,10}\.?\s+\d{1,2}(?:st|nd|rd|th)?,?\s+\d{4}\b)",
    re.IGNORECASE,
)
_PLAIN_AMOUNT = re.compile(r"(?<![\w/#.,$€£])\d{1,6}[.,]\d\d(?![\d/.,])")
_FREE_POST = re.compile(
    r"\bfree (?:shipping|postage|delivery|p&p)\b|\bgratis\b|\bversandkostenfrei\b", re.IGNORECASE
)
_EDGES = " |,;:-–—\t"
_OPENING = re.compile(r"^\s*(?:new listing|opens in a new window.*?)\s+", re.IGNORECASE)
_PART = re.compile(r"\s*(?:sold|[+$€£]|\d+ bids?|free\b|best offer|buy it|from )", re.IGNORECASE)


class LineReader:
    """Parts lines and blocks of text into the cells of a sold list."""

    def __init__(self, today: date) -> None:
        self.today = today

    def is_whole(self, line: str) -> bool:
        """Whether a line holds a listing with its price and day."""
        return self.has_price(line) and days.read_day(line, self.today) is not None and len(line) > 25

    def has_price(self, line: str) -> bool:
        """Whether a line holds an amount of money."""
        return cells.MARKED.search(line) is not None or re.search(r"\b\d+[.,]\d\d\b(?!/)", line) is not None

    # ------------------------------------------------------------ a line
    def parted(self, line: str) -> dict[str, str]:
        """A line such as '3/14/2031  2031 Halyard ... 41/75  $12.50 + 4.99  auction' as cells."""
        found: dict[str, str] = {}
        rest = self._cut_date(line, found)
        if free := _FREE_POST.search(rest):
            found["postage"] = free[0]
            rest = f"{rest[: free.start()]} | {rest[free.end() :]}"
        amounts = self._amounts(rest)
        if not amounts:
            found["title"] = text.tidy(rest.replace("|", " ")).strip(_EDGES)
            return found
        price = amounts[0]
        found["price"] = rest[price[0] : price[1]].strip(" +.,|")
        if len(amounts) > 1 and "postage" not in found:
            found["postage"] = rest[amounts[1][0] : amounts[1][1]].strip(" +.,|")
        before, after = rest[: price[0]].strip(_EDGES), rest[amounts[-1][1] :].strip(_EDGES)
        if len(before) < 8 or not cells.has_words(before, 2):  # the price stands first
            before, after = after, before
        self._tail(after, found)
        found["title"] = self._title(before, found)
        return found

    def _amounts(self, rest: str) -> list[tuple[int, int]]:
        """The amounts of a line, price before postage: the last ones that have nothing but marks between."""
        spans = [found.span() for found in cells.MARKED.finditer(rest)]
        plain = [found.span() for found in _PLAIN_AMOUNT.finditer(rest)]
        spans += [one for one in plain if not any(a < one[1] and one[0] < b for a, b in spans)]
        spans.sort()
        if len(spans) > 1:
            between = rest[spans[-2][1] : spans[-1][0]]
            words = POST_WORDS.sub(" ", between)
            if not re.search(r"[^\W\d_]{3,}", words) or "+" in between or cells.is_how(words.strip(_EDGES)):
                return spans[-2:]
        return spans[-1:]

    def _tail(self, after: str, found: dict[str, str]) -> None:
        """How it sold and what became of it, said behind the price."""
        if cells.how_sold(after):
            found["how"] = after
        if cells.is_state(after):
            found["status"] = after

    def _title(self, before: str, found: dict[str, str]) -> str:
        """The title without what is said of the sale before it."""
        pieces = [piece.strip(_EDGES) for piece in before.split("|")]
        kept = []
        for piece in pieces:
            if "how" not in found and cells.is_how(piece):
                found["how"] = piece
            elif cells.is_id(piece):
                found["id"] = piece
            elif piece and not (piece.casefold() == "sold" and len(pieces) > 1):
                kept.append(piece)
        title = text.tidy(" ".join(kept))
        if number := re.match(r"(\d{9,20})\s+(?=\S)", title):
            found["id"] = number[1]
            title = title[number.end() :]
        return title

    def _cut_date(self, rest: str, found: dict[str, str]) -> str:
        for one in _DATE.finditer(rest):
            if days.read_day(one[0], self.today) is not None:
                found["date"] = one[0]
                return f"{rest[: one.start()]} | {rest[one.end() :]}"
        return rest

    # ------------------------------------------------------------ blocks
    def blocks(self, rows: Sequence[Row]) -> list[list[Row]]:
        """Lines that belong to one listing each."""
        found: list[list[Row]] = []
        had_price = had_date = True
        last = -1
        for row in rows:
            line = row.text
            says_price, says_date = self.has_price(line), days.read_day(line, self.today) is not None
            is_title = len(line) > 20 and not _PART.match(line)
            is_new = (
                not found
                or row.number > last + 1
                or (is_title and had_price and (had_date or any(len(one.text) > 20 for one in found[-1])))
            )
            if is_new and not (found and not is_title and row.number == last + 1):
                found.append([])
                had_price = had_date = False
            found[-1].append(row)
            had_price |= says_price
            had_date |= says_date
            last = row.number
        return found

    def label_of(self, blocks: Sequence[Sequence[str]]) -> str:
        """The word that stands first in the longest line of every block, or nothing."""
        first = {_longest(block).split(" ")[0] for block in blocks}
        word = first.pop() if len(first) == 1 and len(blocks) > 1 else ""
        return word if word.strip(":").isalpha() else ""

    def of_block(self, texts: Sequence[str], label: str = "") -> dict[str, str]:
        """The cells of a block of lines, its longest line the title, behind a label if there is one."""
        found: dict[str, str] = {}
        longest = _longest(texts)
        found["title"] = _OPENING.sub("", longest.removeprefix(label).lstrip() if label else longest)
        for one in texts:
            if one is longest:
                continue
            is_date = days.read_day(one, self.today) is not None and not re.match(r"\s*[$€£+]", one)
            if "date" not in found and is_date:
                found["date"] = one
            elif POST_WORDS.search(one) or one.lstrip().startswith("+"):
                found["postage"] = one
            elif "price" not in found and self.has_price(one):
                found["price"] = one
            elif cells.how_sold(one):
                found["how"] = one
            elif cells.is_state(one):
                found["status"] = one
        return found

    def by_content(self, row: Row) -> Mapping[str, str]:
        """The cells of a row whose columns are out of step, each told by itself."""
        found: dict[str, str] = {}
        texts = []
        for cell in row.filled:
            if "date" not in found and cells.is_day(cell, self.today):
                found["date"] = cell
            elif cells.is_money(cell) or cells.is_free(cell):
                name = "postage" if "price" in found or cells.is_free(cell) else "price"
                if cells.is_id(cell):
                    name = "id"
                found.setdefault(name, cell)
            elif "how" not in found and cells.is_how(cell):
                found["how"] = cell
            elif "status" not in found and cells.is_state(cell):
                found["status"] = cell
            elif cells.is_id(cell):
                found["id"] = cell
            else:
                texts.append(cell)
        found["title"] = ", ".join(texts) if len(texts) < 4 else max(texts, key=len, default="")
        return found


def _longest(texts: Sequence[str]) -> str:
    """The longest line of a block that does not say that it was sold."""
    lines = (one for one in texts if not re.match(r"\s*sold\b", one, re.IGNORECASE))
    return max(lines, key=len, default=texts[0])
