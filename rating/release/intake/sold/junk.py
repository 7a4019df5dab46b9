"""What stands in sold lists and is no sale of one card: lots, sealed boxes, other products."""

from __future__ import annotations

import re
from collections.abc import Mapping

from rating.release.intake import titles
from rating.release.intake.market import cells as cell_words
from rating.release.intake.titles import Match, Matcher

_ASKING = re.compile(
    r"\b(?:asking|ask|for sale|unsold|not sold|active|current bid|watching|listed at"
    r"|buy now price|still listed|relisted|no sale|open|live)\b",
    re.IGNORECASE,
)
_REMOVED = re.compile(
    r"\b(?:listing (?:was )?(?:removed|ended|deleted)|removed|cancel(?:l)?ed|ended early"
    r"|withdrawn|deleted|no longer available|refunded|returned|unpaid|void(?:ed)?"
    r"|not paid)\b",
    re.IGNORECASE,
)
_LOT = re.compile(
    r"\blots?\b|\bbundle\b|\bbulk\b|\bjob lot\b|\b(?:u|you|your)[\s-]*(?:pick|choose"
    r"|choice)\b|\bpick (?:your|from|a|any|one)\b|\bchoose (?:your|from)\b|\bchoice of\b"
    r"|\bcomplete your set\b|\bteam set\b|\bteam lot\b|\bplayer lot\b"
    r"|(?<![\w#/.])x\s?(?:[2-9]|[1-9]\d+)\b(?!/)|(?<![\w#/.])(?:[2-9]|[1-9]\d+)\s?x(?=\s)"
    r"|(?<![\w#/.-])(?<!#\s)(?<!\bno\.\s)(?<!\bno\s)(?<!\bof\s)(?<!/\s)(?!(?:19"
    r"|20)\d\d\b)(?:[2-9]|[1-9]\d+)(?:[\s-](?:cards|ct|count)\b|-card\b|\scard\s(?=lot"
    r"|bundle|collection|group|assort))(?! (?:set|per))"
    r"|\(\s*(?:[2-9]|[1-9]\d+)\s*\)(?!\s*/)|\bpair of\b|\bset of (?:[2-9]|[1-9]\d+)\b"
    r"|\brunning list\b|\bseveral\b|\bassorted\b|\bstarter collection\b",
    re.IGNORECASE,
)
_SET = re.compile(
    r"\b(?:complete|full|entire|whole|master|factory|hand[\s-]*collated"
    r"|near)[\s-]+(?:\w+[\s-]+){0,3}?set\b|\bset\s+(?:complete|break\s*up)\b"
    r"|\bcomplete\s+(?:run|insert|rainbow)\b|\brainbow\s+(?:set|complete)\b"
    r"|#?\b1\s?(?:-|–|to|thru|through)\s?#?\d{2,4}\b(?=.*\bset\b)|\bset\b.*#?\b1\s?(?:-|–"
    r"|to|thru|through)\s?#?\d{2,4}\b",
    re.IGNORECASE,
)
_SEALED = re.compile(
    r"\b(?:hobby|retail|jumbo|blaster|mega|hanger|fat|value|cello|display|sealed|wax"
    r"|booster|inner|master|collector)s?[\s-]+(?:\w+[\s-]+)?(?:box(?:es)?|cases?|packs?"
    r"|tins?|blasters?)\b"
    r"|\b(?:box|case|packs?|tin|blaster|hanger)\b.{0,30}\b(?:sealed|unopened)\b"
    r"|\b(?:sealed|unopened)\b.{0,30}\b(?:box(?:es)?|cases?|packs?|wax|tin)\b"
    r"|\b(?:factory\s+)?sealed\b|\bunopened\b|\bcase of \d+\b",
    re.IGNORECASE,
)
_SEALED_HARD = re.compile(r"\b(?:sealed|unopened)\b", re.IGNORECASE)
_BREAK = re.compile(
    r"\b(?:box|case|group|team|live|random|hit)[\s-]+breaks?\b|\bbreak\s*(?:spots?|#\d+"
    r"|slots?)\b|\b(?:team|random)\s+(?:spot|slot)\b|\bpersonal break\b|\brip and ship\b"
    r"|\brazz\b",
    re.IGNORECASE,
)
_NOT_CARD = re.compile(
    r"\b(?:reprint(?:ed)?|custom(?:\s+made)?|facsimile|proxy|replica|digital|fan[\s-]?made"
    r"|novelty|art card|aceo|copy of|homemade)\b"
    r"|\b(?:empty|wrapper|wrappers|poster|sticker sheet|binder|album|supplies"
    r"|toploaders? only|box only|display box only|magnet|pin\b|figurine|t-?shirt|puck\b"
    r"|ticket|(?:jersey|shirt|cap|hat)?\s?size\s(?:xs|s|m|l|xl|xxl|\d+)|bobblehead"
    r"|8\s?x\s?10)\b",
    re.IGNORECASE,
)
_REMOVED_AFTER = re.compile(
    r"[-–—(\[*]\s*listing (?:was )?(?:removed|ended|deleted|withdrawn|cancel(?:l)?ed)\b", re.IGNORECASE
)


def state_of(cells: Mapping[str, str], title: str) -> str:
    """Why a row is no sale by what is said of its listing; nothing where it may be one."""
    state = " ".join((cells.get("how", ""), cells.get("status", "")))
    if (
        _REMOVED.search(state)
        or cell_words.says("status", "removed", state)
        or _REMOVED.match(title.strip())
        or _REMOVED_AFTER.search(title)
        or (_REMOVED.search(title) and not cells.get("price"))
    ):
        return "removed or cancelled listing"
    if cell_words.says("status", "unsold", cells.get("status", "")):
        return "not sold"
    if (
        _ASKING.search(state)
        or _ASKING.search(cells.get("price", ""))
        or re.search(r"\basking(?: price)?\b|\bnot sold\b|\bunsold\b", title, re.IGNORECASE)
    ):
        return "asking price, not a sale"
    return ""


def what_else(title: str, cells: Mapping[str, str], matcher: Matcher) -> str:
    """What a title is of where it is of anything but one card of a release; else nothing."""
    if re.match(r"(?:sub|grand)?[\s-]*totals?\b|average\b|sum\b|median\b", title, re.IGNORECASE):
        return "a line of totals"
    if (count := cells.get("quantity", "")).isdigit() and int(count) > 1:
        return f"a lot: {count} cards sold together"
    if _BREAK.search(title):
        return "a slot in a break"
    is_card = matcher.match(title)
    if (found := _NOT_CARD.search(title)) and is_foreign(found[0], matcher):
        return f"another product: {found[0].lower()}"
    if _SET.search(title) and not (is_card.has_subject and is_card.match and re.search(r"#|\d/\d", title)):
        return "a complete set"
    if (found := _LOT.search(title)) and not _is_own_lot(found[0], is_card):
        return "a lot of several cards"
    if _SEALED.search(title) and (
        not is_card.has_subject or (_SEALED_HARD.search(title) and not re.search(r"#|\d/\d", title))
    ):
        return "a sealed box, pack or case"
    return ""


def is_foreign(word: str, matcher: Matcher) -> bool:
    """Whether a word is not part of the checklist's own names."""
    return not any(titles.stem(one) in matcher.vocabulary for one in titles.name_words(word))


def _is_own_lot(words: str, is_card: Match) -> bool:
    """Whether what looks like a lot is part of a name, such as a person called Lott."""
    return is_card.match == "sure" and not re.search(
        r"lot|bundle|bulk|pick|choose|x|\(|card|count|ct", words, re.IGNORECASE
    )
