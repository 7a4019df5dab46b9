"""The one sentence of each section that a host would say, with its numbers."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from rating import money, tenths, text
from rating.facts import telling_people
from rating.facts.advice import tell as telling_advice
from rating.facts.advice.value import Advice
from rating.facts.chances.value import Chances, FormatChances, Opened
from rating.facts.completing.value import Completing, SetCost
from rating.facts.content.value import Content
from rating.facts.earlier.value import Earlier
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts
from rating.facts.falling.questions import Answer, FormatAnswer
from rating.facts.history.value import History
from rating.facts.opening.value import Opening
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.returns import tell as telling_returns
from rating.facts.returns.value import Returns
from rating.facts.scarcity.value import Scarcity
from rating.facts.values import tell as telling_values
from rating.facts.values.value import Values

_ESTIMATES = (
    "Prices are what was seen on the days given; they are estimates of what you would pay, no investment "
    "advice."
)
CAUTION = f"{_ESTIMATES} {telling_returns.LOSSES}"


def caution(facts: Facts) -> str:
    """What stands under every section with prices, with this release's own chance where it is known."""
    if isinstance(facts.returns, Returns):
        return f"{_ESTIMATES} {telling_returns.caution(facts.returns, facts)}"
    return CAUTION


def sentence(section: str, facts: Facts) -> str:
    """What a host would say about one section, 'Not known: …' where it cannot be computed."""
    value = getattr(facts, section)
    if isinstance(value, Unknown):
        return f"Not known: {value.why}."
    if isinstance(value, Economics):
        return _economics(value, facts.season.currency)
    if isinstance(value, Content):
        return _content(value)
    if isinstance(value, People):
        return telling_people.people(value, facts)
    if isinstance(value, Scarcity):
        return _scarcity(value, facts)
    if isinstance(value, Chances):
        return _chances(value, facts)
    if isinstance(value, Completing):
        return _completing(value, facts)
    if isinstance(value, Opening):
        return _opening(value, facts)
    if isinstance(value, Values):
        return telling_values.values(value, facts)
    if isinstance(value, Returns):
        return telling_returns.returns(value, facts)
    if isinstance(value, Advice):
        return telling_advice.advice(value, facts)
    if isinstance(value, Earlier):
        return telling_people.earlier(value, facts)
    return _history(value)


def _economics(economics: Economics, currency: str) -> str:
    main = economics.main
    if main.box_price is None:
        return f"There is no price of a {main.name} box yet."
    words = f"A {main.name} box goes for {money.show(main.box_price)} {currency} ({main.price_kind} price)"
    if main.per_card is not None:
        words += f", that is {money.show(main.per_card)} a card"
    if main.per_hit is not None:
        words += f" and {money.show(main.per_hit)} a hit"
    if main.landed_box is not None and main.landed_box != main.box_price:
        words += f"; on your table it costs {money.show(main.landed_box)}"
    words += "."
    if main.street_price and main.list_price and main.street_price != main.list_price:
        ratio = Fraction(main.street_price) / Fraction(main.list_price)
        way = "above" if ratio > 1 else "below"
        apart = tenths.percent(abs(ratio - 1))
        words += f" That is {apart} % {way} the maker's price." if apart else " That is the maker's price."
    if main.case_discount is not None and main.case_discount > 0:
        words += f" A box in a case is {tenths.percent(main.case_discount)} % cheaper."
    return words


def _content(content: Content) -> str:
    hits = sum(content.kinds.get(kind, 0) for kind in ("autograph", "relic", "autograph relic"))
    words = f"{text.count(content.cards, 'card')} in {text.count(len(content.subsets), 'subset')}"
    if hits:
        words += f", {hits} of them hits"
    if content.signers:
        words += f", by {text.count(content.signers, 'signer')}"
    words += "."
    if content.teams:
        most = content.teams[0]
        words += f" {most.team} have the most cards, {most.cards}."
    ones = next((one for one in content.tiers if one.high == 1), None)
    if ones is not None:
        words += f" {text.count(ones.versions, 'card exists', 'cards exist')} once."
    return words


def _history(history: History) -> str:
    if not history.editions:
        since = f", though it is said to run since {history.since}" if history.since else ""
        return f"No earlier edition of {history.line} is known to the earlier seasons{since}."
    last = history.editions[0]
    words = f"The edition before, {last.title},"
    if last.list_price is not None and last.street_price is not None:
        words += f" listed at {money.show(last.list_price)} and last went for {money.show(last.street_price)}"
    else:
        words += " has no list and street price on file"
    if last.grade is not None:
        words += f"; it was graded {tenths.show(last.grade)}"
    return words + "."


def _scarcity(scarcity: Scarcity, facts: Facts) -> str:
    economics = facts.economics
    names = (
        {key: one.name for key, one in economics.formats.items()} if isinstance(economics, Economics) else {}
    )
    told = []
    for key, one in scarcity.formats.items():
        packs = one.packs
        if packs.estimate is None:
            continue
        words = f"about {packs.estimate:,} {names.get(key, key)} packs"
        if packs.low is not None and packs.high is not None and packs.low != packs.high:
            words += f" ({packs.low:,} to {packs.high:,})"
        if one.boxes is not None:
            words += f", that is {tenths.half_up(Fraction(one.boxes)):,} boxes"
        told.append(words)
    sentence = f"Print runs and odds make it {'; '.join(told)}."
    if not scarcity.set_aside:
        return sentence + " All odds of numbered cards agree."
    others = (
        f" ({len(scarcity.alternatives)} ways to mend it are equally short)"
        if len(scarcity.alternatives) > 1
        else ""
    )
    misfits = [
        f"{one.subset} {one.parallel}".strip()
        + f" at 1:{tenths.plain(one.stated)}"
        + (f", where the others imply 1:{tenths.half_up(Fraction(one.implied)):,}" if one.implied else "")
        for one in scarcity.set_aside
    ]
    return f"{sentence} {'; '.join(misfits)}: that does not fit, and is left out{others}."


_NAMED = {
    "autograph": "an autograph",
    "relic": "a relic",
    "insert": "an insert",
    "numbered": "a numbered card",
    "one of one": "a one of one",
    "rookie autograph": "a rookie's autograph",
}


def _chances(chances: Chances, facts: Facts) -> str:
    one = chances.formats.get(facts.headline)
    if isinstance(one, FormatChances):
        told = [
            f"{_NAMED[kind.what]} {tenths.share(kind.p_box)}" for kind in one.kinds if kind.what in _NAMED
        ]
        models = dict.fromkeys(part for kind in one.kinds for part in kind.model.split("; ") if part)
        words = f"The chance of at least one in a {one.name} box: {', '.join(told)} ({'; '.join(models)})."
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
        told = [
            f"{f'{one.subset} {one.parallel}'.strip()} fell {text.count(one.hits, 'time')} in "
            f"{text.count(one.packs, 'pack')}, where 1:{tenths.plain(one.stated)} makes "
            f"{tenths.fixed(one.expected, 1)}"
            for one in off
        ]
        return f"{boxes} opened, and the stated odds do not fit: {'; '.join(told)}."
    fits = sum(one.verdict == "fits" for one in opened.lines)
    few = len(opened.lines) - fits
    words = f"{boxes} opened; nothing speaks against the stated odds"
    return (
        f"{words}, though for {few} of {text.count(len(opened.lines), 'line')} they are too few to tell."
        if few
        else f"{words}."
    )


def answer(found: Answer, headline: str) -> str:
    """What a host would say to a question about some cards."""
    if found.remark:
        return f"{found.remark[0].upper()}{found.remark[1:]}, so the chance is 0."
    key = headline if headline in found.formats else next(iter(found.formats), "")
    one = found.formats.get(key)
    if not isinstance(one, FormatAnswer):
        return f"Not known in {key}: {one.why}." if one else "No format is described yet."
    told = [f"{tenths.share(amount.p)} in {amount.what}" for amount in one.amounts]
    cards = text.count(found.cards, "card")
    words = f"{found.of} ({cards}): the chance of at least one in {key} is {text.listed(told)}"
    words += f" ({one.model})." if one.model else "."
    if one.open_lines:
        words += f" It is more by what nothing is said of: {', '.join(one.open_lines)}."
    return words


def _completing(completing: Completing, facts: Facts) -> str:
    """The headline format's set: how long, what one box has, and the cheapest way."""
    found = completing.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    packs, boxes, first = found.packs, found.independent.boxes, found.independent.after[0]
    words = (
        f"{found.cards} base cards at {tenths.fixed(found.base_per_pack, 1)} a pack: if packs know nothing "
        f"of each other, the set takes {tenths.fixed(packs.mean, 0)} packs on average "
        f"({_boxes(boxes.mean)}), at most {packs.q90} in nine of ten tries"
    )
    if found.no_duplicates is not None:
        words += f"; without a base card twice in a box it takes {_boxes(found.no_duplicates.boxes.mean)}"
    words += (
        f". After one box you have {tenths.fixed(first.distinct, 0)} of them and "
        f"{tenths.fixed(first.duplicates, 0)} to swap."
    )
    cost = found.best_boxes_then_singles
    if not isinstance(cost, SetCost):
        return f"{words} What that costs is not known: {cost.why}."
    if cost.boxes:
        way = f"{text.count(cost.boxes, 'box', 'boxes')}, then singles"
    else:
        way = "no box at all, but singles"
    return (
        f"{words} Cheapest is {way} at {money.show(cost.single)} each: {money.show(cost.cost)}, against "
        f"{money.show(cost.until_done)} for boxes until it is complete."
    )


def _boxes(number: Decimal) -> str:
    return text.count(tenths.half_up(Fraction(number)), "box", "boxes")


def _opening(opening: Opening, facts: Facts) -> str:
    """The headline format's box, pack by pack."""
    found = opening.formats[facts.headline]
    if isinstance(found, Unknown):
        return f"Not known: {found.why}."
    words = f"{tenths.percent(found.with_something)} of 100 packs hold something other than base"
    if found.in_every_pack:
        beyond = tenths.percent(found.beyond_the_usual)
        words += (
            f", {beyond} of 100 something beyond {text.listed(found.in_every_pack)}, which every pack has"
        )
    if found.longest_dry:
        words += (
            f"; the longest run of packs with base only is {tenths.fixed(found.longest_dry, 1)} on average, "
            f"and at most {found.longest_dry_q90} in nine of ten boxes"
        )
    words += f". A box holds {tenths.fixed(found.expected_hits, 1)} hits on average"
    if found.hits[0]:
        words += f", none in {tenths.percent(found.hits[0])} of 100 boxes"
    return words + f", and something numbered to 25 or less in {tenths.percent(found.surprise)} of 100 boxes."
