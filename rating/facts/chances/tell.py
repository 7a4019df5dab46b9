"""What a host would say of chances, and to a question about some cards."""

from __future__ import annotations

from rating import tenths, text
from rating.facts.chances.questions import Answer, FormatAnswer
from rating.facts.chances.value import Chances, FormatChances, Opened, OpenedLine
from rating.facts.section import Kept

_NAMED = {
    "autograph": "an autograph",
    "relic": "a relic",
    "insert": "an insert",
    "numbered": "a numbered card",
    "one of one": "a one of one",
    "rookie autograph": "a rookie's autograph",
}


def told(chances: Chances, facts: Kept) -> str:
    """The chances of a headline box, and what boxes really opened say of the stated odds."""
    one = chances.formats.get(facts.headline)
    if isinstance(one, FormatChances):
        kinds = [
            f"{_NAMED[kind.what]} {tenths.share(kind.p_box)}" for kind in one.kinds if kind.what in _NAMED
        ]
        models = dict.fromkeys(part for kind in one.kinds for part in kind.model.split("; ") if part)
        words = f"The chance of at least one in a {one.name} box: {', '.join(kinds)} ({'; '.join(models)})."
        if one.overfull:
            words += f" By what is stated a box would hold {tenths.fixed(one.overfull, 1)} cards too many."
    else:
        words = f"Not known: {one.why if one else 'the headline format is not described'}."
    if isinstance(chances.opened, Opened):
        words += " " + _opened(chances.opened)
    return words


def _opened(opened: Opened) -> str:
    boxes = text.count(sum(opened.boxes.values()), "box was", "boxes were")
    if not opened.lines:
        return f"{boxes} opened, and no line of them has stated odds to be held against."
    off = [one for one in opened.lines if one.verdict == "differs"]
    if off:
        return f"{boxes} opened, and the stated odds do not fit: {'; '.join(map(_off, off))}."
    fits = sum(one.verdict == "fits" for one in opened.lines)
    few = len(opened.lines) - fits
    words = f"{boxes} opened; nothing speaks against the stated odds"
    return (
        f"{words}, though for {few} of {text.count(len(opened.lines), 'line')} they are too few to tell."
        if few
        else f"{words}."
    )


def _off(one: OpenedLine) -> str:
    return (
        f"{f'{one.subset} {one.parallel}'.strip()} fell {text.count(one.hits, 'time')} in "
        f"{text.count(one.packs, 'pack')}, where 1:{tenths.plain(one.stated)} makes "
        f"{tenths.fixed(one.expected, 1)}"
    )


def answered(found: Answer, headline: str) -> str:
    """What a host would say to a question about some cards."""
    if found.remark:
        return f"{found.remark[0].upper()}{found.remark[1:]}, so the chance is 0."
    key = headline if headline in found.formats else next(iter(found.formats), "")
    one = found.formats.get(key)
    if not isinstance(one, FormatAnswer):
        return f"Not known in {key}: {one.why}." if one else "No format is described yet."
    amounts = [f"{tenths.share(amount.p)} in {amount.what}" for amount in one.amounts]
    cards = text.count(found.cards, "card")
    words = f"{found.of} ({cards}): the chance of at least one in {key} is {text.listed(amounts)}"
    words += f" ({one.model})." if one.model else "."
    if one.open_lines:
        words += f" It is more by what nothing is said of: {', '.join(one.open_lines)}."
    return words
