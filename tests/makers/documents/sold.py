"""Sold lists and lists of slots, as a marketplace, a tracker or a host would hand them out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from makers.dice import Dice
from makers.documents.banners import sum_lines
from makers.documents.grid import Cell, Line, Notes, Sheet, text_line
from makers.documents.layout import Layout
from makers.documents.naming import team_text
from makers.documents.phrases import amount, day_text, money
from makers.documents.words import headings
from makers.truth.facts import Key
from makers.truth.market import Break, Market, Sale, Slot
from makers.truth.release import Release

_HOW_WORDS = (
    {"auction": "Auction", "fixed": "Fixed price", "offer": "Best offer accepted"},
    {"auction": "auction", "fixed": "buy it now", "offer": "offer accepted"},
    {"auction": "AUCTION", "fixed": "FIXED", "offer": "OFFER"},
)


@dataclass(frozen=True, slots=True)
class _Habits:
    how: dict[str, str]
    currency_shown: bool
    free: str
    first: str
    second: str


def listed(layout: Layout, market: Market) -> Market:
    """What of the market the documents hold: unsold listings only where a column tells them apart."""
    sales = market.sales if layout["sold"] != "none" else ()
    if not (layout["sold"] in {"table", "bare"} and layout.has("sold status")):
        sales = tuple(one for one in sales if one.sold)
    breaks = market.breaks if layout["slots"] != "none" else ()
    if layout["slots"] == "table":
        breaks = breaks[:1]
    in_turn = (one if one.index == place else replace(one, index=place) for place, one in enumerate(sales))
    return Market(tuple(in_turn), _renumbered(breaks))


def _renumbered(breaks: tuple[Break, ...]) -> tuple[Break, ...]:
    found, first = [], 0
    for one in breaks:
        slots = tuple(replace(slot, index=first + place) for place, slot in enumerate(one.slots))
        first += len(slots)
        found.append(replace(one, slots=slots))
    return tuple(found)


class SoldList:
    """Writes what was sold in a layout."""

    def __init__(self, seed: object, release: Release, market: Market, layout: Layout, notes: Notes) -> None:
        dice = Dice(seed, "sold")
        self.dice, self.release, self.market, self.layout, self.notes = dice, release, market, layout, notes
        forms = ("short", "iso", "numeric", "american")
        first = dice.pick(forms)
        second = (
            dice.pick([one for one in forms if one != first]) if layout["sold dates"] == "mixed" else first
        )
        self.habits = _Habits(
            dice.pick(_HOW_WORDS),
            dice.chance(0.6),
            dice.pick(("free", "0.00", "Free shipping")),
            first,
            second,
        )

    def sheets(self) -> list[Sheet]:
        """The document; none where nothing was sold."""
        if not self.market.sales:
            return []
        self._mark()
        if self.layout["sold"] == "lines":
            return [Sheet("Sold", [self._text(one) for one in self.market.sales], is_table=False)]
        return [self._table()]

    def _table(self) -> Sheet:
        wanted = {
            "how": self.dice.chance(0.7),
            "postage": self.dice.chance(0.65),
            "status": self.layout.has("sold status"),
        }
        columns = ["day", "title", "price", *(name for name, so in wanted.items() if so)]
        if self.layout.has("sold numbers"):
            self.notes.mark("a column of listing numbers")
            columns.insert(0, "id")
        if self.layout.has("shuffled"):
            columns = self.dice.shuffle(columns)
        lines: list[Line] = []
        if self.layout.has("sold preamble"):
            lines += [
                text_line(f"Search: {self.release.year} {self.release.line}", role="title"),
                Line([], role="blank"),
            ]
        if self.layout["sold"] == "table":
            style = self.layout["headings"]
            told = headings(self.dice, "usual" if style == "none" else style, columns, self.notes)
            lines.append(Line(list(told), role="heading"))
        for one in self.market.sales:
            cells, says = [], [_key(one, "card"), _key(one, "condition")]
            for name in columns:
                cells.append(self._cell(one, name))
                column = {"day": "date", "title": "title", "status": "", "id": ""}.get(name, name)
                says += [_key(one, column)] if column else []
            lines.append(Line(cells, says, "sale"))
        whole = sum((one.price for one in self.market.sales), Decimal(0))
        lines += sum_lines(self.dice, self.layout, self.notes, len(self.market.sales), [self._price(whole)])
        return Sheet("Sold", lines)

    def _cell(self, one: Sale, name: str) -> Cell:
        typed = self.layout.has("typed cells") and self.layout["sold in"] == "xlsx"
        self.notes.mark("amounts and days as such in cells", typed)
        if name == "day":
            return one.day if typed else self._day(one.day)
        if name == "title":
            return one.title
        if name == "id":
            return str(self.dice.whole(10**11, 10**12 - 1))
        if name == "price":
            return float(one.price) if typed else self._price(one.price)
        if name == "how":
            return self.habits.how[one.how] if one.sold else ""
        if name == "status":
            return "sold" if one.sold else "unsold"
        if one.postage is None:
            return ""
        if not one.postage:
            return self.habits.free
        return float(one.postage) if typed else self._price(one.postage)

    def _text(self, one: Sale) -> Line:
        day, price = self._day(one.day), money(one.price, self.layout, self.dice)
        text = f"{day}  {one.title}  {price}  {self.habits.how[one.how]}"
        says = [_key(one, column) for column in ("card", "condition", "title", "date", "price", "how")]
        return Line([text], says, "sale")

    def _day(self, day: date) -> str:
        form = self.habits.second if self.dice.chance(0.4) else self.habits.first
        return day_text(day, self.layout, form)

    def _price(self, value: Decimal) -> str:
        return (
            money(value, self.layout, self.dice) if self.habits.currency_shown else amount(value, self.layout)
        )

    def _mark(self) -> None:
        names = {
            "table": "sold list with headings", "bare": "sold list without headings",
            "lines": "sold list as lines",
        }  # fmt: skip
        self.notes.mark(names[self.layout["sold"]])
        self.notes.mark("dates in two forms", self.habits.first != self.habits.second)
        traits = {trait for one in self.market.sales for trait in one.traits}
        self.notes.mark("unsold rows", "unsold" in traits)
        self.notes.mark("junk in the sold list", "junk" in traits)
        for name in sorted(traits - {"unsold", "junk"}):
            self.notes.mark(name)
        for one in self.market.sales:
            if not one.certain:
                self.notes.open.add(_key(one, "card"))


def slot_sheets(seed: object, release: Release, market: Market, layout: Layout, notes: Notes) -> list[Sheet]:
    """The lists of slots; none where there is no break."""
    if not market.breaks:
        return []
    dice = Dice(seed, "slots")
    notes.mark("slots as text" if layout["slots"] == "text" else "slots as a table")
    notes.mark("a random break", any(not slot.teams for one in market.breaks for slot in one.slots))
    if layout["slots"] == "text":
        lines = [line for one in market.breaks for line in _slot_lines(dice, release, one, layout)]
        return [Sheet("Breaks", lines, is_table=False)]
    return [_slot_table(dice, release, market, layout, notes)]


def _slot_lines(dice: Dice, release: Release, one: Break, layout: Layout) -> list[Line]:
    day = day_text(one.day, layout, "long")
    cases = {"0.5": "half a case", "1": "1 case", "2": "2 cases"}[f"{one.cases:f}"]
    manner = {"auction": "auction", "fixed": "fixed prices", "random": "random teams"}[one.how]
    dated = f", {day}" if layout.has("slots dated") else ""
    head = f"{release.year} {release.line} {one.format.name}, {cases}{dated} - {manner}"
    lines = [text_line(head, _shared(one, dated=bool(dated)), "banner")]
    sign = dice.pick((" - ", ": ", "  "))
    for slot in one.slots:
        text = f"{_slot_name(release, slot) or 'Random team'}{sign}{money(slot.price, layout, dice)}"
        lines.append(
            text_line(text, [Key("slots", slot.index, "price"), Key("slots", slot.index, "slot")], "slot")
        )
    return [*lines, Line([])]


def _slot_table(dice: Dice, release: Release, market: Market, layout: Layout, notes: Notes) -> Sheet:
    columns = ["slot", "price", "how", "format", "cases", *(["day"] if layout.has("slots dated") else [])]
    told = {
        "slot": "slot",
        "price": "price",
        "how": "how",
        "format": "format",
        "cases": "cases",
        "day": "date",
    }
    lines: list[Line] = []
    if layout["slots"] == "bare":
        lines.append(text_line(f"{release.title} breaks", role="title"))
    else:
        style = "usual" if layout["headings"] in {"none", "repeated"} else layout["headings"]
        lines.append(Line(list(headings(dice, style, columns, notes)), role="heading"))
    for one in market.breaks:
        for slot in one.slots:
            cells: dict[str, Cell] = {
                "slot": _slot_name(release, slot) or "Random",
                "price": money(slot.price, layout, dice),
                "how": {"auction": "auction", "fixed": "fixed price", "random": "random teams"}[one.how],
                "format": one.format.name,
                "cases": f"{one.cases:f}".replace(".", "," if layout.has("decimal comma") else "."),
                "day": day_text(one.day, layout, layout["day form"]),
            }
            says = [Key("slots", slot.index, told[name]) for name in columns]
            lines.append(Line([cells[name] for name in columns], says, "slot"))
    prices = [slot.price for one in market.breaks for slot in one.slots]
    if len(prices) > 1:
        lines += sum_lines(dice, layout, notes, len(prices), [money(sum(prices, Decimal(0)), layout, dice)])
    return Sheet("Breaks", lines)


def _slot_name(release: Release, slot: Slot) -> str:
    return " + ".join(team_text(release.league.teams[team], "full", "") for team in slot.teams)


def _shared(one: Break, *, dated: bool) -> list[Key]:
    columns = ("format", "how", "cases", *(("date",) if dated else ()))
    return [Key("slots", slot.index, column) for slot in one.slots for column in columns]


def _key(one: Sale, column: str) -> Key:
    return Key("sales", one.index, column)
