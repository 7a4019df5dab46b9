"""boxwright find: every card of a person, its chances and its going price."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli.shared import opening, options, printing, tables

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from rating.season.lookup.finder import ListedCard, ListedRelease, LookUp


def find(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Who to find; a part of the name will do.")],
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="Only in this release.", show_default=False)
    ] = "",
    packed: Annotated[
        str, typer.Option("--format", metavar="FORMAT", help="Chances in it. [default: the headline format]")
    ] = "",
    every: Annotated[
        bool, typer.Option("--cards", help="Card by card, after the sum of each release.")
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What each release holds of somebody, and every card of theirs, with chances and going prices.

    The first look-up after a change reads all files; what it learns is kept in your cache folder (or in
    BOXWRIGHT_CACHE), so that the next ones are quick.

    Example: boxwright find "rhosyn quenby"

    Example: boxwright find "rhosyn quenby" halyard --cards
    """
    from rating import text
    from rating.answers import lookup as answers
    from rating.season.lookup import finder

    season = opening.opened(season_folder, today)
    if release:
        season.files.sheet(release)  # says which releases there are where this is none
    found = finder.find(
        season.path,
        name,
        [release] if release else season.files.slugs,
        packed=packed,
        today=season.today,
        currency=season.config.currency,
        rates=season.config.rates,
        remark=printing.remark,
    )
    for words in found.left_out:
        printing.remark(f"left out: {words}")
    if as_json:
        printing.data(answers.cards(found, caution=_caution()))
        return
    if not found.names:
        printing.paragraph(f"Who is meant by {name!r}? {text.listed(found.candidates, 'or')}.")
        return
    _show(found, season.config.currency, whole=every)


def _show(found: LookUp, currency: str, *, whole: bool) -> None:
    from rating import text

    count = f"{text.count(len(found.cards), 'card')} in {text.count(len(found.releases), 'release')}"
    printing.paragraph(f"{' / '.join(found.names)}: {count}")
    printing.say()
    _releases(found, currency)
    if whole:
        for one in found.releases:
            _cards(one, [card for card in found.cards if card.release == one.release], currency)
    printing.say()
    models = dict.fromkeys(part for one in found.releases for part in one.model.split("; ") if part)
    words = "No sale of these cards is known."
    if found.has_prices:
        words = f"Prices are what a typical raw copy sold for, without postage. {_caution()}"
    if models:
        words += f" {_assumed(list(models))}"
    printing.paragraph(words)
    if not whole:
        printing.paragraph("Card by card: add --cards.")


def _assumed(models: Sequence[str]) -> str:
    """What the chances go by: conditions in one sentence, then what else is said of them."""
    from rating import text

    conditions = [one.removeprefix("if ") for one in models if one.startswith("if ")]
    told = [f"Chances hold if {text.listed(conditions)}"] if conditions else []
    told += [f"{one[:1].upper()}{one[1:]}" for one in models if not one.startswith("if ")]
    return " ".join(f"{one}." for one in told)


def _releases(found: LookUp, currency: str) -> None:
    """What each release has of the person, a row each."""
    from rating import text

    rows = []
    names = text.short_names({one.release: one.title for one in found.releases})
    for one in found.releases:
        cards = [card for card in found.cards if card.release == one.release]
        priced = [card.price for card in cards if card.price is not None]
        more = "+" if one.at_least else ""
        rows.append(
            (
                names[one.release],
                sum("autograph" in card.kind for card in cards) or "",
                sum("relic" in card.kind for card in cards) or "",
                sum(card.print_run is not None for card in cards) or "",
                "yes" if any(card.rookie for card in cards) else "",
                len(cards),
                "not known" if one.p_box is None else f"{_chance(one.p_box)}{more}",
                "" if one.p_case is None else f"{_chance(one.p_case)}{more}",
                _price(max(priced), currency) if priced else "",
            )
        )
    tables.table(
        ("release", "signed", "relics", "numbered", "rookie", "cards", "in a box", "in a case", "top price"),
        rows,
        right="signed|relics|numbered|cards|in a box|in a case|top price",
        spare=("relics", "numbered", "in a case", "rookie"),
    )


def _cards(one: ListedRelease, cards: Sequence[ListedCard], currency: str) -> None:
    printing.say()
    printing.paragraph(_heading(one))
    tables.table(
        ("card", "number", "run", "how", "in a box", "in a case", "price"),
        [_row(card, one.format, currency) for card in cards],
        right="run|in a box|in a case|price",
        spare=("in a case",),
    )


def _heading(one: ListedRelease) -> str:
    if one.p_box is None:
        return f"{one.title}: how often these cards fall is not known."
    words = f"{one.title}: the chance of any of them is {_chance(one.p_box)} in a {one.format} box"
    if one.p_case is not None:
        words += f" and {_chance(one.p_case)} in a case"
    return words + ("; some cards come on top, whose odds are not stated." if one.at_least else ".")


def _row(one: ListedCard, packed: str, currency: str) -> tuple[object, ...]:
    elsewhere = packed not in one.formats
    signed = one.signed or ("signed" if "autograph" in one.kind else "")
    relic = one.relic or ("relic" if "relic" in one.kind else "")
    how = ", ".join(part for part in (signed, relic, "by post" if one.redemption else "") if part)
    return (
        f"{one.subset} {one.parallel}".strip(),
        one.number,
        f"/{one.print_run}" if one.print_run else "",
        how,
        f"only {', '.join(one.formats)}" if elsewhere and one.formats else _chance(one.p_box),
        "" if elsewhere else _chance(one.p_case),
        "" if one.price is None else _price(one.price, currency),
    )


def _price(amount: Decimal, currency: str) -> str:
    from rating import money

    return money.told(amount, currency)


def _chance(chance: Any) -> str:
    from rating import tenths

    return "" if chance is None else tenths.share(chance)


def _caution() -> str:
    from rating.facts.cautions import SHORT

    return SHORT
