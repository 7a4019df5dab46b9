"""What a host would say of who is in a release, and of how it differs from the edition before."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from rating import money, tenths, text
from rating.facts.earlier.value import Earlier, RungChange
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts
from rating.facts.people.value import People, Wanted
from rating.facts.plain import Unknown


def people(found: People, facts: Facts) -> str:
    """Teams, the rookie class and its forms, and who is wanted."""
    verb = "has" if len(found.teams_served) == 1 else "have"
    words = f"{len(found.teams_served)} of {text.count(len(facts.season.teams), 'team')} {verb} a card"
    if 0 < len(found.teams_missing) <= 3:
        words += f", {text.listed(found.teams_missing)} have none"
    if found.rookie_class is None:
        words += "; the rookie class is not known, there is no rookies.csv."
    else:
        words += f"; {_rookies(found, found.rookie_class)}."
    if isinstance(found.wanted, Unknown):
        return f"{words} {_capital(found.wanted.why)}."
    return f"{words} {_wanted(found, found.wanted, facts)}"


def _rookies(people: People, size: int) -> str:
    missing = people.rookies_missing
    verb = "is" if len(people.rookies_carded) == 1 else "are"
    words = f"{len(people.rookies_carded)} of the {text.count(size, 'rookie')} {verb} in it"
    if 0 < len(missing) <= 3:
        words += f", {text.listed(missing)} {'is' if len(missing) == 1 else 'are'} missing"
    if people.rookies_only_signing:
        words += f", {text.count(len(people.rookies_only_signing), 'only signs', 'only sign')}"
    if people.rookies_only_base:
        words += f", {text.count(len(people.rookies_only_base), 'has', 'have')} base cards only"
    return words


def _wanted(people: People, wanted: Sequence[Wanted], facts: Facts) -> str:
    everybody = len(wanted) + len(people.wanted_missing)
    least = tenths.plain(people.wanted_from)
    if not everybody:
        return f"Nobody is wanted at {least} of 100 or more."
    verb = "is" if len(wanted) == 1 else "are"
    of = text.count(everybody, "subject", "subjects")
    words = f"Of the {of} wanted at {least} of 100 or more {len(wanted)} {verb} in it"
    if people.wanted_missing:
        names = [one.subject for one in people.wanted_missing]
        words += f", missing {'is' if len(names) == 1 else 'are'} {some(names)}"
    elif facts.season.is_demand_its_own:
        words += ", as its own sales alone say"
    words += "."
    if wanted:
        first = wanted[0]
        cards = text.count(first.cards, "card")
        signed = f", {first.signatures} of them signed" if first.signatures else ""
        words += f" The first to chase is {first.subject} with {cards}{signed}"
        if first.p_box is not None:
            least = "at least " if first.at_least else ""
            words += (
                f"; a {_headline(facts)} box holds one with a chance of {least}{tenths.share(first.p_box)}"
            )
        words += "."
    return words


def some(names: Sequence[str], most: int = 3) -> str:
    """Names as a sentence lists them, the many cut short: 'a, b, c and 4 more'."""
    if len(names) <= most + 1:
        return text.listed(list(names))
    return f"{', '.join(names[:most])} and {len(names) - most} more"


def _headline(facts: Facts) -> str:
    economics = facts.economics
    return economics.main.name if isinstance(economics, Economics) else facts.headline


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def earlier(found: Earlier, facts: Facts) -> str:
    """Three sentences: what a box costs and holds, subsets and ladder, who is in it."""
    return " ".join((_then_box(found, facts), _then_subsets(found), _then_subjects(found)))


_THEN = {"list": "lists at", "street at launch": "went for", "street last seen": "was last seen at"}


def _then_box(earlier: Earlier, facts: Facts) -> str:
    told = []
    if not isinstance(earlier.prices, Unknown):
        for one in earlier.prices:
            if one.was is not None and one.now is not None:
                when = " at launch" if one.kind == "street at launch" else ""
                told.append(
                    f"{_THEN[one.kind]} {money.show(one.now)} instead of {money.show(one.was)}{when}"
                    f"{_more(one.change)}"
                )
    for held in earlier.promises:
        if held.was != held.now and held.was is not None and held.now is not None:
            now, was = tenths.plain(held.now), tenths.plain(held.was)
            told.append(f"holds {now} {held.what.replace('numbered', 'numbered cards')} instead of {was}")
    fresh = [one.format for one in earlier.formats if not one.was]
    gone = [one.format for one in earlier.formats if not one.now]
    packed = [one.format for one in earlier.formats if one.was and one.now and one.was != one.now]
    others = [
        f"{text.listed(names)} {'is' if len(names) == 1 else 'are'} {how}"
        for names, how in ((fresh, "new"), (gone, "gone"), (packed, "packed otherwise"))
        if names
    ]
    box = (
        f"the {facts.headline} box {text.listed(told)}" if told else "no price or promise is known to differ"
    )
    return f"Against {earlier.title} {'; '.join((box, *others))}."


def _more(change: Decimal | None) -> str:
    percent = 0 if change is None else tenths.percent(abs(change))
    if change is None or not percent:
        return ""
    return f" ({percent} % {'more' if change > 0 else 'less'})"


def _then_subsets(earlier: Earlier) -> str:
    if isinstance(earlier.subsets, Unknown):
        return f"Subsets cannot be compared: {earlier.subsets.why}."
    fresh = [one.subset for one in earlier.subsets if one.was is None]
    gone = [one.subset for one in earlier.subsets if one.now is None]
    kept = len(earlier.subsets) - len(fresh) - len(gone)
    words = f"{text.count(kept, 'subset')} stayed"
    if fresh:
        words += f", new {'is' if len(fresh) == 1 else 'are'} {some(fresh)}"
    if gone:
        words += f", dropped {'is' if len(gone) == 1 else 'are'} {some(gone)}"
    if isinstance(earlier.ladder, Unknown):
        return f"{words}; the ladder cannot be compared: {earlier.ladder.why}."
    ladder = earlier.ladder
    told = [f"went from {ladder.was} to {text.count(ladder.now, 'parallel')}"]
    for change, how in (("added", "added"), ("dropped", "dropped"), ("run", "with another print run")):
        names = [_rung(one) for one in ladder.changes if one.change == change]
        if names:
            told.append(f"{how} {'is' if len(names) == 1 else 'are'} {some(names)}")
    return f"{words}; the ladder of those that stayed {', '.join(told)}."


def _rung(one: RungChange) -> str:
    name = f"{one.subset} {one.parallel}".strip()
    if one.change != "run":
        return name
    return f"{name} ({one.was or 'not numbered'} to {one.now or 'not numbered'})"


def _then_subjects(earlier: Earlier) -> str:
    subjects = earlier.subjects
    if isinstance(subjects, Unknown):
        return f"Who came and went is not known: {subjects.why}."
    came, went = len(subjects.came), len(subjects.went)
    return (
        f"Of its {text.count(subjects.now, 'subject')} {came} "
        f"{'was' if came == 1 else 'were'} not in the edition before ({tenths.percent(subjects.new)} %), "
        f"and {went} of that edition's {subjects.was} are gone."
    )
