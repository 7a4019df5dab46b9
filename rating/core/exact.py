"""The published grade: exact whole numbers, without numpy, so that every command can start fast.

N = sum of weight times score and D = sum of weight over the criteria that count; weights are tenths of a
point, scores whole numbers from 0 to 100, and the grade in tenths is (20 N + D) // (2 D), halves up.
"""

from __future__ import annotations

import operator
from collections.abc import Sequence
from typing import SupportsIndex

LOWEST, HIGHEST = 0, 100
# more unknown points than this share of those that apply, and a release is shown apart, without a rank
APART_ABOVE = (1, 4)


def grade_tenths(
    scores: Sequence[SupportsIndex | None], weights_tenths: Sequence[SupportsIndex]
) -> int | None:
    """The grade in tenths, exact and rounded half up: (20 N + D) // (2 D).

    Parameters
    ----------
    scores : n whole numbers from 0 to 100, None where the criterion does not count (unknown, or does not
        apply): its weight is shared out over the rest
    weights_tenths : n whole tenths of a point, from 0 up

    Returns
    -------
    whole tenths from 0 to 1000, or None when nothing that weighs is known

    Raises
    ------
    ValueError
        if lengths differ, a score is no whole number from 0 to 100 or a weight none from 0 up
    """
    whole, weights = _whole_scores(scores), _whole_weights(weights_tenths, len(scores))
    known = [(score, weight) for score, weight in zip(whole, weights, strict=True) if score is not None]
    return _tenths(known)


def grade_bounds(
    scores: Sequence[SupportsIndex | None],
    weights_tenths: Sequence[SupportsIndex],
    applies: Sequence[bool],
) -> tuple[int, int] | None:
    """The lowest and highest grade in tenths: what is unknown put at 0 and at 100.

    Parameters
    ----------
    scores : n whole numbers from 0 to 100, None where unknown or where the criterion does not apply
    weights_tenths : n whole tenths of a point, from 0 up
    applies : n times whether the criterion applies; one that does not is left out of both

    Returns
    -------
    two numbers of whole tenths from 0 to 1000, equal when nothing is unknown; None when nothing that weighs
    applies

    Raises
    ------
    ValueError
        if lengths differ, a score is no whole number from 0 to 100 or a weight none from 0 up, or a
        criterion that does not apply has a score
    """
    whole, weights = _whole_scores(scores), _whole_weights(weights_tenths, len(scores))
    if len(applies) != len(whole):
        raise ValueError(f"{len(whole)} scores need as many answers whether they apply, got {len(applies)}")
    scored_apart = [place for place, on in enumerate(applies) if not on and whole[place] is not None]
    if scored_apart:
        place = scored_apart[0]
        raise ValueError(f"criterion {place} does not apply and still has the score {whole[place]}")
    counting = [pair for pair, on in zip(zip(whole, weights, strict=True), applies, strict=True) if on]
    lowest = _tenths([(LOWEST if score is None else score, weight) for score, weight in counting])
    highest = _tenths([(HIGHEST if score is None else score, weight) for score, weight in counting])
    return None if lowest is None or highest is None else (lowest, highest)


def is_apart(unknown_points: int, applying_points: int) -> bool:
    """Whether so much of what applies is unknown that a grade gets no rank."""
    share, whole = APART_ABOVE
    return unknown_points * whole > applying_points * share


def has_place(scores: Sequence[int | None], applies: Sequence[bool], weights_tenths: Sequence[int]) -> bool:
    """Whether enough of what applies is known for a place: something is, and not too much unknown.

    Parameters
    ----------
    scores : n whole points, None where unknown
    applies : n times whether the criterion applies
    weights_tenths : n whole tenths of a point, from 0 up
    """
    applying = sum(weight for weight, on in zip(weights_tenths, applies, strict=True) if on)
    unknown = sum(
        weight
        for weight, on, score in zip(weights_tenths, applies, scores, strict=True)
        if on and score is None
    )
    return unknown < applying and not is_apart(unknown, applying)


def _whole(value: SupportsIndex, what: str) -> int:
    try:
        return operator.index(value)
    except TypeError as err:
        raise ValueError(f"{what} must be a whole number, got {value!r}") from err


def _whole_scores(scores: Sequence[SupportsIndex | None]) -> list[int | None]:
    whole = [None if score is None else _whole(score, "a score") for score in scores]
    for score in whole:
        if score is not None and not LOWEST <= score <= HIGHEST:
            raise ValueError(f"scores must lie from 0 to 100, got {score}")
    return whole


def _whole_weights(weights: Sequence[SupportsIndex], n: int) -> list[int]:
    if len(weights) != n:
        raise ValueError(f"{n} scores need as many weights, got {len(weights)}")
    whole = [_whole(weight, "a weight in tenths") for weight in weights]
    if any(weight < 0 for weight in whole):
        raise ValueError(f"weights must not be negative, got {whole}")
    return whole


def _tenths(pairs: Sequence[tuple[int, int]]) -> int | None:
    N = sum(weight * score for score, weight in pairs)
    D = sum(weight for _, weight in pairs)
    return None if D == 0 else (20 * N + D) // (2 * D)
