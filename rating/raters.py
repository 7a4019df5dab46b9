"""What persons say: their scores with reasons, and the one set of scores that is published."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from rating import tenths

Rule = Literal["first", "mean", "median"]
RULES: tuple[Rule, ...] = ("first", "mean", "median")


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """One person's answer to one criterion: a score with its reason, or why it does not apply."""

    rater: str
    criterion: str
    score: int | None
    reason: str
    spread: int | None = None


def published(
    judgements: Sequence[Judgement], raters: Sequence[str], rule: Rule = "first"
) -> Mapping[str, Judgement]:
    """The judgements that a grade is made from, by criterion.

    `first` takes those of the first rater alone; `mean` and `median` combine the scores of all raters,
    rounded half up to a whole score, with every reason kept under its rater's key. Where somebody gives a
    score and somebody says that it does not apply, the scores count.
    """
    if rule == "first":
        return {one.criterion: one for one in judgements if raters and one.rater == raters[0]}
    found = {}
    for criterion in dict.fromkeys(one.criterion for one in judgements):
        given = [
            one for key in raters for one in judgements if (one.rater, one.criterion) == (key, criterion)
        ]
        scored = [one for one in given if one.score is not None] or given
        if scored:
            found[criterion] = _combined(scored, rule)
    return found


def _combined(given: Sequence[Judgement], rule: Rule) -> Judgement:
    if len(given) == 1 or given[0].score is None:
        return given[0]
    scores = sorted(one.score for one in given if one.score is not None)
    middle = len(scores) // 2
    if rule == "mean":
        value = Fraction(sum(scores), len(scores))
    elif len(scores) % 2:
        value = Fraction(scores[middle])
    else:
        value = Fraction(scores[middle - 1] + scores[middle], 2)
    spreads = [one.spread for one in given if one.spread is not None]
    return Judgement(
        rater=f"{rule} of {', '.join(one.rater for one in given)}",
        criterion=given[0].criterion,
        score=tenths.half_up(value),
        reason=" ".join(f"{one.rater} ({one.score}): {one.reason}" for one in given),
        spread=max(spreads, default=None),
    )
