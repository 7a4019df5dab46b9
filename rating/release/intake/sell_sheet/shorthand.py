"""The trade's short ways of writing packing and prices, written out: '7 x 24 x 6' and '$3 / $74 / $430'."""

from __future__ import annotations

import re

from rating.release.intake.phrases import AMOUNT, MARK

_TRIPLE = re.compile(
    r"(?<![\w.,])(\d{1,3})\s*[x×]\s*(\d{1,3})\s*[x×]\s*(\d{1,3})(?![\w]|[.,]\d)", re.IGNORECASE
)
_MONEY = rf"(?:(?:{MARK})\s?(?:{AMOUNT})|(?:{AMOUNT})\s?(?:{MARK})|[-–—])"
_THREE = re.compile(
    rf"(?P<a>{_MONEY})\s*/\s*(?P<b>{_MONEY})\s*/\s*(?P<c>{_MONEY})(?!\s*[/\d])", re.IGNORECASE
)
_UNIT = r"(?:packs?|packets?|box(?:es)?|cases?|cartons?)"
_AHEAD = re.compile(rf"\b(?P<unit>{_UNIT})\s*:?\s*(?P<money>{_MONEY})(?=\s*(?:[/;,|]|\Z))", re.IGNORECASE)
_LONGEST = 2000
_UNITS = ("pack", "box", "case")


def written_out(said: str) -> str:
    """A sentence with its shorthand in words; any other as it is."""
    if len(said) > _LONGEST:
        return said
    said = _TRIPLE.sub(r"\1 cards per pack, \2 packs per box, \3 boxes per case", said)
    said = _THREE.sub(_per_unit, said)
    if sum(1 for _ in _AHEAD.finditer(said)) > 1:
        said = _AHEAD.sub(lambda found: f"{found['money']} per {found['unit']}", said).replace(" / ", "; ")
    return said


def _per_unit(found: re.Match[str]) -> str:
    amounts = (found["a"], found["b"], found["c"])
    told = [f"{one} per {unit}" for one, unit in zip(amounts, _UNITS, strict=True) if one not in "-–—"]
    return ", ".join(told)
