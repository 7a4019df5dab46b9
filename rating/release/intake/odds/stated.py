"""One statement of odds, '1:24', 'one in 20 Hobby packs', 'two per box on average', as so many of a unit."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from rating import text
from rating.release.intake import lexicon, phrases, words
from rating.release.intake.phrases import UNITS, Names, Phrase

Per = Literal["pack", "box", "case"]

_NUMBER = r"\d{1,3}(?:[,.'\u2019\s]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d+)?"
_RATIO = re.compile(
    rf"(?:approx\.?|approximately|about|ca\.?|~|≈|avg\.?)?\s*1\s*(?::|/|\s+in\s+|\s+per\s+|in\s+|\s+auf\s+"
    rf"|\s+sur\s+|\s+su\s+)\s*(?P<n>{_NUMBER})\s*(?P<unit>[^\W\d_]*)\Z",
    re.IGNORECASE,
)
_FRACTION = re.compile(rf"1\s*/\s*(?P<n>{_NUMBER})\Z")
_PLAIN = re.compile(rf"(?P<n>{_NUMBER})\Z")
_UNITS: dict[str, Per] = {"k": "pack", "b": "box", "e": "case"}
_NO_NAMES = Names({})
# each names the place of the number and of the unit; 'each' is one a unit
_SAID = (
    re.compile(r"(?P<c>n)[:]\s?(?P<n>n)(?P<f>f?)(?P<u>[kbe]?)(?![a-z]*c)"),  # 1:24 Hobby packs
    re.compile(r"(?P<c>n)p{1,6}(?P<n>n)(?P<f>f?)j{0,3}(?P<u>[kbe]?)"),  # one in 20 Hobby packs
    re.compile(r"(?P<c>n)o(?P<n>n)(?P<f>f?)j{0,3}(?P<u>[kbe])"),  # one of three Hobby packs
    re.compile(r"(?P<c>n)?p{1,6}(?P<x>x)(?P<f>f?)j{0,3}(?P<u>[kbe])"),  # one in every third Hobby pack
    re.compile(r"(?P<c>n)c?p{1,6}(?P<f>f?)j{0,3}(?P<u>[kbe])"),  # two per Hobby box
    re.compile(r"p{1,6}(?P<f>f?)j{0,3}(?P<u>[kbe])"),  # every Hobby pack
)


@dataclass(frozen=True, slots=True)
class Stated:
    """Odds as read: so many packs, boxes or cases hold one copy; `format` where the words name one."""

    number: Decimal
    per: Per
    format: str = ""
    start: int = 0
    end: int = 0


def number_of(digits: str) -> Decimal:
    """A number with marks in it: three digits after a mark are thousands, one or two are decimals."""
    bare = re.sub(r"[\s'\u2019]", "", digits)
    if re.fullmatch(r"\d{1,3}(?:[,.]\d{3})+", bare):
        return Decimal(re.sub(r"[,.]", "", bare))
    if found := re.fullmatch(r"(\d{1,3}(?:[,.]\d{3})*|\d+)[,.](\d{1,2})", bare):
        return Decimal(f"{re.sub(r'[,.]', '', found[1])}.{found[2]}")
    return Decimal(bare.replace(",", "."))


def is_dash(cell: str) -> bool:
    """Whether a cell says that there are no odds."""
    bare = text.tidy(cell.replace("\n", " ")).strip(" .*†").lower()
    return not bare or bare in words.DASHES or words.fold(bare) in words.DASHES


def stated_in(cell: str, default: Per = "pack") -> Stated | None:
    """The odds in a cell, None where it states none.

    Raises
    ------
    ValueError
        if the cell is neither odds nor a dash
    """
    if is_dash(cell):
        return None
    bare = text.tidy(cell.replace("\n", " ")).strip(" .*†").lower()
    if found := _RATIO.match(bare):
        unit = lexicon.meaning("packing", "units").get(words.fold(found["unit"]), "")
        number = number_of(found["n"])
        if number > 0 and unit != "card" and (unit or not found["unit"]):
            return Stated(number, _per(unit, default))
    if (found := _PLAIN.match(bare)) and number_of(found["n"]) > 0:
        return Stated(number_of(found["n"]), default)
    phrase = phrases.read(bare, _NO_NAMES)
    told = list(said_in(phrase, default))
    if len(told) == 1 and _is_all(phrase, told[0]):
        return told[0]
    raise ValueError(cell)


def _per(unit: str, default: Per) -> Per:
    return next((name for name in ("box", "case", "pack") if name == unit), default)


_BESIDE = frozenset(
    (
        "on",
        "average",
        "avg",
        "about",
        "approx",
        "approximately",
        "roughly",
        "card",
        "cards",
        "ca",
        "circa",
        "stated",
    )
)


def _is_all(phrase: Phrase, told: Stated) -> bool:
    """Whether the rest of a cell are words that may stand beside odds."""
    rest = f"{phrase.text[: told.start]} {phrase.text[told.end :]}"
    return all(word in _BESIDE for word in re.findall(r"[^\W_]+", rest))


def said_in(phrase: Phrase, default: Per = "pack") -> Iterator[Stated]:
    """Every statement of odds in a text, in its order, with the letters that it spans."""
    taken: list[tuple[int, int]] = []
    found: list[tuple[int, Stated]] = []
    for pattern in _SAID:
        for one in pattern.finditer(phrase.codes):
            if any(one.start() < end and start < one.end() for start, end in taken):
                continue
            stated = _stated(phrase, one, default)
            if stated is not None:
                taken.append(one.span())
                found.append((one.start(), stated))
    for _, stated in sorted(found, key=lambda item: item[0]):
        yield stated


def _stated(phrase: Phrase, one: re.Match[str], default: Per) -> Stated | None:
    groups = one.groupdict()
    count, number = Decimal(1), Decimal(1)
    if groups.get("c"):
        first = phrase.tokens[one.start("c")]
        if phrase.tokens[one.start("c") + 1].code == ":" and not first.word[:1].isdigit():
            return None  # 'the third (first one: 2029)'
        count = first.value
    if groups.get("n"):
        token = phrase.tokens[one.start("n")]
        number = number_of(token.word) if re.match(r"\d", token.word) else token.value
    elif groups.get("x"):
        number = Decimal(phrase.tokens[one.start("x")].value)
    first = phrase.tokens[one.start()]
    if not groups.get("c") and not groups.get("n") and not _is_each(phrase, one):
        return None
    if count <= 0 or number <= 0:
        return None
    unit = groups.get("u") or ""
    place = one.start("f") if groups.get("f") else -1
    return Stated(
        number / count,
        _UNITS.get(unit, default),
        str(phrase.tokens[place].value) if place >= 0 else "",
        first.start,
        phrase.tokens[one.end() - 1].end,
    )


def _is_each(phrase: Phrase, one: re.Match[str]) -> bool:
    """Whether 'every' or 'each' stands among the words: one a unit, or one in every third."""
    told = {words.fold(token.word) for token in phrase.tokens[one.start() : one.end()]}
    return not told.isdisjoint({"every", "each", "jede", "jeder", "jedem", "chaque", "cada", "ogni", "elke"})


def is_ratio(cell: str) -> bool:
    """Whether a cell is odds beyond doubt: '1:24', '2 per box', never '24' or '1/24'."""
    bare = cell.strip()
    if not bare or len(bare) > 60 or _PLAIN.match(bare) or _FRACTION.match(bare):
        return False
    if ":" not in bare and " in " not in bare.lower() and not phrases.names_unit(bare):
        return _RATIO.match(bare) is not None
    try:
        return stated_in(bare) is not None
    except ValueError:
        return False


def fraction(cell: str) -> Decimal | None:
    """The N of '1/N', which is odds or a print run."""
    found = _FRACTION.match(cell.strip())
    return number_of(found["n"]) if found else None


def is_plain(cell: str) -> bool:
    """Whether a cell is a number and nothing else."""
    return _PLAIN.match(cell.strip()) is not None


def says_odds(line: str) -> bool:
    """Whether a line says that it is about odds."""
    return lexicon.says(line, "odds", "title", "odds")


def names_odds(heading: str) -> bool:
    """Whether the few words over a column have one for odds among them."""
    if words.fold(heading) in lexicon.listed("odds", "title", "heading"):
        return True
    return len(heading.split()) < 5 and not any(mark.isdigit() for mark in heading) and says_odds(heading)


def unit_in(line: str) -> Per | None:
    """The unit that a title or heading states for all its odds; None where it states or denies one."""
    denied = lexicon.listed("odds", "denied", "no")
    for sentence in phrases.sentences(line):
        told = set(re.findall(r"[^\W\d_]+(?:['’][^\W\d_]+)?", words.fold(sentence)))
        phrase = phrases.read(sentence, _NO_NAMES)
        for found in re.finditer(r"pf?j{0,3}w?(?P<u>[kbe])", phrase.codes):
            unit = _UNITS[found["u"]]
            if unit == "pack":
                return unit
            if denied.isdisjoint(told):
                return unit
    return None


__all__ = [
    "UNITS",
    "Per",
    "Stated",
    "fraction",
    "is_dash",
    "is_plain",
    "is_ratio",
    "names_odds",
    "number_of",
    "said_in",
    "says_odds",
    "stated_in",
    "unit_in",
]
