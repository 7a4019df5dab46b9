"""The checklist: a table, blocks below or beside each other, a sheet a subset, rows of parallels, text."""

from __future__ import annotations

import re
from collections.abc import Sequence

from makers.dice import Dice
from makers.documents.banners import banner_line, blurb_lines, footnote_lines, section_line, title_lines
from makers.documents.cells import CardCells, Filled, Habits
from makers.documents.grid import Line, Notes, Sheet, text_line
from makers.documents.layout import FOLLOWING, Layout
from makers.documents.words import headings
from makers.truth.facts import Key
from makers.truth.release import Card, Release, Rung, Subset

Block = tuple[Subset, Sequence[tuple[Card, Rung | None]]]
_AFTERS = (" RC", " (RC)", " - Rookie", " [R]", " (rookie)")
_PER_LINE = (
    "{n} {p}, {t}",
    "{n}. {p} ({t})",
    "{n} – {p} – {t}",
    "{n}\t{p}\t{t}",
    "{n}) {p} / {t}",
    "{n:<14}{p:<70}  {t}",
)


class Checklist:
    """Writes the checklist of a release in a layout."""

    def __init__(self, seed: object, release: Release, layout: Layout, notes: Notes, *, legend: bool) -> None:
        dice = Dice(seed, "checklist")
        self.dice, self.release, self.layout, self.notes = dice, release, layout, notes
        after = dice.pick(_AFTERS)
        # a flag tells what it flags where its heading may not
        told = layout["headings"] in {"usual", "foreign", "repeated"}
        flag = dice.pick(("yes", "x", "✓", "1", "Y"))
        habits = Habits(
            yes=flag if told and dice.chance(0.6) else dice.pick(("RC", "rookie")),
            redeem=flag if told else dice.pick(("redemption", "Redemption card")),
            after=after,
            exchange=dice.pick((" (Redemption)", " - redemption", " (exchange card)", " REDEMPTION")),
            type_choice=dice.whole(0, 2),
            base_word=dice.pick(("", "Base version", "Regular", "-")),
            label_sign=dice.pick((" – ", " - ", ": ")),
            sign=dice.pick((" ", " - ", ". ")),
            short=dice.pick(("SP", "LOW SP", "short print", "SSP")),
        )
        self.cells = CardCells(release, layout, notes, habits, legend=legend)
        self.constants = self._constants()
        self.per_line = dice.pick(_PER_LINE if layout["person"] != "comma" else _PER_LINE[1:4])
        self.index = 0
        if layout.has("cards as lines"):
            self.cells.pair_sign = " & " if " / " in self.per_line else " / "

    def sheets(self) -> list[Sheet]:
        """The sheets of the checklist, in order."""
        self._mark()
        arrangement = self.layout["arrangement"]
        if arrangement == "running":
            return [self._running()]
        if arrangement == "beside":
            return [self._beside()]
        if arrangement in {"one", "parallel"}:
            return [self._one_table()]
        if arrangement == "each":
            return self._each()
        return [self._stacked()]

    def blocks(self) -> list[Block]:
        """The cards by subset, each with its parallels where they have rows of their own."""
        if self.layout["arrangement"] != "parallel":
            return [(subset, [(card, None) for card in subset.cards]) for subset in self.release.subsets]
        by_card = self.dice.chance(0.4)
        found: list[Block] = []
        for subset in self.release.subsets:
            versions: list[Rung | None] = [None, *subset.rungs]
            rows = [(card, rung) for card in subset.cards for rung in versions]
            if not by_card:
                rows = [(card, rung) for rung in versions for card in subset.cards]
            found.append((subset, rows))
        return found

    # -- arrangements

    def _one_table(self) -> Sheet:
        columns = self._columns(with_subset=True)
        lines = title_lines(self.dice, self.release, self.layout, "checklist")
        lines += self._heading(columns)
        merges: list[tuple[int, int, int]] = []
        how = self.layout["subset cells"]
        where = next((place for place, name in enumerate(columns) if name == "subset"), None)
        for block in self.blocks():
            rows = self._rows(block, columns)
            if where is not None and how != "every":
                for line in rows[1:]:
                    line.cells[where] = None
                self.notes.mark(
                    "subset cell first only", how == "first" or self.layout["checklist in"] == "csv"
                )
                if how == "merged" and self.layout["checklist in"] == "xlsx":
                    merges.append((where, len(lines), len(lines) + len(rows) - 1))
                    self.notes.mark("merged subset cells")
            lines += rows
        lines += footnote_lines(self.dice, self.release, self.layout, self.notes)
        return Sheet("Checklist", lines, merges=merges)

    def _stacked(self) -> Sheet:
        columns = self._columns(with_subset=False)
        lines = title_lines(self.dice, self.release, self.layout, "checklist")
        again = self.layout.has("headings again")
        if not again:
            lines += self._heading(columns)
        for block in self.blocks():
            lines += self._block(block, columns, heading=again)
            lines += [Line([], role="blank")] * (1 if self.dice.chance(0.8) else 0)
        lines += footnote_lines(self.dice, self.release, self.layout, self.notes)
        return Sheet("Checklist", lines, is_table=not self.layout.has("cards as lines"))

    def _each(self) -> list[Sheet]:
        columns = self._columns(with_subset=False)
        found: list[Sheet] = []
        named = self.dice.chance(0.5)
        for block in self.blocks():
            lines = self._block(
                block, columns, heading=True, banner=named or self.layout["checklist in"] != "xlsx"
            )
            title = re.sub(r"[\[\]:*?/\\]", " ", block[0].name)[:31]
            found.append(Sheet(title, lines, is_table=not self.layout.has("cards as lines")))
        found[-1].lines += footnote_lines(self.dice, self.release, self.layout, self.notes)
        return found

    def _beside(self) -> Sheet:
        """Two groups of columns with a gap, each filled from above with blocks of about half the cards."""
        columns = self._columns(with_subset=False)
        blocks = [self._block(block, columns, heading=True) for block in self.blocks()]
        whole = sum(map(len, blocks))
        left: list[Line] = []
        right: list[Line] = []
        for lines in blocks:
            side = left if len(left) + len(lines) / 2 <= whole / 2 or not left else right
            side += [*([Line([])] if side else []), *lines]
        joined = title_lines(self.dice, self.release, self.layout, "checklist")
        for place in range(max(len(left), len(right))):
            one = left[place] if place < len(left) else Line([])
            other = right[place] if place < len(right) else Line([])
            cells = [*one.cells, *[None] * (len(columns) - len(one.cells)), None, *other.cells]
            role = "card" if "card" in {one.role, other.role} else one.role or other.role
            joined.append(Line(cells, [*one.says, *other.says], role))
        joined += footnote_lines(self.dice, self.release, self.layout, self.notes)
        return Sheet("Checklist", joined)

    def _running(self) -> Sheet:
        """A paragraph a subset, its cards one after the other."""
        lines = title_lines(self.dice, self.release, self.layout, "checklist")
        sign, wrapped = self.dice.pick(("; ", "; ", " • ", " | ")), self.layout.has("wrapped")
        for subset, rows in self.blocks():
            lines.append(banner_line(self.dice, subset, self.layout, self.notes))
            lines += blurb_lines(self.dice, self.release, subset, self.layout, self.notes)
            section = dict(subset.sections) if self.layout.has("sections") else {}
            said = [self._line_of(subset, card) for card, _ in rows]
            cuts = sorted({0, *section})
            for begin, end in zip(cuts, [*cuts[1:], len(said)], strict=True):
                if begin in section:
                    lines.append(section_line(section[begin], self.layout, self.notes))
                lines += _paragraph(said[begin:end], sign, width=96 if wrapped else 10**9)
            lines.append(Line([], role="blank"))
        lines += footnote_lines(self.dice, self.release, self.layout, self.notes)
        return Sheet("Checklist", lines, is_table=False)

    # -- parts

    def _block(
        self, block: Block, columns: Sequence[str], *, heading: bool, banner: bool = True
    ) -> list[Line]:
        """A subset with its banner, blurbs and cards; the base set with its sections."""
        subset = block[0]
        lines = [banner_line(self.dice, subset, self.layout, self.notes)] if banner else []
        lines += blurb_lines(self.dice, self.release, subset, self.layout, self.notes)
        if heading:
            lines += self._heading(columns)
        rows = self._rows(block, columns)
        if self.layout.has("sections") and len(rows) == len(subset.cards):
            for place, title in reversed(subset.sections):
                rows.insert(place, section_line(title, self.layout, self.notes))
        return lines + rows

    def _rows(self, block: Block, columns: Sequence[str]) -> list[Line]:
        subset, versions = block
        found: list[Line] = []
        for card, rung in versions:
            self.index += 1
            if self.layout.has("cards as lines"):
                found += self._text_lines(subset, card)
                continue
            filled = self.cells.fill(subset, card, rung)
            if len(card.persons) > 1 and self.layout["pairs"] == "rows":
                found += self._pair_rows(filled, columns, len(card.persons))
            else:
                found.append(self._row(filled, columns))
        return found

    def _row(self, filled: Filled, columns: Sequence[str]) -> Line:
        cells, says = [], []
        for name in columns:
            if name == "index":
                cells.append(self.index)
            elif name in self.constants:
                cells.append(self.constants[name])
            else:
                cell, said = filled.get(name, (None, []))
                cells.append(cell)
                says += said
        while cells and cells[-1] in {None, ""} and self.layout["checklist in"] == "xlsx":
            cells.pop()
        return Line(cells, says, "card")

    def _pair_rows(self, filled: Filled, columns: Sequence[str], count: int) -> list[Line]:
        """A row for each person of a card; the number stands in each, or in the first only."""
        self.notes.mark("pairs in rows")
        found: list[Line] = []
        again = self.cells.habits.type_choice > 0
        for place in range(1, count + 1):
            own = dict(filled)
            for name in ("person", "first", "last", "team", "rookie"):
                own[name] = filled[f"{name} {place}"]
            if place > 1 and not again:
                own["number"] = (None, [])
                if self.layout.has("number glued"):
                    text = str(own["person"][0])
                    own["person"] = (text.removeprefix(str(filled["number"][0]) + self.cells.habits.sign), [])
            found.append(self._row(own, columns))
        return found

    def _columns(self, *, with_subset: bool) -> list[str]:
        """The columns of a block or of the whole table, in the order in which they are written."""
        layout = self.layout
        columns = self._subset_columns() if with_subset else []
        columns += [] if layout.has("number glued") else ["number"]
        columns += self._person_columns()
        columns += self._mark_columns()
        columns += [name for name in self.constants if name not in {"program", "empty"}]
        if layout.has("shuffled"):
            columns = _in_turn(self.dice.shuffle(columns))
            self.notes.mark("shuffled columns")
        if layout.has("empty column"):
            columns.insert(self.dice.whole(1, len(columns)), "empty")
            self.notes.mark("an empty column")
        return ["index", *columns] if layout.has("row index") else columns

    def _subset_columns(self) -> list[str]:
        columns = ["program"] if self.layout.has("two subset columns") else []
        self.notes.mark("subset in two columns", bool(columns))
        if self.layout["arrangement"] != "parallel":
            return [*columns, "subset"]
        return [*columns, *(["label"] if self.layout["odds labels"] == "joined" else ["subset", "parallel"])]

    def _person_columns(self) -> list[str]:
        columns = ["first", "last"] if self.layout.has("split names") else ["person"]
        columns += ["team"] if self.layout["team place"] == "column" else []
        most = _most_persons(self.release)
        if self.layout["pairs"] != "columns" or most == 1:
            return columns
        self.notes.mark("pairs in columns")
        return [f"{name} {place}" for place in range(1, most + 1) for name in columns]

    def _mark_columns(self) -> list[str]:
        """Columns of marks: rookies, kinds, runs, redemptions, notes and ladders."""
        layout, release = self.layout, self.release
        numbered = layout["arrangement"] == "parallel" or any(card.run for _, card in release.cards())
        wanted = {
            "rookie": layout["rookies"] == "column",
            "type": layout["kinds"] == "column",
            "run": numbered and layout["runs"] == "column",
            "redemption": layout["redemptions"] == "column",
            "note": bool(release.base.short_prints) and layout.has("short print notes"),
            "ladder": layout["ladders"] == "cell",
        }
        columns = [name for name, so in wanted.items() if so]
        if layout["ladders"] == "columns":
            columns += dict.fromkeys(f"rung {rung.name}" for _, rung in release.rungs())
        return columns

    def _constants(self) -> dict[str, str | None]:
        release = self.release
        constants: dict[str, str | None] = {"program": f"{release.year} {release.line}", "empty": None}
        choices = {"year": str(release.year), "brand": release.maker, "sport": release.league.sport}
        for name in self.dice.some(list(choices), int(self.layout["constants"])):
            constants[name] = choices[name]
        return constants

    def _heading(self, columns: Sequence[str]) -> list[Line]:
        style = self.layout["headings"]
        if style == "none" or self.layout.has("cards as lines"):
            return []
        plain = [name for name in columns if not name.startswith("rung ")]
        told = iter(headings(Dice(self.release.title, "headings"), style, plain, self.notes))
        found = [name.removeprefix("rung ") if name.startswith("rung ") else next(told) for name in columns]
        says = [
            Key("parallels", rung.index, "parallel")
            for subset, rung in self.release.rungs()
            if f"rung {rung.name}" in columns
        ]
        texts = ["" if name == "empty" else text for name, text in zip(columns, found, strict=True)]
        return [Line([text or None for text in texts], says, "heading")]

    # -- cards as text

    def _text_lines(self, subset: Subset, card: Card) -> list[Line]:
        if len(card.persons) > 1 and self.layout["pairs"] == "rows":
            self.notes.mark("pairs in rows")
            filled = self.cells.fill(subset, card, None)
            return [
                self._line(filled, f" {place}", card, says_team=True)
                for place in range(1, len(card.persons) + 1)
            ]
        return [self._line_of(subset, card)]

    def _line_of(self, subset: Subset, card: Card) -> Line:
        return self._line(self.cells.fill(subset, card, None), "", card, says_team=True)

    def _line(self, filled: Filled, which: str, card: Card, *, says_team: bool) -> Line:
        person, says = filled[f"person{which}"]
        team, team_says = filled[f"team{which}"]
        form = self.per_line
        if self.layout["team place"] != "column":
            form = form[: form.index("{p")] + "{p}"
            team_says = []
        text = form.format(n=str(filled["number"][0]), p=str(person), t=str(team)).rstrip()
        if self.layout.has("short print notes") and filled["note"][0]:
            text += f" {filled['note'][0]}"  # right behind a team or its code
        own = [Key("checklist", card.index, column) for column in ("number", "subset")]
        return Line([text], [*own, *says, *(team_says if says_team else [])], "card")

    # -- features

    def _mark(self) -> None:
        """Note down the features of the checklist that no writer of a part knows of."""
        layout, release = self.layout, self.release
        for (choice, value), feature in FOLLOWING.items():
            self.notes.mark(feature, layout[choice] == value)
        lines, cards = layout.has("cards as lines"), [card for _, card in release.cards()]
        numbers = " ".join(card.number for subset in release.subsets[1:] for card in subset.cards)
        redeemed = any(card.redemption for card in cards)
        found = self._name_features() | {
            "cards as lines of text": lines and layout["arrangement"] != "running",
            "no headings": layout["headings"] == "none" and not lines,
            "constant columns": layout["constants"] != "0" and not lines,
            "a column that counts rows": layout.has("row index") and not lines,
            "other alphabets": any(one.script != "latin" for card in cards for one in card.persons),
            "redemptions after the name": layout["redemptions"] == "after name" and redeemed,
            "pairs in one cell": layout["pairs"] not in {"columns", "rows"} and _most_persons(release) > 1,
            "numbers by initials": re.search(r"-[A-Z]{2}\b", numbers) is not None,
            "names that hide the kind": any(not one.telling for one in release.subsets),
            "names that mislead": layout.style.traps,
        }
        for feature, so in found.items():
            self.notes.mark(feature, so)
        exclusive = any(rung.formats for _, rung in release.rungs())
        told = layout["ladders"] in {"blurb", "cell", "table", "text"}
        self.notes.mark("parallels of one format only", exclusive and told)

    def _name_features(self) -> dict[str, bool]:
        """Which features of the ways in which persons and teams are written occur."""
        forms = {self.cells.form_of(subset) for subset in self.release.subsets}
        team = self.layout["team"] if self.layout["team place"] != "none" else ""
        return {
            "last name first": "comma" in forms,
            "capitals": "capitals" in forms,
            "surname in capitals first": "surname first" in forms,
            "initials": "initials" in forms,
            "teams by nickname": team == "nick",
            "teams by code": team == "code",
            "teams by city": team == "city",
            "teams with a mark": team not in {"", "code"} and self.layout["team mark"] != "",
        }


def _most_persons(release: Release) -> int:
    return max(len(card.persons) for _, card in release.cards())


def _in_turn(columns: Sequence[str]) -> list[str]:
    """The columns with those of a first person before those of a second one: `team 1` before `team 2`."""
    found = list(columns)
    for name in ("person", "first", "last", "team"):
        places = [place for place, column in enumerate(found) if re.fullmatch(f"{name} [0-9]", column)]
        for number, place in enumerate(places, start=1):
            found[place] = f"{name} {number}"
    return found


def _paragraph(said: Sequence[Line], sign: str, *, width: int) -> list[Line]:
    """Cards one after the other, broken into lines at a blank."""
    found: list[Line] = []
    text, says = "", []
    for place, one in enumerate(said):
        told = re.sub(r"\t|  +", " – ", str(one.cells[0])) + (sign if place + 1 < len(said) else ".")
        for word in re.findall(r"\S+\s*", told):
            if len(text) + len(word) > width:
                found.append(Line([text.rstrip()], [*says, *one.says], "card"))
                text, says = "", []
            text += word
        says = [*says, *one.says]
    return [*found, Line([text.rstrip()], says, "card")]


def cover_sheet(release: Release, dice: Dice) -> Sheet:
    """A sheet that holds no facts: whom to write to, and that things may change."""
    return Sheet(
        "Cover",
        [
            text_line(release.title, role="title"),
            text_line(dice.pick(("For trade use", "Press copy", "Internal: layout proof 3")), role="title"),
            Line([]),
            text_line(
                dice.pick(("Contents are subject to change.", "Please direct questions to the trade desk."))
            ),
        ],
    )
