"""A sentence about packing, prices or odds as a row of typed tokens, so that a few patterns read them all."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

from rating.release.intake import days, lexicon
from rating.release.intake.words import fold

UNITS = {"c": "card", "k": "pack", "b": "box", "e": "case"}
_NO_NAME = frozenset(("price", "prices", "card", "cards"))
_CODE_OF_UNIT = {unit: code for code, unit in UNITS.items()}
_SMALL = (("h", "hold"), ("M", "make"), ("j", "beside"))

MARK = (
    r"(?:US|CA|AU|NZ|HK|MX|[CARSU])?\s?\$|[€£¥₹]|(?<!\w)[^\W\d_a-zA-Z](?=\s?\d)"  # the last a mark misread
    r"|\b(?:USD|EUR|GBP|CAD|AUD|NZD|HKD|CHF|SEK|NOK|DKK|ISK|PLN|JPY|BRL|MXN|CZK|kr|z[łl]|K[čc]|euros?|dollars?"
    r"|pounds(?:\s+sterling)?|z[łl]otych|kron(?:or|er)|francs?|yen)\b\.?"
)
AMOUNT = r"\d{1,3}(?:[.,'\u2019 ]\d{3})+(?:[.,]\d{1,2})?(?!\d)|\d+(?:[.,]\d{1,2})?(?![\d])"
MONEY = re.compile(rf"(?:(?:{MARK})\s?(?:{AMOUNT})|(?:{AMOUNT})\s?(?:{MARK})(?!\s?\d))", re.IGNORECASE)
_WORD = re.compile(
    r"(?P<number>\d+(?:[.,]\d+)*)(?P<ordinal>st|nd|rd|th)?"
    r"|(?P<word>[^\W\d_](?:[\w'\u2019]|-(?=[^\W\d_]))*)|(?P<mark>[^\w\s])"
)
_SENTENCE = re.compile(r"(?<=[.!?])\s+(?=[^\W\d_]*[A-ZÀ-ÞŁ\d$€£])|[•▪]")
_SHORTENED = re.compile(r"\b(?:approx|avg|no|nr|ca|vs|incl|excl|min|max|st|jr|sr|inc|co)\.\Z", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Token:
    """A word, number or mark: where it stands, its code, and what it says.

    Codes: n a number, m money, c k b e the units, x an ordinal, p a word such as per or in, h one such as
    holds, M one such as makes, j one that may stand beside a unit, f a format, s a subset, o 'of', w any
    other word, and each mark of punctuation for itself.
    """

    code: str
    start: int
    end: int
    word: str
    value: Any = None


@dataclass(frozen=True, slots=True)
class Names:
    """Names that count as one token: formats by their key, and subsets of the checklist."""

    formats: Mapping[str, str]  # the name as written, folded: its key
    subsets: Sequence[str] = ()

    def pattern(self) -> re.Pattern[str] | None:
        """Finds any of the formats."""
        names = sorted(self.formats, key=len, reverse=True)
        listed = "|".join(re.escape(name).replace(r"\ ", r"[\s-]+") for name in names if name)
        return re.compile(rf"(?<!\w)(?:{listed})(?:s(?!\w)|(?!\w))", re.IGNORECASE) if listed else None


@dataclass(frozen=True, slots=True)
class Phrase:
    """A text with its tokens; `codes` holds their codes, a letter a token."""

    text: str
    tokens: tuple[Token, ...]
    codes: str

    def said(self, first: int, last: int) -> str:
        """The words from one token to another, the last included."""
        return self.text[self.tokens[first].start : self.tokens[last].end]


def sentences(paragraph: str) -> Iterator[str]:
    """The sentences of a paragraph; a stop after a shortened word or in a number ends none."""
    begun = 0
    for found in _SENTENCE.finditer(paragraph):
        part = paragraph[begun : found.start()]
        if part.endswith("..") or _SHORTENED.search(part[-8:]) or _is_day(part, paragraph[found.end() :]):
            continue
        if part.strip():
            yield part.strip()
        begun = found.end()
    if paragraph[begun:].strip():
        yield paragraph[begun:].strip()


def _is_day(before: str, after: str) -> bool:
    """Whether a stop stands after the number of a day: '12. März'."""
    return re.search(r"(?<!\d)\d{1,2}\.\Z", before[-4:]) is not None and days.is_month(
        after.split(maxsplit=1)[0]
    )


@cache
def _unit_word() -> re.Pattern[str]:
    units = "|".join(sorted(map(re.escape, lexicon.meaning("packing", "units")), key=len, reverse=True))
    return re.compile(rf"(?<![^\W\d_])(?:{units})(?![^\W\d_])")


def names_unit(text: str) -> bool:
    """Whether a text has a word for a card, pack, box or case in it."""
    return _unit_word().search(fold(text)) is not None


def number_in(word: str) -> Decimal | None:
    """The number that a word or digits say; a comma before three digits parts thousands."""
    bare = fold(word)
    if bare in (known := lexicon.numbers("packing", "numbers")):
        return Decimal(known[bare])
    if re.fullmatch(r"\d{1,3}(?:[.,]\d{3})+", bare):
        return Decimal(re.sub(r"[.,]", "", bare))
    if re.fullmatch(r"\d+(?:[.,]\d{1,2})?", bare):
        return Decimal(bare.replace(",", "."))
    return None


def read(text: str, names: Names, *, currency: str = "", decimal_mark: str = ".") -> Phrase:
    """The tokens of a text."""
    text = _hyphened().sub(" ", text)
    spans = [(found.start(), found.end(), "m", found[0]) for found in MONEY.finditer(text)]
    spans += [span for span in _subsets(text, names) if not _meets(span, spans)]
    spans += [span for span in _formats(text, names) if not _meets(span, spans)]
    taken = sorted(spans)
    tokens: list[Token] = []
    place = 0
    for start, end, code, value in (*taken, (len(text), len(text), "", "")):
        tokens += (_token(found) for found in _WORD.finditer(text, place, start))
        if code == "m":
            money = days.read_money(value, currency, decimal_mark)
            if money is not None:
                tokens.append(Token("m", start, end, value, money))
        elif code:
            tokens.append(Token(code, start, end, text[start:end], value))
        place = end
    kept = tuple(_joined(tokens))
    return Phrase(text, kept, "".join(one.code for one in kept))


@cache
def _hyphened() -> re.Pattern[str]:
    """A hyphen between a name and a unit: 'Hobby-Box'."""
    units = "|".join(sorted(lexicon.meaning("packing", "units"), key=len, reverse=True))
    return re.compile(rf"(?<=[^\W\d_])-(?=(?:{units})\b)", re.IGNORECASE)


def _meets(span: tuple[int, int, str, str], others: Sequence[tuple[int, int, str, str]]) -> bool:
    return any(span[0] < end and start < span[1] for start, end, _, _ in others)


def _subsets(text: str, names: Names) -> Iterator[tuple[int, int, str, str]]:
    """Subsets named just as the checklist does, the longest first."""
    taken: list[tuple[int, int, str, str]] = []
    for name in sorted(names.subsets, key=len, reverse=True):
        place = text.find(name)
        while place >= 0:
            span = (place, place + len(name), "s", name)
            is_whole = not text[place - 1 : place].isalnum() and not text[span[1] : span[1] + 1].isalnum()
            if is_whole and not _meets(span, taken):
                taken.append(span)
            place = text.find(name, span[1])
    yield from taken


def _formats(text: str, names: Names) -> Iterator[tuple[int, int, str, str]]:
    """Formats where the word is written as a name or a unit follows it: never 'suggested retail price'."""
    pattern = names.pattern()
    if pattern is None:
        return
    by_name = {" ".join(re.split(r"[\s-]+", name)): key for name, key in names.formats.items()}
    units = lexicon.meaning("packing", "units")
    for found in pattern.finditer(text):
        after = re.match(r"\s*([^\W\d_]+)?", text[found.end() :])
        following = fold(after[1] or "") if after else ""
        is_counted = text[: found.start()].rstrip()[-1:].isdigit()
        is_name = (found[0][:1].isupper() or is_counted) and following not in _NO_NAME
        if is_name or following in units:
            bare = " ".join(re.split(r"[\s-]+", fold(found[0])))
            key = by_name.get(bare) or by_name.get(bare.removesuffix("s"), "")
            if key:
                yield found.start(), found.end(), "f", key


def _token(found: re.Match[str]) -> Token:
    start, end, word = found.start(), found.end(), found[0]
    if found["mark"]:
        return Token("p" if word == "/" else word, start, end, word)
    if found["number"]:
        if found["ordinal"]:
            return Token("x", start, end, word, int(re.sub(r"\D", "", found["number"])))
        number = number_in(word)
        return Token("w" if number is None else "n", start, end, word, number)
    bare = fold(word)
    if (unit := lexicon.meaning("packing", "units").get(bare)) is not None:
        return Token(_CODE_OF_UNIT[unit], start, end, word)
    if bare == "of":
        return Token("o", start, end, word)
    numbers = lexicon.numbers("packing", "numbers")
    if bare in numbers and bare not in {"un", "una", "une", "acht", "sei", "tre", "nove"}:
        return Token("n", start, end, word, Decimal(numbers[bare]))
    if (ordinal := lexicon.numbers("packing", "ordinals").get(bare)) is not None:
        return Token("x", start, end, word, ordinal)
    if bare in lexicon.listed("packing", "small", "per"):
        return Token("p", start, end, word)
    code = next((c for c, key in _SMALL if bare in lexicon.listed("packing", "small", key)), "w")
    return Token(code, start, end, word)


def _joined(tokens: Sequence[Token]) -> Iterator[Token]:
    """The tokens without a hyphen between a number and a unit: '12-card pack'."""
    for place, one in enumerate(tokens):
        if one.code == "-" and 0 < place < len(tokens) - 1:
            before, after = tokens[place - 1], tokens[place + 1]
            if (
                before.code == "n"
                and after.code in UNITS
                and before.end == one.start
                and one.end == after.start
            ):
                continue
        yield one
