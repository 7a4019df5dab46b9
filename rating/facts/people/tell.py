"""What a host would say of people."""

from __future__ import annotations

from collections.abc import Sequence

from rating import tenths, text
from rating.facts import economics, said
from rating.facts.people.value import People, Wanted
from rating.facts.plain import Unknown
from rating.facts.section import Kept


def lead(people: People, _: Kept) -> str:
    """How many teams and rookies are in it, and whom to chase first."""
    teams = len(people.teams_served)
    every = teams + len(people.teams_missing)
    words = f"Has all {every} teams" if teams == every > 1 else f"Has {teams} of {text.count(every, 'team')}"
    if people.rookie_class is not None:
        words += f", {len(people.rookies_carded)} of {text.count(people.rookie_class, 'rookie')}"
    words += "."
    if not isinstance(people.wanted, Unknown) and people.wanted:
        words += f" Most wanted: {people.wanted[0].subject}."
    return words


def told(people: People, facts: Kept) -> str:
    """Teams, the rookie class and its forms, and who is wanted."""
    verb = "has" if len(people.teams_served) == 1 else "have"
    every = len(people.teams_served) + len(people.teams_missing)
    words = f"{len(people.teams_served)} of {text.count(every, 'team')} {verb} cards"
    if len(people.teams_served) == every > 1:
        words = f"All {every} teams have cards"
    if 0 < len(people.teams_missing) <= 3:
        words += f"; {text.listed(people.teams_missing)} have none"
    if people.rookie_class is None:
        words += ". There is no rookies.csv, so who is a rookie is not known."
    else:
        words += f". {_rookies(people, people.rookie_class)}."
    if isinstance(people.wanted, Unknown):
        return f"{words} {said.sentence(people.wanted.why)}."
    return f"{words} {_wanted(people, people.wanted, facts)}"


def _rookies(people: People, size: int) -> str:
    missing = people.rookies_missing
    verb = _have(people.rookies_carded)
    words = f"{len(people.rookies_carded)} of the {text.count(size, 'rookie')} {verb} cards"
    if 0 < len(missing) <= 3:
        words += f"; {text.listed(missing)} {'is' if len(missing) == 1 else 'are'} missing"
    if people.rookies_only_signing:
        signing = text.count(len(people.rookies_only_signing), "rookie signs", "rookies sign")
        words += f". {signing} but {_have(people.rookies_only_signing)} no base card"
    if people.rookies_only_base:
        few = text.count(len(people.rookies_only_base), "rookie has", "rookies have")
        words += f". {few} nothing but base cards"
    return words


def _have(names: Sequence[str]) -> str:
    return "has" if len(names) == 1 else "have"


def _wanted(people: People, wanted: Sequence[Wanted], facts: Kept) -> str:
    everybody = len(wanted) + len(people.wanted_missing)
    least = f"(demand of {tenths.plain(people.wanted_from)} or more out of 100)"
    if not everybody:
        return f"Nobody is among the most wanted {least}."
    if everybody == 1:
        words = f"The one most-wanted player {least} is {'' if wanted else 'not '}in it"
    elif len(wanted) == everybody:
        words = f"All {everybody} most-wanted players {least} are in it"
        if facts.season.is_demand_its_own:
            words += ", but that goes by this release's own sales, which cannot show who is missing"
    else:
        number = len(wanted) or "None"
        verb = "is" if len(wanted) == 1 else "are"
        words = f"{number} of the {everybody} most-wanted players {least} {verb} in it"
    if people.wanted_missing:
        names = [one.subject for one in people.wanted_missing]
        words += f"; {text.some(names)} {'is' if len(names) == 1 else 'are'} missing"
    return f"{words}.{_first(wanted[0], facts)}" if wanted else f"{words}."


def _first(wanted: Wanted, facts: Kept) -> str:
    """The first to chase, and how often a headline box holds one."""
    if wanted.cards == 1:
        words = f" Most wanted: {wanted.subject}, with one {'signed card' if wanted.signatures else 'card'}"
    else:
        signed = f", {wanted.signatures} of them signed" if wanted.signatures else ""
        words = f" Most wanted: {wanted.subject}, with {wanted.cards} cards{signed}"
    if wanted.p_box is not None:
        least = "at least " if wanted.at_least else ""
        which = "it" if wanted.cards == 1 else "at least one of them"
        words += f"; {least}{said.do(wanted.p_box, *said.boxes(_box(facts)), 'holds', 'hold')} {which}"
    return f"{words}."


def _box(facts: Kept) -> str:
    """What the headline format is called."""
    costs = facts.of(economics.SECTION)
    return facts.headline if isinstance(costs, Unknown) else costs.main.name
