"""What a host would say of people."""

from __future__ import annotations

from collections.abc import Sequence

from rating import tenths, text
from rating.facts import economics
from rating.facts.people.value import People, Wanted
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def told(people: People, facts: Kept) -> str:
    """Teams, the rookie class and its forms, and who is wanted."""
    verb = "has" if len(people.teams_served) == 1 else "have"
    every = len(people.teams_served) + len(people.teams_missing)
    words = f"{len(people.teams_served)} of {text.count(every, 'team')} {verb} a card"
    if 0 < len(people.teams_missing) <= 3:
        words += f", {text.listed(people.teams_missing)} have none"
    if people.rookie_class is None:
        words += "; the rookie class is not known, there is no rookies.csv."
    else:
        words += f"; {_rookies(people, people.rookie_class)}."
    if isinstance(people.wanted, Unknown):
        why = people.wanted.why
        return f"{words} {why[:1].upper()}{why[1:]}."
    return f"{words} {_wanted(people, people.wanted, facts)}"


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


def _wanted(people: People, wanted: Sequence[Wanted], facts: Kept) -> str:
    everybody = len(wanted) + len(people.wanted_missing)
    least = tenths.plain(people.wanted_from)
    if not everybody:
        return f"Nobody is wanted at {least} of 100 or more."
    if everybody == 1:
        words = f"The one most-wanted subject ({least} of 100 or more) is {'' if wanted else 'not '}in it"
    elif len(wanted) == everybody:
        words = f"All {everybody} most-wanted subjects ({least} of 100 or more) are in it"
    else:
        verb = "is" if len(wanted) == 1 else "are"
        number = len(wanted) or "None"
        words = f"{number} of the {everybody} most-wanted subjects ({least} of 100 or more) {verb} in it"
    if people.wanted_missing:
        names = [one.subject for one in people.wanted_missing]
        words += f", missing {'is' if len(names) == 1 else 'are'} {text.some(names)}"
    elif facts.season.is_demand_its_own:
        words += ", judging by this release's sales alone"
    return f"{words}.{_first(wanted[0], facts)}" if wanted else f"{words}."


def _first(wanted: Wanted, facts: Kept) -> str:
    """The first to chase, and how often a headline box holds one."""
    if wanted.cards == 1:
        words = f" Top chase: {wanted.subject}, with one {'signed card' if wanted.signatures else 'card'}"
    else:
        signed = f", {wanted.signatures} of them signed" if wanted.signatures else ""
        words = f" Top chase: {wanted.subject}, with {wanted.cards} cards{signed}"
    if wanted.p_box is not None:
        costs = facts.of(economics.SECTION)
        box = facts.headline if isinstance(costs, Unknown) else costs.main.name
        least = "at least " if wanted.at_least else ""
        words += f"; a {box} box holds one with a chance of {least}{tenths.share(wanted.p_box)}"
    return f"{words}."
