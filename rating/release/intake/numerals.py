"""Numbers written as words, as digits: 'twelve cards, fifty of each' is '12 cards, 50 of each'."""

from __future__ import annotations

import re
from functools import cache

from rating.release.intake import lexicon
from rating.release.intake.words import fold

_COUNTED = r"(?:different\s+|signed\s+)?(?:cards?|copies|made|printed|of\s+(?:each|them|every))\b"
_MOST = 2000  # letters of a text that is looked at


@cache
def _pattern() -> re.Pattern[str]:
    known = (*lexicon.numbers("packing", "numbers"), "and", "hundred", "thousand")
    word = "|".join(sorted(map(re.escape, known), key=len, reverse=True))
    return re.compile(rf"(?<![\w-])(?P<said>(?:(?:{word})[\s-]+){{1,5}})(?={_COUNTED})", re.IGNORECASE)


def digits(line: str) -> str:
    """A line with the numbers of cards and copies in digits."""
    if len(line) > _MOST or line.isdigit():
        return line
    return _pattern().sub(_digits, line)


def _digits(found: re.Match[str]) -> str:
    number = value(found["said"])
    return found[0] if number is None else f"{number} "


def value(said: str) -> int | None:
    """The number that words say, 'one hundred and twenty-five'; None where they say none."""
    known = lexicon.numbers("packing", "numbers")
    whole = part = 0
    parts = [one for one in re.split(r"[\s-]+", fold(said).strip()) if one and one != "and"]
    for one in parts:
        if one == "hundred":
            part = max(1, part) * 100
        elif one == "thousand":
            whole, part = whole + max(1, part) * 1000, 0
        elif one in known and known[one] < 100:
            part += known[one]
        else:
            return None
    return (whole + part) or None
