"""What a host would say of a release against the edition before it."""

from __future__ import annotations

from decimal import Decimal

from rating import money, tenths, text
from rating.facts import economics, said
from rating.facts.earlier.value import Earlier, FormatChange, PriceChange, PromiseChange, RungChange
from rating.facts.plain import Unknown
from rating.facts.section import Kept

_NOW = {
    "list": "lists at",
    "street at launch": "sold at launch for",
    "street last seen": "most recently sold for",
}
# the price that says most, first
_LEADS = ("street last seen", "street at launch", "list")


def lead(earlier: Earlier, _: Kept) -> str:
    """What a box costs against the edition before, and how many of the people are new."""
    prices = {} if isinstance(earlier.prices, Unknown) else {one.kind: one for one in earlier.prices}
    changes = [prices[kind].change for kind in _LEADS if kind in prices]
    known = [change for change in changes if change is not None]
    told = [f"Boxes cost {_against(known[0])} last time"] if known else []
    if not isinstance(earlier.subjects, Unknown):
        came = len(earlier.subjects.came)
        new = f"{came} of {text.count(earlier.subjects.now, 'player')}"
        told.append(f"{new} {'is' if came == 1 else 'are'} new")
    return (
        f"{'; '.join(told)}." if told else f"Prices and players cannot be compared with {earlier.title} yet."
    )


def told(earlier: Earlier, facts: Kept) -> str:
    """Sentences on what a box costs and holds, subsets and ladder, who is in it."""
    return (
        f"Compared with {earlier.title}: "
        f"{' '.join((_box(earlier, facts), _subsets(earlier), _subjects(earlier)))}"
    )


def _against(change: Decimal) -> str:
    percent = tenths.percent(abs(change))
    return f"{percent} % {'more' if change > 0 else 'less'} than" if percent else "the same as"


def _name(facts: Kept) -> str:
    """What the headline format is called."""
    costs = facts.of(economics.SECTION)
    return facts.headline if isinstance(costs, Unknown) else costs.main.name


def _box(earlier: Earlier, facts: Kept) -> str:
    """What it costs, then what it holds, then the formats, a sentence each."""
    prices = () if isinstance(earlier.prices, Unknown) else earlier.prices
    costs = [words for one in prices if (words := _price(one, facts))]
    holds = [words for one in earlier.promises if (words := _promise(one))]
    told = []
    if costs:
        told.append(f"a {_name(facts)} box {costs[0]}")
        told += [f"It {', and '.join(costs[1:])}"] if costs[1:] else []
    if holds:
        first, *rest = holds
        went = " went from " if costs else f" promised per {_name(facts)} box went from "
        first = f"{'Promised per box: ' if costs else ''}{first.replace(' from ', went, 1)}"
        told.append(text.listed([first, *rest]))
    told = told or ["no change in prices or promised hits is known yet"]
    formats = _formats(earlier.formats)
    return ". ".join([*told, *([said.sentence(text.listed(formats))] if formats else [])]) + "."


def _price(one: PriceChange, facts: Kept) -> str:
    """The price now against then: 'lists at $164.95, 3 % more than last time ($159.95)'."""
    if one.was is None or one.now is None:
        return ""
    was, now = (money.told(amount, facts.rules.currency) for amount in (one.was, one.now))
    percent = 0 if one.change is None else tenths.percent(abs(one.change))
    if one.was == one.now:
        return f"{_NOW[one.kind]} {now}, the same as last time"
    if one.change is None or not percent:
        return f"{_NOW[one.kind]} {now} (last time {was})"
    return f"{_NOW[one.kind]} {now}, {_against(one.change)} last time ({was})"


def _promise(one: PromiseChange) -> str:
    if one.was is None or one.now is None or one.was == one.now:
        return ""
    what = one.what.replace("numbered", "numbered cards")
    return f"{what} from {_number(one.was)} to {_number(one.now)}"


def _number(number: Decimal) -> str:
    """A number with one place at most."""
    return tenths.fixed(number, 1).removesuffix(".0")


def _formats(formats: tuple[FormatChange, ...]) -> list[str]:
    """The formats that are new, gone and packed otherwise."""
    fresh = [one.format for one in formats if not one.was]
    gone = [one.format for one in formats if not one.now]
    packed = [one.format for one in formats if one.was and one.now and one.was != one.now]
    return [
        f"the {text.listed(names)} {'format is' if len(names) == 1 else 'formats are'} {how}"
        for names, how in ((fresh, "new"), (gone, "gone"), (packed, "packed differently this time"))
        if names
    ]


def _subsets(earlier: Earlier) -> str:
    if isinstance(earlier.subsets, Unknown):
        return f"Subsets cannot be compared: {earlier.subsets.why}."
    fresh = [one.subset for one in earlier.subsets if one.was is None]
    gone = [one.subset for one in earlier.subsets if one.now is None]
    kept = len(earlier.subsets) - len(fresh) - len(gone)
    words = f"{text.count(kept, 'subset')} stayed"
    if fresh:
        words += f"; {text.some(fresh)} {'is' if len(fresh) == 1 else 'are'} new"
    if gone:
        words += f"; {text.some(gone)} {'is' if len(gone) == 1 else 'are'} gone"
    if isinstance(earlier.ladder, Unknown):
        return f"{words}. Parallels cannot be compared: {earlier.ladder.why}."
    ladder = earlier.ladder
    stayed = "The subset that stayed" if kept == 1 else "The subsets that stayed"
    told = f"{words}. {stayed} went from {ladder.was} to {text.count(ladder.now, 'parallel')}"
    told += " between them" if kept > 1 else ""
    for change, how in (("added", "added"), ("dropped", "dropped"), ("run", "print run changed")):
        names = [_rung(one) for one in ladder.changes if one.change == change]
        if names:
            told += f"; {how}: {text.some(names)}"
    return f"{told}."


def _rung(one: RungChange) -> str:
    name = f"{one.subset} {one.parallel}".strip()
    if one.change != "run":
        return name
    return f"{name} ({one.was or 'not numbered'} to {one.now or 'not numbered'})"


def _subjects(earlier: Earlier) -> str:
    subjects = earlier.subjects
    if isinstance(subjects, Unknown):
        return f"Which players are new or gone is not known: {subjects.why}."
    came, went = len(subjects.came), len(subjects.went)
    return (
        f"{came} of its {text.count(subjects.now, 'player')} {'is' if came == 1 else 'are'} new "
        f"({tenths.percent(subjects.new)} %), and {went} of the last edition's {subjects.was} "
        f"{'is' if went == 1 else 'are'} gone."
    )
