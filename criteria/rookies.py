"""How much of the season's rookie class is in it, and in which forms."""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import Criterion, Facts, Finding, NotApplicable, People, Unknown, scale

# a rookie counts whole with a card in the base set and a signature; what is missing counts so much less
IN_BASE = Fraction(5, 10)
SIGNS = Fraction(3, 10)
CARDED = Fraction(2, 10)


def find(facts: Facts) -> Finding | Unknown | NotApplicable:
    """The share of the class that is in it, weighed by form: carded .2, in the base set .5, signing .3."""
    people = facts.people
    if not isinstance(people, People):
        return people
    if people.rookie_class is None:
        return Unknown("there is no rookies.csv in the season")
    if not people.rookie_class:
        return NotApplicable("the season's rookie class is empty on the release date")
    size = people.rookie_class
    carded, base = len(people.rookies_carded), len(people.rookies_in_base)
    signing = len(people.rookies_signing)
    measure = (CARDED * carded + IN_BASE * base + SIGNS * signing) / size
    missing = people.rookies_missing
    return Finding(
        measure=measure,
        evidence=(
            f"rookie class on the release date: {size}",
            f"with a card: {carded}, in the base set: {base}, signing: {signing}",
            *_forms(people),
            *(
                (f"without any card: {', '.join(missing[:12])}{' …' if len(missing) > 12 else ''}",)
                if missing
                else ()
            ),
        ),
        reason=(
            f"{carded} of the season's {size} rookies {'has' if carded == 1 else 'have'} cards: "
            f"{base} {'is' if base == 1 else 'are'} in the base set, and {signing} "
            f"{'signs' if signing == 1 else 'sign'}.{_halves(people)}"
        ),
        spread=4,
    )


def _forms(people: People) -> tuple[str, ...]:
    found = (
        ("signing, but without a base card", people.rookies_only_signing),
        ("with nothing but base cards", people.rookies_only_base),
    )
    return tuple(f"{form}: {', '.join(names[:12])}" for form, names in found if names)


def _halves(people: People) -> str:
    """Who is in it in one form alone."""
    told = []
    if people.rookies_only_signing:
        few = len(people.rookies_only_signing)
        told.append(f"{few} {'rookie signs but has' if few == 1 else 'rookies sign but have'} no base card")
    if people.rookies_only_base:
        few = len(people.rookies_only_base)
        told.append(f"{few} {'has' if few == 1 else 'have'} nothing but base cards")
    return f" {' and '.join(told)}." if told else ""


CRITERION = Criterion(
    key="rookies",
    group="people",
    question="How much of the season's rookie class is in it, and in which forms?",
    scale=scale("linear", "share of the class, weighted by form", (0, 0), ("0.45", 50), ("0.95", 100)),
    guidance=(
        "no rookies at all",
        "a few rookies, mostly on inserts",
        "about half of the class with base cards, some of them signing",
        "most of the class with base cards and many signatures",
        "the whole class, in the base set and signing",
    ),
    needs=("people",),
    find=find,
)
