"""What the market says: dated prices of packs, boxes and cases, sold cards, slots of breaks, boxes opened."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Annotated, NamedTuple

from rating import money
from rating.errors import Problem
from rating.release.checklist import CARD_NUMBER
from rating.release.columns import Column, choice, day, decimal, parsed, whole, words
from rating.release.tables import Table

UNITS = ("pack", "box", "case")
PRICE_KINDS = ("list", "presale", "street", "restock")
HOW_SOLD = ("auction", "fixed", "offer")
HOW_ASKED = ("auction", "fixed", "offer", "random")
CONDITIONS = ("raw", "slabbed")
MATCHES = ("sure", "likely", "hand")


def _above_nought(cell: str) -> Decimal:
    amount = money.read(cell)
    if amount == 0:
        raise ValueError(cell)
    return amount


def _three_letters(cell: str) -> str:
    if not (len(cell) == 3 and cell.isascii() and cell.isalpha()):
        raise ValueError(cell)
    return cell.upper()


def _plain(number: Decimal) -> str:
    """A number without noughts behind its point."""
    return f"{number.normalize():f}"


_NOUGHT = Decimal(0)
_DAY = day(blank=date.min, fix="write the date as 2031-03-12")
_CURRENCY = parsed("text", _three_letters, blank="", fix="write the three letters of the currency")
_SOURCE = words(limit=500)


class Price(NamedTuple):
    """What a pack, box or case cost on a day. A blank currency is the season's."""

    day: Annotated[date, Column("the day that it was the price", _DAY, name="date", required=True)]
    format: Annotated[str, Column("the format, by its key in release.toml", words(), required=True)]
    unit: Annotated[str, Column("what was sold for it", choice(UNITS), required=True)]
    kind: Annotated[
        str,
        Column(
            "whether it is the maker's price, one asked before the release, the going one or a restock's",
            choice(PRICE_KINDS),
            required=True,
        ),
    ]
    price: Annotated[
        Decimal,
        Column(
            "the amount",
            decimal(_above_nought, blank=_NOUGHT, fix="write an amount such as 164.95"),
            required=True,
        ),
    ]
    currency: Annotated[str, Column("its currency by three letters; blank is the season's", _CURRENCY)]
    source: Annotated[str, Column("who says so", _SOURCE)]
    row: int


class Sale(NamedTuple):
    """One sold card. A blank subset is a sale that was not matched to a card."""

    day: Annotated[date, Column("the day of the sale", _DAY, name="date", required=True)]
    subset: Annotated[str, Column("the card's subset; blank where no card was matched", words())]
    parallel: Annotated[str, Column("the parallel of it; blank is the base version", words())]
    number: Annotated[str, Column("the card's number, as the checklist has it", CARD_NUMBER)]
    price: Annotated[
        Decimal,
        Column(
            "what was paid for the card",
            decimal(_above_nought, blank=_NOUGHT, fix="write an amount such as 4.50"),
            required=True,
        ),
    ]
    postage: Annotated[
        Decimal | None,
        Column(
            "what was paid for postage; blank where nobody said",
            decimal(money.read, fix="write an amount such as 4.99, or leave it blank"),
        ),
    ]
    currency: Annotated[str, Column("the currency by three letters; blank is the season's", _CURRENCY)]
    how: Annotated[str, Column("how it was sold", choice(HOW_SOLD))]
    condition: Annotated[str, Column("whether the card was graded and sealed in", choice(CONDITIONS))]
    title: Annotated[str, Column("what the seller called it", words(limit=500), is_always_there=True)]
    source: Annotated[str, Column("the list that it stood in", _SOURCE)]
    match: Annotated[str, Column("how the card was found, and how surely", choice(MATCHES))]
    row: int


class OpenedRow(NamedTuple):
    """How many cards of a subset's version, or of one card of it, were in boxes opened on a day.

    A blank parallel is the base version, a blank number any card of it; a blank subset says no more than how
    many boxes were opened. The rows of one day and format speak of the same boxes, and add up.
    """

    day: Annotated[date, Column("the day that they were opened", _DAY, name="date", required=True)]
    format: Annotated[str, Column("their format, by its key in release.toml", words(), required=True)]
    boxes: Annotated[
        int,
        Column(
            "how many boxes of it were opened that day",
            whole(low=1, high=100_000, blank=0, fix="write how many boxes were opened, from 1"),
            required=True,
        ),
    ]
    subset: Annotated[
        str, Column("the subset of the cards counted; blank where none were", words(), is_always_there=True)
    ]
    parallel: Annotated[str, Column("their parallel; blank is the base version", words())]
    number: Annotated[str, Column("the number of the one card counted; blank is any", CARD_NUMBER)]
    found: Annotated[
        int,
        Column(
            "how many of them were in those boxes",
            whole(low=0, blank=0, fix="write how many cards there were, 0 for none"),
            name="count",
            is_always_there=True,
        ),
    ]
    row: int


class SlotPrice(NamedTuple):
    """What a slot of a real break cost on a day. A blank currency is the season's.

    A slot is a team, a pair of teams as 'A + B', a division, a subject or another filter. It is blank in a
    random break, where every slot costs the same and the team is drawn. `cases` is how many were broken (half
    a case is 0.5), None where nobody said.
    """

    day: Annotated[date, Column("the day of the break, or of the list", _DAY, name="date", required=True)]
    format: Annotated[
        str,
        Column(
            "the format broken, by its key in release.toml; blank where nobody said",
            words(),
            is_always_there=True,
        ),
    ]
    slot: Annotated[
        str,
        Column(
            "a team, a pair as A + B, a division or a subject; blank where the team is drawn",
            words(),
            is_always_there=True,
        ),
    ]
    price: Annotated[
        Decimal,
        Column(
            "what the slot cost",
            decimal(_above_nought, blank=_NOUGHT, fix="write an amount such as 45.00"),
            required=True,
        ),
    ]
    how: Annotated[str, Column("how it was sold", choice(HOW_ASKED))]
    cases: Annotated[
        Decimal | None,
        Column(
            "how many cases were broken; blank where nobody said",
            decimal(
                _above_nought,
                fix="write how many cases were broken, such as 1 or 0.5, or nothing",
                write=_plain,
            ),
            is_left_out=True,
        ),
    ]
    currency: Annotated[str, Column("the currency by three letters; blank is the season's", _CURRENCY)]
    source: Annotated[str, Column("the list that it stood in", _SOURCE)]
    row: int


def _opened_twice(rows: Sequence[OpenedRow], file: str) -> Iterator[Problem]:
    """Rows of one day and format that tell of different boxes, or of the same cards again."""
    boxes: dict[tuple[date, str], int] = {}
    seen: dict[tuple[str, ...], int] = {}
    for one in rows:
        before = boxes.setdefault((one.day, one.format), one.boxes)
        if before != one.boxes and before and one.boxes:
            yield Problem(
                code="uneven-boxes",
                file=file,
                row=one.row,
                what=f"{one.boxes} boxes of {one.format} on {one.day}, and {before} in a row above",
                fix="write the same number in all rows of a day and format: they speak of the same boxes",
            )
        first = seen.setdefault(OPENED.name_of(one), one.row)
        if first != one.row:
            yield Problem(
                code="duplicate-row",
                file=file,
                row=one.row,
                what=f"the same cards of the same day stand in line {first}",
                fix="add the two counts up in one row",
            )


def _blank_slots(rows: Sequence[SlotPrice], file: str) -> Iterator[Problem]:
    for one in rows:
        if not _has_slot(one):
            yield Problem(
                code="missing-value",
                file=file,
                row=one.row,
                what="slot is blank",
                fix="write the slot; it is blank only where the team is drawn, with how = random",
            )


def _has_slot(one: SlotPrice) -> bool:
    return bool(one.slot) or one.how == "random"


PRICES = Table(
    file="prices.csv",
    about="the price of a pack, box or case of a format on a day",
    nouns=("price", "prices"),
    row=Price,
    key=("date", "format", "unit", "kind", "source"),
    is_usable=lambda one: one.day > date.min and bool(one.unit and one.kind and one.price),
)
SALES = Table(
    file="sales.csv",
    about="one card that was sold",
    nouns=("sale", "sales"),
    row=Sale,
    key=("date", "title", "price"),
    is_usable=lambda one: one.day > date.min and bool(one.price),
)
OPENED = Table(
    file="opened.csv",
    about="a count of one card, or of one kind of card, in boxes opened on a day",
    nouns=("row of opened boxes", "rows of opened boxes"),
    row=OpenedRow,
    key=("date", "format", "subset", "parallel", "number"),
    problems=_opened_twice,
    is_usable=lambda one: one.day > date.min and bool(one.format and one.boxes),
)
SLOTS = Table(
    file="slots.csv",
    about="the price of a slot of a break on a day",
    nouns=("slot price", "slot prices"),
    row=SlotPrice,
    key=("date", "format", "slot", "cases", "source"),
    problems=_blank_slots,
    is_usable=lambda one: one.day > date.min and bool(one.format and one.price) and _has_slot(one),
)
