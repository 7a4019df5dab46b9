"""A maker of a seed: what is true, what the reviewer has typed, and the files that were handed over."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property

from makers.dice import Dice
from makers.documents.banners import kind_legend, legend_sheet, team_legend
from makers.documents.checklist import Checklist, cover_sheet
from makers.documents.containers import to_bytes
from makers.documents.damage import damage, legacy_encoding
from makers.documents.grid import File, Line, Notes, Sheet
from makers.documents.ladders import ladder_sheet
from makers.documents.layout import Layout, draw_layout
from makers.documents.odds import OddsWriter, implied_formats
from makers.documents.sell_sheet import SellSheet
from makers.documents.sold import SoldList, listed, slot_sheets
from makers.truth.facts import Key, Place, Truth, to_tables
from makers.truth.market import Market, draw_market
from makers.truth.planning import contradict, plan
from makers.truth.release import Release


@dataclass(frozen=True, slots=True)
class Typed:
    """What the reviewer has typed into the season and on the command line; `teams` are names with codes."""

    title: str
    currency: str
    decimal_mark: str
    date_order: str
    today: str
    teams: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Case:
    """What a reader is tried on: files, what was typed, and the truth to hold its tables against."""

    name: str
    files: Mapping[str, bytes]
    typed: Typed
    truth: Truth
    features: frozenset[str]


@dataclass(frozen=True)
class Maker:
    """Everything that a seed gives, before it is bytes."""

    seed: object
    layout: Layout
    release: Release
    market: Market
    documents: tuple[File, ...]
    typed: Typed
    notes: Notes

    @property
    def features(self) -> frozenset[str]:
        """The features of layout that occur."""
        return frozenset(self.notes.features)

    @cached_property
    def truth(self) -> Truth:
        """All facts, with the places that state them."""
        return _truth(self.release, self.market, self.documents, self.layout, self.notes)

    def case(self) -> Case:
        """The maker as a case, its files as bytes."""
        files = {one.name: to_bytes(one) for one in self.documents}
        return Case(f"seed {self.seed}", files, self.typed, self.truth, self.features)


def make(seed: object, fixed: Mapping[str, str] | None = None) -> Maker:
    """The maker of a seed: the same bytes for the same seed. Choices of the grammar can be fixed by name."""
    layout = draw_layout(seed, fixed)
    release = plan(seed, layout.style)
    if layout.has("promise contradicts odds"):
        release = contradict(release)
    initials = layout["person"] == "initials" or layout.has("initials for hits")
    market = listed(layout, draw_market(seed, release, initials=initials))
    notes = Notes()
    files = _Binder(seed, release, layout, notes).files(market)
    damage(seed, files, layout, notes)
    _encode(seed, files, layout, notes)
    return Maker(
        seed=seed,
        layout=layout,
        release=release,
        market=market,
        documents=tuple(files),
        typed=_typed(release, layout),
        notes=notes,
    )


class _Binder:
    """Binds what the writers wrote into files."""

    def __init__(self, seed: object, release: Release, layout: Layout, notes: Notes) -> None:
        self.seed, self.release, self.layout, self.notes = seed, release, layout, notes
        self.dice = Dice(seed, "files")
        self.names: list[str] = []
        self.style = self.dice.pick(("telling", "telling", "shouting", "numbers"))

    def files(self, market: Market) -> list[File]:
        """All files of the maker and its market."""
        seed, release, layout, notes = self.seed, self.release, self.layout, self.notes
        coded = layout["team"] == "code" and layout["team place"] != "none"
        codes = layout["team legend"] != "none" if coded else layout.has("teams listed anyway")
        checklist = Checklist(seed, release, layout, notes, legend=codes).sheets()
        beside = self._legends(checklist, codes=codes)
        ladders = ladder_sheet(seed, release, layout, notes)
        odds = OddsWriter(seed, release, layout, notes).sheets()
        sell = SellSheet(seed, release, layout, notes).sheets()
        if layout.has("cover sheet") and layout["checklist in"] == "xlsx":
            notes.mark("cover sheet")
            checklist.insert(0, cover_sheet(release, self.dice))
        found: list[File] = []
        if layout["sheet names"] == "numbered" and layout["arrangement"] != "each":
            self._number([*checklist, *beside, *odds, *sell])
        if layout.has("one workbook"):
            sheets = [*checklist, *([ladders] if ladders else []), *beside, *odds, *sell]
            found.append(self._file("checklist", "xlsx", _differing(sheets)))
        else:
            found += self._bound("checklist", [*checklist, *beside], layout["checklist in"])
            found += self._bound("parallels", [ladders] if ladders else [], layout["ladders in"])
            found += self._bound("odds", odds, layout["odds in"])
            found += self._bound("sell sheet", sell, layout["sell sheet in"])
        found += self._bound(
            "sold", SoldList(seed, release, market, layout, notes).sheets(), layout["sold in"]
        )
        found += self._bound("breaks", slot_sheets(seed, release, market, layout, notes), layout["slots in"])
        return found

    def _number(self, sheets: Sequence[Sheet]) -> None:
        """Name sheets as programs do, so that they tell nothing; what they are stands inside."""
        word = self.dice.pick(("Sheet", "Tab ", "Table", "Tabelle", "Feuil"))
        self.notes.mark("sheets named by numbers", self.layout["checklist in"] == "xlsx")
        for number, sheet in enumerate(sheets, start=1):
            sheet.title = f"{word}{number}"

    def _legends(self, checklist: list[Sheet], *, codes: bool) -> list[Sheet]:
        """Legends on sheets of their own, or below the cards."""
        legends: list[tuple[str, list[Line]]] = []
        if self.layout["kinds"] == "legend":
            legends.append(("Key", kind_legend(self.dice, self.release, self.layout, self.notes)))
        if codes:
            legends.append(("Codes", team_legend(self.release, self.layout, self.notes)))
        as_table = self.dice.chance(0.6)
        if self.layout["team legend"] != "footnote":
            return [legend_sheet(title, lines, is_table=as_table) for title, lines in legends]
        for title, lines in legends:
            told = legend_sheet(title, lines, is_table=as_table and checklist[-1].is_table).lines
            checklist[-1].lines += [Line([], role="blank"), Line([title], role="title"), *told]
        return []

    def _bound(self, purpose: str, sheets: Sequence[Sheet], container: str) -> list[File]:
        """One workbook, or a file a sheet; a text is a text file unless a workbook holds it."""
        if not sheets:
            return []
        if container == "xlsx" and (purpose == "checklist" or sheets[0].is_table):
            return [self._file(purpose, "xlsx", _differing(sheets))]
        return [
            self._file(purpose, "csv" if sheet.is_table else "txt", [sheet], several=len(sheets) > 1)
            for sheet in sheets
        ]

    def _file(self, purpose: str, container: str, sheets: list[Sheet], *, several: bool = False) -> File:
        dice, layout = self.dice, self.layout
        file = File(self._name(purpose, sheets[0].title if several else ""), purpose, container, sheets)
        if container != "xlsx":
            file.newline = dice.weigh({"\n": 0.6, "\r\n": 0.4})
            file.encoding = dice.weigh({layout["encoding"]: 0.75, "utf-8": 0.25})
            file.delimiter = (
                layout["delimiter"] if layout["delimiter"] != "," else dice.weigh({",": 0.9, ";": 0.1})
            )
            file.quote_all = dice.chance(0.15)
        file.name += {
            "xlsx": ".xlsx",
            "txt": ".txt",
            "csv": ".tsv" if file.delimiter == "\t" and dice.chance(0.5) else ".csv",
        }[container]
        return file

    def _name(self, purpose: str, title: str) -> str:
        line = _slug(self.release.line)
        name = {
            "telling": f"{line}-{_slug(purpose)}",
            "shouting": f"{self.release.year}_{line.upper()}_{_slug(purpose).upper()}",
            "numbers": f"file{len(self.names) + 1}",
        }[self.style] + (f"-{_slug(title)}" if title and self.style != "numbers" else "")
        while name in self.names:
            name += "-2"
        self.names.append(name)
        return name


def _differing(sheets: Sequence[Sheet]) -> list[Sheet]:
    """The sheets with titles that differ, as a workbook must have them."""
    taken: list[str] = []
    for sheet in sheets:
        while sheet.title.lower() in taken:
            sheet.title = f"{sheet.title[:28]} 2"
        taken.append(sheet.title.lower())
    return list(sheets)


def _slug(text: str) -> str:
    plain = unicodedata.normalize("NFKD", text).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")


def _encode(seed: object, files: Sequence[File], layout: Layout, notes: Notes) -> None:
    """Settle encodings and note them down, after damage has had its choice among UTF-8 files."""
    for file in files:
        if file.container == "xlsx":
            continue
        if file.encoding == "legacy":
            file.encoding = legacy_encoding(file)
            notes.mark("a legacy encoding", file.encoding != "utf-8")
        notes.mark("UTF-16", file.encoding == "utf-16")
        notes.mark("a byte-order mark", file.encoding == "utf-8-sig")
        if file.sheets[0].is_table:
            names = {";": "semicolons", "\t": "tabs", "|": "strokes between cells"}
            if file.delimiter in names:
                notes.mark(names[file.delimiter])


def _typed(release: Release, layout: Layout) -> Typed:
    teams = {
        "full": tuple((one.name, one.code) for one in release.league.teams),
        "names": tuple((one.name, "") for one in release.league.teams),
        "none": (),
    }[layout["typed teams"]]
    return Typed(
        title=release.title,
        currency=layout["currency"],
        decimal_mark="," if layout.has("decimal comma") else ".",
        date_order=layout["date order"],
        today=(release.day + timedelta(days=70)).isoformat(),
        teams=teams,
    )


def _truth(release: Release, market: Market, files: Sequence[File], layout: Layout, notes: Notes) -> Truth:
    """The tables, with where each fact is stated; what is left open by its wording is stated nowhere."""
    said: dict[Key, list[Place]] = {}
    people: dict[int, list[Place]] = {}
    for file in files:
        for line, place in file.places():
            for key in line.says:
                if key.table == "people":
                    people.setdefault(key.row, []).append(place)
                else:
                    for one in _expanded(key, release):
                        said.setdefault(one, []).append(place)
    for _, card in release.cards():
        marked = [people.get(one.index, []) for one in card.persons]
        if all(marked):
            said[Key("checklist", card.index, "rookie")] = [place for places in marked for place in places]
    _tell_by_name(release, said)
    _name_alike(release, notes.also, prefixed=layout["banner"] == "prefix")
    kept = {key: tuple(dict.fromkeys(places)) for key, places in said.items() if key not in notes.open}
    tables = to_tables(release, market)
    return Truth(tables, kept, {key: frozenset(values) for key, values in notes.also.items()})


def _expanded(key: Key, release: Release) -> list[Key]:
    if key.table != "subset":
        return [key]
    cards = release.subsets[key.row].cards
    if key.column == "print_run":  # a short print has a run of its own
        cards = tuple(card for card in cards if card.run == release.subsets[key.row].run)
    return [Key("checklist", card.index, key.column) for card in cards]


def _tell_by_name(release: Release, said: dict[Key, list[Place]]) -> None:
    """Kinds that a subset's name tells; and what nothing says to be signed or worn is an insert."""
    for subset, card in release.cards():
        places = said.get(Key("checklist", card.index, "subset"), [])
        telling = subset.telling and (subset.kind != "base" or "Base" in subset.name or subset.variation)
        if telling and places:
            said.setdefault(Key("checklist", card.index, "kind"), places)
            if subset.variation:
                said.setdefault(Key("checklist", card.index, "variation"), places)


def _name_alike(release: Release, also: dict[Key, set[str]], *, prefixed: bool) -> None:
    """Spellings as good as the truth's that come from no single line."""
    implied = implied_formats(release)
    for _, rung in release.rungs():
        key = Key("parallels", rung.index, "formats")
        if rung.index in implied:
            also[key].add(implied[rung.index])
    for subset, card in release.cards():
        short = re.sub(r" (Set|Cards)$", "", subset.name)
        alike = {short, f"{subset.name} [{subset.prefix}]"} if prefixed else {short}
        if alike != {subset.name}:
            also[Key("checklist", card.index, "subset")] |= alike
