"""A price that somebody saw, put into a release's prices.csv, and what that does to its price line."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from rating import money, tenths, text
from rating.errors import RatingError
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts
from rating.facts.values.value import Values
from rating.release import PRICES, edit_csv
from rating.release.market import Price
from rating.season import folder
from rating.season.beside import Beside
from rating.season.recording import Draft
from rating.season.season import Season
from rating.season.settings.config import Config

if TYPE_CHECKING:
    from rating.release.intake import days

# a price that is older than this is not said without a look
FRESH_DAYS = 30


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """A price as it was written, with the row it stands on, and the grade's company before and after.

    before, after
        what stands beside the grade; None where the release cannot be graded, and `why` says why
    seen
        the day of the price that counts now for a box of the headline format, None where there is none
    """

    title: str
    price: Price
    file: str
    before: Beside | None
    after: Beside | None
    seen: date | None
    why: str


def add(season: Season, slug: str, price: Price) -> Priced:
    """Put a price into prices.csv, and say what that does to the price line. All else in the file stays.

    Raises
    ------
    rating.errors.RatingError
        if the format is none of the release's, the day is still to come, the file has errors, or it holds
        this price already; then nothing is written
    """
    sheet = season.files.sheet(slug)
    folder.hold_format(sheet, price.format, where="FORMAT")
    _hold(price, season.today)
    before, _, why = _line(season, slug)
    shown = f"{folder.RELEASES}/{slug}/{PRICES.file}"

    def edit(rows: Sequence[Price]) -> edit_csv.Edit:
        _hold_new(rows, price, shown)
        return edit_csv.Edit([dict(zip(PRICES.names, PRICES.cells_of(price), strict=True))])

    again = edit_csv.in_table(folder.release_folder(season.path, slug), PRICES, shown=shown, edit=edit)
    after, seen, why = _line(Season.open(season.path, today=season.today), slug)
    return Priced(
        title=sheet.title, price=again[-1], file=shown, before=before, after=after, seen=seen, why=why
    )


def money_of(written: str, config: Config) -> days.Money:
    """The amount in words such as '178', '$1,590.00' or 'EUR 120'; its currency is blank for the season's.

    Raises
    ------
    rating.errors.RatingError
        if it is none, or in money of which season.toml does not say what it is worth
    """
    from rating.release.intake import days  # every reader of the intake is loaded with it

    found = days.read_money(written, config.currency, config.decimal_mark)
    if found is None or not found.amount:
        raise RatingError(
            f"{text.printable(written[:40])!r} is not a price",
            where="AMOUNT",
            fix=f"write an amount in {config.currency} such as 178.00",
        )
    if found.currency in {"", config.currency}:
        return days.Money(found.amount)
    if found.currency not in config.rates:
        raise RatingError(
            f"nothing says what {found.currency} is worth in {config.currency}",
            where="AMOUNT",
            fix=f"add it under [rates] in {folder.SEASON_FILE}, or name the price in {config.currency}",
        )
    return found


def last_seen(seen: date | None, today: date) -> str:
    """What a host should know before a price is said aloud; '' where it is fresh, or there is none."""
    if seen is None or (today - seen).days <= FRESH_DAYS:
        return ""
    return f"The price was last seen on {seen.isoformat()}; check before you say it."


def values_of(facts: Facts, today: date) -> str:
    """The day that card values are as of, and how fast prices fell; '' where it is near, or they are lent."""
    worth = facts.values
    if not isinstance(worth, Values) or worth.carried_from or worth.as_of is None:
        return ""
    if (today - worth.as_of).days <= FRESH_DAYS:
        return ""
    words = f"What a box returns is as of the last card sold, on {worth.as_of}"
    week = next((one for one in worth.effects if one.name == "week"), None)
    if week is None or week.value + 2 * week.error >= 0:
        return f"{words}."
    fall = tenths.fixed(100 * (1 - tenths.six_digits(math.exp(float(week.value)))), 1)
    return f"{words}, when prices fell {fall} % a week."


def seen_on(facts: Facts) -> date | None:
    """The day of the price that counts for a box of the headline format, None where there is none."""
    main = facts.economics.main if isinstance(facts.economics, Economics) else None
    return main.price_day if main else None


def _hold(price: Price, today: date) -> None:
    if price.day > today:
        raise RatingError(
            f"{price.day.isoformat()} is after today, {today.isoformat()}",
            where="--on",
            fix="name the day on which you saw it",
        )


def _hold_new(rows: Sequence[Price], price: Price, shown: str) -> None:
    for one in rows:
        if PRICES.name_of(one) == PRICES.name_of(price):
            same = "the same price" if one.price == price.price else f"the price {money.show(one.price)}"
            raise RatingError(
                f"{same} of that day, format, unit, kind and source is there already",
                where=f"{shown}, row {one.row}",
                fix="correct that row, or say with --from where else you saw it",
            )


def _line(season: Season, slug: str) -> tuple[Beside | None, date | None, str]:
    """What stands beside the grade, the day of its price, and why there is no grade."""
    try:
        draft: Draft = season.grade(slug)
        return draft.beside, seen_on(draft.facts), ""
    except RatingError as fault:
        return None, None, fault.what
