"""What the market says: dated prices of packs, boxes and cases, sold cards, slots of breaks, boxes opened."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from rating import money, text
from rating.errors import Problem
from rating.release import tables

UNITS = ("pack", "box", "case")
PRICE_KINDS = ("list", "presale", "street", "restock")
HOW_SOLD = ("auction", "fixed", "offer")
HOW_ASKED = ("auction", "fixed", "offer", "random")
CONDITIONS = ("raw", "slabbed")
MATCHES = ("sure", "likely", "hand")

PRICE_COLUMNS = ("date", "format", "unit", "kind", "price", "currency", "source")
SALE_COLUMNS = (
    "date",
    "subset",
    "parallel",
    "number",
    "price",
    "postage",
    "currency",
    "how",
    "condition",
    "title",
    "source",
    "match",
)
OPENED_COLUMNS = ("date", "format", "boxes", "subset", "parallel", "number", "count")
SLOT_COLUMNS = ("date", "format", "slot", "price", "how", "cases", "currency", "source")


class Price(NamedTuple):
    """What a pack, box or case cost on a day. A blank currency is the season's."""

    day: date
    format: str
    unit: str
    kind: str
    price: Decimal
    currency: str
    source: str
    row: int


class Sale(NamedTuple):
    """One sold card. A blank subset is a sale that was not matched to a card."""

    day: date
    subset: str
    parallel: str
    number: str
    price: Decimal
    postage: Decimal | None
    currency: str
    how: str
    condition: str
    title: str
    source: str
    match: str
    row: int


class OpenedRow(NamedTuple):
    """How many cards of a line, or of one card of it, were in the boxes of a format opened on a day.

    A blank parallel is the base version, a blank number any card of the line; a blank subset says no more
    than how many boxes were opened. The rows of one day and format speak of the same boxes, and add up.
    """

    day: date
    format: str
    boxes: int
    subset: str
    parallel: str
    number: str
    found: int
    row: int


class SlotPrice(NamedTuple):
    """What a slot of a real break cost on a day. A blank currency is the season's.

    A slot is a team, a pair of teams as 'A + B', a division, a subject or another filter. It is blank in a
    random break, where every slot costs the same and the team is drawn. `cases` is how many were broken (half
    a case is 0.5), None where nobody said.
    """

    day: date
    format: str
    slot: str
    price: Decimal
    how: str
    cases: Decimal | None
    currency: str
    source: str
    row: int


def read_prices(path: Path, *, file: str = "") -> tuple[tuple[Price, ...], list[Problem]]:
    """The prices of prices.csv with the problems of its rows; rows that cannot be used are left out.

    Raises
    ------
    rating.errors.RatingError
        if the file is no CSV with this header
    """
    columns = tables.read(
        path, PRICE_COLUMNS, required=("date", "format", "unit", "kind", "price"), file=file
    )
    cells = (
        columns.read("date", tables.day, blank=date.min, fix="write the date as 2031-03-12", required=True),
        columns.words("format", required=True),
        columns.one_of("unit", UNITS, required=True),
        columns.one_of("kind", PRICE_KINDS, required=True),
        columns.read("price", _price, blank=Decimal(0), fix="write an amount such as 164.95", required=True),
        columns.read("currency", _currency, blank="", fix="write the three letters of the currency"),
        columns.words("source", limit=500),
        columns.row_numbers,
    )
    prices = map(Price._make, zip(*cells, strict=True))
    whole = (one for one in prices if one.day > date.min and one.unit and one.kind and one.price)
    return tuple(whole), columns.problems


def read_sales(path: Path, *, file: str = "") -> tuple[tuple[Sale, ...], list[Problem]]:
    """The sales of sales.csv with the problems of its rows; rows that cannot be used are left out."""
    columns = tables.read(path, SALE_COLUMNS, required=("date", "price", "title"), file=file)
    cells = (
        columns.read("date", tables.day, blank=date.min, fix="write the date as 2031-03-12", required=True),
        columns.words("subset"),
        columns.words("parallel"),
        columns.words("number", limit=40),
        columns.read("price", _price, blank=Decimal(0), fix="write an amount such as 4.50", required=True),
        columns.read(
            "postage", money.read, blank=None, fix="write an amount such as 4.99, or leave it blank"
        ),
        columns.read("currency", _currency, blank="", fix="write the three letters of the currency"),
        columns.one_of("how", HOW_SOLD),
        columns.one_of("condition", CONDITIONS),
        columns.words("title", limit=500),
        columns.words("source", limit=500),
        columns.one_of("match", MATCHES),
        columns.row_numbers,
    )
    sales = map(Sale._make, zip(*cells, strict=True))
    return tuple(one for one in sales if one.day > date.min and one.price), columns.problems


def read_opened(path: Path, *, file: str = "") -> tuple[tuple[OpenedRow, ...], list[Problem]]:
    """The rows of opened.csv with their problems; rows that cannot be used are left out."""
    columns = tables.read(
        path, OPENED_COLUMNS, required=("date", "format", "boxes", "subset", "count"), file=file
    )
    cells = (
        columns.read("date", tables.day, blank=date.min, fix="write the date as 2031-03-12", required=True),
        columns.words("format", required=True),
        columns.read(
            "boxes",
            tables.whole(1, 100_000),
            blank=0,
            fix="write how many boxes it were, from 1",
            required=True,
        ),
        columns.words("subset"),
        columns.words("parallel"),
        columns.words("number", limit=40),
        columns.read("count", tables.whole(0), blank=0, fix="write how many cards it were, 0 for none"),
        columns.row_numbers,
    )
    rows = tuple(map(OpenedRow._make, zip(*cells, strict=True)))
    boxes: dict[tuple[date, str], int] = {}
    seen: dict[tuple[object, ...], int] = {}
    for index, one in enumerate(rows):
        before = boxes.setdefault((one.day, one.format), one.boxes)
        if before != one.boxes and before and one.boxes:
            what = f"{one.boxes} boxes of {one.format} on {one.day.isoformat()}, and {before} in a row above"
            fix = "write the same number in all rows of a day and format: they speak of the same boxes"
            columns.complain(index, what, fix, "uneven-boxes")
        card = (one.day, one.format, *map(text.key, (one.subset, one.parallel, one.number)))
        if seen.setdefault(card, one.row) != one.row:
            what = f"the same cards of the same day stand in row {seen[card]}"
            columns.complain(index, what, "add the two counts up in one row", "duplicate-row")
    return tuple(one for one in rows if one.day > date.min and one.format and one.boxes), columns.problems


def read_slots(path: Path, *, file: str = "") -> tuple[tuple[SlotPrice, ...], list[Problem]]:
    """The slot prices of slots.csv with the problems of its rows; rows that cannot be used are left out."""
    columns = tables.read(path, SLOT_COLUMNS, required=("date", "format", "slot", "price"), file=file)
    cells = (
        columns.read("date", tables.day, blank=date.min, fix="write the date as 2031-03-12", required=True),
        columns.words("format", required=True),
        columns.words("slot"),
        columns.read("price", _price, blank=Decimal(0), fix="write an amount such as 45.00", required=True),
        columns.one_of("how", HOW_ASKED),
        columns.read(
            "cases", _price, blank=None, fix="write how many cases were broken, such as 1 or 0.5, or nothing"
        ),
        columns.read("currency", _currency, blank="", fix="write the three letters of the currency"),
        columns.words("source", limit=500),
        columns.row_numbers,
    )
    rows = tuple(map(SlotPrice._make, zip(*cells, strict=True)))
    for index, one in enumerate(rows):
        if not one.slot and one.how != "random":
            fix = "write the slot; it is blank only where the team is drawn, with how = random"
            columns.complain(index, "slot is blank", fix, "missing-value")
    whole = (one for one in rows if one.day > date.min and one.format and one.price)
    return tuple(one for one in whole if one.slot or one.how == "random"), columns.problems


def _price(cell: str) -> Decimal:
    amount = money.read(cell)
    if amount == 0:
        raise ValueError(cell)
    return amount


def _currency(cell: str) -> str:
    if not (len(cell) == 3 and cell.isascii() and cell.isalpha()):
        raise ValueError(cell)
    return cell.upper()
