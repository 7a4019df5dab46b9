"""What a single cell looks like, whatever stands beside it: a number, a person, a run, a list."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from rating.release.intake import kinds, ladder, people, surnames, words

_NUMBER = re.compile(
    r"(?=.*\d)#?\s?(?:(?:no|nr|num)\.?\s*)?(?:[^\W_]{0,8}(?:\s?[-–./]\s?[^\W_]{1,8}){0,3}"
    r"|[^\W\d_]{1,4}\.?\s\d{1,4}[a-z]?)[*†]?\Z",
    re.IGNORECASE,
)
# three small letters or more are a word, unless they say that a number follows
_WORDED = re.compile(r"(?!\b(?:num|card)\b)(?<![^\W\d_])[^\W\d_]*[a-zß-ÿ]{3}")
_DAY = re.compile(r"(?:19|20)\d\d([-./])\d\d?\1\d\d?\Z|\d\d?([-./])\d\d?\2(?:19|20)\d\d\Z")
_ORDINAL = re.compile(r"\d+(?:st|nd|rd|th)\Z", re.IGNORECASE)
_INITIALS = re.compile(
    r"(?:#\s?|(?:no|nr)\.?\s*)?(?-i:[A-Z]{1,6}[-–][A-Z]{1,8}(?:/[A-Z]{1,8})?\d{0,2})\Z", re.IGNORECASE
)
TAIL = re.compile(r"(\d+)[a-z]?[*†]?\Z")
RUN_MARKED = re.compile(
    r"(?:#?/+\s*#?|#['’]?d\s*(?:to\s*)?|(?:numbered|limited)\s+to\s*[#/]*)\d{1,3}(?:[,.]?\d{3})?\Z"
    r"|1\s*(?:/|of)\s*1\Z|\d{1,5}\s*(?:copies|made|ex)\.?\Z|(?:one of one)\Z",
    re.IGNORECASE,
)
HASHED = re.compile(r"#\s?\d{1,5}\Z")
YEAR = re.compile(r"(?:19|20)[0-4]\d\Z")
PADDED = re.compile(r"0\d")
PLAIN = re.compile(r"\d{1,6}\Z")
AMOUNT = re.compile(r"\d+[.,]\d\d\Z")
WHOLE = re.compile(r"\d{1,3}(?:[,.]?\d{3})*\Z")
WORD = re.compile(r"[^\W\d_](?:[^\W\d_]|[.'’`-])*\Z")
CODE = re.compile(r"[A-ZÀ-ÖØ-ÞĀ-Ž][A-ZÀ-ÖØ-ÞĀ-Ž0-9&.]{1,4}\Z")
# a heading that only counts columns: 'Col 3', 'Field12'
CODED = re.compile(r"(?P<stem>[^\W\d_]{1,12}[\s._-]{0,2})\d{1,3}\Z")
ROOKIE = re.compile(r"\(?(?:RC|R|RK|ROOKIE|ROOKIE CARD|1ST YEAR|FIRST YEAR|DEBUT)\)?[.*†]?\Z", re.IGNORECASE)
_UNMARKED = re.compile(
    r"\s*(?:[(\[][^()\[\]]{1,60}[)\]]|\b(?-i:RC)\b|\s[-–—]\s(?=rookie|redemption)"
    r"|\brookie\b|\bredemption\b|[*†‡§^°®™©])\s*",
    re.IGNORECASE,
)
_SHORT = {"d'", "l'", "d’", "o’"}
SIDE = re.compile(r"\s*(?:/|;|\||\n|×|\s\+\s|\s&\s|\sand\s|\sw/\s|\s(?-i:x)\s)\s*", re.IGNORECASE)
_PARTICLES = {
    "de",
    "van",
    "von",
    "der",
    "den",
    "da",
    "di",
    "la",
    "le",
    "al",
    "el",
    "bin",
    "ap",
    "dos",
    "du",
    "af",
    "ten",
    "ter",
    "ó",
    "o",
    "st",
    "jr",
    "sr",
    "y",
}


@lru_cache(maxsize=65_536)
def is_half(cell: str) -> bool:
    """Whether a cell is a forename or a surname, of one person or of each of two."""
    parts = [one for one in SIDE.split(_unmarked(cell)) if one]
    return (
        bool(parts)
        and all(
            len(part.split()) <= 4
            and all(WORD.match(_spaced(word)) for word in part.split())
            and not is_small(part[-1:] if len(part) == 1 else part.split()[-1][0])
            and (len(part.split()) < 2 or bool(surnames.MARKED.search(part)))
            for part in parts
        )
        and (len(cell) > 1 or not cell.isascii())
    )


def is_run(cell: str) -> bool:
    return bool(RUN_MARKED.match(cell)) or words.fold(cell) in {"unnumbered", "not numbered"}


_LADDER_MARK = re.compile(r"[#/(,;|]|copies|numbered|limited|one of one", re.IGNORECASE)


@lru_cache(maxsize=65_536)
def is_ladder(cell: str) -> bool:
    """Whether a cell lists parallels: names with print runs, or several names."""
    if not 5 <= len(cell) < 2000 or not _LADDER_MARK.search(cell):
        return False
    rungs = ladder.read_list(cell)
    told = sum(one.print_run is not None for one in rungs)
    return bool(rungs) and (
        told * 2 >= len(rungs) or (len(rungs) > 1 and (told > 0 or "(" in cell or ";" in cell))
    )


@lru_cache(maxsize=65_536)
def is_type(cell: str) -> bool:
    """Whether a cell names a kind of cards: 'BASE', 'AUTO RELIC, on-card', 'Insert card'."""
    return kinds.are_kinds(cell) or words.fold(cell) in {"veteran", "parallel"}


@lru_cache(maxsize=65_536)
def is_number(cell: str) -> bool:
    """Whether a cell may be a card's number: '12', 'DS-4', 'MV JT', never a phrase or a run."""
    bare = cell.strip()
    return (
        bool(bare)
        and len(bare) <= 20
        and not _WORDED.search(bare)
        and not _ORDINAL.match(bare)
        and not _DAY.match(bare)
        and bool(_NUMBER.match(bare) or _INITIALS.match(bare))
        and not RUN_MARKED.match(bare)
    )


@lru_cache(maxsize=65_536)
def is_person(cell: str) -> bool:
    """Whether a cell looks like one or more people: two to five words that are names, in either order."""
    parts = [one for one in SIDE.split(_unmarked(cell)) if one]
    return bool(parts) and all(map(_is_name, parts))


@lru_cache(maxsize=65_536)
def is_single(cell: str) -> bool:
    """Whether a cell is a name of one word, of one person or of each of several: 'Kirinagase', 'A × B'."""
    parts = [one for one in SIDE.split(_unmarked(cell)) if one]
    return bool(parts) and all(map(_is_single, parts))


def _is_single(part: str) -> bool:
    bare = _spaced(part)
    return bool(WORD.match(bare)) and len(bare) >= 2 + bare.isascii() and not is_small(bare[0])


def _unmarked(cell: str) -> str:
    return _UNMARKED.sub(" ", cell).strip()


def is_small(mark: str) -> bool:
    """Whether a letter is a small one in a script whose names begin with capitals."""
    return mark.islower() and not "\u10d0" <= mark <= "\u10ff"


def _spaced(word: str) -> str:
    """A word without its combining marks, which are no letters to a pattern."""
    if word.isascii():
        return word
    return "".join(mark for mark in word if not unicodedata.category(mark).startswith("M"))


def _is_name(part: str) -> bool:
    parts = [_spaced(one) for one in re.split(r"[\s,]+", part.strip()) if one]
    if len(parts) == 1 and people.is_written_whole(parts[0]):
        return True
    if not 2 <= len(parts) <= 6 or len(part) > 50:
        return False
    capitals = 0
    for one in parts:
        if not WORD.match(one):
            return False
        if one and not is_small(one[0]):
            capitals += 1
        elif one.casefold().strip(".'’") not in _PARTICLES and one[:2].casefold() not in _SHORT:
            return False
    return capitals >= 2
