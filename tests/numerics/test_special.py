"""Functions of statistics that stand in for scipy's, against scipy's."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special as scipys
from scipy.stats import t

from rating.numerics import special

FAR = np.concatenate([-np.logspace(3, 0, 60), np.linspace(-13, 8, 211)])


def test_the_normal_law_and_its_logarithm():
    """From where it vanishes to where it is all but sure."""
    near = FAR[FAR > -37]
    assert special.ndtr(near) == pytest.approx(scipys.ndtr(near), rel=1e-13)
    assert special.ndtr(np.array([-1e3])) == 0
    assert special.log_ndtr(FAR) == pytest.approx(scipys.log_ndtr(FAR), rel=1e-13, abs=1e-15)


def test_quantiles_of_the_normal_law():
    """On both sides and far out."""
    chances = np.array([1e-300, 1e-12, 0.02, 0.25, 0.5, 0.75, 0.999])
    assert special.ndtri(chances) == pytest.approx(scipys.ndtri(chances), rel=1e-13, abs=1e-15)


@pytest.mark.parametrize("freedom", [1, 2, 2.5, 3, 7, 29, 400, 1e4])
@pytest.mark.parametrize("chance", [0.6, 0.95, 0.999])
def test_quantiles_of_student(freedom, chance):
    """Whole or not, from the law of Cauchy to one that is all but normal."""
    assert special.student_quantile(chance, freedom) == pytest.approx(t.ppf(chance, freedom), rel=1e-8)


def test_what_is_no_chance_is_refused():
    """Below a half, sure, or with less than one degree of freedom."""
    for chance, freedom in ((0.4, 3), (1, 3), (0.9, 0.5)):
        with pytest.raises(ValueError, match="freedom from 1 up"):
            special.student_quantile(chance, freedom)


@pytest.mark.parametrize("mean", [0, 1e-18, 1e-7, 0.3, 1, 7.5, 24, 300, 12345.6, 1e6])
def test_the_end_of_a_poisson_count(mean):
    """The first number that scipy's law says is passed so seldom."""
    end = special.poisson_end(mean, 1e-15)
    assert scipys.pdtrc(end, mean) <= 1e-15 * (1 + 1e-6)
    assert end == 0 or scipys.pdtrc(end - 1, mean) > 1e-15 * (1 - 1e-6)


@pytest.mark.parametrize("trials", [1, 5, 36, 400, 100_000])
@pytest.mark.parametrize("chance", [0, 1e-17, 0.01, 0.5, 0.97, 1])
def test_the_end_of_a_binomial_count(trials, chance):
    """The first number that scipy's law says is passed so seldom."""
    end = special.binomial_end(trials, chance, 1e-15)
    assert end == trials or scipys.bdtrc(end, trials, chance) <= 1e-15 * (1 + 1e-6)
    assert end == 0 or scipys.bdtrc(end - 1, trials, chance) > 1e-15 * (1 - 1e-6)
