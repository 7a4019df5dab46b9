"""What the label of a line or column of a table says its values are: packing, a price or a promise."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rating import text
from rating.release.intake import lexicon, phrases, wordlists
from rating.release.intake.phrases import UNITS, Names
from rating.release.intake.words import fold

_PAIR = re.compile(r"[jw(]*(?P<c>[ckb])(?:[p/w()]|o)*(?P<p>[kbe])[)w]*\Z")
_NO_NAMES = Names({})
_HARD = lexicon.listed("packing", "certainty", "hard")
# a dealer's price, said to the dealer
_OWN = frozenset(("your", "you", "dealer", "dealers", "trade", "wholesale"))
_PROMISED = re.compile(
    r"\b(?:inside|sure|certain|guaranteed|promised|always|contents?|you (?:get|find))\b", re.IGNORECASE
)
_INSIDE = re.compile(r"\b(?:inside|within|enclosed)\s*\Z", re.IGNORECASE)
_ON_THE_WHOLE = re.compile(r"\b(?:on the whole|mostly|usually|as a rule|typical(?:ly)?)\b", re.IGNORECASE)
_AVERAGE = lexicon.listed("packing", "certainty", "average")


@dataclass(frozen=True, slots=True)
class Attribute:
    """What a label stands for: `packing` with its key, `price` or `promise` with its unit."""

    is_a: str
    name: str
    said: str = ""
    is_average: bool = False


_PACKED = {("c", "k"): "cards_per_pack", ("k", "b"): "packs_per_box", ("b", "e"): "boxes_per_case"}


def of(label: str) -> Attribute | None:
    """The attribute that a label names, None where it names none."""
    phrase = phrases.read(label.replace("_", " "), _NO_NAMES)
    if not phrase.tokens or len(phrase.tokens) > 14 or "n" in phrase.codes or "m" in phrase.codes:
        return None
    words = [fold(one.word) for one in phrase.tokens]
    units = [(at, one.code) for at, one in enumerate(phrase.tokens) if one.code in UNITS]
    is_price = any(word in lexicon.listed("packing", "price", "list") and word != "at" for word in words)
    if is_price and len(units) == 1 and _OWN.isdisjoint(words):
        return Attribute("price", UNITS[units[0][1]])
    found = _PAIR.match(phrase.codes)
    if found and (found["c"], found["p"]) in _PACKED and not _is_promise(words):
        return Attribute("packing", _PACKED[found["c"], found["p"]])
    if len(units) == 1 and units[0][1] == "k" and _INSIDE.search(label):
        return Attribute("packing", "packs_per_box")  # 'Packs inside'
    if units and (
        inner := re.match(r"(?P<said>.+?)\s*(?:/|\b(?:per|in each|in every|in a|a|pro|par|por|je)\b)", label)
    ):
        unit = UNITS[units[-1][1]]
        said = text.tidy(inner["said"])
        if said and fold(said) not in lexicon.meaning("packing", "units"):
            return Attribute(
                "promise", unit, said, not _HARD.intersection(words) and bool(_AVERAGE.intersection(words))
            )
    return None


def is_promise(label: str) -> bool:
    """Whether a label says that what stands beside it is sure, or so on average."""
    return _PROMISED.search(label) is not None or is_average(label)


def is_average(label: str) -> bool:
    """Whether a label says that what stands beside it holds on average."""
    said = {fold(word) for word in re.findall(r"[^\W\d_]+", label)}
    return bool(_AVERAGE & said) or _ON_THE_WHOLE.search(label) is not None


def _is_promise(words: list[str]) -> bool:
    kinds = wordlists.load("packing")["kinds"]
    return any(fold(one) in words for listed in kinds.values() for one in listed)
