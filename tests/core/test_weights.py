"""Weights: published examples, three independent libraries on random cases, and every refusal."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
import scipy.linalg
from hypothesis import given
from hypothesis import strategies as st
from numpy.testing import assert_allclose, assert_array_equal
from pymcdm import weights as pymcdm_weights
from pymcdm.weights.subjective import AHP
from skcriteria.preprocessing import weighters

from rating.core import weights
from rating.core.weights import pairwise

NAN = math.nan
ONE_THIRD, ONE_NINTH = 1 / 3, 1 / 9
SAATY_SCALE = [1 / k for k in range(9, 1, -1)] + list(range(1, 10))


def reciprocal(upper):
    """The full matrix of comparisons from its upper triangle, row by row."""
    n = round((1 + math.sqrt(1 + 8 * len(upper))) / 2)
    matrix = np.ones((n, n))
    matrix[np.triu_indices(n, 1)] = upper
    return np.where(np.tri(n, k=-1, dtype=bool), 1 / matrix.T, matrix)


def random_comparisons(random, n):
    """Answers on Saaty's scale, none heeding the others."""
    return reciprocal(random.choice(SAATY_SCALE, n * (n - 1) // 2))


# rank orders ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "expected",
    [
        [0.75, 0.25],
        [0.6111, 0.2778, 0.1111],
        [0.5208, 0.2708, 0.1458, 0.0625],
        [0.4567, 0.2567, 0.1567, 0.09, 0.04],
        [0.4083, 0.2417, 0.1583, 0.1028, 0.0611, 0.0278],
        [0.3704, 0.2276, 0.1561, 0.1085, 0.0728, 0.0442, 0.0204],
        [0.3397, 0.2147, 0.1522, 0.1106, 0.0793, 0.0543, 0.0335, 0.0156],
        [0.3143, 0.2032, 0.1477, 0.1106, 0.0828, 0.0606, 0.0421, 0.0262, 0.0123],
        [0.2929, 0.1929, 0.1429, 0.1096, 0.0846, 0.0646, 0.0479, 0.0336, 0.0211, 0.01],
    ],
    ids=len,
)
def test_centroids_are_those_of_the_published_table(expected):
    """Barron and Barrett, Management Science 42 (1996) 1515-1523; table from memory, the formula is exact."""
    assert_allclose(weights.rank_order_centroid(len(expected)), expected, atol=6e-5)


def test_centroids_of_twelve():
    """By the formula of Barron and Barrett (1996) with six digits."""
    expected = [0.258601, 0.175268, 0.133601, 0.105823, 0.084990, 0.068323, 0.054434, 0.042529, 0.032113]
    expected += [0.022854, 0.014520, 0.006944]
    assert_allclose(weights.rank_order_centroid(12), expected, atol=6e-7)


@pytest.mark.parametrize("n", [1, 2, 7, 14, 60])
def test_a_centroid_is_that_in_fractions(n):
    """(1/n) sum over i from k to n of 1/i."""
    exact = [sum(Fraction(1, i) for i in range(k, n + 1)) / n for k in range(1, n + 1)]
    assert_allclose(weights.rank_order_centroid(n), list(map(float, exact)), rtol=1e-14)


@pytest.mark.parametrize(
    "expected",
    [
        [1 / 2, 1 / 3, 1 / 6],
        [0.4, 0.3, 0.2, 0.1],
        [5 / 15, 4 / 15, 3 / 15, 2 / 15, 1 / 15],
        [k / 78 for k in range(12, 0, -1)],
    ],
    ids=len,
)
def test_rank_sums_fall_by_equal_steps(expected):
    """Stillwell, Seaver and Edwards 1981 (from memory): 2 (n + 1 - k) / (n (n + 1))."""
    assert_allclose(weights.rank_sum(len(expected)), expected, atol=1e-14)


@pytest.mark.parametrize(
    "expected",
    [
        [0.5454545455, 0.2727272727, 0.1818181818],
        [0.48, 0.24, 0.16, 0.12],
        [0.4379562044, 0.2189781022, 0.1459854015, 0.1094890511, 0.0875912409],
    ],
    ids=len,
)
def test_rank_reciprocals(expected):
    """Stillwell, Seaver and Edwards 1981 (from memory): 1/k over the sum of all 1/k."""
    assert_allclose(weights.rank_reciprocal(len(expected)), expected, atol=1e-9)


@pytest.mark.parametrize("rule", [weights.rank_order_centroid, weights.rank_sum, weights.rank_reciprocal])
def test_a_rank_order_of_one_is_all_and_of_none_is_refused(rule):
    """Numbers of criteria are whole, from 1 up."""
    assert_array_equal(rule(1), [1])
    assert_array_equal(rule(np.int64(3)), rule(3))
    for n in (0, -1):
        with pytest.raises(ValueError, match=f"got {n}"):
            rule(n)
    for n in (2.0, NAN, "3", None):
        with pytest.raises(ValueError, match="must be whole"):
            rule(n)


# comparisons in pairs ------------------------------------------------------------------------------------

DRINKS = [9, 5, 2, 1, 1, 0.5, 1 / 3, 1 / 9, 1 / 9, 1 / 9, 1 / 9, 1 / 3, 0.25, 1 / 3, 1 / 9, 0.5, 1, 1 / 3]
DRINKS += [2, 0.5, 1 / 3]
INDICATORS = [2, 3, 2, 5, 5, 1, 3, 2, 0.5, 4, 4, 0.5, 3, 0.25, 2, 2, 0.2, 0.5, 4, 4, 0.5, 3, 1, 0.2, 0.5, 0.2]
INDICATORS += [0.5, 4]
INCONSISTENT = [4, 3, 1, 3, 4, 7, 3, 1 / 5, 1, 1 / 5, 1 / 5, 1 / 6, 1, 1 / 3, 3]


@pytest.mark.parametrize(
    ("upper", "expected", "ratio", "lambda_max", "slack"),
    [
        # Saaty, Int. J. Services Sciences 1 (2008) 83-98: which drink is consumed more
        (DRINKS, [0.177, 0.019, 0.042, 0.116, 0.19, 0.129, 0.327], 0.022, 7.1766290393, 6e-4),
        # the README of AHPy: choosing a leader by experience, education, charisma and age
        ([4, 3, 7, 1 / 3, 3, 5], [0.548, 0.127, 0.27, 0.056], 0.044, 4.1184180243, 6e-4),
        # OECD/JRC (2008), Handbook on Constructing Composite Indicators, table 20, p. 97
        (
            INDICATORS,
            [0.2291, 0.1346, 0.0594, 0.1761, 0.0385, 0.0385, 0.2522, 0.0715],
            0.0214,
            8.2110793971,
            6e-5,
        ),
    ],
    ids=["drinks", "leader", "indicators"],
)
def test_published_comparisons_give_the_published_weights(upper, expected, ratio, lambda_max, slack):
    """The principal eigenvector; geometric or column means differ in the third decimal."""
    found = pairwise(reciprocal(upper))
    assert_allclose(found.weights, expected, atol=slack)
    assert found.consistency_ratio == pytest.approx(ratio, abs=6e-4)
    assert found.lambda_max == pytest.approx(lambda_max, abs=1e-9)
    assert not found.is_inconsistent
    assert (found.table, found.missing) == ("Saaty 1980", 0)


def test_a_published_inconsistent_matrix_is_flagged():
    """Wang and Chin, Information Sciences 181 (2011), in pymcdm's tests: the ratio is over 0.1."""
    found = pairwise(reciprocal(INCONSISTENT))
    assert_allclose(found.weights, [0.3208, 0.1395, 0.0348, 0.1285, 0.2374, 0.1391], atol=1e-3)
    assert found.consistency_ratio == pytest.approx(0.229, abs=1e-3)
    assert found.is_inconsistent
    # of all twenty, by hand: a_24 a_45 a_52 = 3 x 1 x 5; next comes a_12 a_24 a_41 = 4 x 3 x 1
    assert found.worst_triple == (1, 3, 4)


def test_a_ring_of_answers_is_far_from_consistent():
    """By hand: a > b > c > a, each twice; equal weights, lambda 3.5, (3.5 - 3) / 2 / 0.58."""
    found = pairwise(reciprocal([2, 0.5, 2]))
    assert_allclose(found.weights, [1 / 3] * 3, atol=1e-12)
    assert found.lambda_max == pytest.approx(3.5, abs=1e-12)
    assert found.consistency_index == pytest.approx(0.25, abs=1e-12)
    assert found.consistency_ratio == pytest.approx(0.4310344828, abs=1e-10)
    assert (found.is_inconsistent, found.worst_triple) == (True, (0, 1, 2))


@given(st.lists(st.floats(0.05, 20), min_size=1, max_size=15), st.randoms())
def test_consistent_answers_give_back_their_weights_however_many_are_missing(given_weights, random):
    """As long as they are joined, here by a random tree; nothing contradicts anything."""
    n = len(given_weights)
    matrix = np.divide.outer(given_weights, given_weights)
    kept = {(i, random.randrange(i)) for i in range(1, n)}
    for i in range(n):
        for j in range(i):
            if (i, j) not in kept and random.random() < 0.5:
                matrix[i, j] = matrix[j, i] = NAN
    found = pairwise(matrix)
    assert_allclose(found.weights, np.array(given_weights) / sum(given_weights), rtol=1e-7)
    assert found.consistency_ratio == pytest.approx(0, abs=1e-9)
    assert not found.is_inconsistent
    assert found.worst_triple is None


@pytest.mark.trial(seed=20310715, few=100, full=1000)
def test_eigenvectors_are_those_of_scipy_on_random_answers(trial):
    """The same root and vector from scipy.linalg.eig, which rests on another driver."""
    random = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        matrix = random_comparisons(random, int(random.integers(2, 13)))
        values, vectors = scipy.linalg.eig(matrix)
        first = np.argmax(values.real)
        vector = vectors[:, first].real
        found = pairwise(matrix)
        assert found.lambda_max == pytest.approx(values[first].real, rel=1e-11)
        assert_allclose(found.weights, vector / vector.sum(), rtol=1e-8)


@pytest.mark.trial(seed=7, few=100, full=1000)
def test_comparisons_agree_with_pymcdm_on_random_answers(trial):
    """Its weights; its ratio times its own random index is the same consistency index."""
    random = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        matrix = random_comparisons(random, int(random.integers(3, 12)))
        other = AHP(matrix=matrix)
        found = pairwise(matrix)
        assert_allclose(found.weights, other(), rtol=1e-9)
        assert found.consistency_index == pytest.approx(other.get_cr() * AHP.RI_M[len(matrix) - 1], abs=1e-11)


@pytest.mark.trial(seed=11, few=100, full=1000)
def test_comparisons_agree_with_ahpy_on_random_answers(trial):
    """Weights to its 6 digits, and its ratio by its own table (Donegan and Dodd 1991)."""
    ahpy = pytest.importorskip("ahpy")
    donegan = {3: 0.4914, 4: 0.8286, 5: 1.0591, 6: 1.1797, 7: 1.2519, 8: 1.3171, 9: 1.3733}
    random = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        n = int(random.integers(3, 10))
        matrix = random_comparisons(random, n)
        named = {(str(i), str(j)): matrix[i, j] for i in range(n) for j in range(i + 1, n)}
        other = ahpy.Compare("all", named, precision=6)
        found = pairwise(matrix)
        assert_allclose(found.weights, [other.local_weights[str(i)] for i in range(n)], atol=2e-6)
        assert found.consistency_index / donegan[n] == pytest.approx(other.consistency_ratio, abs=2e-6)


@pytest.mark.trial(seed=3, few=40, full=200)
def test_missing_answers_stand_at_the_ratio_of_the_weights(trial):
    """Harker's condition: filled in so, the complete matrix has the same root and vector (scipy)."""
    random = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        n = int(random.integers(4, 10))
        matrix = random_comparisons(random, n)
        for i in range(n):
            for j in range(i + 2, n):
                if random.random() < 0.5:
                    matrix[i, j] = matrix[j, i] = NAN
        found = pairwise(matrix)
        filled = np.where(np.isnan(matrix), np.divide.outer(found.weights, found.weights), matrix)
        values, vectors = scipy.linalg.eig(filled)
        first = np.argmax(values.real)
        vector = vectors[:, first].real
        assert found.lambda_max == pytest.approx(values[first].real, rel=1e-10)
        assert_allclose(found.weights, vector / vector.sum(), rtol=1e-8)
        assert found.missing == np.isnan(matrix).sum() // 2


@pytest.mark.trial(seed=0, few=300, full=1500)
@pytest.mark.parametrize(
    ("n", "missing"), [(4, 0), (4, 2), (6, 4), (7, 0), (15, 0), (16, 0), (20, 0), (9, 12)]
)
def test_the_random_index_is_the_mean_of_random_answers(trial, n, missing):
    """Which is what it means: on Saaty's scale, of 1,500 within an eighth and of fewer as chance has it."""
    random = np.random.default_rng(trial.seed + n)
    indices, ratios = [], []
    pairs = [(i, j) for i in range(n) for j in range(i + 1, n)]
    while len(indices) < trial.count:
        matrix = random_comparisons(random, n)
        for place in random.permutation(len(pairs))[:missing]:
            matrix[pairs[place]] = matrix[pairs[place][::-1]] = NAN
        if len(weights.parts(matrix)) == 1:
            found = pairwise(matrix)
            indices.append(found.consistency_index)
            ratios.append(found.consistency_ratio)
    within = (0.125 if missing else 0.04) * math.sqrt(1500 / trial.count)
    assert np.mean(ratios) == pytest.approx(1, abs=within)


def test_which_random_index_was_used_is_named():
    """Tables differ: for three criteria 0.58, 0.52 or 0.49 are in use."""
    assert pairwise(np.ones((15, 15))).table == "Saaty 1980"
    assert pairwise(np.ones((16, 16))).table == "Alonso and Lamata 2006, regression"
    assert pairwise(np.ones((2, 2))).table == "none: nothing could contradict"
    gap = np.ones((4, 4))
    gap[0, 3] = gap[3, 0] = NAN
    assert pairwise(gap).table == "Saaty 1980, reduced for missing answers"


def test_one_of_two_mirrored_answers_is_enough():
    """And the diagonal may be left out."""
    upper = [[None, 4, 3, 7], [None, None, ONE_THIRD, 3], [None] * 3 + [5], [None] * 4]
    assert_allclose(
        pairwise(upper).weights, pairwise(reciprocal([4, 3, 7, ONE_THIRD, 3, 5])).weights, rtol=1e-12
    )


def test_no_triple_is_blamed_where_no_three_are_all_compared():
    """A ring of four contradicts itself, 2 x 2 x 2 x 2, and holds no three that do."""
    ring = [[1, 2, NAN, 0.5], [0.5, 1, 2, NAN], [NAN, 0.5, 1, 2], [2, NAN, 0.5, 1]]
    found = pairwise(ring)
    assert found.is_inconsistent
    assert found.worst_triple is None


def test_unjoined_answers_are_refused_and_the_parts_named():
    """Criteria 0 and 3 are compared, 1 and 2 are, and nothing joins them."""
    matrix = np.full((5, 5), NAN)
    matrix[0, 3], matrix[2, 1] = 2, 3
    assert weights.parts(matrix) == ((0, 3), (1, 2), (4,))
    with pytest.raises(ValueError, match=r"3 parts that nothing joins: 0, 3 \| 1, 2 \| 4$"):
        pairwise(matrix)


@pytest.mark.parametrize(
    ("matrix", "told"),
    [
        ([[1, 2], [0.4, 1]], "row 0, column 1 says 2 and row 1, column 0 says 0.4"),
        ([[1, 2], [2, 1]], "one must be 1 over the other"),
        ([[2, 1], [1, 1]], "as itself, got 2.0 in row 0"),
        ([[1, 0], [0, 1]], "got 0.0 in row 0, column 1"),
        ([[1, -2], [-0.5, 1]], "got -2.0"),
        ([[1, math.inf], [0, 1]], "got inf"),
        ([[1, 1e300], [1e-300, 1]], "got 1e\\+300"),
        ([[1, 2, 3], [0.5, 1, 2]], r"square matrix, got shape \(2, 3\)"),
        ([1, 2], r"square matrix"),
        (np.ones((0, 0)), r"square matrix"),
    ],
)
def test_what_are_no_comparisons_is_refused(matrix, told):
    """With the answer that is wrong."""
    with pytest.raises(ValueError, match=told):
        pairwise(matrix)


def test_answers_rounded_to_three_decimals_are_each_other_s_reciprocal():
    """As people write them: 0.333 for a third, 0.111 for a ninth."""
    assert pairwise([[1, 3], [0.333, 1]]).weights[0] == pytest.approx(0.75, abs=1e-3)
    assert pairwise([[1, 9], [0.111, 1]]).weights[0] == pytest.approx(0.9, abs=1e-3)


# from the data -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("matrix", "expected"),
    [
        ([[1, 2], [4, 16]], [0.35888879, 0.64111121]),
        (
            [[1, 20, 300], [1, 20, 400], [1, 30, 500], [1, 30, 600], [1, 40, 700], [1, 40, 800]],
            [0, 0.431878002, 0.568121998],
        ),
    ],
)
def test_published_entropy_weights(matrix, expected):
    """The tests of scikit-criteria and pymcdm; a constant column gets 0."""
    assert_allclose(weights.entropy(matrix), expected, atol=1e-8)


def test_published_standard_deviation_weights():
    """The test of scikit-criteria: deviations 1.5 and 7."""
    assert_allclose(weights.standard_deviation([[1, 2], [4, 16]]), [1.5 / 8.5, 7 / 8.5], rtol=1e-14)


@pytest.mark.trial(seed=5, few=100, full=1000)
def test_weights_from_random_data_agree_with_two_libraries(trial):
    """pymcdm and scikit-criteria; the latter's CRITIC knows directions, the former takes all as high."""
    random = np.random.default_rng(trial.seed)
    for _ in range(trial.count):
        m, n = random.integers(3, 30), random.integers(2, 12)
        data = random.integers(1, 101, (m, n)) + random.random((m, n))
        assert_allclose(weights.entropy(data), pymcdm_weights.entropy_weights(data), rtol=1e-6)
        assert_allclose(weights.entropy(data), weighters.entropy_weights(data), rtol=1e-6)
        spread = weights.standard_deviation(data)
        assert_allclose(spread, pymcdm_weights.standard_deviation_weights(data), rtol=1e-10)
        assert_allclose(spread, weighters.std_weights(data), rtol=1e-10)
        assert_allclose(weights.critic(data, ["high"] * n), pymcdm_weights.critic_weights(data), rtol=1e-9)
        signs = random.choice([-1, 1], n)
        found = weights.critic(data, ["high" if sign > 0 else "low" for sign in signs])
        assert_allclose(found, weighters.critic_weights(data, signs), rtol=1e-9)


RULES = [
    weights.entropy,
    weights.standard_deviation,
    lambda data: weights.critic(data, ["high"] * np.shape(data)[-1]),
]


@pytest.mark.parametrize("rule", RULES, ids=["entropy", "deviation", "critic"])
def test_a_constant_column_gets_nothing_and_disturbs_no_other(rule):
    """Whatever its value, 0 too: the others weigh as they would without it."""
    data = np.array([[10, 40, 5], [20, 35, 90], [60, 80, 45], [55, 10, 70]], dtype=float)
    for value in (0, 0.1, 50):
        with_it = np.insert(data, 1, value, axis=1)
        assert_allclose(rule(with_it), np.insert(rule(data), 1, 0), rtol=1e-12)


@pytest.mark.parametrize("rule", RULES, ids=["entropy", "deviation", "critic"])
@pytest.mark.parametrize("data", [np.full((4, 3), 0.1), np.zeros((2, 3)), [[7, 8, 9]]])
def test_where_nothing_varies_all_weigh_alike(rule, data):
    """Never NaN; a single release is such a case."""
    assert_allclose(rule(data), [1 / 3] * 3, rtol=1e-15)


def test_columns_that_go_along_with_each_other_share_what_critic_gives():
    """Without any conflict nothing tells them apart but whether they vary."""
    assert_allclose(weights.critic([[1, 10, 4], [2, 20, 4], [4, 40, 4]], ["high"] * 3), [0.5, 0.5, 0])


def test_one_column_gets_all():
    """There is nothing to share with."""
    for rule in RULES:
        assert_array_equal(rule([[1.0], [4.0], [9.0]]), [1])


@pytest.mark.parametrize("rule", RULES, ids=["entropy", "deviation", "critic"])
@pytest.mark.parametrize("data", [[[1, NAN]], [[1, math.inf], [2, 3]], [], [[], []], [1, 2]])
def test_incomplete_data_are_refused(rule, data):
    """Rather than a weight that is NaN."""
    with pytest.raises(ValueError, match=r"scores|data"):
        rule(np.array(data))


def test_entropy_takes_zero_and_no_negative_number():
    """0 log 0 is 0, by hand: where one row holds all the evenness is 0, in the other column 1."""
    assert_allclose(weights.entropy([[0, 5], [9, 5]]), [1, 0])
    with pytest.raises(ValueError, match="from 0 up, got -1"):
        weights.entropy([[-1, 2], [3, 4]])


@pytest.mark.parametrize("directions", [["high"], ["high", "up"], [1, -1]])
def test_critic_needs_a_direction_for_each_column(directions):
    """high or low."""
    with pytest.raises(ValueError, match="as many of high and low"):
        weights.critic([[1, 2], [3, 5]], directions)
