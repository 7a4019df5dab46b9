"""What the note beside a card says of it: its run, a rookie, a redemption, how it is signed, which material.

A note is read in pieces, parted by commas and semicolons. A piece that says nothing but facts becomes values
and is gone; whatever else stands in a note stays.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from rating.release.intake import words

# a comma inside a number, as in 'numbered to 1,000', parts nothing
_PARTS = re.compile(r"\s*(?:[;\n]|(?<!\d),|,(?!\d{3}\b))\s*")
_DIGITS = r"(?:\d{1,3},\d{3}|\d{1,5})"
_RUN = re.compile(
    r"\s*(?:(?:serial[\s-]*)?(?:numbered|limited|#['’]?d|print run)(?: to"
    rf"| of)?:?\s*)?[#/]*\s*(?:\d{{1,5}}\s*/\s*)?{_DIGITS}"
    r"\s*(?:copies|made|exist)?\s*\Z|\s*(?:1\s*(?:of|/)\s*1|one[\s-]of[\s-]one)\s*\Z",
    re.IGNORECASE,
)
_ROOKIE = re.compile(rf"\s*\(?\s*(?:RC|rookie(?: card)?|{words.NEWCOMER.pattern})\s*\)?\s*\Z", re.IGNORECASE)
_REDEMPTION = re.compile(
    r"\s*(?:\(?(?:issued as |available as |live as )?(?:a )?(?:redemption|exch(?:ange)?|voucher)(?: card)?\)?"
    r"|(?:the )?(?:card|signed card|autograph)s? (?:is |will )?(?:to )?follow|to follow)\s*\Z",
    re.IGNORECASE,
)
_VARIATION = re.compile(r"\s*(?:(?:image|photo)\s+)?variation\s*\Z", re.IGNORECASE)
# a whole sentence, commas and all: 'material is not from any specific game, event or season'
_FROM_NOTHING = re.compile(
    r"(?:\b(?:the\s+)?(?:enclosed\s+)?(?:relic|swatch|material|memorabilia|patch|item)s?\s+)?(?:(?:is|are)\s+)?"
    r"\bnot\s+(?:from|associated\s+with|attributed\s+to|(?:worn|used)\s+(?:in|at|during))\s+any\b[^;.\n]*\.?",
    re.IGNORECASE,
)

_SIGN = r"(?:autograph(?:s|ed)?|autos?|signatures?|sigs?|signed)"
_ON_CARD = r"(?:directly\s+)?on[\s-]*(?:the[\s-]+)?cards?"
_ON_STICKER = r"on[\s-]+(?:an?[\s-]+|the[\s-]+)?stickers?"
_WORN = r"(?:game|match|player|event|race|practice|training|photo[\s-]*shoot)[\s-]*(?:worn|used|issued)"
_CLOTH = r"(?:relics?|memorabilia|mem|swatch(?:es)?|materials?|patch(?:es)?)"
_WEAR = (
    r"(?:jerseys?|sweaters?|fabric|cloth|gloves?|pieces?|suits?|caps?|shirts?|kits?|boots?|shoes?|vests?"
    r"|jackets?|hats?|bibs?|belts?|robes?|singlets?|leathers?|pants|shorts)"
)
# the facts that a piece may be made of, tried in this order at each place
_FACT = re.compile(
    rf"(?P<run>(?:(?:(?:serial[\s-]*)?(?:numbered|limited)|#['’]?d)\s+to\s*[#/]*|[#/]+)\s*{_DIGITS}|1/1)(?![\d/])"
    rf"|(?P<hard>hard(?=[\s-]*{_SIGN}\b)|{_ON_CARD}\b)"
    rf"|(?P<stuck>{_ON_STICKER}\b)"
    r"|(?P<sticker>stickers?\b)"
    rf"|(?P<sign>(?:hand[\s-]*)?{_SIGN}\b)"
    rf"|(?P<worn>(?:{_WORN}|unattributed|(?:unspecified|manufactured)(?=\s+(?:{_CLOTH}|{_WEAR})\b))\b)"
    rf"|(?P<cloth>{_CLOTH}\b)"
    rf"|(?P<wear>{_WEAR}\b)"
    r"|(?P<rookie>(?:RC|rookie)\b)"
    r"|(?P<redemption>(?:(?:issued|available|live)\s+as\s+)?(?:an?\s+)?(?:redemption|exch(?:ange)?)\b)"
    r"|(?P<more>(?:dual|double|triple|quad|prime|jumbo|oversized?|(?:two|three|four|multi)[\s-]*colou?r|cut)\b)"
    r"|(?P<plain>(?:and|with|of|an?|the|is|are|has|cards?)\b|[\s()\[\]&+:.–—-]|/(?!\s*\d))",
    re.IGNORECASE,
)
# beside other words, only what cannot mean anything else counts
_CERTAIN = re.compile(
    rf"\b(?:(?P<card>{_ON_CARD}[\s-]+{_SIGN}|hard[\s-]*signed|{_SIGN}[\s-]+{_ON_CARD})"
    rf"|(?P<sticker>sticker[\s-]+{_SIGN}|{_SIGN}[\s-]+{_ON_STICKER})"
    rf"|(?P<worn>{_WORN}\s+(?:{_CLOTH}|{_WEAR})))\b",
    re.IGNORECASE,
)
_DOUBT = re.compile(
    r"\b(?:no|not|non|never|without|instead|also|available|versions?|parallels?|see|facsimile|replica|pictured"
    r"|if|or|some|may)\b",
    re.IGNORECASE,
)


@dataclass(slots=True)
class Told:
    """The facts of a note, and what is left of it."""

    print_run: int | None = None
    is_rookie: bool = False
    redemption: bool = False
    variation: bool = False
    signed: str = ""
    is_signed: bool = False
    relic: str = ""
    has_relic: bool = False
    sticker: str = ""  # 'sticker' alone: how a card is signed where it is, else a note like any other
    left: list[str] = field(default_factory=list)


def read(note: str) -> Told:
    """The facts that a note tells, with the pieces that say anything else left as they are."""
    told = Told()
    if not note:
        return told
    if _FROM_NOTHING.search(note):
        told.has_relic, told.relic = True, "unattributed"
        note = _FROM_NOTHING.sub(";", note)
    for piece in _PARTS.split(note):
        if _RUN.match(piece):
            told.print_run = words.run_cell(piece) or told.print_run
        elif _ROOKIE.match(piece):
            told.is_rookie = True
        elif _REDEMPTION.match(piece):
            told.redemption = True
        elif _VARIATION.match(piece):
            told.variation = True
        elif piece.strip() and not _facts(piece, told):
            told.left.append(piece)
            _certain(piece, told)
    return told


def _facts(piece: str, told: Told) -> bool:
    """Whether a piece says facts and nothing else; they are taken down."""
    found: dict[str, list[str]] = {}
    place = 0
    while place < len(piece):
        fact = _FACT.match(piece, place)
        if fact is None:
            return False
        found.setdefault(fact.lastgroup or "plain", []).append(fact[0])
        place = fact.end()
    is_signed = bool(found.keys() & {"hard", "stuck", "sign"})
    has_relic = bool(found.keys() & {"worn", "cloth"}) or (is_signed and "wear" in found)
    if not is_signed and not has_relic:
        if found.keys() == {"sticker"}:
            told.sticker = piece
            return True
        return False
    if is_signed:
        how = "card" if "hard" in found else "sticker" if found.keys() & {"stuck", "sticker"} else ""
        told.is_signed, told.signed = True, how or told.signed
    elif "sticker" in found:
        return False
    if has_relic:
        told.has_relic, told.relic = True, _worn(" ".join(found.get("worn", ()))) or told.relic
    for run in found.get("run", ()):
        told.print_run = words.run_cell(run) or words.run_in(run) or told.print_run
    told.is_rookie = told.is_rookie or "rookie" in found
    told.redemption = told.redemption or "redemption" in found
    return "more" not in found  # no value holds that a swatch is a large one


def _certain(piece: str, told: Told) -> None:
    """Facts that stand in a piece among other words, where nothing throws doubt on them."""
    if _DOUBT.search(piece):
        return
    for fact in _CERTAIN.finditer(piece):
        if fact["worn"]:
            told.has_relic, told.relic = True, _worn(fact["worn"])
        else:
            told.is_signed, told.signed = True, "card" if fact["card"] else "sticker"


def _worn(said: str) -> str:
    return next((name for name, pattern in words.WORN if pattern.search(said)), "")
