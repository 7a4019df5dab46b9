"""What a host would say of chances, and to a question about some cards."""

from __future__ import annotations

from itertools import pairwise

from rating import tenths, text
from rating.facts import said
from rating.facts.chances.questions import Answer, FormatAnswer
from rating.facts.chances.value import Chance, Chances, FormatChances, Opened, OpenedLine
from rating.facts.section import Kept
from rating.numerics.outlook import AVERAGE, SPREAD

_NAMED = {
    "autograph": "an autograph",
    "relic": "a relic",
    "rookie autograph": "a rookie autograph",
    "numbered": "a numbered card",
    "insert": "an insert",
    "one of one": "a one-of-one",
}
# those of the lead
_FIRST = ("autograph", "relic")


def lead(chances: Chances, facts: Kept) -> str:
    """How many headline boxes hold an autograph and a relic."""
    one = chances.formats.get(facts.headline)
    if not isinstance(one, FormatChances):
        return f"Not known: {one.why if one else 'the headline format is not described'}."
    held = _hold(one, _FIRST) or _hold(one, tuple(_NAMED))
    return f"{held or 'Nothing but base cards is known to be in a box'}."


def told(chances: Chances, facts: Kept) -> str:
    """The chances of a headline box, and what boxes really opened say of the stated odds."""
    one = chances.formats.get(facts.headline)
    if isinstance(one, FormatChances):
        held = _hold(one, tuple(_NAMED))
        words = f"{held}. {_assumed(one)}" if held else lead(chances, facts)
        if one.overfull:
            words += f" By what is stated a box would hold {tenths.fixed(one.overfull, 1)} cards too many."
    else:
        words = lead(chances, facts)
    if isinstance(chances.opened, Opened):
        words += " " + _opened(chances.opened)
    return words


def _hold(found: FormatChances, named: tuple[str, ...]) -> str:
    """How many boxes hold a card of each kind, hits first; blank where there is none of them."""
    chances = {kind.what: kind for kind in found.kinds}
    kinds = [chances[what] for what in named if what in chances]
    if not kinds:
        return ""
    sure = [_NAMED[kind.what] for kind in kinds if kind.p_box == 1]
    told = [f"every {found.name} box holds {text.listed(sure)}"] if sure else []
    if others := [kind for kind in kinds if kind.p_box != 1]:
        first = said.some(others[0].p_box, *said.boxes(found.name))
        if sure:
            first = tenths.share(others[0].p_box)
        verb = "holds" if said.is_one(others[0].p_box) else "hold"
        rest = [_held(kind, before) for before, kind in pairwise(others)]
        told.append(_listed([f"{first} {verb} {_NAMED[others[0].what]}", *rest]))
    return said.sentence("; ".join(told))


def _listed(kinds: list[str]) -> str:
    """Kinds as a sentence lists them; before one with a verb of its own stands a comma."""
    if len(kinds) > 1 and " hold" in kinds[-1]:
        return f"{', '.join(kinds[:-1])}, and {kinds[-1]}"
    return text.listed(kinds)


def _held(kind: Chance, before: Chance) -> str:
    """A further kind: '29 % a relic' behind 'hold', with a verb of its own where another would go before."""
    verb = ""
    if said.is_one(kind.p_box) or said.is_one(before.p_box):
        verb = " holds" if said.is_one(kind.p_box) else " hold"
    return f"{tenths.share(kind.p_box)}{verb} {_NAMED[kind.what]}"


def _assumed(found: FormatChances) -> str:
    """What the chances of kinds go by."""
    models = {part for kind in found.kinds for part in kind.model.split("; ")}
    words = "This assumes that packs are filled at random"
    if SPREAD in models:
        words += ", and that no two promised cards are in one pack"
    if AVERAGE in models:
        words += ". Where the maker promises only an average per box, a given box may hold none"
    return f"{words}."


def _opened(opened: Opened) -> str:
    boxes = text.count(sum(opened.boxes.values()), "box was", "boxes were")
    if not opened.lines:
        return f"{boxes} opened, and nothing in them has stated odds to compare with."
    off = [one for one in opened.lines if one.verdict == "differs"]
    if off:
        return f"{boxes} opened, and the stated odds do not fit: {'; '.join(map(_off, off))}."
    fits = sum(one.verdict == "fits" for one in opened.lines)
    few = len(opened.lines) - fits
    if not few:
        return f"{boxes} opened, and what was in them fits the stated odds."
    if not fits:
        return f"{boxes} opened, which is too few to judge the stated odds by."
    return (
        f"{boxes} opened, and what was in them fits {fits} of the {len(opened.lines)} stated odds; the other "
        f"{few} need more boxes to judge."
    )


def _off(one: OpenedLine) -> str:
    return (
        f"{f'{one.subset} {one.parallel}'.strip()} fell {text.count(one.hits, 'time')} in "
        f"{text.count(one.packs, 'pack')}; at 1:{tenths.plain(one.stated)} it would be "
        f"{tenths.fixed(one.expected, 1)}"
    )


def answered(found: Answer, headline: str) -> str:
    """What a host would say to a question about some cards."""
    if found.remark:
        return f"{said.sentence(found.remark)}, so the chance is 0."
    key = headline if headline in found.formats else next(iter(found.formats), "")
    one = found.formats.get(key)
    if not isinstance(one, FormatAnswer):
        return f"Not known in {key}: {one.why}." if one else "No format is described yet."
    amounts = [f"{tenths.share(amount.p)} in {amount.what}" for amount in one.amounts]
    cards = text.count(found.cards, "card")
    words = f"{found.of} ({cards}): the chance of at least one in {key} is {text.listed(amounts)}"
    words += f" ({one.model})." if one.model else "."
    if one.open_lines:
        words += f" It is higher still, as no odds are given for these: {', '.join(one.open_lines)}."
    return words
