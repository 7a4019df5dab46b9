"""The robust fit against statsmodels, and against draws whose effects are known."""

from __future__ import annotations

import numpy as np
import pytest

from rating.numerics import robust_fit
from rating.numerics.robust_fit import fit, held_out


def drawn(seed, n=400, p=5, wild=0.08):
    """A design with a constant, its effects, and values with normal errors of 0.4 and some wild ones."""
    rng = np.random.default_rng(seed)
    design = np.column_stack([np.ones(n), rng.normal(size=(n, p - 1))])
    effects = rng.normal(size=p)
    errors = rng.normal(size=n) * 0.4
    errors[rng.random(n) < wild] += 3
    return design, effects, design @ effects + errors


@pytest.mark.parametrize("seed", range(8))
def test_effects_errors_and_scale_are_those_of_statsmodels(seed):
    """RLM with Huber's norm, its scale by the median absolute deviation, covariance H1."""
    api = pytest.importorskip("statsmodels.api", exc_type=ImportError)
    design, _, y = drawn(seed)
    theirs = api.RLM(y, design, M=api.robust.norms.HuberT(robust_fit.HUBER)).fit(
        maxiter=500, tol=1e-12, conv="coefs"
    )
    ours = fit(design, y)
    assert ours.effects == pytest.approx(theirs.params, abs=1e-8)
    assert ours.scale == pytest.approx(theirs.scale, rel=1e-8)
    assert np.sqrt(np.diag(ours.covariance)) == pytest.approx(theirs.bse, rel=1e-6)


@pytest.mark.parametrize("seed", range(40))
def test_it_ends_where_its_equations_hold_and_no_last_bit_moves_it(seed):
    """Sums of bent errors by column equal what priors pull, also where steps would go round for ever."""
    rng = np.random.default_rng(seed)
    design, _, y = drawn(seed, n=60, p=8)
    prior = np.array([np.inf, *[4.0] * 7])
    limited = y < np.quantile(y, 0.3 * (seed % 2))
    y = np.maximum(y, np.quantile(y, 0.3 * (seed % 2)))
    found = fit(design, y, prior=prior, limited=limited, pooled=np.arange(8) > 4)
    filled, _ = robust_fit._filled(y, found.middle(design), found.scale, limited)
    bent = np.clip((filled - found.middle(design)) / found.scale, -robust_fit.HUBER, robust_fit.HUBER)
    assert found.scale * (bent @ design) / found.scale**2 == pytest.approx(
        found.effects / found.prior, abs=1e-7
    )
    nudged = design * (1 + 2.0**-52 * rng.integers(-1, 2, size=design.shape))
    again = fit(nudged, y, prior=prior, limited=limited, pooled=np.arange(8) > 4)
    assert again.effects == pytest.approx(found.effects, abs=1e-8)
    assert again.scale == pytest.approx(found.scale, rel=1e-8)


def test_without_wild_values_it_is_nearly_least_squares():
    """The Huber estimate is 95 % as efficient, so it lies within a fraction of a standard error."""
    design, _, y = drawn(3, n=4000, wild=0)
    least_squares = np.linalg.lstsq(design, y, rcond=None)[0]
    found = fit(design, y)
    assert np.abs((found.effects - least_squares) / np.sqrt(np.diag(found.covariance))).max() < 1


def test_one_wild_value_hardly_moves_it():
    """Its pull is bounded, however wild it is (Huber 1964)."""
    design, _, y = drawn(5, wild=0)
    before = fit(design, y).effects
    for height in (10.0, 1e6):
        y[7] = height
        assert fit(design, y).effects == pytest.approx(before, abs=0.03)


def test_a_weight_of_two_counts_as_the_same_value_twice():
    """By definition of the weighted normal equations; on effects, with the scale held by symmetric errors."""
    design, _, y = drawn(6, n=100, wild=0)
    twice = fit(np.vstack([design, design]), np.concatenate([y, y]))
    assert fit(design, y, weights=np.full(100, 2.0)).effects == pytest.approx(twice.effects, abs=1e-7)


def test_values_at_a_limit_do_not_bias_the_slope():
    """A third of the values hidden below a limit: the slope comes out within three standard errors."""
    rng = np.random.default_rng(11)
    x = rng.normal(size=1500)
    y = 1 + 0.8 * x + 0.5 * rng.normal(size=1500)
    limit = np.quantile(y, 1 / 3)
    hidden = y <= limit
    design = np.column_stack([np.ones(1500), x])
    found = fit(design, np.maximum(y, limit), limited=hidden)
    errors = np.sqrt(np.diag(found.covariance))
    assert (np.abs(found.effects - [1, 0.8]) < 3 * errors).all()
    assert found.scale == pytest.approx(0.5, rel=0.08)
    taken_at_face = fit(design, np.maximum(y, limit))
    assert abs(taken_at_face.effects[1] - 0.8) > 5 * errors[1]


def test_the_variance_of_a_group_of_effects_is_found_from_them():
    """Sixty subjects whose effects were drawn with a deviation of 0.7."""
    rng = np.random.default_rng(2)
    effects = 0.7 * rng.normal(size=60)
    member = rng.integers(0, 60, size=1200)
    design = np.column_stack([np.ones(1200), np.eye(60)[member]])
    y = 2 + effects[member] + 0.4 * rng.normal(size=1200)
    pooled = np.arange(61) > 0
    prior = np.where(pooled, 1.0, np.inf)
    found = fit(design, y, prior=prior, pooled=pooled)
    # the deviation of sixty draws has a standard error of 0.7 / sqrt(120) = 0.064
    assert np.sqrt(found.prior[1]) == pytest.approx(0.7, abs=0.2)
    assert np.corrcoef(found.effects[1:], effects)[0, 1] > 0.95


def test_a_scale_that_allows_for_effects_is_that_of_the_errors():
    """Normal errors of 1, 40 values and 16 columns: what is left of them has a mean square of 24 in 40."""
    rng = np.random.default_rng(5)
    plain, spent = [], []
    for _ in range(300):
        design, y = rng.normal(size=(40, 16)), rng.normal(size=40)
        plain.append(fit(design, y).scale)
        spent.append(fit(design, y, spent=True).scale)
    assert np.median(spent) == pytest.approx(1, abs=0.08)
    assert np.median(plain) == pytest.approx(np.sqrt(24 / 40), abs=0.12)


def test_from_a_fit_nearby_it_comes_to_what_a_fit_anew_would():
    """Four fifths of the values, from the fit to all, within a fiftieth of a standard error."""
    design, _, y = drawn(8)
    whole, kept = fit(design, y, spent=True), np.arange(len(y)) % 5 > 0
    near = fit(design[kept], y[kept], spent=True, start=whole)
    anew = fit(design[kept], y[kept], spent=True)
    assert np.abs(near.effects - anew.effects).max() < 0.02 * np.sqrt(np.diag(anew.covariance)).min()
    assert near.scale == pytest.approx(anew.scale, rel=1e-3)


def test_held_out_values_are_foretold_without_them():
    """The fit of a fold is that to the others."""
    design, _, y = drawn(4)
    folds = np.arange(len(y)) % 4
    found = held_out(folds=folds, fitted=lambda kept: (fit(design[kept], y[kept]), design))
    others = fit(design[folds != 2], y[folds != 2])
    assert found.middle[folds == 2] == pytest.approx(design[folds == 2] @ others.effects)
    assert found.fits[2].effects == pytest.approx(others.effects)
    of_each = [row @ others.covariance @ row for row in design[folds == 2]]
    assert found.doubt[folds == 2] ** 2 == pytest.approx(np.array(of_each))


@pytest.mark.parametrize("y", [np.ones(3), np.array([1.0, np.nan, 2.0, 3.0])])
def test_what_is_no_table_of_numbers_is_refused(y):
    """Too few values, and one that is none."""
    with pytest.raises(ValueError, match="finite"):
        fit(np.ones((4, 1)), y)


def test_columns_that_say_the_same_are_refused_without_a_prior():
    """Nothing says how to share their effect."""
    with pytest.raises(np.linalg.LinAlgError):
        fit(np.column_stack([np.ones(4), np.ones(4)]), np.array([1.0, 2.0, 3.0, 4.0]))
