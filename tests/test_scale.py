"""Value scales: a measure in, a score out, by declared goalposts."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.scale import Placed, Scale, scale

measures = st.decimals(-(10**6), 10**6, allow_nan=False, allow_infinity=False, places=6)
LINEAR = scale("linear", "share", ("0.5", 0), (1, 100))
LOG = scale("logarithmic", "autographs per 100", ("0.1", 0), (10, 100))
PEAK = scale("peak", "boxes", (1, 20), (3, 100), (6, 40), (10, 0))
STEP = scale("step", "years", (0, 0), (1, 50), (5, 100))
DEAR = scale("linear", "price", (20, 100), (100, 50), (900, 0))


@pytest.mark.parametrize(
    ("measure", "score"),
    [("0.5", 0), ("0.75", 50), ("1", 100), ("0.6", 20), ("0.6024", 20), ("0.6025", 21), ("0.602499999", 20)],
)
def test_a_linear_scale_is_read_off_exactly(measure, score):
    """(0.6025 - 0.5) / 0.5 is 20.5 %, an exact half, and goes up."""
    assert LINEAR.place(Decimal(measure)) == Placed(score)


@pytest.mark.parametrize(
    ("measure", "placed"),
    [("0.4", Placed(0, "low")), ("0.5", Placed(0)), ("1", Placed(100)), ("1.000001", Placed(100, "high"))],
)
def test_a_measure_beyond_the_goalposts_is_capped_and_says_so(measure, placed):
    """At the goalpost itself nothing was capped."""
    assert LINEAR.place(Decimal(measure)) == placed


@pytest.mark.parametrize(
    ("measure", "score"),
    [("20", 100), ("60", 75), ("100", 50), ("500", 25), ("900", 0), ("10", 100), ("901", 0)],
)
def test_goalposts_between_the_ends_bend_the_line(measure, score):
    """Halfway between two goalposts the score is halfway between theirs."""
    assert DEAR.place(Decimal(measure)).score == score


@given(measures)
def test_linear_scales_agree_with_numpy(measure):
    """numpy.interp draws the same line, to what a float can say."""
    xs, ys = zip(*((float(x), y) for x, y in DEAR.points), strict=True)
    assert float(DEAR.position(measure)) == pytest.approx(np.interp(float(measure), xs, ys), abs=1e-9)


@pytest.mark.parametrize(
    ("measure", "score"), [("0.1", 0), ("1", 50), ("10", 100), ("0.01", 0), ("0", 0), ("-3", 0)]
)
def test_a_logarithmic_scale_counts_factors(measure, score):
    """1 is ten times 0.1 and a tenth of 10: halfway."""
    assert LOG.place(Decimal(measure)).score == score


@pytest.mark.parametrize(
    ("posts", "measure", "score"),
    [
        ((("1", 0), ("4", 25)), "2", 13),  # 12.5
        ((("3", 0), ("12", 1)), "6", 1),  # 0.5
        ((("0.1", 0), ("1000", 10)), "1", 3),  # 2.5
        ((("7", 0), ("7000000", 99)), "7000", 50),  # 49.5
        ((("2", 99), ("2000000", 0)), "2000", 50),  # 49.5 on the way down
        ((("1", 0), ("1024", 5)), "2", 1),  # 0.5
    ],
)
def test_an_exact_half_on_a_logarithmic_scale_goes_up(posts, measure, score):
    """Where the logarithm itself is not exact, the half still is: ln 2 / ln 4 is a half."""
    log = scale("logarithmic", "x", *posts)
    assert log.position(Decimal(measure)).denominator == 2
    assert log.place(Decimal(measure)).score == score


@given(st.decimals("0.11", "9.99", allow_nan=False, places=4))
def test_logarithmic_scales_agree_with_sixty_digits(measure):
    """(ln x - ln low) / (ln high - ln low) at a precision of its own."""
    with localcontext() as context:
        context.prec = 60
        share = (measure / Decimal("0.1")).ln() / Decimal(100).ln()
    assert abs(LOG.position(measure) - 100 * Fraction(share)) < Fraction(1, 10**25)


@pytest.mark.parametrize(
    ("measure", "score"),
    [("0", 20), ("1", 20), ("2", 60), ("3", 100), ("4.5", 70), ("6", 40), ("8", 20), ("11", 0)],
)
def test_a_peak_scale_is_best_in_the_middle(measure, score):
    """It rises to its best goalpost and falls after it."""
    assert PEAK.place(Decimal(measure)).score == score
    assert PEAK.better == "middle"


@pytest.mark.parametrize(
    ("measure", "score"),
    [("-1", 0), ("0", 0), ("0.999", 0), ("1", 50), ("4.99", 50), ("5", 100), ("50", 100)],
)
def test_a_step_scale_gives_the_last_goalpost_reached(measure, score):
    """Nothing lies between the steps."""
    assert STEP.place(Decimal(measure)).score == score


@pytest.mark.parametrize(("one", "better"), [(LINEAR, "high"), (LOG, "high"), (STEP, "high"), (DEAR, "low")])
def test_the_direction_follows_from_the_goalposts(one, better):
    """Nobody declares it twice."""
    assert one.better == better


@pytest.mark.parametrize("one", [LINEAR, LOG, STEP, DEAR])
@given(first=measures, second=measures)
def test_a_better_measure_never_scores_lower(one, first, second):
    """Up the scale where high is better, down where low is."""
    low, high = sorted((first, second))
    scores = [one.place(low).score, one.place(high).score]
    assert scores == (sorted(scores) if one.better == "high" else sorted(scores, reverse=True))


@pytest.mark.parametrize("one", [LINEAR, LOG, STEP, DEAR, PEAK])
@given(measure=measures)
def test_a_score_stays_between_the_goalposts(one, measure):
    """Always a whole number from the lowest declared score to the highest."""
    score = one.place(measure).score
    assert isinstance(score, int)
    assert min(s for _, s in one.points) <= score <= max(s for _, s in one.points)


@pytest.mark.parametrize("one", [LINEAR, LOG, STEP, DEAR, PEAK])
def test_each_goalpost_gets_its_score(one):
    """What the rubric declares is what comes out."""
    assert [one.place(measure).score for measure, _ in one.points] == [score for _, score in one.points]


@pytest.mark.parametrize(
    ("kind", "points", "what"),
    [
        ("linear", [("1", 0)], "two goalposts"),
        ("linear", [("1", 0), ("1", 100)], "must rise"),
        ("linear", [("2", 0), ("1", 100)], "must rise"),
        ("linear", [("0", 0), ("1", 101)], "from 0 to 100"),
        ("linear", [("0", -1), ("1", 100)], "from 0 to 100"),
        ("linear", [("0", 50), ("1", 50)], "rise or fall"),
        ("linear", [("0", 0), ("1", 100), ("2", 50)], "rise or fall"),
        ("step", [("0", 0), ("1", 100), ("2", 0)], "rise or fall"),
        ("linear", [("NaN", 0), ("1", 100)], "finite"),
        ("linear", [("0", 0), ("Infinity", 100)], "finite"),
        ("logarithmic", [("0", 0), ("1", 100)], "above 0"),
        ("logarithmic", [("-1", 0), ("1", 100)], "above 0"),
        ("peak", [("0", 0), ("1", 100)], "peak"),
        ("peak", [("0", 100), ("1", 50), ("2", 0)], "peak"),
        ("peak", [("0", 0), ("1", 100), ("2", 0), ("3", 50)], "peak"),
        ("cubic", [("0", 0), ("1", 100)], "one of"),
    ],
)
def test_a_scale_that_makes_no_sense_is_refused(kind, points, what):
    """Invalid values cannot exist: the message says what is wrong with them."""
    with pytest.raises(ValueError, match=what):
        scale(kind, "x", *points)


@pytest.mark.parametrize("measure", ["NaN", "Infinity", "-Infinity"])
def test_a_measure_must_be_finite(measure):
    """NaN and infinity have no place."""
    with pytest.raises(ValueError, match="finite"):
        LINEAR.place(Decimal(measure))
    with pytest.raises(ValueError, match="finite"):
        LINEAR.position(Decimal(measure))


def test_a_scale_is_kept_as_plain_text():
    """Equal scales written differently have one plain form, so one hash."""
    first = Scale(kind="linear", unit="share", points=((Decimal("0.50"), 0), (Decimal("1E+0"), 100)))
    assert first.as_plain() == LINEAR.as_plain()
    assert LINEAR.as_plain() == {"kind": "linear", "unit": "share", "points": [["0.5", 0], ["1", 100]]}


def test_a_scale_is_told_in_one_line():
    """Kind, unit and each goalpost."""
    assert LINEAR.describe() == "linear, share: 0.5 gives 0, 1 gives 100"
