"""boxwright find: every card of a person, its chances and its going price."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rating.cli import common

if TYPE_CHECKING:
    from rating.season.finder import Found, FoundCard, FoundRelease


def find(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Who to find; a part of the name will do.")],
    release: Annotated[
        str, typer.Argument(metavar="[RELEASE]", help="Only in this release.", show_default=False)
    ] = "",
    packed: Annotated[
        str, typer.Option("--format", metavar="FORMAT", help="Chances in it. [default: the headline format]")
    ] = "",
    season_folder: common.SeasonFolder = None,
    as_json: common.AsJson = False,
    today: common.Today = None,
) -> None:
    """Every card of somebody, over the season or in one release, with chances and the going price.

    The first look-up after a change reads all files; what it learns is kept in your cache folder (or in
    BOXWRIGHT_CACHE), so that the next ones are quick.

    Example: boxwright find "rhosyn quenby" halyard
    """
    from rating import text
    from rating.season import finder

    season = common.opened(season_folder, today)
    if release:
        season.sheet(release)  # says which releases there are where this is none
    found = finder.find(
        season.path,
        name,
        [release] if release else season.slugs,
        packed=packed,
        today=season.today,
        currency=season.config.currency,
        remark=common.remark,
    )
    for words in found.left_out:
        common.remark(f"left out: {words}")
    if as_json:
        common.data(_as_json(found))
        return
    if not found.names:
        common.paragraph(f"Who is meant by {name!r}? {text.listed(found.candidates, 'or')}.")
        return
    _show(found, season.config.currency, one_release=bool(release))


def _show(found: Found, currency: str, *, one_release: bool) -> None:
    from rating import text

    count = f"{text.count(len(found.cards), 'card')} in {text.count(len(found.releases), 'release')}"
    common.say(f"{' / '.join(found.names)}: {count}")
    common.say()
    common.table(
        ("release", "format", "cards", "any in a box", "in a case"),
        [
            (
                one.title if one_release else one.release,
                one.format,
                one.cards,
                _least(one) + _chance(one.p_box),
                _least(one) + _chance(one.p_case),
            )
            for one in found.releases
        ],
        right="cards|any in a box|in a case",
    )
    common.say()
    common.table(
        ("release", "card", "number", "run", "signed", "relic", "in a box", "in a case", "price"),
        [
            _row(one, packed.format)
            for packed in found.releases
            for one in found.cards
            if one.release == packed.release
        ],
        right="run|in a box|in a case|price",
    )
    common.say()
    models = dict.fromkeys(part for one in found.releases for part in one.model.split("; ") if part)
    prices = f"Prices are medians of raw cards sold, in {currency}, postage apart."
    none = "No sale of these cards is known."
    words = prices if any(one.price is not None for one in found.cards) else none
    if models:
        words += f" Chances: {'; '.join(models)}."
    common.paragraph(words)


def _row(one: FoundCard, packed: str) -> tuple[object, ...]:
    from rating import money

    elsewhere = packed not in one.formats
    marks = [mark for mark, is_so in (("RC", one.rookie), ("by post", one.redemption)) if is_so]
    card = " ".join(
        part for part in (one.subset, one.parallel, f"({', '.join(marks)})" if marks else "") if part
    )
    return (
        common.shorten(one.release, 16),
        common.shorten(card, 34),
        one.number,
        f"/{one.print_run}" if one.print_run else "",
        one.signed or ("yes" if "autograph" in one.kind else ""),
        one.relic or ("yes" if "relic" in one.kind else ""),
        f"only {', '.join(one.formats)}" if elsewhere and one.formats else _chance(one.p_box),
        "" if elsewhere else _chance(one.p_case),
        money.show(one.price) if one.price is not None else "",
    )


def _chance(chance: Any) -> str:
    from rating import tenths

    return "" if chance is None else tenths.share(chance)


def _least(one: FoundRelease) -> str:
    return "at least " if one.at_least and one.p_box is not None else ""


def _as_json(found: Found) -> dict[str, Any]:
    from rating.facts.values import as_json_values

    return {one.name: as_json_values(getattr(found, one.name)) for one in fields(found)}
