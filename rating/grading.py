"""Grading: facts, rubric and judgements in, a reasoned grade out. The only caller of plug-in code."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from rating import money, tenths
from rating import review as reviews
from rating.core import exact
from rating.core.exact import is_apart
from rating.criterion import REASON_LIMIT, Finding, NotApplicable
from rating.errors import Problem
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts
from rating.facts.plain import Unknown
from rating.facts.stored import stored
from rating.foretelling import foretold
from rating.price_line import price_advice
from rating.raters import Judgement
from rating.registry import Module
from rating.review import PrintedDisclosure, Review, Score, Unscored
from rating.rubric.rubric import Rubric, WeightedCriterion
from rating.stage import STAGES
from rating.text import tidy


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One criterion that counts: its score with group, points (tenths) and the evidence behind it."""

    score: Score
    group: str
    points: int
    evidence: tuple[str, ...] = ()

    @property
    def lift(self) -> int:
        """What it adds to the grade against a typical 50, in points x score: points x (score - 50)."""
        return self.points * (self.score.score - 50)


@dataclass(frozen=True, slots=True, kw_only=True)
class Graded:
    """A grading that is not recorded. Grades and points are whole tenths."""

    contributions: tuple[Contribution, ...]
    not_applicable: tuple[Unscored, ...]
    unknown: tuple[Unscored, ...]
    grade: int | None
    lowest: int | None
    highest: int | None
    unknown_points: int
    applying_points: int
    verdict: str
    ranked_apart: bool
    problems: tuple[Problem, ...]

    @property
    def is_partial(self) -> bool:
        """Whether something that applies is unknown."""
        return bool(self.unknown)

    @property
    def likely(self) -> tuple[int, int] | None:
        """Between which grades the doubt of the known scores leaves it in nine of ten cases."""
        from rating.sensitivity.grades import likely_grade  # numpy is loaded where it is asked for

        scores = [line.score for line in self.contributions]
        return likely_grade(
            [one.score for one in scores],
            [one.spread for one in scores],
            [line.points for line in self.contributions],
        )


def grade(
    facts: Facts,
    rubric: Rubric,
    modules: Mapping[str, Module],
    judgements: Mapping[str, Judgement],
    *,
    stage: str,
) -> Graded:
    """The grade of a release by a rubric, from its facts and one set of judgements."""
    contributions: list[Contribution] = []
    absent: list[Unscored] = []
    unknown: list[Unscored] = []
    problems: list[Problem] = []
    for weighted in rubric.criteria:
        module = modules.get(weighted.key)
        answer, problem = _answer(module, weighted, facts)
        if problem is not None:
            problems.append(problem)
        settled = _settle(
            weighted, module, answer, judgements.get(weighted.key), stage, facts.season.currency
        )
        if isinstance(settled, Contribution):
            contributions.append(settled)
        elif isinstance(settled, NotApplicable):
            absent.append(Unscored(criterion=weighted.key, why=settled.why))
        else:
            unknown.append(Unscored(criterion=weighted.key, why=settled.why))
    return _combined(rubric, contributions, absent, unknown, problems)


def _answer(
    module: Module | None, weighted: WeightedCriterion, facts: Facts
) -> tuple[Finding | Unknown | NotApplicable | None, Problem | None]:
    if module is None:
        return Unknown("no module of this name is installed"), None
    if module.criterion.find is not None and weighted.scale is None:
        return Unknown("rubric.toml gives it no value scale"), None
    return module.ask_of(facts)


def _settle(
    weighted: WeightedCriterion,
    module: Module | None,
    answer: Finding | Unknown | NotApplicable | None,
    judged: Judgement | None,
    stage: str,
    currency: str,
) -> Contribution | Unknown | NotApplicable:
    """One criterion: what is computed, unless a person says otherwise; both are kept."""
    computed = _computed(weighted, module, answer, currency) if isinstance(answer, Finding) else None
    if judged is None:
        if computed is not None:
            return computed
        return answer if isinstance(answer, Unknown | NotApplicable) else Unknown("nobody has scored it yet")
    if judged.score is None:
        return NotApplicable(judged.reason)
    score = Score(
        criterion=weighted.key,
        score=judged.score,
        basis="overruled" if computed is not None else "judged",
        reason=judged.reason,
        spread=_spread(judged, module, stage),
        computed_score=computed.score.score if computed is not None else None,
        computed_spread=computed.score.spread if computed is not None else None,
        measure=computed.score.measure if computed is not None else "",
        module=module.name if module else "",
        module_hash=module.code_hash if module else "",
        rater=judged.rater,
    )
    evidence = list(computed.evidence) if computed is not None else []
    if computed is not None:
        evidence.append(f"computed {computed.score.score}: {computed.score.reason}")
    if module is not None and _is_provisional(module, stage):
        evidence.append(f"provisional until the release is {module.criterion.provisional_until}")
    return Contribution(score=score, group=weighted.group, points=weighted.points, evidence=tuple(evidence))


def _computed(
    weighted: WeightedCriterion, module: Module | None, finding: Finding, currency: str
) -> Contribution | None:
    if module is None or weighted.scale is None:
        return None
    evidence = list(finding.evidence)
    measure = finding.kept
    if measure is None:
        value = finding.declared or 0
    else:
        placed = weighted.scale.place(measure)
        value = placed.score
        if placed.capped:
            unit = money.in_currency(weighted.scale.unit, currency)
            end = weighted.scale.points[0 if placed.capped == "low" else -1][0]
            found = tenths.fixed(measure, 1 if measure >= 10 else 3)
            evidence.append(
                f"{unit}: {found}; the scale ends at {tenths.plain(end)}, so it counts as {tenths.plain(end)}"
            )
    score = Score(
        criterion=weighted.key,
        score=value,
        basis="computed",
        reason=tidy(finding.reason)[:REASON_LIMIT],
        spread=finding.spread,
        measure=tenths.plain(measure) if measure is not None else "",
        module=module.name,
        module_hash=module.code_hash,
    )
    return Contribution(score=score, group=weighted.group, points=weighted.points, evidence=tuple(evidence))


def _is_provisional(module: Module, stage: str) -> bool:
    until = module.criterion.provisional_until
    return bool(until) and STAGES.index(stage) < STAGES.index(until)


def _spread(judged: Judgement, module: Module | None, stage: str) -> int:
    if judged.spread is not None:
        return judged.spread
    if module is None:
        return 10
    return min(50, module.criterion.spread * (2 if _is_provisional(module, stage) else 1))


def _combined(
    rubric: Rubric,
    contributions: Sequence[Contribution],
    absent: Sequence[Unscored],
    unknown: Sequence[Unscored],
    problems: Sequence[Problem],
) -> Graded:
    open_points = [rubric.by_key[one.criterion].points for one in unknown]
    scores: list[int | None] = [line.score.score for line in contributions]
    weights = [line.points for line in contributions]
    value = exact.grade_tenths(scores, weights) if contributions else None
    lowest = highest = None
    if value is not None:
        scores += [None] * len(unknown)
        bounds = exact.grade_bounds(scores, weights + open_points, [True] * len(scores))
        lowest, highest = bounds if bounds is not None else (None, None)
    applying = sum(open_points) + sum(weights)
    apart = value is None or is_apart(sum(open_points), applying)
    return Graded(
        contributions=tuple(contributions),
        not_applicable=tuple(absent),
        unknown=tuple(unknown),
        grade=value,
        lowest=lowest,
        highest=highest,
        unknown_points=sum(open_points),
        applying_points=applying,
        verdict="" if value is None or apart else rubric.verdict(value),
        ranked_apart=apart,
        problems=tuple(problems),
    )


def restated(review: Review, rubric: Rubric) -> Graded:
    """A recorded review by another rubric: what it measured on that one's scales, scores by its points.

    What a person scored stays. What the review was not asked is unknown.
    """
    given = {one.criterion: one for one in review.scores}
    absent = {one.criterion: one for one in review.not_applicable}
    unknown = {one.criterion: one for one in review.unknown}
    contributions, left_out, left_open = [], [], []
    for weighted in rubric.criteria:
        key = weighted.key
        if (score := _rescored(given.get(key), weighted)) is not None:
            contributions.append(Contribution(score=score, group=weighted.group, points=weighted.points))
        elif key in absent:
            left_out.append(absent[key])
        else:
            left_open.append(unknown.get(key, Unscored(criterion=key, why="the review does not score it")))
    return _combined(rubric, contributions, left_out, left_open, ())


def _rescored(score: Score | None, weighted: WeightedCriterion) -> Score | None:
    """A recorded score on the scale that a rubric has now; None where there is none, or no scale for it."""
    if score is None or score.basis != "computed" or not score.measure:
        return score
    if weighted.scale is None:
        return None
    return replace(score, score=weighted.scale.place(Decimal(score.measure)).score)


@dataclass(frozen=True, slots=True, kw_only=True)
class Occasion:
    """When, why and by whom a grading is recorded: all of a review that is not in its grading."""

    season: str
    stage: str
    published_on: str
    recorded_at: str
    raters: tuple[str, ...]
    disclosure: PrintedDisclosure
    reason_for_change: str = ""
    season_id: str = ""


def to_review(graded: Graded, facts: Facts, rubric: Rubric, occasion: Occasion) -> tuple[Review, str]:
    """The review of a grading, and the canonical text of the facts it was made from."""
    economics = facts.economics if isinstance(facts.economics, Economics) else None
    facts_text = facts_as_text(facts)
    review = Review(
        season=occasion.season,
        season_id=occasion.season_id or None,
        release=facts.release,
        title=facts.title,
        released_on=facts.released_on.isoformat() if facts.released_on else "",
        price_class=economics.price_class if economics else facts.season.frozen_class,
        log_price=log_price(economics) if economics else "",
        product_format=facts.headline,
        stage=occasion.stage,
        published_on=occasion.published_on,
        recorded_at=occasion.recorded_at,
        raters=occasion.raters,
        disclosure=occasion.disclosure,
        rubric=rubric.hash,
        scores=tuple(line.score for line in graded.contributions),
        not_applicable=graded.not_applicable,
        unknown=graded.unknown,
        grade=graded.grade,
        lowest=graded.lowest,
        highest=graded.highest,
        facts=reviews.hash_of(facts_text),
        reason_for_change=occasion.reason_for_change,
        price_advice=price_advice(facts),
        foretold=foretold(facts, occasion.stage),
    )
    return review, facts_text


def facts_as_text(facts: Facts) -> str:
    """The canonical text of the facts that a review keeps."""
    return reviews.canonical(stored(facts))


def log_price(economics: Economics) -> str:
    """The natural logarithm of the headline box's price as decimal text, '' where there is no price."""
    price = economics.main.box_price
    return tenths.plain(tenths.six_digits(Decimal(price).ln())) if price else ""
