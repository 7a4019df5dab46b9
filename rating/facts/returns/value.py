"""The frozen values of the section on returns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from rating import money
from rating.facts.plain import Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Payout:
    """What a box or case returns at a price, in money: mean, quantiles, chances, and the loss.

    p_return
        the chance that it returns the price or more
    loss_given_loss
        what is missing on average where it returns less; None where it never does
    even_price
        the highest price that is returned by every other one
    p_landed
        the chance that it returns what it costs with shipping, duty and tax, or more
    p_low, p_high
        `p_return` where all cards are worth less, or more, by the factor of the format's returns; None where
        there is no price, or nothing says how far off all may be
    """

    price: Decimal | None
    mean: Decimal
    sd: Decimal
    median: Decimal
    q05: Decimal
    q25: Decimal
    q75: Decimal
    q95: Decimal
    p_return: Decimal | None
    loss_given_loss: Decimal | None
    even_price: Decimal
    p_low: Decimal | None = None
    p_high: Decimal | None = None
    p_landed: Decimal | None = None


# while less of a run is opened, a chance differs by less than 2e-4 from that of draws which are put back
NOTICED_SHARE = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatReturns:
    """What a box and, where the packing says so, a case of a format return.

    `left_out` names lines that can be in it and of which nothing says how often: they count as nothing.
    `grid` is the step of money, `grid_error` what steps add to the standard deviation of a box, and
    `cut_off` the chance that was not looked at. `box_share` and `case_share` are the shares of the format's
    run that they open, None where the run is not known; `finite` names those of box and case whose promised
    cards are drawn without replacement. All others are drawn as if what is opened did not change the run.
    Nine times in ten the mean of a box is at most `factor` times more or less than it is taken for. `commons`
    are the lines most of whose cards count as bulk though they sell at the market's least price, and
    `with_commons` is the mean of a box if each of these left that price; None where no such price is known.
    """

    name: str
    box: Payout
    case: Payout | None
    left_out: tuple[str, ...]
    grid: Decimal
    grid_error: Decimal
    cut_off: Decimal
    box_share: Decimal | None = None
    case_share: Decimal | None = None
    finite: tuple[str, ...] = ()
    factor: Decimal = Decimal(1)
    commons: tuple[str, ...] = ()
    least: Decimal | None = None
    with_commons: Decimal | None = None

    @property
    def mean_between(self) -> tuple[Decimal, Decimal] | None:
        """Between which amounts the mean of a box lies nine times in ten; None where nothing says so."""
        if self.factor == 1:
            return None
        return money.cents(self.box.mean / self.factor), money.cents(self.box.mean * self.factor)


@dataclass(frozen=True, slots=True, kw_only=True)
class Returns:
    """What boxes return, by format, at prices as of a day; a format of which it is not known says why."""

    formats: Mapping[str, FormatReturns | Unknown]
    as_of: date | None = None
