"""What a host would say of a release against the edition before it."""

from __future__ import annotations

from decimal import Decimal

from rating import money, tenths, text
from rating.facts.earlier.value import Earlier, FormatChange, PriceChange, PromiseChange, RungChange
from rating.facts.plain import Unknown
from rating.facts.section import Kept

_NOW = {"list": "lists at", "street at launch": "went for", "street last seen": "was last seen at"}


def told(earlier: Earlier, facts: Kept) -> str:
    """Three sentences: what a box costs and holds, subsets and ladder, who is in it."""
    return " ".join((_box(earlier, facts), _subsets(earlier), _subjects(earlier)))


def _box(earlier: Earlier, facts: Kept) -> str:
    prices = () if isinstance(earlier.prices, Unknown) else earlier.prices
    changes = [one for one in map(_price, prices) if one] + [
        one for one in map(_promise, earlier.promises) if one
    ]
    box = "no price or promise is known to differ"
    if changes:
        box = f"the {facts.headline} box {text.listed(changes)}"
    return f"Against {earlier.title} {'; '.join((box, *_formats(earlier.formats)))}."


def _price(one: PriceChange) -> str:
    if one.was is None or one.now is None:
        return ""
    when = " at launch" if one.kind == "street at launch" else ""
    was, now = money.show(one.was), money.show(one.now)
    return f"{_NOW[one.kind]} {now} instead of {was}{when}{_more(one.change)}"


def _more(change: Decimal | None) -> str:
    percent = 0 if change is None else tenths.percent(abs(change))
    if change is None or not percent:
        return ""
    return f" ({percent} % {'more' if change > 0 else 'less'})"


def _promise(one: PromiseChange) -> str:
    if one.was is None or one.now is None or one.was == one.now:
        return ""
    what = one.what.replace("numbered", "numbered cards")
    return f"holds {tenths.plain(one.now)} {what} instead of {tenths.plain(one.was)}"


def _formats(formats: tuple[FormatChange, ...]) -> list[str]:
    """The formats that are new, gone and packed otherwise."""
    fresh = [one.format for one in formats if not one.was]
    gone = [one.format for one in formats if not one.now]
    packed = [one.format for one in formats if one.was and one.now and one.was != one.now]
    return [
        f"{text.listed(names)} {'is' if len(names) == 1 else 'are'} {how}"
        for names, how in ((fresh, "new"), (gone, "gone"), (packed, "packed otherwise"))
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
        words += f", new {_are(fresh)}"
    if gone:
        words += f", dropped {_are(gone)}"
    if isinstance(earlier.ladder, Unknown):
        return f"{words}; the ladder cannot be compared: {earlier.ladder.why}."
    ladder = earlier.ladder
    changes = [f"went from {ladder.was} to {text.count(ladder.now, 'parallel')}"]
    for change, how in (("added", "added"), ("dropped", "dropped"), ("run", "with another print run")):
        names = [_rung(one) for one in ladder.changes if one.change == change]
        if names:
            changes.append(f"{how} {_are(names)}")
    return f"{words}; the ladder of those that stayed {', '.join(changes)}."


def _are(names: list[str]) -> str:
    return f"{'is' if len(names) == 1 else 'are'} {text.some(names)}"


def _rung(one: RungChange) -> str:
    name = f"{one.subset} {one.parallel}".strip()
    if one.change != "run":
        return name
    return f"{name} ({one.was or 'not numbered'} to {one.now or 'not numbered'})"


def _subjects(earlier: Earlier) -> str:
    subjects = earlier.subjects
    if isinstance(subjects, Unknown):
        return f"Who came and went is not known: {subjects.why}."
    came, went = len(subjects.came), len(subjects.went)
    return (
        f"Of its {text.count(subjects.now, 'subject')} {came} "
        f"{'was' if came == 1 else 'were'} not in the edition before ({tenths.percent(subjects.new)} %), "
        f"and {went} of that edition's {subjects.was} are gone."
    )
