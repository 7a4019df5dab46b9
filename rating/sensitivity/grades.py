"""Between which tenths a grade likely lies, as the doubt of its scores says: the exact law, not drawn.

A score is drawn evenly towards its middle over its spread (triangular), and stays at an end of the scale that
it would pass, as in `ranges`. The grade is a sum of such parts, so its law is their convolution.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import numpy.typing as npt

from rating.core.exact import HIGHEST, LOWEST, grade_tenths

Array = npt.NDArray[np.float64]

LEVEL = 0.9
# parts of a grade are kept in steps of a hundredth of a point: its ends are off by under 0.001
_STEPS = 100
# chances are compared far above what processors differ by
_PLACES = 9


def likely_grade(
    scores: Sequence[int], spreads: Sequence[int], weights_tenths: Sequence[int], level: float = LEVEL
) -> tuple[int, int] | None:
    """The published grades between which a share `level` of all drawn scores leaves a grade, in tenths.

    At most (1 - level) / 2 of them give less than the low one, and at most as many more than the high one.
    The grade itself lies inside.

    Parameters
    ----------
    scores : n whole points from 0 to 100
    spreads : n whole points from 0 up, the half-width of each
    weights_tenths : n whole tenths of a point, from 0 up
    level : between 0 and 1, both excluded

    Returns
    -------
    two numbers of whole tenths, equal where nothing is in doubt; None where nothing weighs
    """
    grade = grade_tenths(scores, weights_tenths)
    if grade is None:
        return None
    if not 0 < level < 1:
        raise ValueError(f"a level must lie between 0 and 1, both excluded, got {level!r}")
    total = sum(weights_tenths)
    exactly = Fraction(sum(w * s for w, s in zip(weights_tenths, scores, strict=True)), total)
    law, start = np.ones(1), 0
    for score, spread, weight in zip(scores, spreads, weights_tenths, strict=True):
        if spread and weight:
            part, first = _part(score, spread, weight / total)
            law, start = np.convolve(law, part), start + first
    below = np.concatenate([[0.0], np.cumsum(law)])
    ends = (start - 0.5 + np.arange(len(below))) / _STEPS
    # a grade is published as at most t tenths where it is under t + 1/2 tenths before rounding
    tried = np.arange(10 * LOWEST, 10 * HIGHEST + 1)
    chances = np.round(np.interp((tried + 0.5) / 10 - float(exactly), ends, below), _PLACES)
    tail = (1 - level) / 2
    low = int(tried[np.searchsorted(chances, round(tail, _PLACES), side="right")])
    high = int(tried[np.searchsorted(chances, round(1 - tail, _PLACES), side="left")])
    return min(low, grade), max(high, grade)


def _part(score: int, spread: int, share: float) -> tuple[Array, int]:
    """What the doubt of one score adds to the grade, as chances by steps, and the first of these steps."""
    low, high = max(-spread, LOWEST - score), min(spread, HIGHEST - score)
    # spreads and shares are quotients of small numbers, so a hair decides nothing
    first, last = (round(end * share * _STEPS) for end in (low, high))
    ends = (np.arange(first, last) + 0.5) / (_STEPS * share * spread)
    under = np.where(ends < 0, (1 + ends) ** 2 / 2, 1 - (1 - ends) ** 2 / 2)
    below: Array = np.concatenate([[0.0], np.clip(under, 0.0, 1.0), [1.0]])
    return np.diff(below), first
