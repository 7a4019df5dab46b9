"""boxwright slots: what each slot of a break holds, is worth and should cost."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from rating import money, tenths
from rating.cli.shared import opening, options, printing, refusing, tables

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from rating.facts.breaks.value import Break, Slot

# as many as anybody reads; a break by subject has hundreds
_MOST_ROWS = 40
# swaps shown without --all
_MOST_SWAPS = 3
_KINDS = ("autographs", "relics", "numbered", "rookies", "inserts", "base")


def slots(
    release: options.Release,
    packed: Annotated[
        str, typer.Option("--format", metavar="FORMAT", help="Which format. [default: the headline format]")
    ] = "",
    cases: Annotated[
        int | None, typer.Option("--cases", metavar="N", help="How many cases are opened. [default: 1]")
    ] = None,
    boxes: Annotated[
        int | None, typer.Option("--boxes", metavar="N", help="How many boxes, instead of cases.")
    ] = None,
    by: Annotated[
        list[str] | None,
        typer.Option(
            "--by",
            metavar="WAY",
            help="team, pair, division, subject or box; or a filter for each slot, such as "
            "'Signed: kind=autograph; rookie=yes'. Filters are repeatable. [default: team]",
        ),
    ] = None,
    holds: Annotated[bool, typer.Option("--cards", help="What to expect in each slot, too.")] = False,
    every: Annotated[
        bool, typer.Option("--all", help=f"All slots, not the first {_MOST_ROWS}, and all swaps.")
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What each slot of a break is worth, its share, the most to bid, and what others ask for it.

    House rules, the host's margin, tiers and pairs stand in season.toml, what others ask in slots.csv, and
    the buyers to pick for in rubric.toml.

    Example: boxwright slots halyard

    Example: boxwright slots halyard --cases 2 --by pair --cards
    """
    if cases is not None and boxes is not None:
        refusing.refuse("--cases and --boxes both say how much is opened", "give one of them")
    season = opening.opened(season_folder, today)
    found = season.slots(
        release, packed=packed, cases=1 if cases is None else cases, boxes=boxes, by=tuple(by or ("team",))
    )
    if as_json:
        from rating.answers import slots as answers
        from rating.facts import cautions

        printing.data(answers.slots(found, cautions=cautions.CAUTIONS))
        return
    _show(found, holds=holds, every=every)


def _show(found: Break, *, holds: bool, every: bool) -> None:
    from rating.facts import cautions
    from rating.facts.breaks import tell as telling_slots

    printing.paragraph(telling_slots.heading(found))
    printing.paragraph(telling_slots.cost(found))
    printing.say()
    ranked = sorted(found.slots, key=lambda slot: -slot.share)
    shown = ranked if every else ranked[:_MOST_ROWS]
    _worth(shown, found.currency)
    if len(shown) < len(ranked):
        printing.say(f"and {len(ranked) - len(shown)} more, with --all")
    if holds:
        printing.heading("What to expect in each")
        _holds(shown)
    printing.say()
    for words in (
        telling_slots.limits(found),
        telling_slots.worth(found),
        telling_slots.spread(found),
        telling_slots.asked(found),
        telling_slots.drawn(found),
    ):
        if words:
            printing.paragraph(words)
    _lines("Picks", [telling_slots.pick(one, found.currency) for one in found.picks])
    swaps = telling_slots.swaps(found)
    more = len(swaps) - _MOST_SWAPS
    if more > 1 and not every:
        swaps = [*swaps[:_MOST_SWAPS], f"and {more} more, with --all"]
    _lines("After a random draw, even swaps that gain", swaps)
    _lines("Moved by the host", telling_slots.moves(found))
    _lines("House rules and what was left out", _remarks(found))
    printing.say()
    printing.paragraph(" ".join(cautions.CAUTIONS))


def _worth(shown: Sequence[Slot], currency: str) -> None:
    """What slots are worth, their share, the most to bid, and what is asked; one table."""
    tables.table(
        ("slot", "worth", "give or take", "share", "range", "cost share", "limit", "asked", "over", "tier"),
        [_money(slot, currency) for slot in shown],
        right="worth|give or take|share|range|cost share|limit|asked|over",
        spare=("range", "give or take", "cost share", "tier", "over"),
    )


def _holds(shown: Sequence[Slot]) -> None:
    """What to expect in slots, hits first."""
    tables.table(
        ("slot", *_KINDS, "no autograph"),
        [
            (
                slot.slot,
                *(tenths.fixed(getattr(slot.expected, kind), 1) for kind in _KINDS),
                tenths.share(slot.p_no_autograph),
            )
            for slot in shown
        ],
        right="|".join((*_KINDS, "no autograph")),
        spare=("numbered", "no autograph"),
    )


def _remarks(found: Break) -> list[str]:
    unsaid = [f"their odds are not stated: {', '.join(found.at_least)}"] if found.at_least else []
    return [*found.remarks, *unsaid]


def _lines(title: str, lines: Sequence[str]) -> None:
    if lines:
        printing.heading(title)
        for line in lines:
            printing.wrapped(f"- {line}")


def _money(slot: Slot, currency: str) -> tuple[object, ...]:
    between = ""
    if slot.share_low is not None and slot.share_high is not None:
        between = f"{_share(slot.share_low)} to {_share(slot.share_high)} %"
    over = ""
    if slot.over is not None:
        percent = tenths.percent(slot.over)
        over = f"{percent:+d} %" if percent else "0 %"

    def amount(value: Decimal | None) -> str:
        return "" if value is None else money.told(value, currency)

    return (
        slot.slot,
        amount(slot.worth),
        amount(slot.deviation),
        f"{_share(slot.share)} %",
        between,
        *map(amount, (slot.cost_share, slot.limit, slot.asked)),
        over,
        slot.tier,
    )


def _share(share: float) -> str:
    return tenths.fixed(tenths.six_digits(100 * share), 1)
