"""The sell sheet: prose, bullets, tables by column or row, or lines; and what it says of kinds beside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from decimal import Decimal

from makers.dice import Dice
from makers.documents.banners import kind_says
from makers.documents.grid import Cell, Line, Notes, Sheet, text_line
from makers.documents.layout import Layout
from makers.documents.phrases import day_text, kind_words, money, ordinal, small
from makers.truth.facts import Key
from makers.truth.release import Format, Price, Promise, Release

Said = tuple[str, list[Key]]
_Told = tuple[Cell, list[Key]]
_Labelled = tuple[str, list[_Told]]
_NOUNS = {
    "autograph": ("autograph", "autographs"),
    "relic": ("relic card", "relic cards"),
    "autograph relic": ("autograph relic", "autograph relics"),
    "hit": ("hit", "hits"),
    "insert": ("insert", "inserts"),
    "numbered": ("numbered card", "numbered cards"),
    "parallel": ("parallel", "parallels"),
}
_IDLE = (
    "The fronts are printed on heavy stock with a matt finish.",
    "Collectors asked for a larger picture, and here it is.",
    "Every back carries a short note by a beat writer.",
    "The boxes are wrapped in recycled paper.",
    "Stock is limited and will be allocated.",
)


class SellSheet:
    """Writes the sell sheet of a release in a layout."""

    def __init__(self, seed: object, release: Release, layout: Layout, notes: Notes) -> None:
        self.dice = Dice(seed, "sell sheet")
        self.release, self.layout, self.notes = release, layout, notes
        self.price_word = {"srp": "SRP", "msrp": "MSRP", "plain": "Suggested price"}[layout["price words"]]

    def sheets(self) -> list[Sheet]:
        """The document; none where the maker has none."""
        kind = self.layout["sell sheet"]
        if kind == "none":
            return []
        as_table = kind in {"by column", "by row"}
        self.notes.mark(f"sell sheet {kind}" if as_table else f"sell sheet as {kind}")
        lines = [text_line(f"{self.release.title} {self.release.league.sport}".upper(), role="title")]
        if as_table:
            lines += self._table(by_column=kind == "by column")
        elif kind == "prose":
            for one in self.release.formats:
                lines += self._paragraph(
                    [self._packing(one), *self._prices_prose(one), *self._promises_of(one)]
                )
        else:
            for one in self.release.formats:
                lines += self._listed(one, "" if kind == "lines" else self.dice.pick(("- ", "• ", "* ")))
        lines += self._paragraph([*self._general(), *self._kinds(), self._base_size()])
        return [Sheet("Sell sheet", lines, is_table=as_table)]

    # -- prose

    def _packing(self, one: Format) -> Said:
        c, p, b = one.cards, one.packs, one.boxes
        text = self.dice.pick(
            (
                f"{one.name} boxes hold {p} packs of {c} cards each, and a case is {b} boxes.",
                f"{one.name}: {c} cards per pack, {p} packs per box, {b} boxes per case.",
                f"A {one.name} pack has {c} cards. {p} packs make a {one.name} box, and {b} boxes a case.",
                f"Each {one.name} case contains {b} boxes, every box {p} packs, every pack {c} cards.",
                f"{one.name} comes {b} boxes to a case, {p} packs to a box and {c} cards to a pack.",
            )
        )
        return text, self._packing_says(one)

    def _prices_prose(self, one: Format) -> list[Said]:
        prices = [price for price in self.release.prices if price.format is one]
        if not prices:
            return []
        told = [f"{money(price.amount, self.layout, self.dice)} {self._per(price.unit)}" for price in prices]
        joined = told[0] if len(told) == 1 else ", ".join(told[:-1]) + " and " + told[-1]
        text = self.dice.pick(
            (
                f"{self.price_word} is {joined}.",
                f"{self.price_word} for {one.name}: {joined}.",
                f"It is to sell at {joined}.",
            )
        )
        return [(text, [Key("prices", price.index, "price") for price in prices])]

    def _per(self, unit: str) -> str:
        return self.dice.pick((f"a {unit}", f"per {unit}"))

    def _promises_of(self, one: Format) -> list[Said]:
        return [self._promise(promise) for promise in self.release.promises if promise.format is one]

    def _promise(self, promise: Promise) -> Said:
        """A promise as a sentence that says whether it is certain or an average."""
        what, count = self._thing(promise), promise.count
        unit = f"{promise.format.name} {promise.per}"
        if count < 1:
            self.notes.mark("every so many boxes")
            each = {Decimal("0.5"): "every other"}.get(count, f"every {ordinal(int(1 / count))}")
            text = f"One {what} in {each} {unit}" + ("" if promise.hard else ", on average")
        elif promise.per == "case" and count == 1 and self.dice.chance(0.5):
            text = f"One {what} a {promise.format.name} case" + ("" if promise.hard else " on average")
        else:
            number = small(count, self.dice)
            text = self.dice.pick(
                (
                    f"Every {unit} holds {number} {what}",
                    f"Look for {number} {what} per {unit}",
                    f"There are {number} {what} in each {unit}",
                )
            )
            text = text.replace("There are one", "There is one").replace("There are 1 ", "There is 1 ")
            text += self._minimum(promise)
            text += ", guaranteed" if promise.hard else " on average"
        says = [Key("promises", promise.index, column) for column in ("count", "certainty")]
        self.notes.mark(
            "a promise that contradicts the odds", promise.contradicts and bool(self.release.odds)
        )
        return f"{text}.", says

    def _minimum(self, promise: Promise) -> str:
        if not promise.minimum:
            return ""
        self.notes.mark("at least one of them")
        number = small(promise.minimum, self.dice)
        verb = "an autograph" if promise.minimum == 1 else "autographs"
        return self.dice.pick((f", at least {number} of them {verb}", f" (at least {number} signed)"))

    def _thing(self, promise: Promise) -> str:
        one, many = _NOUNS[promise.what]
        noun = one if promise.count <= 1 else many
        if promise.parallel:
            return f"{promise.parallel} {noun}"
        if promise.what == "numbered" and promise.subset:
            return f"numbered {promise.subset.name} {'parallel' if promise.count <= 1 else 'parallels'}"
        if promise.subset:
            return f"{promise.subset.name} {'card' if promise.count <= 1 else 'cards'}"
        return noun

    # -- bullets and lines

    def _listed(self, one: Format, mark: str) -> list[Line]:
        """A heading a format with a line a fact under it."""
        lines = [
            Line([]),
            text_line(one.name.upper() if self.dice.chance(0.4) else f"{one.name} box", role="banner"),
        ]
        units = (
            (one.cards, "cards per pack", "cards_per_pack"),
            (one.packs, "packs per box", "packs_per_box"),
        )
        for count, words, column in (*units, (one.boxes, "boxes per case", "boxes_per_case")):
            turned = words[0].upper() + words[1:]
            text = f"{count} {words}" if mark or self.dice.chance(0.5) else f"{turned}: {count}"
            lines.append(text_line(mark + text, [Key("formats", self._place(one), column)], "fact"))
        for price in self.release.prices:
            if price.format is one:
                text = f"{self.price_word} {price.unit}: {money(price.amount, self.layout, self.dice)}"
                lines.append(text_line(mark + text, [Key("prices", price.index, "price")], "fact"))
        for promise in self.release.promises:
            if promise.format is one:
                text, says = self._promise(promise)
                lines.append(text_line(mark + text.removesuffix("."), says, "fact"))
        return lines

    # -- tables

    def _table(self, *, by_column: bool) -> list[Line]:
        """A column or a row a format, with a cell a fact; other promises stand beneath as sentences."""
        tabled = self._tabled()
        rows = [*self._packing_rows(), *self._price_rows(), *map(self._promise_row, tabled.values())]
        shown = {promise.index for group in tabled.values() for promise in group}
        said = [self._promise(one) for one in self.release.promises if one.index not in shown]
        heads = [one.name for one in self.release.formats]
        if by_column:
            table = [Line(["", *heads], role="heading")]
            table += [Line([label, *_cells(cells)], _all(cells), "fact") for label, cells in rows]
        else:
            corner = self.dice.pick(("Format", "Box", ""))
            table = [Line([corner, *(label for label, _ in rows)], role="heading")]
            for place, head in enumerate(heads):
                own = [cells[place] for _, cells in rows]
                table.append(Line([head, *_cells(own)], _all(own), "fact"))
        return [Line([]), *table, Line([]), *[text_line(text, says, "fact") for text, says in said]]

    def _packing_rows(self) -> list[_Labelled]:
        rows: list[_Labelled] = []
        for forms, column, name in (
            (("Cards per pack", "Cards / pack"), "cards_per_pack", "cards"),
            (("Packs per box", "Packs / box"), "packs_per_box", "packs"),
            (("Boxes per case", "Boxes / case"), "boxes_per_case", "boxes"),
        ):
            cells: list[_Told] = [
                (getattr(one, name), [Key("formats", self._place(one), column)])
                for one in self.release.formats
            ]
            rows.append((self.dice.pick(forms), cells))
        return rows

    def _price_rows(self) -> list[_Labelled]:
        rows: list[_Labelled] = []
        for unit in ("pack", "box", "case"):
            cells = [self._price_cell(one, unit) for one in self.release.formats]
            if any(cell for cell, _ in cells):
                rows.append((f"{self.price_word} per {unit}", cells))
        return rows

    def _tabled(self) -> dict[tuple[str, str, bool], list[Promise]]:
        """Promises that go into the table, a row for each thing, unit and degree of certainty."""
        groups: dict[tuple[str, str, bool], list[Promise]] = {}
        for one in self.release.promises if self.layout.has("promises in a table") else ():
            if one.count >= 1 and not (one.subset or one.parallel or one.minimum):
                self.notes.mark("promises in a table")
                groups.setdefault((one.what, one.per, one.hard), []).append(one)
        return groups

    def _promise_row(self, group: Sequence[Promise]) -> _Labelled:
        first = group[0]
        noun = _NOUNS[first.what][1]
        label = (
            f"{noun[0].upper()}{noun[1:]} per {first.per} ({'guaranteed' if first.hard else 'on average'})"
        )
        cells: list[_Told] = []
        for one in self.release.formats:
            found = next((promise for promise in group if promise.format is one), None)
            if found is None:
                cells.append((None, []))
                continue
            self.notes.mark(
                "a promise that contradicts the odds", found.contradicts and bool(self.release.odds)
            )
            says = [Key("promises", found.index, column) for column in ("count", "certainty")]
            cells.append((f"{found.count:f}", says))
        return label, cells

    def _price_cell(self, one: Format, unit: str) -> _Told:
        found: Sequence[Price] = [
            price for price in self.release.prices if price.format is one and price.unit == unit
        ]
        if not found:
            return None, []
        return money(found[0].amount, self.layout, self.dice), [Key("prices", found[0].index, "price")]

    # -- the rest

    def _general(self) -> list[Said]:
        """The day it comes out, since when the line runs, other days, idle talk."""
        release, dice = self.release, self.dice
        day = day_text(release.day, self.layout, self.layout["day form"])
        text = dice.pick(
            (f"Release date: {day}.", f"In shops on {day}.", f"It ships {day}.", f"Available from {day}.")
        )
        found: list[Said] = [(text, [Key("sheet", 0, "date")])]
        if self.layout.has("other dates"):
            self.notes.mark("other dates")
            early = day_text(
                release.day - timedelta(days=dice.whole(30, 60)), self.layout, self.layout["day form"]
            )
            late = day_text(
                release.day + timedelta(days=dice.whole(200, 400)), self.layout, self.layout["day form"]
            )
            found.insert(0, (f"Orders close on {early}.", []))
            found.append((f"Redemptions must be claimed by {late}.", []))
        years = release.year - release.since + 1
        if self.layout["since"] == "ordinal":
            self.notes.mark("how many years it runs")
            told = (
                f"{release.line} is now in its {ordinal(years)} year.",
                f"The {ordinal(years)} annual {release.line}.",
            )
            found.append((dice.pick(told), [Key("sheet", 0, "since")]))
        elif self.layout["since"] == "year":
            told = (
                f"{release.line} has come out every year since {release.since}.",
                f"Made since {release.since}.",
            )
            found.append((dice.pick(told), [Key("sheet", 0, "since")]))
        return [*found, *((text, []) for text in dice.some(_IDLE, dice.whole(0, 2)))]

    def _kinds(self) -> list[Said]:
        if self.layout["kinds"] != "sell sheet":
            return []
        self.notes.mark("kinds in the sell sheet")
        found: list[Said] = []
        for one in self.release.subsets:
            if one.kind == "base" and not one.variation:
                continue
            words = kind_words(one, self.dice, attributes=self.layout.has("attributes"))
            text = self.dice.pick((f"{one.name} are {words}.", f"{one.name}: {len(one.cards)} {words}."))
            found.append((text, kind_says(one, self.layout)))
        return found

    def _base_size(self) -> Said:
        base = self.release.base
        words = "" if "Base" in base.name else f", called {base.name}"
        return f"The base set{words} has {len(base.cards)} cards.", [Key("subset", base.index, "kind")]

    def _paragraph(self, said: Sequence[Said]) -> list[Line]:
        """Sentences one after the other, in one line or broken at about 80 characters wherever that falls."""
        found = [Line([], role="blank")]
        if not self.layout.has("wrapped") or self.layout["sell sheet"] in {"by column", "by row"}:
            return [
                *found,
                text_line(
                    " ".join(text for text, _ in said), [key for _, keys in said for key in keys], "fact"
                ),
            ]
        line, says = "", []
        for text, keys in said:
            says = [*says, *keys]
            for word in text.split():
                if len(line) + len(word) > 80:
                    found.append(text_line(line, says, "fact"))
                    line, says = "", list(keys)
                line = f"{line} {word}".strip()
        return [*found, text_line(line, says, "fact")]

    def _place(self, one: Format) -> int:
        return self.release.formats.index(one)

    def _packing_says(self, one: Format) -> list[Key]:
        return [
            Key("formats", self._place(one), name)
            for name in ("cards_per_pack", "packs_per_box", "boxes_per_case")
        ]


def _cells(told: Sequence[_Told]) -> list[Cell]:
    return [cell for cell, _ in told]


def _all(told: Sequence[_Told]) -> list[Key]:
    return [key for _, keys in told for key in keys]
