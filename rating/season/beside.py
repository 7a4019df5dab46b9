"""What stands beside a recorded grade wherever it is shown: from its review alone, as it was published."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rating import overruling
from rating.price_line import TYPICAL, Says, price_line, says
from rating.review import PriceAdvice, Review
from rating.rubric.rubric import band_start_of, points_of
from rating.season.recorded import Recorded
from rating.standings import Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What is told with a grade.

    price_line, says
        what the price says beside the verdict, in a sentence and in a word; '' for a review from before such
        amounts were kept (`price_advice` None)
    as_computed
        the grade in tenths with those scores as computed that were overruled by more than both doubts, None
        where there are none; `remark` names them, '' where there are none
    """

    price_line: str
    says: Says
    price_advice: PriceAdvice | None
    as_computed: int | None
    remark: str


def beside(review: Review, verdict: str, *, rubric_text: str, currency: str) -> Beside:
    """What stands beside the grade of a review and its verdict.

    Parameters
    ----------
    rubric_text : the rubric that it was graded by, as it is stored
    currency : the three letters of the season's
    """
    points = {key: given for key, (_, given) in points_of(rubric_text).items()}
    advice, grade = review.price_advice, review.grade
    # by the whole band, so that one verdict is joined in one way
    is_good = bool(verdict) and grade is not None and band_start_of(rubric_text, grade) >= TYPICAL
    return Beside(
        price_line=""
        if advice is None
        else price_line(verdict, is_good=is_good, advice=advice, currency=currency),
        says="" if advice is None else says(advice),
        price_advice=advice,
        as_computed=overruling.as_computed(review.scores, points),
        remark=overruling.remark(review.scores, points),
    )


def all_of(recorded: Recorded, rows: Iterable[Standing], *, currency: str) -> Mapping[str, Beside]:
    """What stands beside each grade of a ranking, by release."""
    ledger, shown = recorded.ledger, tuple(rows)
    texts = {rubric: ledger.rubric(rubric) for rubric in {row.rubric for row in shown}}
    return {
        row.release: beside(
            ledger.review(row.review), row.verdict, rubric_text=texts[row.rubric], currency=currency
        )
        for row in shown
    }


def computed_scores(recorded: Recorded, rows: Iterable[Standing]) -> Mapping[int, Mapping[str, int]]:
    """What was computed for each review of a ranking, by its number and criterion, overruled or not."""
    return {row.seq: _computed(recorded.ledger.review(row.review)) for row in rows}


def _computed(review: Review) -> dict[str, int]:
    found = {one.criterion: one.score for one in review.scores if one.basis == "computed"}
    overruled = {one.criterion: one.computed_score for one in review.scores}
    return found | {key: score for key, score in overruled.items() if score is not None}
