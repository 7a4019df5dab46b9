"""boxwright price: a price that somebody saw, into prices.csv, and what it does to the price line."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing

if TYPE_CHECKING:
    from rating.season.pricing import Priced


def price(
    release: options.Release,
    product_format: Annotated[
        str, typer.Argument(metavar="FORMAT", help="The format, by its key in release.toml.")
    ],
    amount: Annotated[str, typer.Argument(metavar="AMOUNT", help="The price, such as 178 or 1,590.00.")],
    kind: Annotated[
        str,
        typer.Option("--kind", metavar="KIND", help="list, presale, street or restock. [default: street]"),
    ] = "street",
    unit: Annotated[
        str, typer.Option("--unit", metavar="UNIT", help="What it buys: pack, box or case. [default: box]")
    ] = "box",
    on: Annotated[
        str, typer.Option("--on", metavar="DATE", help="The day you saw it. [default: today]")
    ] = "",
    source: Annotated[str, typer.Option("--from", metavar="WORDS", help="Where you saw it.")] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Note a price in prices.csv, and see what it does to the price line.

    Nothing else in the file changes. What is recorded stays until you record it again.

    Example: boxwright price halyard hobby 169

    Example: boxwright price halyard hobby 1,590 --unit case --on 2031-07-12 --from "two shops"
    """
    from rating.answers import price as answers
    from rating.money import cents
    from rating.release.market import PRICE_KINDS, UNITS, Price
    from rating.season import pricing
    from rating.season.days import day_from

    refusing.hold_to(PRICE_KINDS, kind, "kind of price", where="--kind")
    refusing.hold_to(UNITS, unit, "unit", where="--unit")
    season = opening.opened(season_folder, today)
    day = day_from(on, where="--on") if on else season.today
    money = pricing.money_of(amount, season.config)
    asked = Price(day, product_format, unit, kind, cents(money.amount), money.currency, source, 0)
    found = pricing.add(season, release, asked)
    told = pricing.last_seen(found.seen, season.today)
    currency = season.config.currency
    if as_json:
        printing.data(answers.price(release, found, currency=currency, told=told))
        return
    _show(found, currency)
    if told:
        printing.paragraph(told)


def _show(found: Priced, currency: str) -> None:
    from rating import money

    one = found.price
    amount = money.told(one.price, one.currency or currency)
    printing.say(f"{found.title}")
    printing.paragraph(
        f"{amount} for a {one.format} {one.unit} on {one.day.isoformat()} ({one.kind}) is now in "
        f"{found.file}, line {one.row}."
    )
    printing.say()
    if found.after is None:
        printing.paragraph(f"The release cannot be graded yet, so it has no price line: {found.why}.")
    elif found.before == found.after:
        printing.paragraph(f"The price line stays: {found.after.price_line}")
    else:
        if found.before is not None:
            printing.paragraph(f"Before: {found.before.price_line}")
        printing.paragraph(f"Now: {found.after.price_line}")
