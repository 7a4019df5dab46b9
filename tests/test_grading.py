"""Grading: facts, rubric and judgements in, a reasoned grade out."""

from __future__ import annotations

import dataclasses
from datetime import date
from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import grading, tenths
from rating import review as reviews
from rating.criterion import Criterion, Finding, NotApplicable
from rating.facts.context import Buying, PriceClass, SeasonContext
from rating.facts.gather import gather
from rating.facts.history.value import History
from rating.facts.plain import Unknown
from rating.raters import Judgement
from rating.registry import Module
from rating.release.market import Price
from rating.release.release import Release
from rating.release.sheet import Format, Sheet
from rating.review import PrintedDisclosure, Unscored
from rating.rubric.rubric import Band, Rubric, WeightedCriterion
from rating.scale import scale

SCALE = scale("linear", "units", ("0", 0), ("100", 100))
GUIDE = ("worst", "poor", "fair", "good", "best")
BANDS = (Band(start=500, words="Take it"), Band(start=0, words="Leave it"))


def module(key, find=None, **more):
    """A criterion module of that key; with a function it computes."""
    criterion = Criterion(
        key=key,
        group="g",
        question="How is it?",
        guidance=GUIDE,
        scale=SCALE if find else None,
        find=find,
        **more,
    )
    return Module(criterion=criterion, origin=f"test.{key}", code_hash="0" * 64)


def finding(measure, **more):
    """A function that finds this measure whatever the facts."""
    return lambda _: Finding(measure=measure, reason=f"It measures {measure}.", **more)


def weighted(key, points, scaled=None):
    """A criterion of the rubric."""
    return WeightedCriterion(key=key, group="g", points=points, scale=scaled)


def rubric(*criteria):
    """A rubric of these criteria."""
    return Rubric(name="r", groups={"g": "G"}, criteria=criteria, bands=BANDS)


def judged(key, score, **more):
    """A person's answer."""
    return Judgement(rater="mo", criterion=key, score=score, reason=f"{key}: so it is.", **more)


def sheet(**changes):
    """A small release."""
    hobby = Format(key="hobby", name="Hobby", cards_per_pack=Decimal(8), packs_per_box=14, boxes_per_case=12)
    values = {"slug": "halyard", "title": "Halyard", "maker": "W", "line": "Halyard", "disclosure": None}
    values |= {"released_on": date(2031, 3, 12), "formats": (hobby,), "headline": "hobby"}
    return Sheet(**(values | changes))


@pytest.fixture(scope="module")
def facts():
    """The facts of a release with one price, 150 a box."""
    season = SeasonContext(
        name="2031",
        currency="USD",
        teams=(),
        rookies=None,
        classes=(PriceClass(name="middle", below=None),),
        buying=Buying(),
        aliases={},
    )
    row = Price(date(2031, 4, 1), "hobby", "box", "street", Decimal(150), "", "", 2)
    blank = History(line="Halyard", since=None, editions=())
    return gather(Release(sheet=sheet(), prices=(row,)), season, blank, as_of=date(2031, 7, 15))


def graded(facts, criteria, answers, modules=None, stage="launch"):
    """The grading of answers to criteria given as (key, points)."""
    found = modules or {key: module(key) for key, _ in criteria}
    scales = {key: one.criterion.scale for key, one in found.items()}
    rules = rubric(*(weighted(key, points, scales.get(key)) for key, points in criteria))
    return grading.grade(facts, rules, found, {one.criterion: one for one in answers}, stage=stage)


def test_an_unknown_score_shares_its_weight_out_and_bounds_the_grade(facts):
    """80, 60, open, 40 with 40, 30, 20, 10 points: 67.5; with the open one at 0 it is 54, at 100 it is 74."""
    criteria = [("a", 400), ("b", 300), ("c", 200), ("d", 100)]
    found = graded(facts, criteria, [judged("a", 80), judged("b", 60), judged("d", 40)])
    assert (found.grade, found.lowest, found.highest) == (675, 540, 740)
    assert found.unknown == (Unscored(criterion="c", why="nobody has scored it yet"),)
    assert found.is_partial
    assert not found.ranked_apart
    assert found.verdict == "Take it"


def test_what_does_not_apply_is_left_out_without_making_the_grade_partial(facts):
    """The same scores, and nothing is open: the bounds are the grade."""
    criteria = [("a", 400), ("b", 300), ("c", 200), ("d", 100)]
    answers = [judged("a", 80), judged("b", 60), judged("c", None), judged("d", 40)]
    found = graded(facts, criteria, answers)
    assert (found.grade, found.lowest, found.highest, found.is_partial) == (675, 675, 675, False)
    assert found.not_applicable == (Unscored(criterion="c", why="c: so it is."),)


@pytest.mark.parametrize(("open_points", "apart"), [(250, False), (251, True), (1000, True)])
def test_more_than_a_quarter_open_is_apart_and_has_no_verdict(facts, open_points, apart):
    """Of a thousand points that apply; a criterion that does not apply is no part of them."""
    criteria = [("a", 1000 - open_points), ("b", open_points), ("c", 5000)]
    answers = [judged("a", 80), judged("c", None)] if open_points < 1000 else [judged("c", None)]
    found = graded(facts, criteria, answers)
    assert found.ranked_apart == apart
    assert found.verdict == ("" if apart else "Take it")
    assert (found.grade is None) == (open_points == 1000)


def test_nothing_known_is_no_grade(facts):
    """Neither nought nor a bound."""
    found = graded(facts, [("a", 100)], [])
    assert (found.grade, found.lowest, found.highest, found.likely, found.verdict) == (
        None,
        None,
        None,
        None,
        "",
    )
    assert found.ranked_apart


def test_a_computed_measure_is_scored_on_the_rubrics_scale(facts):
    """37.55 on a scale of 0 to 100 is 38; the measure, module and its hash are kept."""
    found = graded(facts, [("a", 100)], [], {"a": module("a", finding(Decimal("37.55"), spread=4))})
    (line,) = found.contributions
    assert (line.score.score, line.score.basis, line.score.measure, line.score.spread) == (
        38,
        "computed",
        "37.55",
        4,
    )
    assert (line.score.module, line.score.module_hash, line.score.rater) == ("test.a 1", "0" * 64, "")
    assert found.grade == 380


@pytest.mark.parametrize(
    ("measure", "score", "kept"),
    [
        (37.5, 38, "37.5"),
        (Fraction(75, 2), 38, "37.5"),
        (Fraction(1, 3), 0, "0.333333"),
        (0.1 + 0.2 + 0.2, 1, "0.5"),  # 0.5000000000000001 as a float: six digits first, then half up
        (37.4999999, 38, "37.5"),
        (37.4999, 37, "37.4999"),
    ],
)
def test_a_measure_is_kept_to_six_digits_and_scored_from_that(facts, measure, score, kept):
    """No float reaches a published number."""
    found = graded(facts, [("a", 100)], [], {"a": module("a", finding(measure))})
    assert (found.contributions[0].score.score, found.contributions[0].score.measure) == (score, kept)


def test_a_capped_measure_says_so_in_its_evidence(facts):
    """With the goalpost that it lies beyond."""
    found = graded(facts, [("a", 100)], [], {"a": module("a", finding(250, evidence=("seen",)))})
    assert found.contributions[0].score.score == 100
    assert found.contributions[0].evidence == (
        "seen",
        "units: 250.0; the scale ends at 100, so it counts as 100",
    )


def test_a_declared_score_needs_no_measure(facts):
    """By rule, such as 50 for a line without a past."""
    find = lambda _: Finding(measure=None, declared=50, reason="A new line.")  # noqa: E731
    found = graded(facts, [("a", 100)], [], {"a": module("a", find)})
    assert (found.contributions[0].score.score, found.contributions[0].score.measure) == (50, "")


def test_a_person_overrules_what_was_computed_and_both_are_kept(facts):
    """The score is the person's, beside it stands what the module said."""
    found = graded(facts, [("a", 100)], [judged("a", 70)], {"a": module("a", finding(40))})
    (line,) = found.contributions
    assert (line.score.score, line.score.basis, line.score.computed_score) == (70, "overruled", 40)
    assert (line.score.reason, line.score.rater, line.score.measure) == ("a: so it is.", "mo", "40")
    assert "computed 40: It measures 40." in line.evidence


@pytest.mark.parametrize(
    ("find", "expected"),
    [
        (lambda _: Unknown("no odds yet"), "no odds yet"),
        (lambda _: 7, "its module failed: TypeError: gave int, which is not an answer"),
        (lambda _: 1 / 0, "its module failed: ZeroDivisionError: division by zero"),
    ],
)
def test_a_module_that_cannot_say_leaves_it_open(facts, find, expected):
    """Unknown, with the reason; a broken one is a problem besides, and the others go on."""
    modules = {"a": module("a", find), "b": module("b", finding(60))}
    found = graded(facts, [("a", 100), ("b", 900)], [], modules)
    assert found.unknown == (Unscored(criterion="a", why=expected),)
    assert (found.grade, found.lowest, found.highest) == (600, 540, 640)
    assert [one.code for one in found.problems] == ([] if expected == "no odds yet" else ["broken-criterion"])


def test_a_module_says_that_its_question_does_not_arise(facts):
    """A person may still give a score."""
    modules = {"a": module("a", lambda _: NotApplicable("No relics by design.")), "b": module("b")}
    found = graded(facts, [("a", 100), ("b", 100)], [judged("b", 50)], modules)
    assert found.not_applicable == (Unscored(criterion="a", why="No relics by design."),)
    found = graded(facts, [("a", 100), ("b", 100)], [judged("a", 60), judged("b", 50)], modules)
    assert (found.grade, found.contributions[0].score.basis) == (550, "judged")


def test_a_criterion_that_no_module_answers_for_is_unknown_until_it_is_judged(facts):
    """The rubric may ask what this installation cannot compute."""
    found = graded(facts, [("a", 100)], [], {"b": module("b")})
    assert found.unknown == (Unscored(criterion="a", why="no module of this name is installed"),)
    assert graded(facts, [("a", 100)], [judged("a", 70)], {"b": module("b")}).grade == 700


def test_a_computed_criterion_without_a_scale_is_unknown(facts):
    """There is no score without goalposts."""
    rules = rubric(weighted("a", 100))
    found = grading.grade(facts, rules, {"a": module("a", finding(40))}, {}, stage="launch")
    assert found.unknown == (Unscored(criterion="a", why="rubric.toml gives it no value scale"),)


@pytest.mark.parametrize(
    ("stage", "given", "spread"),
    [
        ("launch", None, 16),
        ("in-hand", None, 8),
        ("settled", None, 8),
        ("announced", 3, 3),
        ("settled", 0, 0),
    ],
)
def test_a_first_impression_has_twice_the_doubt(facts, stage, given, spread):
    """Until cards are in hand, unless the person says how sure they are."""
    modules = {"a": module("a", provisional_until="in-hand", spread=8)}
    found = graded(facts, [("a", 100)], [judged("a", 60, spread=given)], modules, stage)
    assert found.contributions[0].score.spread == spread
    is_first = stage in {"launch", "announced"}
    assert any("provisional" in one for one in found.contributions[0].evidence) == is_first


def test_the_likely_grades_come_from_the_spreads(facts):
    """Half of it at 50 give or take 20: 50 + x with x triangular over 10, under 43.15 in 4.96 of 100."""
    found = graded(facts, [("a", 500), ("b", 500)], [judged("a", 50, spread=20), judged("b", 50, spread=0)])
    assert found.likely == (432, 568)


def test_lifts_are_points_times_the_distance_from_a_typical_release(facts):
    """30 points at 70 lift by 300 x 20, 10 points at 20 cost 100 x 30."""
    found = graded(facts, [("a", 300), ("b", 100)], [judged("a", 70), judged("b", 20)])
    assert [line.lift for line in found.contributions] == [6000, -3000]


# properties --------------------------------------------------------------------------------------------

answers = st.lists(
    st.tuples(st.integers(0, 300), st.integers(0, 100) | st.just("unknown") | st.none()),
    min_size=1,
    max_size=8,
)


def of(facts, given_answers, factor=1):
    """The grading of points and scores; None does not apply."""
    criteria = [(f"k{n}", points * factor) for n, (points, _) in enumerate(given_answers)]
    return graded(
        facts,
        criteria,
        [judged(f"k{n}", score) for n, (_, score) in enumerate(given_answers) if score != "unknown"],
    )


def exact(pairs):
    """The mean in tenths as a fraction, rounded half up by the decimal module; None without weight."""
    total = sum(points for points, _ in pairs)
    if not total:
        return None
    mean = Fraction(10 * sum(points * score for points, score in pairs), total)
    with localcontext() as context:
        context.prec = 50
        return int(
            (Decimal(mean.numerator) / Decimal(mean.denominator)).quantize(
                Decimal(1), rounding="ROUND_HALF_UP"
            )
        )


@given(answers)
def test_a_grade_and_its_bounds_are_exact_means(facts, given_answers):
    """Over what is known; over what applies with the unknown at 0 and at 100."""
    found = of(facts, given_answers)
    known = [(points, score) for points, score in given_answers if isinstance(score, int)]
    applying = [(points, score) for points, score in given_answers if score is not None]
    assert found.grade == exact(known)
    if found.grade is not None:
        assert found.lowest == exact([(p, 0 if s == "unknown" else s) for p, s in applying])
        assert found.highest == exact([(p, 100 if s == "unknown" else s) for p, s in applying])
        assert found.lowest <= found.grade <= found.highest


@given(answers, st.integers(2, 9))
def test_only_the_ratio_of_points_matters(facts, given_answers, factor):
    """All points times a whole number: the same grade, bounds, likely ones and apartness."""
    first, second = of(facts, given_answers), of(facts, given_answers, factor)
    for name in ("grade", "lowest", "highest", "likely", "ranked_apart", "verdict"):
        assert getattr(first, name) == getattr(second, name)


@given(answers, st.data())
def test_a_better_score_never_lowers_a_grade(facts, given_answers, data):
    """Nor its bounds."""
    places = [n for n, (_, score) in enumerate(given_answers) if isinstance(score, int)]
    if not places:
        return
    place = data.draw(st.sampled_from(places))
    points, score = given_answers[place]
    better = [*given_answers]
    better[place] = (points, data.draw(st.integers(score, 100)))
    first, second = of(facts, given_answers), of(facts, better)
    if first.grade is not None:
        assert (second.grade, second.lowest, second.highest) >= (first.grade, first.lowest, first.highest)
        assert second.lowest >= first.lowest
        assert second.highest >= first.highest


@given(answers, st.randoms())
def test_the_order_of_criteria_is_irrelevant(facts, given_answers, order):
    """Whichever comes first in the rubric."""
    mixed = list(given_answers)
    order.shuffle(mixed)
    first, second = of(facts, given_answers), of(facts, mixed)
    assert (first.grade, first.lowest, first.highest) == (second.grade, second.lowest, second.highest)


# what is recorded --------------------------------------------------------------------------------------

OCCASION = grading.Occasion(
    season="2031",
    stage="launch",
    published_on="2031-04-02",
    recorded_at="2031-04-02T20:00:00Z",
    raters=("mo",),
    disclosure=PrintedDisclosure(how_obtained=("bought",), sentence="I bought it."),
)


def test_a_grading_becomes_a_review(facts):
    """With the hash of the facts, the class, and the logarithm of the price: ln 150 = 5.01064 (tables)."""
    rules = rubric(weighted("a", 300), weighted("b", 100))
    modules = {"a": module("a"), "b": module("b")}
    found = grading.grade(facts, rules, modules, {"a": judged("a", 70)}, stage="launch")
    review, text = grading.to_review(found, facts, rules, OCCASION)
    assert (review.grade, review.lowest, review.highest) == (700, 525, 775)
    assert (review.price_class, review.log_price, review.product_format) == ("middle", "5.01064", "hobby")
    assert (review.release, review.released_on, review.rubric) == ("halyard", "2031-03-12", rules.hash)
    assert review.facts == reviews.hash_of(text)
    assert [one.criterion for one in review.scores] == ["a"]
    assert [one.criterion for one in review.unknown] == ["b"]
    assert reviews.from_text(reviews.text_of(review)) == review


def test_a_frozen_class_stays(facts):
    """What it cost at launch decides, also where the files describe no format any more."""
    rules = rubric(weighted("a", 300))
    season = dataclasses.replace(facts.season, frozen_class="everyday")
    dark = facts.replaced(season=season, economics=Unknown("no format yet"))
    found = grading.grade(dark, rules, {"a": module("a")}, {"a": judged("a", 70)}, stage="launch")
    assert grading.to_review(found, dark, rules, OCCASION)[0].price_class == "everyday"


def test_without_a_price_there_is_no_class_and_no_logarithm(facts):
    """Blank, not nought."""
    dark = facts.replaced(economics=Unknown("no box formats are on file yet"))
    rules = rubric(weighted("a", 300))
    found = grading.grade(dark, rules, {"a": module("a")}, {"a": judged("a", 70)}, stage="launch")
    review, text = grading.to_review(found, dark, rules, OCCASION)
    assert (review.price_class, review.log_price) == ("", "")
    assert "no box formats are on file yet" in text


def test_a_verdict_goes_by_the_published_grade(facts):
    """49.95 is published as 50.0 and gets the words of 50.0."""
    found = graded(facts, [("a", 95), ("b", 5)], [judged("a", 50), judged("b", 49)])
    assert (tenths.show(found.grade), found.verdict) == ("50.0", "Take it")  # 49.95
    found = graded(facts, [("a", 9), ("b", 1)], [judged("a", 50), judged("b", 49)])
    assert (tenths.show(found.grade), found.verdict) == ("49.9", "Leave it")
