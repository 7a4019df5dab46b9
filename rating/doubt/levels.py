"""How a share of simulations is told, and from which one on a place is firm; without arrays."""

from __future__ import annotations

from rating import tenths

# a place that is kept in so many draws is firm
FIRM = 0.9


def percent_text(share: float) -> str:
    """A share of draws in words that claim no more than draws can tell: '85 %', 'under 1 %', 'over 99 %'.

    What falls short of nine in ten is never told as 90 %: that would be firm.
    """
    if 0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1:
        return "over 99 %"
    if FIRM - 0.005 <= share < FIRM:
        return "under 90 %"
    return f"{tenths.percent(tenths.six_digits(share))} %"
