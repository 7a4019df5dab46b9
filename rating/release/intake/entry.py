"""The door of the intake: files in, every row accounted for, the tables staged and swapped in together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Any

from rating import text, tomlfile
from rating.errors import Problem, RatingError, Refused
from rating.release import lock, sheet, swap
from rating.release.checklist import CHECKLIST, ODDS, PARALLELS, Card, Odds, Parallel
from rating.release.csv_file import paused_collection
from rating.release.intake import (
    checklists,
    elders,
    explaining,
    grid,
    guards,
    held_to,
    layout,
    odds,
    paragraphs,
    parallel_sheets,
    people,
    proposals,
    prose_runs,
    record,
    roles,
    sell_sheet,
    shapes,
    shown_teams,
    slots,
    sold,
    stage,
    statements,
    titled,
    told_values,
)
from rating.release.intake.account import Account
from rating.release.intake.described import described, joined_columns, with_packing
from rating.release.intake.record import Source
from rating.release.intake.sheet_kinds import (
    ASIDE,
    CARD_LIST,
    KEY,
    ODDS_LIST,
    PARALLEL_LIST,
    SELL_SHEET,
    SLOT_LIST,
    SOLD,
    TALK,
)
from rating.release.intake.stage import Cells, Merged
from rating.release.intake.values import (
    Doubtful,
    Grid,
    IntakeResult,
    Proposal,
    Question,
    Repaired,
    SeasonWords,
    SheetReading,
    TeamShown,
)
from rating.release.intake.words import Columns
from rating.release.market import PRICES, SALES, SLOTS, Sale
from rating.release.promises import against_odds
from rating.release.tables import R, Table

# the table that a kind of sheet fills
_TABLE_OF: Mapping[str, Table[Any]] = {
    CARD_LIST: CHECKLIST,
    PARALLEL_LIST: PARALLELS,
    ODDS_LIST: ODDS,
    SOLD: SALES,
    SLOT_LIST: SLOTS,
}

Correction = tuple[str, str, str]


@dataclass(slots=True)
class _Source:
    """A file with its sheets, and what each of them was taken for."""

    name: str
    sha256: str
    grids: list[Grid]
    kinds: list[str] = field(default_factory=list)
    brought: dict[str, list[Any]] = field(default_factory=dict)

    def of(self, kind: str) -> list[Grid]:
        return [one for one, other in zip(self.grids, self.kinds, strict=True) if other == kind]


def take_in(
    release_dir: Path,
    files: Sequence[Path],
    *,
    season: SeasonWords,
    today: date,
    replace: bool = False,
    yes: bool = False,
    corrections: Mapping[str, Correction] | None = None,
    instead_of: str = "",
) -> IntakeResult:
    """Take in what makers and markets published of a release.

    Parameters
    ----------
    release_dir : the folder of the release, with its release.toml where there is one
    files : checklists, odds, sold lists, sell sheets and lists of slot prices in any order; what each is, its
        contents tell
    replace : whether the files go before hand edits that were made in the tables since
    yes : whether what is sure in a sell sheet is written to release.toml and prices.csv
    corrections : what a person said of doubtful titles: the card as subset, parallel and number
    instead_of : the name of a file taken in before, whose place the one file takes

    Raises
    ------
    RatingError
        if a file is refused, or the tables cannot be written; then nothing is changed
    """
    if not release_dir.is_dir():
        raise RatingError("there is no such release", where=str(release_dir), fix="add the release first")
    if not files:
        raise RatingError("no file is named", fix="name the maker's files after the release")
    if instead_of and len(files) > 1:
        raise RatingError(
            f"only one file can take the place of {instead_of}",
            where=text.listed([one.name for one in files]),
            fix="take the corrected file in alone",
        )
    with paused_collection(), lock.held(release_dir, what="intake"):
        intake = _Intake(release_dir, season, today, is_replacing=replace, is_taking=yes)
        if instead_of:
            intake.take_place(elders.known_name(intake.record, instead_of), files[0].name)
        return intake.run(files, corrections or {})


def forget(release_dir: Path, file: str, *, season: SeasonWords, today: date) -> IntakeResult:
    """Take back what a file brought into the tables, release.toml and prices.csv; hand edits stay.

    Raises
    ------
    RatingError
        if no file of that name was taken in, or the tables cannot be written; then nothing is changed
    """
    if not release_dir.is_dir():
        raise RatingError("there is no such release", where=str(release_dir), fix="add the release first")
    with lock.held(release_dir, what="intake"):
        return _Intake(release_dir, season, today, is_replacing=False, is_taking=False).forget(file)


class _Intake:
    def __init__(
        self, folder: Path, season: SeasonWords, today: date, *, is_replacing: bool, is_taking: bool
    ) -> None:
        self.folder, self.today = folder, today
        self.is_replacing, self.is_taking = is_replacing, is_taking
        swap.recover(folder)
        self.before = _hashes(folder)
        self.record = record.read_record(folder)
        self.stand = elders.Stand()
        self.replacing = ""  # the one file that takes the place of another
        self.release, self.owner, columns = described(folder)
        self.season = replace(season, columns=joined_columns(season.columns, columns))
        self.accounts: list[Account] = []
        self.questions: list[Question] = []
        self.doubtful: list[Doubtful] = []
        self.proposals: list[Proposal] = []
        self.presales: list[Sale] = []
        self.odds_beside: list[Grid] = []  # rows of sell sheets that state odds
        self.notes: list[str] = []
        self.merged: list[Merged] = []
        self.files: dict[str, bytes] = {}
        self.matches: Counter[str] = Counter()
        self.cards: Sequence[Card] = ()
        self.parallels: Sequence[Parallel] = ()
        self.kept_subsets: set[str] = set()
        self.written: tuple[str, ...] = ()
        self.refused: list[Problem] = []
        self.tables: layout.Layouts | None = None  # of all sheets but sold lists
        self.layouts: layout.Layouts | None = None  # of the checklists
        self.codes: dict[str, str] = {}  # what sheets beside the cards say codes stand for
        self.repaired: tuple[Repaired, ...] = ()
        self.lacking: tuple[TeamShown, ...] = ()
        self.read: list[explaining.Written] = []  # rows as they were read, to explain them by

    def run(self, files: Sequence[Path], corrections: Mapping[str, Correction]) -> IntakeResult:
        """Read everything, merge it with what is there, and put it in place."""
        sources, self.refused = _sources(files)
        reshaped = shapes.reshape([source.grids for source in sources])
        for source, grids in zip(sources, reshaped, strict=True):
            source.grids = grids
        self.repaired = tuple(one for source in sources for grid in source.grids for one in grid.repaired)
        self._name_kinds(sources)
        self._checklists(sources)
        self._prose(sources)
        self._odds(sources)
        self._slots(sources)
        self._sold(sources, corrections)
        self._left_over(sources)
        self._match_anew()
        for source in sources:
            kinds = ", ".join(dict.fromkeys(kind for kind in source.kinds if kind))
            self.record.add_source(
                Source(source.name, source.sha256, kinds, self.today.isoformat(), source.brought)
            )
        self._put()
        return self._result(tuple(self._explained(sources)))

    def take_place(self, elder: str, file: str) -> None:
        """Let the file that is taken in next stand for one that was taken in before."""
        self.replacing = file
        self.stand = elders.take_place(self.record, self.folder, elder, file)

    def forget(self, file: str) -> IntakeResult:
        """Take back what a file brought."""
        name = elders.known_name(self.record, file)
        for table, is_foreign in elders.foreign(self.record, name).items():
            before = self._before(table)
            if before is not None and not all(map(is_foreign, before)):
                self._merge(table, [], is_foreign)
        self.files.update(self._undone(self.record.named(name)).files)
        self.record.sources = [one for one in self.record.sources if one.file != name]
        self.cards, self.parallels = self._known_cards(), self._known_parallels()
        self._match_anew()
        self._put()
        self.notes.append(
            f"{name} is forgotten; a row that another file stated too comes back when that is taken in again"
        )
        return self._result(())

    def _undone(self, elder: Sequence[Source]) -> proposals.Undone:
        """release.toml and prices.csv without what a sell sheet brought into them."""
        values = [value for one in elder for value in one.brought.pop(record.VALUES, ())]
        undone = proposals.undone(self.folder, values)
        self.notes += undone.notes
        return undone

    def _before(self, table: Table[Any]) -> list[Cells] | None:
        """The rows of a table as it stood before this intake, None where there is none."""
        return self.stand.before(self.folder, table)

    # ------------------------------------------------------------ what each sheet is
    def _name_kinds(self, sources: Sequence[_Source]) -> None:
        columns = {kind: Columns(kind, self.season.columns) for kind in ("checklist", "odds", "sold")}
        slot_lists = slots.Layout(self.season, slots.SlotNames(self.season, self._teams()), self.today)
        self.codes = statements.codes_of(one for source in sources for one in source.grids)
        known = people.Teams(self.season, self.codes)
        every = [one for source in sources for one in source.grids]
        sales = {id(one) for one in every if sold.has_header(one, columns["sold"])}
        # sales are told without, and a long list of them would take its time
        grids = [one for one in every if id(one) not in sales]
        beside = [one for one in every if id(one) in sales]
        self.tables = self.layouts = layouts = layout.Layouts(
            grids,
            columns["checklist"],
            is_team=known.knows,
            beside=beside,
            told=roles.Told.by(self.season),
        )
        for source in sources:
            source.kinds = [self._kind(one, columns, slot_lists, layouts, sales) for one in source.grids]
            visible = {
                kind
                for one, kind in zip(source.grids, source.kinds, strict=True)
                if kind and not one.is_hidden
            }
            for place, one in enumerate(source.grids):
                kind = source.kinds[place]
                if one.why:
                    self._aside(source, place, one.why)
                if not one.is_hidden or kind in {"", KEY}:
                    continue
                if kind in visible:
                    self._aside(
                        source, place, f"a hidden sheet; the sheets in sight hold a {kind} of their own"
                    )
                else:
                    self.notes.append(
                        f"{one.file}: the sheet {one.sheet!r} is hidden; it was read as a {kind}"
                    )

    def _explained(self, sources: Sequence[_Source]) -> Iterator[SheetReading]:
        for source in sources:
            for one, kind in zip(source.grids, source.kinds, strict=True):
                table = _TABLE_OF.get(kind)
                rows = [row for row in self.read if row.table is table]
                columns = (
                    self.layouts.explained(one)
                    if kind == CARD_LIST and self.layouts
                    else explaining.columns(one, rows, self.today)
                )
                examples = explaining.examples(one, rows)
                if kind == SELL_SHEET:
                    said = [each for each in self.proposals if each.file == one.file]
                    examples = tuple(map(told_values.quoted, said[:3]))
                yield SheetReading(
                    file=one.file, sheet=one.sheet, read_as=kind, columns=columns, examples=examples
                )

    def _teams(self) -> list[str]:
        """The checklist's teams, where the season names none."""
        return [] if self.season.teams else [team for card in self._known_cards() for team in card.teams]

    def _kind(
        self,
        one: Grid,
        columns: Mapping[str, Columns],
        slot_lists: slots.Layout,
        layouts: layout.Layouts,
        sales: Container[int],
    ) -> str:
        if not one.rows or one.kind:
            return one.kind
        tests: tuple[tuple[str, Callable[[], bool]], ...] = (
            (SLOT_LIST, lambda: slot_lists.is_slots(one) and not layouts.holds_cards(one)),
            (SOLD, lambda: id(one) in sales),
            (ODDS_LIST, lambda: odds.is_odds(one, columns["odds"])),
            (CARD_LIST, lambda: checklists.has_header(one, columns["checklist"])),
            (PARALLEL_LIST, lambda: parallel_sheets.is_titled(one)),
            (CARD_LIST, lambda: layouts.holds_cards(one)),
            (KEY, lambda: statements.of_grid(one) is not None),
            (PARALLEL_LIST, lambda: parallel_sheets.is_parallels(one, columns["checklist"])),
            (KEY, lambda: bool(checklists.team_key(one))),
            (KEY, lambda: statements.explains_marks(one) or bool(statements.codes_of([one]))),
            (SELL_SHEET, lambda: sell_sheet.is_sell_sheet(one)),
            (SOLD, lambda: sold.looks_pasted(one)),
            (CARD_LIST, lambda: checklists.looks_numbered(one)),
            (SELL_SHEET, lambda: sell_sheet.states_day(one, self.today)),
        )
        return next((kind for kind, is_one in tests if is_one()), "")

    def _aside(self, source: _Source, place: int, why: str) -> None:
        account = Account(source.grids[place], source.kinds[place] or "unknown")
        account.aside_all(why)
        self.accounts.append(account)
        source.kinds[place] = ASIDE

    def _left_over(self, sources: Sequence[_Source]) -> None:
        for source in sources:
            for place, kind in enumerate(source.kinds):
                if kind == "":
                    empty = not source.grids[place].rows
                    self._ask_columns(source.grids[place])
                    why = (
                        "the sheet is empty"
                        if empty
                        else "neither cards nor odds, sales or slot prices are recognised in it"
                    )
                    self._aside(source, place, why)

    def _ask_columns(self, grid: Grid) -> None:
        """Ask what the columns of a table hold that was not recognised: with numbers and names it is read."""
        for headings, place, width, rows in self.tables.open_columns(grid) if self.tables else ():
            cells = [row.cell(place) for row in rows]
            if not roles.says_nothing(cells):
                numbers = [row.number for row in rows]
                asked = roles.question(grid, headings, place, width, numbers, cells=cells, taken=())
                self.questions.append(replace(asked, meanwhile="the whole sheet is set aside"))

    # ------------------------------------------------------------ checklists
    def _checklists(self, sources: Sequence[_Source]) -> None:
        grids = [one for source in sources for one in source.of(CARD_LIST)]
        listed = [one for source in sources for one in source.of(PARALLEL_LIST)]
        key: dict[str, str] = dict(self.codes)
        legend = statements.Legend(
            prose="\n".join(
                ", ".join(row.filled)  # sentences may be parted at their commas
                for source in sources
                for one, kind in zip(source.grids, source.kinds, strict=True)
                if kind in {SELL_SHEET, KEY, TALK, ""}
                for row in one.rows
            ),
            titles=[said for source in sources for one in source.of(SOLD) for said in sold.listings(one)],
            rows=[
                row
                for source in sources
                for one, kind in zip(source.grids, source.kinds, strict=True)
                if kind in {KEY, TALK, SELL_SHEET, ""}
                for row in one.rows
            ],
        )
        for source in sources:
            for one in source.of(KEY):
                told = statements.of_grid(one) or statements.Legend()
                key.update(checklists.team_key(one))
                legend.codes.update(told.codes)
                legend.kinds.update(told.kinds)
                account = Account(one, KEY)
                for row in one.rows:
                    account.take(row, "key")
                self.accounts.append(account)
            for one in source.of(TALK):
                account = Account(one, TALK)
                account.aside_all("talk between people, read for what it says of the cards")
                self.accounts.append(account)
        if (grids or listed) and self.owner != self.folder:
            raise RatingError(
                f"the checklist of this release is that of {self.owner.name}",
                where="release.toml, checklist_of",
                fix=f"take the checklist in for {self.owner.name}, or take checklist_of out",
            )
        formats = self.release.formats or tuple(
            form
            for source in sources
            for one in source.of(SELL_SHEET)
            for form in sell_sheet.formats_of(one, self.season, self.today)
        )
        found = checklists.read(
            grids, self.season, key=key, formats=formats, legend=legend, layouts=self.layouts
        )
        self._gather(found.accounts, found.questions, found.notes)
        self.repaired += tuple(found.repaired)
        self.layouts = found.layouts
        self.read += explaining.written(CHECKLIST, found.cards, found.files)
        for account in found.accounts:
            if not account.tally().taken.get("card"):
                self._ask_columns(account.grid)
        if grids and not found.cards:
            self.notes.append("no card could be taken from the checklist; the tables stay as they are")
        self.lacking = shown_teams.missing(
            found.cards,
            self.season,
            {**key, **legend.codes},
            [one for source in sources for one in source.of(KEY)],
        )
        if has_cards := bool(found.cards):
            self._merge_cards(sources, found)
            found.cards.clear()  # the table has them from here on
        known = self._known_cards()
        more = parallel_sheets.read(listed, self.season, cards=known, formats=formats)
        self._gather(more.accounts, more.questions, ())
        for rung, file in zip(more.parallels, more.files, strict=True):
            _bring(sources, file, record.LADDERS, rung.subset)
        self.read += explaining.written(PARALLELS, more.parallels, more.files)
        listed_all = held_to.with_formats(
            [*found.parallels, *more.parallels], self._paragraphs(sources), formats
        )
        if listed_all:
            self._merge_parallels(_once(listed_all), has_cards=has_cards)
        elif has_cards and (self.folder / PARALLELS.file).exists():
            self.notes.append("the checklist states no parallels; parallels.csv stays as it is")
        self.cards, self.parallels = known, self._known_parallels()

    def _paragraphs(self, sources: Sequence[_Source]) -> list[str]:
        """The running text of all documents but lists of cards and sales."""
        kinds = (KEY, TALK, SELL_SHEET, ODDS_LIST)
        return paragraphs.running(
            row
            for source in sources
            for kind in kinds
            for one in source.of(kind)
            for row in one.rows
            if len(row.filled) == 1
        )

    def _merge_cards(self, sources: Sequence[_Source], found: checklists.Found) -> None:
        by_file: dict[str, list[str]] = {}
        for card, file in zip(found.cards, found.files, strict=True):
            if card.subset not in by_file.setdefault(file, []):
                by_file[file].append(card.subset)
        new = {text.key(card.subset) for card in found.cards}
        self._see_which_stay(by_file, new)
        for source in sources:
            source.brought[record.SUBSETS] = by_file.get(source.name, [])
        cells = [CHECKLIST.cells_of(card) for card in found.cards]
        self._merge(CHECKLIST, cells, self._of_kept_subset(CHECKLIST))

    def _see_which_stay(self, by_file: Mapping[str, Sequence[str]], new: set[str]) -> None:
        """Subsets of other files stay, unless the new ones take their file's place."""
        owners = self.record.owners()
        revised = set(by_file)
        for elder in dict.fromkeys(owners[key] for key in owners if key in new):
            own = {key for key, file in owners.items() if file == elder}
            if elder in revised or not own - new:
                continue
            file = next((one for one, names in by_file.items() if own & set(map(text.key, names))), "")
            place = CHECKLIST.place("subset")
            rows = Counter(text.key(row[place]) for row in self._before(CHECKLIST) or ())
            asked = elders.question(file, elder, len(own & new), own - new, rows)
            if elders.is_replaced(self.season, asked):
                revised.add(elder)
            elif self.season.answer_to(asked) != "no":
                self.questions.append(asked)
        self.kept_subsets = {key for key, file in owners.items() if file not in revised and key not in new}
        if self.kept_subsets:
            self.notes.append(
                f"{text.count(len(self.kept_subsets), 'subset')} of other files"
                f" ({text.listed(sorted({owners[key] for key in self.kept_subsets}))}) stay as they are"
            )

    def _merge_parallels(self, told: Sequence[Parallel], *, has_cards: bool) -> None:
        new = {text.key(one.subset) for one in told}
        place = PARALLELS.place("subset")
        if not has_cards:
            new |= {key for key, file in self.record.owners(record.LADDERS).items() if file == self.replacing}
        is_other = (
            self._of_kept_subset(PARALLELS) if has_cards else (lambda row: text.key(row[place]) not in new)
        )
        self._merge(PARALLELS, [PARALLELS.cells_of(one) for one in told], is_other)

    def _of_kept_subset(self, table: Table[Any]) -> Callable[[Cells], bool]:
        place = table.place("subset")
        return lambda row: text.key(row[place]) in self.kept_subsets

    def _known_cards(self) -> Sequence[Card]:
        return self._known(CHECKLIST)

    def _known_parallels(self) -> Sequence[Parallel]:
        return self._known(PARALLELS)

    def _known(self, table: Table[R]) -> Sequence[R]:
        """The rows of a table as it will stand, in the folder that holds the checklist."""
        merged = next((one for one in self.merged if one.table is table), None)
        if merged is not None:
            return table.parse(merged.content.decode())[0]
        path = self.owner / table.file
        return table.read(path)[0] if path.exists() else ()

    # ------------------------------------------------------------ sell sheets
    def _prose(self, sources: Sequence[_Source]) -> None:
        grids = [one for source in sources for one in source.of(SELL_SHEET)]
        if not grids:
            return
        found: list[Proposal] = []
        parallels = self.parallels or self._parallels_of_odds(sources)
        for one in grids:
            said = sell_sheet.read(
                one,
                self.season,
                today=self.today,
                cards=self.cards,
                parallels=parallels,
                formats=self.release.formats,
                title=self.release.title,
            )
            self._gather(said.accounts, (), said.notes)
            found += [replace(each, file=one.file) for each in said.proposals]
            if said.odds is not None:
                self.odds_beside.append(said.odds)
            self._compare_size(said.base_size, one)
        found += titled.proposals(self.release.title, found, grids[0].file)
        undone = self._undone(self.record.named(self.replacing))
        done = proposals.apply(
            self.folder,
            found,
            today=self.today,
            is_taking=self.is_taking or bool(undone.files),
            standing=undone.files,
        )
        for source in sources:
            if taken := [one for one in done.proposals if one.taken and one.file == source.name]:
                source.brought[record.VALUES] = list(map(proposals.as_written, taken))
        self.proposals = done.proposals
        self.files.update(done.files)
        self.release = with_packing(self.release, done.proposals)

    def _parallels_of_odds(self, sources: Sequence[_Source]) -> Sequence[Parallel]:
        """The parallels that lists of odds name where nothing else does."""
        grids = [one for source in sources for one in source.of(ODDS_LIST)]
        return odds.read(grids, self.season, cards=self.cards).parallels if grids else ()

    def _compare_size(self, size: int | None, one: Grid) -> None:
        base = sum(card.kind == "base" and not card.variation for card in self.cards)
        if size is not None and base and size != base:
            self.notes.append(
                f"{one.file}: the base set is said to have {size} cards, the checklist has {base}"
            )

    # ------------------------------------------------------------ odds
    def _odds(self, sources: Sequence[_Source]) -> None:
        grids = [one for source in sources for one in source.of(ODDS_LIST)]
        if not grids and not self.odds_beside:
            return
        found = odds.read(
            grids,
            self.season,
            cards=self.cards,
            parallels=self.parallels,
            formats=self.release.formats,
            beside=self.odds_beside,
        )
        self._gather(found.accounts, found.questions, ())
        if not self.cards:
            self.notes.append(
                "there is no checklist yet; subsets and parallels of the odds stand as the file has them"
            )
        if not found.odds:
            self.notes.append("no odds could be taken; odds.csv stays as it is")
            return
        if found.parallels:
            self._merge_parallels(self._with_runs(found.parallels, sources), has_cards=False)
            self.parallels = self._known_parallels()
        self.read += explaining.written(ODDS, found.odds, found.files)
        self._hold_promises(found.odds)
        for odd, file in zip(found.odds, found.files, strict=True):
            _bring(sources, file, record.FORMATS, odd.format)
        formats = {one.format for one in found.odds}
        gone = {key for key, file in self.record.owners(record.FORMATS).items() if file == self.replacing}
        place = ODDS.place("format")
        before = {row[place] for row in self._before(ODDS) or ()}
        if others := sorted(one for one in before - formats if text.key(one) not in gone):
            self.notes.append(
                f"the odds of {text.listed(others)}, of which the file says nothing, stay as they are"
            )
        cells = [ODDS.cells_of(one) for one in found.odds]
        formats |= {one for one in before if text.key(one) in gone}
        self._merge(ODDS, cells, lambda row: row[place] not in formats)

    def _with_runs(self, found: Sequence[Parallel], sources: Sequence[_Source]) -> list[Parallel]:
        """Parallels that odds alone name, with the runs that sentences state of them."""
        prose = "\n".join(row.text for source in sources for one in source.of(SELL_SHEET) for row in one.rows)
        runs = prose_runs.stated(prose.replace("\n", " "), (one.parallel for one in found))
        return [one if one.print_run else one._replace(print_run=runs.get(one.parallel)) for one in found]

    def _hold_promises(self, stated: Sequence[Odds]) -> None:
        """Say so where the odds contradict most of the promises that release.toml will hold."""
        path = self.folder / proposals.SHEET
        content = self.files.get(path.name) or (path.read_bytes() if path.exists() else b"")
        if not content.strip():
            return
        described = sheet.read(tomlfile.parse(content.decode(), file=path.name), self.folder.name)
        held = against_odds(described.formats, self.cards, self.parallels, stated)
        if held.are_many:
            self.notes.append(
                f"{len(held.contradictions)} of {held.compared} promises contradict the odds, so one or the"
                f" other was read or typed wrongly: {held.contradictions[0].what}"
            )

    # ------------------------------------------------------------ sold lists
    def _sold(self, sources: Sequence[_Source], corrections: Mapping[str, Correction]) -> None:
        grids = [one for source in sources for one in source.of(SOLD)]
        if not grids:
            return
        if not self.cards:
            for one in grids:
                account = Account(one, SOLD)
                account.aside_all(
                    "there is no checklist yet to match sales to: take it in first, then this list again"
                )
                self.accounts.append(account)
            return
        self._remember(corrections)
        found = sold.read(
            grids,
            self.season,
            today=self.today,
            cards=self.cards,
            parallels=self.parallels,
            release=self.release,
            corrections=self.record.corrections,
            slots=self._slot_names(),
        )
        self._gather(found.accounts, found.questions, found.notes)
        self.read += explaining.written(SALES, found.sales, [one.source for one in found.sales])
        self.doubtful = found.doubtful
        self.presales = found.presales
        self.matches.update(sale.match or "doubtful" for sale in found.sales)
        before = self._before(SALES) or []
        again = {one.name for one in sources if self.record.same(one.name, one.sha256)} | {self.replacing}
        others = [row for row in before if row[_SOURCE] not in again]
        fresh, known = _new_ones([SALES.cells_of(one) for one in found.sales], others)
        if known:
            self.notes.append(f"{text.count(known, 'sale')} stood in sales.csv already, from another list")
        self._merge_sales(fresh, again)

    def _match_anew(self) -> None:
        """Match the sales of earlier lists to the cards as they are now, where no list was taken in."""
        if any(one.table is SALES for one in self.merged) or not self.cards:
            return
        if self._before(SALES) and any(self._moved()):
            self._remember({})
            self._merge_sales([], set())

    def _moved(self) -> tuple[set[Cells], set[Cells]]:
        """The cards by subset and number, and the parallels, that this intake took away or changed."""
        gone: list[set[Cells]] = [set(), set()]
        for one in self.merged:
            for place, table in enumerate((CHECKLIST, PARALLELS)):
                if one.table is table:
                    gone[place] = {change.key for change in one.changes}
        return gone[0], gone[1]

    def _merge_sales(self, fresh: Sequence[Cells], again: set[str]) -> None:
        """Merge sales; those of other lists stay, with their cards anew where the checklist changed."""
        anew: dict[Cells, Cells] = {}
        cards, ladders = self._moved()
        others = [row for row in self._unedited_sales() if row[_SOURCE] not in again]
        waiting = []
        for row in others if cards or ladders else ():
            subset, parallel, number = SALES.pick(row, "subset", "parallel", "number")
            if not subset or (subset, number) in cards or (subset, parallel) in ladders:
                waiting.append(row)
        if waiting:
            anew_of = set(waiting)
            told = sold.matched_anew(
                waiting,
                [row for row in others if row not in anew_of],
                self.season,
                cards=self.cards,
                parallels=self.parallels,
                release=self.release,
                corrections=self.record.corrections,
                slots=self._slot_names(),
            )
            anew = dict(zip(waiting, told, strict=True))
            if moved := sum(row != now for row, now in anew.items()):
                self.notes.append(
                    f"the cards changed; {text.count(moved, 'sale')} of earlier lists"
                    f" {'is' if moved == 1 else 'are'} matched again"
                )
        self._merge(
            SALES,
            [*(anew[row] for row in self._before(SALES) or () if row in anew), *fresh],
            lambda row: row[_SOURCE] not in again and row not in anew,
            in_old_order=bool(anew),
        )

    def _unedited_sales(self) -> list[Cells]:
        """The sales that stand as an intake wrote them, matched by it and by no person."""
        written = self.record.tables.get(SALES.file)
        known = written.rows if written else {}
        place = SALES.place("match")
        return [
            row
            for key, row in stage.keyed(SALES, self._before(SALES) or ()).items()
            if row[place] != "hand" and known.get(key) == stage.hash_of(SALES, row)
        ]

    def _slot_names(self) -> list[str]:
        """What slots are called, where the season names no teams."""
        if self.season.teams:
            return []
        merged = next((one.rows for one in self.merged if one.table is SLOTS), None)
        rows = merged if merged is not None else stage.current(self.folder, SLOTS) or ()
        place = SLOTS.place("slot")
        return [row[place] for row in rows]

    def _remember(self, corrections: Mapping[str, Correction]) -> None:
        """Corrections: those given now, and those that a person made in sales.csv since."""
        before = self._before(SALES)
        written = self.record.tables.get(SALES.file)
        known = {(card.subset, card.number) for card in self.cards}
        for key, row in stage.keyed(SALES, before or ()).items():
            is_edited = (
                written is not None and key in written.rows and written.rows[key] != stage.hash_of(SALES, row)
            )
            subset, parallel, number, title, match = SALES.pick(row, *_MATCHED)
            if (is_edited or match == "hand") and subset and (subset, number) in known:
                self.record.corrections[sold.title_key(title)] = (subset, parallel, number)
        for title, (subset, parallel, number) in corrections.items():
            if (subset, number) not in known:
                raise ValueError(f"no card {subset} {number} for the title {title!r}")
            self.record.corrections[sold.title_key(title)] = (subset, parallel, number)

    # ------------------------------------------------------------ slot prices
    def _slots(self, sources: Sequence[_Source]) -> None:
        grids = [one for source in sources for one in source.of(SLOT_LIST)]
        if not grids:
            return
        days = {
            source.name: date.fromisoformat(one.taken_on)
            for source in sources
            if (one := self.record.same(source.name, source.sha256)) is not None
        }
        again = {*days, self.replacing}
        found = slots.read(
            grids, self.season, today=self.today, release=self.release, teams=self._teams(), taken_on=days
        )
        self._gather(found.accounts, found.questions, found.notes)
        self.read += explaining.written(SLOTS, found.slots, [one.source for one in found.slots])
        there = self._before(SLOTS) or []
        rows: list[Cells] = []
        for file in dict.fromkeys(one.source for one in found.slots):
            own = [SLOTS.cells_of(one) for one in found.slots if one.source == file]
            others = Counter(_said(row) for row in (*there, *rows) if row[_SLOT_SOURCE] != file)
            if not Counter(_said(row) for row in own) - others:
                self.notes.append(
                    f"{file}: all its slot prices stand in slots.csv already, from another list"
                )
                continue
            rows += own
        if not rows:
            self.notes.append("no slot price could be taken; slots.csv stays as it is")
            return
        # a list that is revised brings the prices of its days and formats anew; those of other days stay
        new = {SLOTS.pick(row, *_LISTED) for row in rows}
        self._merge(
            SLOTS,
            rows,
            # the very file again, or one in place of another: all of its rows come anew
            lambda row: SLOTS.pick(row, *_LISTED) not in new and row[_SLOT_SOURCE] not in again,
        )

    # ------------------------------------------------------------ merging and writing
    def _merge(
        self,
        table: Table[Any],
        rows: Sequence[Cells],
        is_foreign: Callable[[Cells], bool],
        *,
        in_old_order: bool = False,
    ) -> None:
        written = self.record.tables.get(table.file)
        path = self.folder / table.file
        is_current = (
            written is not None and path.exists() and record.sha256(path.read_bytes()) == written.sha256
        )
        self.merged.append(
            stage.merge(
                table,
                rows,
                before=self._before(table),
                written=written,
                is_current=is_current,
                replace=self.is_replacing,
                is_foreign=is_foreign,
                in_old_order=in_old_order,
            )
        )

    def _put(self) -> None:
        for one in self.merged:
            self.files[one.table.file] = one.content
            one.written.sha256 = record.sha256(one.content)
            self.record.tables[one.table.file] = one.written
        if PRICES.file in self.files:
            self.record.tables[PRICES.file] = record.Written(sha256=record.sha256(self.files[PRICES.file]))
        self.files[record.RECORD] = self.record.content()
        changed = {
            name: content
            for name, content in self.files.items()
            if not (self.folder / name).exists() or (self.folder / name).read_bytes() != content
        }
        self.written = tuple(sorted(changed))
        if changed:
            self._see_that_nothing_moved()
            swap.swap(self.folder, changed)

    def _see_that_nothing_moved(self) -> None:
        """Tables that a person saved while files were read would be written over."""
        now = _hashes(self.folder)
        if moved := sorted(
            name for name in now.keys() | self.before.keys() if now.get(name) != self.before.get(name)
        ):
            raise RatingError(
                f"{text.listed(moved)} changed while the files were read; nothing was written",
                where=str(self.folder),
                fix="take the files in again",
            )

    def _gather(
        self, accounts: Iterable[Account], questions: Iterable[Question], notes: Iterable[str]
    ) -> None:
        self.accounts += accounts
        self.questions += questions
        self.notes += notes

    def _result(self, readings: tuple[SheetReading, ...]) -> IntakeResult:
        return IntakeResult(
            tables={one.table.file: len(one.rows) for one in self.merged},
            set_aside=tuple(one for account in self.accounts for one in account.set_aside),
            problems=(*self.refused, *(one for account in self.accounts for one in account.problems)),
            changes=tuple(one for merged in self.merged for one in merged.changes),
            questions=tuple(sorted(self.questions, key=lambda one: -one.weight)),
            doubtful=tuple(self.doubtful),
            proposals=tuple(self.proposals),
            kept=tuple(one for merged in self.merged for one in merged.kept),
            tallies=tuple(account.tally() for account in self.accounts),
            readings=readings,
            repaired=self.repaired,
            matches=dict(self.matches),
            presales=tuple((one.source, one.row, one.title) for one in self.presales),
            notes=tuple(self.notes),
            teams=self.lacking,
            written=self.written,
        )


def _hashes(folder: Path) -> dict[str, str]:
    """What stands in the folder's files, by name."""
    return {
        path.name: record.sha256(path.read_bytes())
        for path in folder.iterdir()
        if path.is_file() and path.suffix in {".csv", ".json", ".toml"}
    }


_SOURCE = SALES.place("source")
_SLOT_SOURCE = SLOTS.place("source")
_MATCHED = ("subset", "parallel", "number", "title", "match")
_LISTED = ("date", "format", "source")


def _sources(files: Sequence[Path]) -> tuple[list[_Source], list[Problem]]:
    """The files that can be read, and a problem for each that cannot: it stops none of the others.

    Raises
    ------
    Refused
        if none can be read, with every file
    """
    found: list[_Source] = []
    refused: list[Problem] = []
    paths = {path.resolve(): path for path in files}
    names = Counter(path.name for path in paths.values())
    for path in paths.values():
        try:
            data = guards.read_bytes(path)
            grids = grid.read_data(data, path.name)
        except RatingError as fault:
            if len(paths) == 1:
                raise
            refused.append(Problem(code="refused-file", file=fault.where, what=fault.what, fix=fault.fix))
            continue
        if names[path.name] > 1:
            raise RatingError(
                f"two files are called {path.name}",
                where=str(path),
                fix="rename one, so that rows can be told apart",
            )
        found.append(_Source(path.name, record.sha256(data), grids))
    if not found:
        raise Refused(refused)
    return found, refused


def _bring(sources: Sequence[_Source], file: str, what: str, name: str) -> None:
    """Note that a file brought a subset's ladder, or the odds of a format."""
    for one in sources:
        if one.name == file and name not in (names := one.brought.setdefault(what, [])):
            names.append(name)


def _once(told: Sequence[Parallel]) -> list[Parallel]:
    found: dict[tuple[str, ...], Parallel] = {}
    for one in told:
        found.setdefault(PARALLELS.name_of(one), one)
    return list(found.values())


def _said(row: Cells) -> Cells:
    """What a row of slots.csv says, whoever says it."""
    return row[:_SLOT_SOURCE] + row[_SLOT_SOURCE + 1 :]


def _new_ones(rows: Sequence[Cells], others: Sequence[Cells]) -> tuple[list[Cells], int]:
    """The sales that other lists did not bring before, and how many they did."""
    there = Counter(SALES.key_of(row) for row in others)
    fresh = []
    for row in rows:
        key = SALES.key_of(row)
        if there[key]:
            there[key] -= 1
        else:
            fresh.append(row)
    return fresh, len(rows) - len(fresh)
