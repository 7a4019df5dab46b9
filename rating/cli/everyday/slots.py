"""boxwright slots: what each slot of a break holds, is worth and should cost."""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing, tables

if TYPE_CHECKING:
    from collections.abc import Sequence
    from decimal import Decimal

    from rating.facts.breaks.value import Break, Slot

# as many as anybody reads; a break by subject has hundreds
_MOST_ROWS = 40
_WIDTH, _SHORTEST = 26, 6


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
    every: Annotated[bool, typer.Option("--all", help=f"All slots, not the first {_MOST_ROWS}.")] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """What each slot of a break holds, what it is worth, and its share of the cost.

    House rules, the host's margin, tiers and pairs stand in season.toml, what others ask in slots.csv, and
    the buyers to pick for in rubric.toml.

    Example: boxwright slots halyard

    Example: boxwright slots halyard --cases 2 --by pair
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
    _show(found, every=every)


def _show(found: Break, *, every: bool) -> None:
    from rating.facts import cautions
    from rating.facts.breaks import tell as telling_slots

    printing.say(telling_slots.heading(found))
    printing.paragraph(telling_slots.cost(found))
    ranked = sorted(found.slots, key=lambda slot: -slot.share)
    shown = ranked if every else ranked[:_MOST_ROWS]
    printing.heading("What to expect in each")
    tables.table(
        ("slot", "base", "rookies", "inserts", "autographs", "relics", "numbered", "no auto", "tier"),
        [_content(slot) for slot in shown],
        right="base|rookies|inserts|autographs|relics|numbered|no auto",
    )
    printing.heading("What it is worth, and its share of the cost")
    tables.table(
        ("slot", "share", "from - to", "worth", "+/-", "cost share", "limit", "asked", "over"),
        [_money(slot) for slot in shown],
        right="share|from - to|worth|+/-|cost share|limit|asked|over",
    )
    if len(shown) < len(ranked):
        printing.say(f"… and {len(ranked) - len(shown)} more, with --all")
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
    _lines("After a random draw, even swaps that gain", telling_slots.swaps(found))
    _lines("By the host", telling_slots.moves(found))
    _lines("House rules and what was left out", _remarks(found))
    printing.say()
    printing.paragraph(" ".join(cautions.CAUTIONS))


def _remarks(found: Break) -> list[str]:
    unsaid = [f"nothing says how often they fall: {', '.join(found.at_least)}"] if found.at_least else []
    return [*found.remarks, *unsaid]


def _lines(title: str, lines: Sequence[str]) -> None:
    if lines:
        printing.heading(title)
        for line in lines:
            printing.wrapped(f"- {line}")


def _content(slot: Slot) -> tuple[object, ...]:
    from rating import tenths

    expected = [tenths.fixed(getattr(slot.expected, one.name), 1) for one in fields(slot.expected)]
    none = tenths.share(slot.p_no_autograph)
    return (_name(slot.slot), *expected, none, tables.shorten(slot.tier, 10))


def _money(slot: Slot) -> tuple[object, ...]:
    from rating import tenths

    between = ""
    if slot.share_low is not None and slot.share_high is not None:
        between = f"{_share(slot.share_low)} - {_share(slot.share_high)}"
    over = "" if slot.over is None else f"{'+' if slot.over > 0 else ''}{tenths.fixed(slot.over * 100, 0)} %"
    return (
        _name(slot.slot),
        f"{_share(slot.share)} %",
        between,
        *map(_amount, (slot.worth, slot.deviation, slot.cost_share, slot.limit, slot.asked)),
        over,
    )


def _name(slot: str) -> str:
    """The name of a slot in the width there is for it, every team of a group cut alike."""
    if len(slot) <= _WIDTH:
        return slot
    parts = slot.split(" + ")
    each = (_WIDTH - 3 * (len(parts) - 1)) // len(parts)
    if each < _SHORTEST:
        return tables.shorten(slot, _WIDTH)
    return " + ".join(tables.shorten(part, each) for part in parts)


def _share(share: float) -> str:
    from rating import tenths

    return tenths.fixed(tenths.six_digits(100 * share), 1)


def _amount(amount: Decimal | None) -> str:
    from rating import money

    return "" if amount is None else money.show(amount)
