"""Years running, and how earlier editions held their price.

Held is the last street price over that at launch: what became of the money of somebody who bought then. Over
the maker's price it would be the ratio that `access` asks about, scored the other way round.

A new line stands at a declared 50, whatever the scale: a finding may declare a score where there is nothing
to measure.
"""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import Criterion, Facts, Finding, Unknown, amount, percent, scale

NEUTRAL = 50


def find(facts: Facts) -> Finding | Unknown:
    """The mean of last street price over that at launch, in the earlier editions that earlier seasons know.

    A line without a past is neither praised nor blamed: a declared 50 with a wide spread.
    """
    history = facts.history
    held = [(edition, edition.held) for edition in history.editions if edition.held is not None]
    if not history.editions and _begins_now(facts):
        return Finding(
            measure=None,
            declared=NEUTRAL,
            reason=_without_a_past(facts),
            evidence=("no earlier edition on file", f"scored a neutral {NEUTRAL}"),
            spread=15,
        )
    if not held:
        return Unknown("no earlier edition has both a launch price and a later price on file")
    mean = sum((Fraction(ratio) for _, ratio in held), Fraction(0)) / len(held)
    last, ratio = held[0]
    launched = amount(last.launch_price or 0, facts)
    began = f"A box of the previous edition, {last.title}, sold for {launched} at launch"
    years = f"The line has run since {history.since}. " if history.since else ""
    apart = percent(abs(Fraction(ratio) - 1))
    moved = "held its price" if apart < 2 else f"has {'gained' if ratio > 1 else 'lost'} {apart} % since"
    return Finding(
        measure=mean,
        evidence=tuple(
            f"{edition.title}: {amount(edition.launch_price or 0, facts)} at launch, "
            f"{amount(edition.street_price or 0, facts)} most recently"
            for edition, _ in held
        ),
        reason=f"{years}{began} and {moved}.",
        spread=max(4, 12 - 3 * len(held)),
    )


def _without_a_past(facts: Facts) -> str:
    """A new line where something says since when it runs; else only that nothing does."""
    line = facts.history.line
    if facts.history.since is None:
        return (
            f"{line} has no earlier edition on file, and nothing says when it began, so it scores a neutral "
            f"{NEUTRAL}."
        )
    return f"{line} is a new line with no past to judge by, so it scores a neutral {NEUTRAL}."


def _begins_now(facts: Facts) -> bool:
    since, day = facts.history.since, facts.released_on
    return since is None or (day is not None and since >= day.year)


CRITERION = Criterion(
    key="record",
    group="maker",
    question="How many years has the line run, and how did earlier editions hold their price?",
    scale=scale("logarithmic", "last street price over that at launch", ("0.4", 0), ("0.9", 50), (2, 100)),
    guidance=(
        "earlier editions lost more than half since launch",
        "earlier editions lost a third",
        "earlier editions nearly held, or the line is new",
        "earlier editions rose by a third",
        "earlier editions doubled",
    ),
    needs=("history",),
    find=find,
)
