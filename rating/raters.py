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
        return {
            judgement.criterion: judgement
            for judgement in judgements
            if raters and judgement.rater == raters[0]
        }
    combined = {}
    for criterion in dict.fromkeys(judgement.criterion for judgement in judgements):
        given = [
            judgement
            for key in raters
            for judgement in judgements
            if (judgement.rater, judgement.criterion) == (key, criterion)
        ]
        scored = [judgement for judgement in given if judgement.score is not None] or given
        if scored:
            combined[criterion] = _combined(scored, rule)
    return combined


def _combined(given: Sequence[Judgement], rule: Rule) -> Judgement:
    if len(given) == 1 or given[0].score is None:
        return given[0]
    scores = sorted(judgement.score for judgement in given if judgement.score is not None)
    middle = len(scores) // 2
    if rule == "mean":
        value = Fraction(sum(scores), len(scores))
    elif len(scores) % 2:
        value = Fraction(scores[middle])
    else:
        value = Fraction(scores[middle - 1] + scores[middle], 2)
    spreads = [judgement.spread for judgement in given if judgement.spread is not None]
    return Judgement(
        rater=f"{rule} of {', '.join(one.rater for one in given)}",
        criterion=given[0].criterion,
        score=tenths.half_up(value),
        reason=" ".join(f"{judgement.rater} ({judgement.score}): {judgement.reason}" for judgement in given),
        spread=max(spreads, default=None),
    )
