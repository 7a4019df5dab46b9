"""Dates of a sell sheet by what they are of, and since when the line runs."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from rating.release.intake import days, lexicon
from rating.release.intake.words import fold

_YEAR = re.compile(r"(?<!\d)((?:18|19|20)\d\d)(?!\d)")
_SINCE = re.compile(
    r"\b(?:since|seit|depuis|desde|dal|sinds|sedan|siden)\s+(?:the\s+|l['’]an\s+|el\s+)?(?P<year>(?:18|19|20)\d\d)\b"
    r"|\bfirst\s+(?:released|issued|published|made|appeared|came out|launched|produced|printed)\s+in\s+"
    r"(?P<first>(?:18|19|20)\d\d)\b",
    re.IGNORECASE,
)
_NTH = (
    re.compile(r"\b(?:season|year|edition|volume|vol\.?|issue|series)\s+(?P<n>[^\W\d_]{3,12}|\d{1,2})\b(?!\s*(?:cards?|packs?))",
               re.IGNORECASE),
    re.compile(r"\b(?:its|her|the|their|our|a)\s+(?P<n>[\w-]+)\s+(?:straight\s+|consecutive\s+)?(?:year|season|edition|annual"
               r"|release|instal?lment|outing|summer|winter|spring|autumn|fall)\b", re.IGNORECASE),
    re.compile(r"\b(?P<n>[\w-]+)\s+(?:annual|edition|installment|year running|time)\b", re.IGNORECASE),
    re.compile(r"\b(?P<n>\d{1,3})(?:st|nd|rd|th|\.|e|º|ª)?\s+(?:year|edition|annual|anniversary|jahr|ausgabe|annee|edicion"
               r"|edizione|editie)\b", re.IGNORECASE),
)  # fmt: skip
_ORDINAL_DAY = re.compile(
    r"\b(?:the\s+)?(?P<day>[^\W\d_]{5,8}(?:-[^\W\d_]{5,7})?)\s+of\s+(?=(?P<month>[^\W\d_]{3,9})\b)",
    re.IGNORECASE,
)
_CUT = re.compile(r"[(;.]")  # where what stands behind a date is of something else


@dataclass(frozen=True, slots=True)
class Told:
    """A date and whether the words say that the release comes on it; None where they say nothing."""

    day: days.Day
    is_release: bool | None
    words: str


def dates(sentence: str, today: date) -> Iterator[Told]:
    """The dates of a sentence, each with the nearest word before it that says what it is of."""
    sentence = _with_digits(sentence)
    for words, place in _dated(sentence):
        day = days.read_day(words, today)
        if day is None:
            continue
        yield Told(day, _cue(sentence[:place], sentence[place + len(words) :]), words)


def _with_digits(sentence: str) -> str:
    """A sentence with days that are written out in figures: 'the second of June 2032' is '2 June 2032'."""

    def day(found: re.Match[str]) -> str:
        number = lexicon.numbers("packing", "ordinals").get(fold(found["day"]))
        return f"{number} " if number is not None and days.is_month(found["month"]) else found[0]

    return _ORDINAL_DAY.sub(day, sentence)


def _dated(sentence: str) -> Iterator[tuple[str, int]]:
    """Stretches of text that hold one date each, with their places."""
    for found in days.dated(sentence):
        yield found[0], found.start()


def _cue(before: str, after: str) -> bool | None:
    """Whether the last word of its kind before a date, else the first after it, is one of release."""
    release = lexicon.listed("packing", "days", "release")
    other = lexicon.listed("packing", "days", "other")
    for said in (reversed(_words(before)), _words(_CUT.split(after)[0])):
        for word in said:
            if word in other:
                return False
            if word in release:
                return True
    return None


def _words(said: str) -> list[str]:
    return re.findall(r"[^\W\d_]+(?:-[^\W\d_]+)*", fold(said))


def since(sentence: str, year: int | None) -> tuple[int, str] | None:
    """Since when the line runs: stated, or counted back from the year of this release."""
    if found := _SINCE.search(sentence):
        return int(found["year"] or found["first"]), found[0]
    if year is None:
        return None
    for pattern in _NTH:
        for found in pattern.finditer(fold(sentence)):
            number = _nth(found["n"])
            if number is not None:
                return year - number + 1, found[0]
    return None


def _nth(word: str) -> int | None:
    bare = fold(word)
    known = lexicon.numbers("packing", "ordinals")
    if bare in known and bare != "other":
        return known[bare]
    if bare in (plain := lexicon.numbers("packing", "numbers")):
        return plain[bare]
    digits = re.fullmatch(r"(\d{1,3})(?:st|nd|rd|th)?", bare)
    return int(digits[1]) if digits else None


def year_in(title: str) -> int | None:
    """The one year that a title names."""
    years = {int(one) for one in _YEAR.findall(title)}
    return years.pop() if len(years) == 1 else None
