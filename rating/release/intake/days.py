"""Dates and amounts of money as people write them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from rating.release.intake.words import fold

_MONTHS = {
    1: "jan january januar janvier janv enero ene gennaio gen januari janeiro stycznia styczen",
    2: "feb february februar fevrier fevr febrero febbraio februari fevereiro fev lutego luty",
    3: "mar march marz maerz mars marzo mrz maart mrt marco marca marzec",
    4: "apr april avril avr abril abr aprile kwietnia kwiecien",
    5: "may mai mayo maggio mag mei maj maio maja",
    6: "jun june juni juin junio giugno giu junho czerwca czerwiec",
    7: "jul july juli juillet juil julio luglio lug julho lipca lipiec",
    8: "aug august aout agosto ago augustus augusti sierpnia sierpien",
    9: "sep sept september septembre septiembre settembre set setembro wrzesnia wrzesien",
    10: "oct october oktober okt octobre octubre ottobre ott outubro pazdziernika pazdziernik",
    11: "nov november novembre noviembre novembro listopada listopad",
    12: "dec december dezember dez decembre diciembre dic desember des dicembre dezembro grudnia grudzien",
}  # fmt: skip
_MONTH_OF = {word: number for number, listed in _MONTHS.items() for word in listed.split()}
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?!\d)")
_COMPACT = re.compile(r"(?<!\d)(20\d\d)(\d\d)(\d\d)(?!\d)")
_NAME = rf"(?<![^\W\d_])({'|'.join(sorted(_MONTH_OF, key=len, reverse=True))})(?![^\W\d_])"
_DAY_FIRST = re.compile(
    rf"(?<!\d)(\d{{1,2}})(?:st|nd|rd|th|\.)?[\s.-]{{0,3}}(?:(?:of|de)\s)?{_NAME}\.?,?"
    r"(?:[\s.,'-]{0,3}(?:de\s)?(\d{4}|\d{2}))?(?!\d)"
)
_MONTH_FIRST = re.compile(
    rf"{_NAME}\.?[\s.-]{{0,3}}(\d{{1,2}})(?:st|nd|rd|th)?(?!\d)(?:[\s.,'-]{{1,3}}(\d{{4}}|\d{{2}})(?![\d:]))?"
)
_NUMERIC = re.compile(r"(?<!\d)(\d{1,2})\s*[./-]\s*(\d{1,2})\s*[./-]\s*(\d{4}|\d{2})(?!\d)")
_SPAN = re.compile(
    r"(?<!\d)20\d\d(?:0[1-9]|1[0-2])(?:[0-2]\d|3[01])(?!\d)|(?<!\d)\d{4}[-/.]\d{1,2}[-/.]\d{1,2}(?!\d)|(?<!\d)\d{1,2}\s?[./-]\s?\d{1,2}\s?[./-]\s?(?:\d{4}|\d{2})(?!\d)"
    r"|(?<!\d)\d{1,2}(?:st|nd|rd|th|er|\.|º)?[\s-]+(?:(?:of|de)\s+)?(?P<a>[^\W\d_]{3,12})\.?,?"
    r"(?:[\s-]+(?:(?:de|del)\s+)?\d{4})?(?!\d)"
    r"|\b(?P<b>[^\W\d_]{3,12})\.?\s+\d{1,2}(?:st|nd|rd|th)?(?!\d)(?:,?\s+\d{4}(?!\d))?",
    re.IGNORECASE,
)
_AGO = re.compile(r"(\d{1,3})\s*(day|week)s?\s*ago")
_WHOLE_YEAR = 4  # digits
_SERIAL = re.compile(r"(4\d{4}|5[0-4]\d{3})(?:\.\d+)?\Z")
_SPREADSHEET_EPOCH = date(1899, 12, 30)


@dataclass(frozen=True, slots=True)
class Day:
    """A date as read: certain, or two numbers whose order is to be decided."""

    day: date | None = None
    first: int = 0
    second: int = 0
    year: int = 0
    is_guessed_year: bool = False

    def read_as(self, order: str) -> date | None:
        """The date under 'day first' or 'month first'."""
        if self.day is not None:
            return self.day
        month, day = (self.second, self.first) if order == "day first" else (self.first, self.second)
        return _date(self.year, month, day)


def _date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def _year(digits: str | None, today: date, month: int, day: int) -> tuple[int, bool]:
    if digits and len(digits) == 4:
        return int(digits), False
    if digits:
        return today.year // 100 * 100 + int(digits), False
    guess = _date(today.year, month, day)
    return (today.year - 1 if guess is None or guess > today else today.year), True


def read_day(cell: str, today: date) -> Day | None:
    """The date in a cell, None where there is none."""
    bare = fold(cell).strip()
    if not bare:
        return None
    if found := _ISO.search(bare) or _COMPACT.search(bare):
        day = _date(int(found[1]), int(found[2]), int(found[3]))
        return Day(day) if day else None
    if found := _NUMERIC.search(bare):
        return _numeric(int(found[1]), int(found[2]), found[3], today)
    if worded := _with_month(bare, today):
        return worded
    if bare.startswith(("today", "just now")):
        return Day(today)
    if bare.startswith("yesterday"):
        return Day(today - timedelta(days=1))
    if found := _AGO.search(bare):
        return Day(today - timedelta(days=int(found[1]) * (7 if found[2] == "week" else 1)))
    if found := _SERIAL.match(bare):
        return Day(_SPREADSHEET_EPOCH + timedelta(days=int(found[1])))
    return None


def _with_month(bare: str, today: date) -> Day | None:
    """A day whose month is a word; one with a whole year goes first: '1 October 21, 2034'."""
    told: list[tuple[bool, Day]] = []
    for pattern, day_at, month_at in ((_DAY_FIRST, 1, 2), (_MONTH_FIRST, 2, 1)):
        for found in pattern.finditer(bare):
            month = _MONTH_OF.get(found[month_at])
            if month:
                number = int(found[day_at])
                year, is_guessed = _year(found[3], today, month, number)
                day = _date(year, month, number)
                if day:
                    told.append((len(found[3] or "") == _WHOLE_YEAR, Day(day, is_guessed_year=is_guessed)))
    return next((day for is_whole, day in told if is_whole), told[0][1] if told else None)


def is_month(word: str) -> bool:
    """Whether a word is the name of a month, whole or shortened."""
    return fold(word).strip(".,") in _MONTH_OF


def dated(sentence: str) -> Iterator[re.Match[str]]:
    """The stretches of a text that hold a date each."""
    place = 0
    while found := _SPAN.search(sentence, place):
        month = found["a"] or found["b"]
        if month and fold(month) not in _MONTH_OF:
            place = found.start() + max(1, len(found[0].split(maxsplit=1)[0]))
            continue
        yield found
        place = found.end()


def _numeric(first: int, second: int, digits: str, today: date) -> Day | None:
    year, _ = _year(digits, today, 1, 1)
    as_day, as_month = _date(year, second, first), _date(year, first, second)
    if as_day and as_month and as_day != as_month:
        return Day(first=first, second=second, year=year)
    only = as_day or as_month
    return Day(only) if only else None


def order_of(cells: Iterable[str]) -> str:
    """The order of day and month that a list shows by itself: a number above 12 tells; else nothing."""
    day_first = month_first = 0
    for cell in cells:
        found = _NUMERIC.search(cell)
        if not found or _ISO.search(cell):
            continue
        first, second = int(found[1]), int(found[2])
        day_first += first > 12 >= second
        month_first += second > 12 >= first
    if day_first and not month_first:
        return "day first"
    if month_first and not day_first:
        return "month first"
    return ""


# ---------------------------------------------------------------- money
_MARKS = (
    ("US$", "USD"), ("US $", "USD"), ("USD", "USD"), ("CA$", "CAD"), ("C$", "CAD"), ("C $", "CAD"),
    ("CAD", "CAD"), ("AU$", "AUD"), ("AU $", "AUD"), ("A$", "AUD"), ("AUD", "AUD"), ("NZ$", "NZD"),
    ("NZ $", "NZD"), ("NZD", "NZD"),
    ("HK$", "HKD"), ("S$", "SGD"), ("€", "EUR"), ("EUR", "EUR"), ("£", "GBP"), ("GBP", "GBP"), ("¥", "JPY"),
    ("JPY", "JPY"), ("CHF", "CHF"), ("SEK", "SEK"), ("NOK", "NOK"), ("DKK", "DKK"), ("ZŁ", "PLN"),
    ("PLN", "PLN"),
    ("R$", "BRL"), ("MX$", "MXN"), ("₹", "INR"), ("KČ", "CZK"),
)  # fmt: skip
_DOLLARS = {"USD", "CAD", "AUD", "NZD", "HKD", "SGD"}
_AMOUNT = re.compile(
    r"(?<![\d.,])\d{1,3}(?:[.,'\u2019\s]\d{3})+(?:[.,]\d{1,2})?(?!\d)"
    r"|(?<![\d.,])\d+(?:[.,]\d{1,2})?(?!\d)|(?<!\d)[.,]\d{2}(?!\d)"
)


@dataclass(frozen=True, slots=True)
class Money:
    """An amount with the currency its mark named; blank where there was no mark."""

    amount: Decimal
    currency: str = ""


def currency_in(cell: str, season: str) -> str:
    """The currency that a text's marks name, blank where there is none; a bare $ is the season's dollar."""
    upper = cell.upper()
    for mark, code in _MARKS:
        if mark in upper and not (mark == "S$" and "US$" in upper):
            return code
    if "$" in cell:
        return season if season in _DOLLARS else "USD"
    found = re.search(r"\b([A-Z]{3})\b", cell)
    return found[1] if found and found[1] == season else ""


def amounts_in(cell: str, decimal_mark: str) -> list[Decimal]:
    """Every amount in a text."""
    return [_amount(found[0], decimal_mark) for found in _AMOUNT.finditer(cell)]


def _amount(digits: str, decimal_mark: str) -> Decimal:
    bare = re.sub(r"[\s'\u2019]", "", digits)
    if found := re.fullmatch(r"(.*?)[.,](\d{1,2})", bare):
        return Decimal(f"{re.sub('[.,]', '', found[1]) or '0'}.{found[2]}")
    if found := re.fullmatch(r"(\d{1,3})([.,])(\d{3})", bare):
        # '1.234' or '1,234' are thousands, since no price has three decimals; '0.125' is none
        is_part = found[1] == "0" and found[2] == decimal_mark
        return Decimal(f"0.{found[3]}") if is_part else Decimal(found[1] + found[3])
    return Decimal(re.sub("[.,]", "", bare))


def read_money(cell: str, season: str, decimal_mark: str) -> Money | None:
    """The one amount in a cell; None where there is none or several."""
    amounts = amounts_in(cell, decimal_mark)
    if len(amounts) != 1:
        return None
    return Money(amounts[0], currency_in(cell, season))
