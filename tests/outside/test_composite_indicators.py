"""Composite indicators that others have published, worked again with our scales, rules and ranks."""

from __future__ import annotations

from decimal import Decimal

import pytest
from numpy.testing import assert_allclose

from rating.core.agreement import kendall_tau, spearman
from rating.core.combine import weighted_geometric_mean, weighted_mean
from rating.core.rank import competition_ranks
from rating.scale import scale

# UNDP, Human Development Report 2023/24, technical notes and composite-indices table: goalposts of 20 and 85
# years of life, 18 expected and 15 mean years of schooling, 100 and 75,000 dollars; the arithmetic mean
# inside education, the geometric mean across the three dimensions.
HDI_SCALES = (
    scale("linear", "years of life", (20, 0), (85, 100)),
    scale("linear", "expected years of schooling", (0, 0), (18, 100)),
    scale("linear", "mean years of schooling", (0, 0), (15, 100)),
    scale("logarithmic", "dollars a head", (100, 0), (75000, 100)),
)
HDI_MEASURES = {
    "Norway": ("83.393", "18.63846016", "13.06234279", "69189.76165"),
    "China": ("78.587", "15.21793605", "8.106910446", "18024.88747"),
    "Niger": ("62.08", "7.186131428", "1.341352433", "1283.309235"),
    "Luxembourg": ("82.591", "14.19705009", "12.9600811", "78554.2364"),
}

# OECD/JRC (2008), Handbook on Constructing Composite Indicators, table A.2: the first 23 countries of the
# Technology Achievement Index, telephones and electricity as logarithms to base 10.
TAI = {
    "Finland": ("187", "125.6", "200.2", "50.7", "3.08", "4.15", "10.0", "27.4"),
    "United States": ("289", "130.0", "179.1", "66.2", "3.00", "4.07", "12.0", "13.9"),
    "Sweden": ("271", "156.6", "125.8", "59.7", "3.10", "4.14", "11.4", "15.3"),
    "Japan": ("994", "64.6", "49.0", "80.8", "3.00", "3.86", "9.5", "10.0"),
    "Korea": ("779", "9.8", "4.8", "66.7", "2.97", "3.65", "10.8", "23.2"),
    "Netherlands": ("189", "151.2", "136.0", "50.9", "3.02", "3.77", "9.4", "9.5"),
    "United Kingdom": ("82", "134.0", "57.4", "61.9", "3.02", "3.73", "9.4", "14.9"),
    "Singapore": ("8", "25.5", "72.3", "74.9", "2.95", "3.83", "7.1", "24.2"),
    "Canada": ("31", "38.6", "108.0", "48.7", "2.94", "4.18", "11.6", "14.2"),
    "Australia": ("75", "18.2", "125.9", "16.2", "2.94", "3.94", "10.9", "25.3"),
    "Germany": ("235", "36.8", "41.2", "64.2", "2.94", "3.75", "10.2", "14.4"),
    "Norway": ("103", "20.2", "193.6", "19.0", "3.12", "4.39", "11.9", "11.2"),
    "Ireland": ("106", "110.3", "48.6", "53.6", "2.97", "3.68", "9.4", "12.3"),
    "Belgium": ("72", "73.9", "58.9", "47.6", "2.91", "3.86", "9.3", "13.6"),
    "New Zealand": ("103", "13.0", "146.7", "15.4", "2.86", "3.91", "11.7", "13.1"),
    "Austria": ("165", "14.8", "84.2", "50.3", "2.99", "3.79", "8.4", "13.6"),
    "France": ("205", "33.6", "36.4", "58.9", "2.97", "3.80", "7.9", "12.6"),
    "Israel": ("74", "43.6", "43.2", "45.0", "2.96", "3.74", "9.6", "11.0"),
    "Spain": ("42", "8.6", "21.0", "53.4", "2.86", "3.62", "7.3", "15.6"),
    "Italy": ("13", "9.8", "30.4", "51.0", "3.00", "3.65", "7.2", "13.0"),
    "Czech Republic": ("28", "4.2", "25.0", "51.7", "2.75", "3.68", "9.5", "8.2"),
    "Hungary": ("26", "6.2", "21.6", "63.5", "2.73", "3.46", "9.1", "7.7"),
    "Slovenia": ("105", "4.0", "20.3", "49.5", "2.84", "3.71", "7.1", "10.6"),
}
# Saisana, Saltelli and Tarantola (2005), Journal of the Royal Statistical Society A 168, 307-323, table 1.
TAI_SCALES = (
    scale("linear", "patents", (0, 0), (994, 100)),
    scale("linear", "royalties", (0, 0), ("272.6", 100)),
    scale("linear", "internet hosts", (0, 0), ("232.4", 100)),
    scale("linear", "share of exports", (0, 0), ("80.8", 100)),
    scale("logarithmic", "telephones", (1, 0), (901, 100)),
    scale("logarithmic", "electricity", (22, 0), (6969, 100)),
    scale("linear", "years of schooling", ("0.8", 0), ("12.0", 100)),
    scale("linear", "science students", ("0.1", 0), ("27.4", 100)),
)
# UNDP, Human Development Report 2001. Singapore is left out: the Handbook fills its missing royalties with
# 25.5 (index .597), UNDP counted them as 0 (.585).
TAI_PUBLISHED = {
    "Finland": 0.744,
    "United States": 0.733,
    "Sweden": 0.703,
    "Japan": 0.698,
    "Korea": 0.666,
    "Netherlands": 0.630,
    "United Kingdom": 0.606,
    "Canada": 0.589,
    "Australia": 0.587,
    "Germany": 0.583,
    "Norway": 0.579,
    "Ireland": 0.566,
    "Belgium": 0.553,
    "New Zealand": 0.548,
    "Austria": 0.544,
    "France": 0.535,
    "Israel": 0.514,
    "Spain": 0.481,
    "Italy": 0.471,
    "Czech Republic": 0.465,
    "Hungary": 0.464,
    "Slovenia": 0.458,
}
# Handbook, p. 100, table 23: ranks by equal weights, factor analysis, budget allocation and analytic
# hierarchy, in the order of the countries above.
EQUAL_WEIGHTS = list(range(1, 24))
FACTOR_ANALYSIS = [1, 2, 3, 4, 5, 6, 8, 11, 10, 7, 12, 9, 14, 15, 13, 16, 17, 18, 19, 20, 21, 23, 22]
BUDGET_ALLOCATION = [1, 2, 3, 5, 4, 8, 7, 6, 10, 11, 9, 13, 12, 14, 17, 15, 16, 18, 19, 21, 22, 20, 23]
ANALYTIC_HIERARCHY = [1, 3, 4, 5, 2, 11, 7, 6, 10, 9, 8, 16, 12, 13, 18, 15, 14, 17, 19, 21, 22, 20, 23]


def hdi_dimensions(country):
    life, expected, mean, income = (
        float(each.position(Decimal(measure)))
        for each, measure in zip(HDI_SCALES, HDI_MEASURES[country], strict=True)
    )
    return [life, float(weighted_mean([[expected, mean]], [1, 1])[0]), income]


def tai_positions():
    logarithms = {4, 5}
    return [
        [
            float(each.position(10 ** Decimal(text) if place in logarithms else Decimal(text)))
            for place, (each, text) in enumerate(zip(TAI_SCALES, row, strict=True))
        ]
        for row in TAI.values()
    ]


@pytest.mark.parametrize(
    ("country", "published"), [("Norway", 0.966), ("China", 0.788), ("Niger", 0.394), ("Luxembourg", 0.927)]
)
def test_the_human_development_index_comes_out_as_published(country, published):
    """Four values, to three places; Norway's schooling and Luxembourg's income are capped."""
    index = weighted_geometric_mean([hdi_dimensions(country)], [1, 1, 1])[0] / 100
    assert index == pytest.approx(published, abs=0.0005)


@pytest.mark.parametrize(
    ("country", "health_education_income"),
    [
        ("Norway", [0.9753, 0.9354, 0.9878]),
        ("China", [0.9013, 0.6930, 0.7846]),
        ("Niger", [0.6474, 0.2443, 0.3855]),
        ("Luxembourg", [0.9629, 0.8264, 1.0]),
    ],
)
def test_the_dimension_indices_follow_the_goalposts(country, health_education_income):
    """Health, education and income by the technical notes, to four places."""
    assert_allclose([each / 100 for each in hdi_dimensions(country)], health_education_income, atol=6e-5)


def test_the_arithmetic_mean_hides_a_weak_dimension():
    """Niger: .4257 by the arithmetic mean, .3936 by the geometric one that the report moved to."""
    dimensions = [hdi_dimensions("Niger")]
    assert weighted_mean(dimensions, [1, 1, 1])[0] / 100 == pytest.approx(0.4257, abs=6e-5)
    assert weighted_geometric_mean(dimensions, [1, 1, 1])[0] / 100 == pytest.approx(0.3936, abs=6e-5)


def test_a_geometric_mean_rewards_evenness():
    """Handbook, p. 104: (21, 1, 1, 1) and (6, 6, 6, 6) tie by adding; one more point does unlike good."""
    weights = [1, 1, 1, 1]
    assert_allclose(weighted_mean([[21, 1, 1, 1], [6, 6, 6, 6]], weights), [6, 6])
    assert_allclose(weighted_geometric_mean([[21, 1, 1, 1], [6, 6, 6, 6]], weights), [2.14, 6], atol=0.006)
    one_more = weighted_geometric_mean([[21, 2, 1, 1], [6, 7, 6, 6]], weights)
    assert_allclose(one_more, [2.5457, 6.2357], atol=5e-5)


def test_the_technology_achievement_index_comes_out_as_published():
    """22 values of the report of 2001; the tolerance allows for logarithms of two places."""
    values = dict(zip(TAI, weighted_mean(tai_positions(), [1] * 8) / 100, strict=True))
    del values["Singapore"]
    assert values == pytest.approx(TAI_PUBLISHED, abs=0.0021)


def test_equal_weights_rank_the_countries_as_table_23_does():
    """All 23 places of the column EW."""
    assert competition_ranks(weighted_mean(tai_positions(), [1] * 8).tolist()) == tuple(EQUAL_WEIGHTS)


def test_observed_goalposts_would_rank_the_countries_otherwise():
    """Scaled to what this table happens to hold, places change: goalposts decide ranks."""
    columns = [[float(text) for text in column] for column in zip(*TAI.values(), strict=True)]
    observed_ends = [(min(column), max(column)) for column in columns]
    scaled = [
        [(float(text) - low) / (high - low) for text, (low, high) in zip(row, observed_ends, strict=True)]
        for row in TAI.values()
    ]
    observed = competition_ranks(weighted_mean(scaled, [1] * 8).tolist())
    assert sum(place != other for place, other in zip(observed, EQUAL_WEIGHTS, strict=True)) == 12


@pytest.mark.parametrize(
    ("other", "rho", "tau"),
    [
        (FACTOR_ANALYSIS, 0.9812252964, 0.9209486166),
        (BUDGET_ALLOCATION, 0.9851778656, 0.9130434783),
        (ANALYTIC_HIERARCHY, 0.95256917, 0.8260869565),
    ],
)
def test_other_weights_correlate_with_the_ranks_of_table_23_by_so_much(other, rho, tau):
    """The ranks of the Handbook's table 23 against those by equal weights."""
    assert spearman(EQUAL_WEIGHTS, other) == pytest.approx(rho, abs=1e-8)
    assert kendall_tau(EQUAL_WEIGHTS, other) == pytest.approx(tau, abs=1e-8)
