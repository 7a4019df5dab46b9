"""boxwright find: every card of a person, its chances and its going price."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli.shared import opening, options, printing, tables

if TYPE_CHECKING:
    from rating.season.lookup.finder import ListedCard, ListedRelease, LookUp


def find(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Who to find; a part of the name will do.")],
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="Only in this release.", show_default=False)
    ] = "",
    packed: Annotated[
        str, typer.Option("--format", metavar="FORMAT", help="Chances in it. [default: the headline format]")
    ] = "",
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """Every card of somebody, over the season or in one release, with chances and the going price.

    The first look-up after a change reads all files; what it learns is kept in your cache folder (or in
    BOXWRIGHT_CACHE), so that the next ones are quick.

    Example: boxwright find "rhosyn quenby" halyard
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
    _show(found, season.config.currency)


def _show(found: LookUp, currency: str) -> None:
    from rating import text

    count = f"{text.count(len(found.cards), 'card')} in {text.count(len(found.releases), 'release')}"
    printing.say(f"{' / '.join(found.names)}: {count}")
    for one in found.releases:
        cards = [card for card in found.cards if card.release == one.release]
        printing.say()
        printing.paragraph(_heading(one, is_rookie=any(card.rookie for card in cards)))
        tables.table(
            ("card", "number", "run", "how", "in a box", "in a case", "price"),
            [_row(card, one.format) for card in cards],
            right="run|in a box|in a case|price",
        )
    printing.say()
    models = dict.fromkeys(part for one in found.releases for part in one.model.split("; ") if part)
    words = "No sale of these cards is known."
    if found.has_prices:
        words = f"Prices are medians of raw cards sold, in {currency}, postage apart. {_caution()}"
    if models:
        words += f" Chances: {'; '.join(models)}."
    printing.paragraph(words)


def _heading(one: ListedRelease, *, is_rookie: bool) -> str:
    words = f"{one.title}{', as a rookie' if is_rookie else ''}"
    if one.p_box is None:
        return f"{words}: how often they fall is not known"
    words += f": any of them in a {one.format} box {_chance(one.p_box)}"
    if one.p_case is not None:
        words += f", in a case {_chance(one.p_case)}"
    return words + (", and more by what nothing is said of" if one.at_least else "")


def _row(one: ListedCard, packed: str) -> tuple[object, ...]:
    from rating import money

    elsewhere = packed not in one.formats
    signed = one.signed or ("signed" if "autograph" in one.kind else "")
    relic = one.relic or ("relic" if "relic" in one.kind else "")
    how = ", ".join(part for part in (signed, relic, "by post" if one.redemption else "") if part)
    return (
        tables.shorten(f"{one.subset} {one.parallel}".strip(), 32),
        tables.shorten(one.number, 8),
        f"/{one.print_run}" if one.print_run else "",
        tables.shorten(how, 18),
        f"only {', '.join(one.formats)}" if elsewhere and one.formats else _chance(one.p_box),
        "" if elsewhere else _chance(one.p_case),
        money.show(one.price) if one.price is not None else "",
    )


def _chance(chance: Any) -> str:
    from rating import tenths

    return "" if chance is None else tenths.share(chance)


def _caution() -> str:
    from rating.facts.cautions import SHORT

    return SHORT
