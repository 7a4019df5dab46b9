"""How does a box feel, pack by pack? Half of it can be counted.

The measure is the share of packs with something; what every pack has counts half, and a box of one or two
packs is asked about instead. Waits, hits and surprises stand in the evidence for the person who overrules;
the chance of a low number would go with price. Without odds it is unknown.
"""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import Criterion, Facts, Finding, Opening, Unknown, fixed, listed, percent, scale

# with fewer packs than this there is no wait between them that could be counted
FEWEST_PACKS = 3


def find(facts: Facts) -> Finding | Unknown:
    """The share of packs with something other than base; a pack with only what every pack has counts half.

    The surprise and the feel of it are not counted: a person may overrule.
    """
    opening = facts.opening
    if not isinstance(opening, Opening):
        return opening
    found = opening.formats.get(facts.headline, Unknown("no format is described yet"))
    if isinstance(found, Unknown):
        return found
    if found.packs < FEWEST_PACKS:
        packs = "a single pack" if found.packs == 1 else "two packs"
        return Unknown(f"a box is {packs}, so how much fun it is to open is left to your judgement")
    if not facts.odds:
        return Unknown("there are no odds yet, so how many packs hold something is not known")
    beyond = ""
    if found.in_every_pack:
        beyond = (
            f": each has {found.usual}, and {percent(found.beyond_the_usual)} % hold something else as well"
        )
    longest = fixed(found.longest_dry, 1)
    wait = (
        f" In a box, the longest run of packs with only base cards is {longest} packs on average."
        if found.longest_dry
        else ""
    )
    most = f"{found.longest_dry_q90} or fewer in 9 boxes out of 10"
    silent = listed(found.not_counted[:3])
    return Finding(
        measure=(Fraction(found.with_something) + Fraction(found.beyond_the_usual)) / 2,
        evidence=(
            f"longest run of packs with only base cards: {longest} of {found.packs} packs on average, {most}",
            f"hits in a box: {fixed(found.expected_hits, 1)}; boxes without one: {percent(found.hits[0])} %",
            f"boxes with a card numbered to 25 or less: {percent(found.surprise)} %",
            *((f"not counted, as their odds are not stated: {silent}",) if silent else ()),
        ),
        reason=(
            f"{_packs(percent(found.with_something))} more than base cards{beyond}.{wait} "
            "How much fun that is to open is left to your judgement."
        ),
        spread=15,
    )


def _packs(share: int) -> str:
    return "Every pack holds" if share == 100 else f"{share} % of packs hold"


CRITERION = Criterion(
    key="opening",
    group="object",
    question="How does a box feel, pack by pack?",
    scale=scale(
        "linear",
        "share of packs with something, what is in all of them at half",
        ("0.35", 0),
        ("0.66", 50),
        (1, 100),
    ),
    guidance=(
        "two packs of three hold the same base cards and nothing else",
        "something in every other pack, and long waits",
        "something in two packs of three",
        "something in five packs of six, and never a long wait",
        "every pack has a reason to be opened, and some surprise",
    ),
    needs=("opening",),
    find=find,
)
