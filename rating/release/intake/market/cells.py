"""What a cell of a list of prices may hold, told by the cell alone: money, a day, how it sold, its state."""

from __future__ import annotations

import re
from datetime import date
from functools import cache

from rating.release.intake import days, wordlists
from rating.release.intake.words import fold

_CODES = (
    "USD|EUR|GBP|CAD|AUD|NZD|JPY|CHF|SEK|NOK|DKK|ISK|PLN|CZK|HUF|RON|BGN|TRY|BRL|MXN|ARS|CLP|COP|INR|HKD|SGD"
    "|TWD|KRW|CNY|THB|PHP|MYR|IDR|ZAR|ILS|AED"
)
MARK = (
    r"(?:(?<![^\W\d_])(?:US|CA|AU|NZ|HK|MX|CAD|AUD|C|A|R|S)\s?)?[$€£¥₹₩₪₺₽]"
    r"|(?<!\w)(?:(?=[\u00aa-\u052f])[^\W\d_]|\ufffd)(?=\s?\d)"  # a mark that was read in a wrong encoding
    rf"|\b(?:{_CODES})\b|\bkr\.?(?!\w)|\bz[łl]\b|\bK[čc]\b|\bFr\.?(?!\w)|\bFt\b"
)
AMOUNT = r"\d{1,3}(?:[.,'\u2019\s]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d{1,2})?"
_MONEY = re.compile(
    rf"[+~]?\s*(?:(?P<before>{MARK})\s*)?(?:{AMOUNT}|[.,]\d\d)(?:[.,]?[-–])?\s*(?P<after>{MARK}|dollars|euros?|pounds)?",
    re.IGNORECASE,
)
MARKED = re.compile(
    rf"(?:{MARK})\s*(?:{AMOUNT})(?!\d)|(?<![\w/#.,])(?:{AMOUNT})\s?(?:{MARK})(?!\s?\d)", re.IGNORECASE
)
_ID = re.compile(r"(?:[A-Z]{0,4}[-#]?)\d{6,20}\Z")
_WORD = re.compile(r"[^\W\d_]+")
_DIGIT = re.compile(r"\d")


@cache
def _pattern(section: str, key: str) -> re.Pattern[str]:
    words = sorted(
        {fold(word) for word in wordlists.load("market")[section][key].split()}, key=len, reverse=True
    )
    joined = "|".join(re.escape(word).replace(r"\-", r"[\s-]*(?:it[\s-]*)?") for word in words)
    return re.compile(rf"(?<![^\W_])(?:{joined})(?![^\W_])")


def says(section: str, key: str, cell: str) -> bool:
    """Whether a cell holds a word of a list."""
    return _pattern(section, key).search(fold(cell)) is not None


def is_money(cell: str) -> bool:
    """Whether a cell is one amount and nothing else."""
    return len(cell) < 30 and _MONEY.fullmatch(cell.strip()) is not None


def is_currency(cell: str) -> bool:
    """Whether a cell is a currency's code and nothing else."""
    return re.fullmatch(_CODES, cell) is not None


def is_marked(cell: str) -> bool:
    """Whether an amount has a currency's mark or two decimals, so that it is no mere number."""
    return is_money(cell) and (
        re.search(r"\d[.,]\d{1,2}(?!\d)", cell) is not None or re.search(r"[^\d\s.,+-]", cell) is not None
    )


def is_day(cell: str, today: date) -> bool:
    """Whether a cell is a date and little else."""
    if not cell or len(cell) > 40 or not _DIGIT.search(cell) or MARKED.search(cell):
        return False
    if re.fullmatch(r"[\d.,]+", cell) and not re.fullmatch(
        r"\d{4}[.]\d\d?[.]\d\d?|\d\d?[.]\d\d?[.]\d{2,4}|20\d{6}", cell
    ):
        return False
    long = sum(len(word) > 2 for word in _WORD.findall(cell))
    return long < 4 and days.read_day(cell, today) is not None


def how_sold(cell: str) -> str:
    """How something sold, as a cell says it: offer, auction, fixed, or nothing."""
    for how in ("offer", "auction", "fixed"):
        if says("how", how, cell):
            return how
    return ""


def is_how(cell: str) -> bool:
    """Whether a cell says how something sold and little else."""
    short = len(cell) < 36 and len(_WORD.findall(cell)) < 5 and not re.search(r"\d{4}", cell)
    return short and how_sold(cell) != ""


def is_state(cell: str) -> bool:
    """Whether a cell says what became of a listing and little else."""
    return (
        len(cell) < 40
        and len(_WORD.findall(cell)) < 5
        and any(says("status", key, cell) for key in ("unsold", "removed", "sold"))
    )


def is_free(cell: str) -> bool:
    """Whether a cell says that nothing is paid for postage."""
    return len(cell) < 40 and says("postage", "free", cell) and not re.search(r"[1-9]", cell)


def is_id(cell: str) -> bool:
    """Whether a cell is the number of a listing."""
    return _ID.match(cell.strip()) is not None


def is_count(cell: str) -> bool:
    """Whether a cell is a small number, halves allowed."""
    return re.fullmatch(r"\d{1,3}(?:[.,](?:\d|\d\d))?", cell.strip()) is not None


def has_words(cell: str, least: int) -> bool:
    """Whether a cell holds so many words."""
    return len(_WORD.findall(cell)) >= least
