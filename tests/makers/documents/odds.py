"""Odds as a grid, a long table, a sheet a format, lines, lists or sentences."""

from __future__ import annotations

from collections.abc import Sequence

from makers.dice import Dice
from makers.documents.banners import odds_footnote, title_lines
from makers.documents.grid import Cell, Line, Notes, Sheet, text_line
from makers.documents.layout import Layout
from makers.documents.phrases import odds_text, ordinal, run_cell, small
from makers.documents.words import headings
from makers.truth.facts import Key
from makers.truth.release import Format, Odds, Release, Rung, Subset

_SHORTER = (
    ("Autographs", "Autos"),
    ("Signatures", "Sigs"),
    ("Memorabilia", "Mem"),
    (" Set", ""),
    (" Cards", ""),
)


class OddsWriter:
    """Writes the odds of a release in a layout."""

    def __init__(self, seed: object, release: Release, layout: Layout, notes: Notes) -> None:
        self.dice = Dice(seed, "odds")
        self.release, self.layout, self.notes = release, layout, notes
        self.base_word = self.dice.pick(("Base version", "Regular", "Common", "(base)"))
        self.sign = self.dice.pick((" – ", " - ", ": "))
        self.upper = self.dice.chance(0.3)

    def sheets(self) -> list[Sheet]:
        """The documents of odds; none where the maker tells none."""
        kind = self.layout["odds"]
        names = {
            "grid": "odds as a grid", "long": "odds as a long table", "sheets": "odds a sheet a format",
            "lines": "odds as lines", "list": "odds as a list", "sentences": "odds as sentences",
        }  # fmt: skip
        if kind == "none":
            return []
        self.notes.mark(names[kind])
        self.notes.mark(
            "odds with joined labels",
            self.layout["odds labels"] == "joined" and kind in {"grid", "long", "sheets"},
        )
        sheets = {
            "grid": self._grid, "long": self._long, "sheets": self._a_sheet_a_format, "lines": self._lines,
            "list": self._list, "sentences": self._sentences,
        }[kind]()  # fmt: skip
        if not self.layout.has("odds per box"):
            sheets[-1].lines += odds_footnote(self.dice, self.layout, self.notes)
        return sheets

    # -- tables

    def _grid(self) -> list[Sheet]:
        lines = title_lines(self.dice, self.release, self.layout, "odds")
        joined = self.layout["odds labels"] == "joined"
        numbered = self.dice.chance(0.4)
        columns = ["label"] if joined else ["subset", "parallel"]
        told = headings(
            self.dice, self.layout["headings"], [*columns, *(["run"] if numbered else [])], self.notes
        )
        names = [self._format_name(one) for one in self.release.formats]
        lines.append(Line([*told, *names], role="heading"))  # without its formats a grid says nothing
        merges = []
        for subset, versions in self._versions():
            first = len(lines)
            for rung in versions:
                cells = self._label_cells(subset, rung, again=len(lines) == first)
                says = [Key("parallels", rung.index, "parallel")] if rung else []
                if numbered:
                    cells.append(run_cell(rung.run, self.layout["run form"]) if rung and rung.run else None)
                    says += [Key("parallels", rung.index, "print_run")] if rung else []
                for one in self.release.formats:
                    odds = self._find(subset, rung, one)
                    cells.append(self._odds(odds, "") if odds else self._none())
                    says += [_key(odds)] if odds else []
                lines.append(Line(cells, says, "odds"))
            self._merge(merges, first, len(lines) - 1)
        return [Sheet("Odds", lines, merges=merges)]

    def _long(self) -> list[Sheet]:
        lines = title_lines(self.dice, self.release, self.layout, "odds")
        columns = ["label"] if self.layout["odds labels"] == "joined" else ["subset", "parallel"]
        columns += ["format", "odds"]
        if self.layout["headings"] != "none":
            lines.append(
                Line(list(headings(self.dice, self.layout["headings"], columns, self.notes)), role="heading")
            )
        by_format = self.dice.chance(0.4)
        rows = sorted(self.release.odds, key=lambda one: one.format.key) if by_format else self.release.odds
        for one in rows:
            cells: list[Cell] = [
                *self._label_cells(one.subset, one.rung, again=True),
                self._format_name(one.format),
            ]
            lines.append(Line([*cells, self._odds(one, "")], self._says(one), "odds"))
        return [Sheet("Odds", lines)]

    def _a_sheet_a_format(self) -> list[Sheet]:
        found = []
        for one in self.release.formats:
            lines = [text_line(f"{self.release.line} - {self._format_name(one)}", role="title")]
            columns = ["label"] if self.layout["odds labels"] == "joined" else ["subset", "parallel"]
            if self.layout["headings"] != "none":
                told = headings(self.dice, self.layout["headings"], [*columns, "odds"], self.notes)
                lines.append(Line(list(told), role="heading"))
            for subset, versions in self._versions():
                first = len(lines)
                for rung in versions:
                    odds = self._find(subset, rung, one)
                    if odds is None:
                        continue
                    cells: list[Cell] = list(self._label_cells(subset, rung, again=len(lines) == first))
                    lines.append(Line([*cells, self._odds(odds, "")], self._says(odds), "odds"))
            found.append(Sheet(f"{one.name} odds"[:31], lines))
        return found

    def _merge(self, merges: list[tuple[int, int, int]], first: int, last: int) -> None:
        apart = self.layout["odds labels"] != "joined"
        if (
            self.layout["subset cells"] == "merged"
            and self.layout["odds in"] == "xlsx"
            and apart
            and last > first
        ):
            merges.append((0, first, last))
            self.notes.mark("merged subset cells")

    # -- texts

    def _lines(self) -> list[Sheet]:
        """Under each subset a line a version: 'Brass: Hobby 1:4, Retail 1:9'."""
        lines = [
            text_line(f"{self.release.title} - {self.dice.pick(('odds', 'stated odds', 'what falls when'))}")
        ]
        for subset, versions in self._versions():
            lines += [
                Line([]),
                text_line(self._name(subset).upper() if self.upper else self._name(subset), role="banner"),
            ]
            for rung in versions:
                rows = [one for one in self.release.odds if one.subset is subset and one.rung is rung]
                told = ", ".join(f"{self._format_name(one.format)} {self._odds(one)}" for one in rows)
                label = rung.name if rung else self.base_word
                says = [key for one in rows for key in self._says(one)]
                if rows:
                    lines.append(text_line(f"{label}: {told}", says, "odds"))
        return [Sheet("Odds", lines, is_table=False)]

    def _list(self) -> list[Sheet]:
        """Under each format a line a subset: 'Brass 1:4; Ember 1:30'."""
        lines = [text_line(f"{self.release.line} odds per pack", role="title")]
        for one in self.release.formats:
            lines += [
                Line([]),
                text_line(
                    self._format_name(one).upper() if self.upper else self._format_name(one), role="banner"
                ),
            ]
            for subset, versions in self._versions():
                rows = [odds for rung in versions if (odds := self._find(subset, rung, one))]
                told = "; ".join(
                    f"{odds.rung.name if odds.rung else self.base_word} {self._odds(odds)}" for odds in rows
                )
                says = [key for odds in rows for key in self._says(odds)]
                if rows:
                    lines.append(text_line(f"{self._name(subset)}: {told}", says, "odds"))
        return [Sheet("Odds", lines, is_table=False)]

    def _sentences(self) -> list[Sheet]:
        """A paragraph a subset, a sentence a version."""
        lines = [text_line(f"How often {self.release.year} {self.release.line} cards fall", role="title")]
        for subset, versions in self._versions():
            text, says = [], []
            for rung in versions:
                rows = [one for one in self.release.odds if one.subset is subset and one.rung is rung]
                if rows:
                    text.append(self._sentence(subset, rung, rows))
                    says += [key for one in rows for key in self._says(one)]
            if text:
                lines += [Line([]), text_line(" ".join(text), says, "odds")]
        return [Sheet("Odds", lines, is_table=False)]

    def _sentence(self, subset: Subset, rung: Rung | None, rows: Sequence[Odds]) -> str:
        name = self._name(subset)
        what = f"{rung.name} parallels of {name}" if rung else f"{name} cards"
        verb = self.dice.pick(("fall in", "turn up in", "are found in", "come"))
        told = [self._share(one, verb) for one in rows]
        joined = " and ".join(told) if len(told) < 3 else ", ".join(told[:-1]) + " and " + told[-1]
        return f"{what} {verb} {joined}."

    def _share(self, one: Odds, verb: str) -> str:
        name, packs = self._format_name(one.format), one.packs
        if self.layout.has("odds per box") and packs == one.format.packs:
            self._counts_boxes(one)
            return f"{'' if verb == 'come' else 'about '}one per {name} box"
        if packs == 1:
            return f"every {name} pack"
        if packs == int(packs) and packs <= 12 and self.dice.chance(0.4):
            return f"every {ordinal(int(packs))} {name} pack"
        if packs == int(packs) and packs <= 12:
            return f"one in {small(packs, self.dice)} {name} packs"
        return f"one in {odds_text(packs, self.layout, form='number')} {name} packs"

    # -- parts

    def _odds(self, one: Odds, form: str = "text") -> Cell:
        """Odds in a cell or a text; per box or case where so many packs make just one."""
        if self.layout.has("odds per box") and one.packs == one.format.packs:
            self._counts_boxes(one)
            return self.dice.pick(("1 per box", "one per box", "1 per box on average"))
        if self.layout.has("odds per box") and one.packs == one.format.packs * one.format.boxes:
            self._counts_boxes(one)
            return self.dice.pick(("1 per case", "one per case"))
        if form and self.layout["odds form"] in {"number", "stroke"}:
            return odds_text(one.packs, self.layout, form="colon")
        return odds_text(one.packs, self.layout)

    def _counts_boxes(self, one: Odds) -> None:
        """Odds per box or case are odds per pack only where something tells how a box is packed."""
        self.notes.mark("odds per box")
        if self.layout["sell sheet"] == "none":
            self.notes.open.add(_key(one))

    def _versions(self) -> list[tuple[Subset, list[Rung | None]]]:
        found = []
        for subset in self.release.subsets:
            versions = [
                rung
                for rung in (None, *subset.rungs)
                if any(self._find(subset, rung, one) for one in self.release.formats)
            ]
            if versions:
                found.append((subset, versions))
        return found

    def _find(self, subset: Subset, rung: Rung | None, one: Format) -> Odds | None:
        return next(
            (
                odds
                for odds in self.release.odds
                if odds.subset is subset and odds.rung is rung and odds.format is one
            ),
            None,
        )

    def _name(self, subset: Subset) -> str:
        if self.layout["odds names"] == "shorter":
            for long, short in _SHORTER:
                if long in subset.name:
                    self.notes.mark("subset names shorter in the odds")
                    return subset.name.replace(long, short)
        return subset.name

    def _label_cells(self, subset: Subset, rung: Rung | None, *, again: bool) -> list[Cell]:
        name = self._name(subset)
        if self.layout["odds labels"] == "joined":
            if rung is None:
                return [
                    name if self.layout["base version"] != "words" else f"{name}{self.sign}{self.base_word}"
                ]
            return [f"{name}{self.sign}{rung.name}"]
        shown = name if again or self.layout["subset cells"] == "every" else None
        word = {"blank": "", "words": self.base_word, "subset": name}[self.layout["base version"]]
        return [shown, rung.name if rung else word]

    def _format_name(self, one: Format) -> str:
        return one.name.upper() if self.upper else one.name

    def _none(self) -> Cell:
        return {"dash": self.dice.pick(("—", "-", "–")), "blank": None, "words": "n/a"}[
            self.layout["no odds"]
        ]

    def _says(self, one: Odds) -> list[Key]:
        return [_key(one), *([Key("parallels", one.rung.index, "parallel")] if one.rung else [])]


def _key(one: Odds) -> Key:
    return Key("odds", one.index, "packs_per_copy")


def shorter_forms(subset: Subset) -> set[str]:
    """The names that odds may give a subset."""
    return {subset.name.replace(long, short) for long, short in _SHORTER if long in subset.name}


def implied_formats(release: Release) -> dict[int, str]:
    """By parallel: the formats that have odds for it, where some have none."""
    found: dict[int, set[str]] = {}
    for one in release.odds:
        if one.rung:
            found.setdefault(one.rung.index, set()).add(one.format.key)
    keys = {one.key for one in release.formats}
    return {rung: " ".join(sorted(has)) for rung, has in found.items() if has != keys}
