"""The rows of a checklist sheet given their parts: headings, headers, cards, footnotes and totals.

A sheet is read from the top with a little memory: text rows wait until the next header or card says what they
were, the last header's columns hold until another comes, and a footnote ends the subset above it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from rating import text
from rating.release.intake import (
    headings,
    kinds,
    ladder,
    looks,
    numerals,
    statements,
    subset_names,
    words,
)
from rating.release.intake.account import Account
from rating.release.intake.layout import Layouts
from rating.release.intake.parts import Header, Line, Section, Sheet, is_number
from rating.release.intake.tables import is_counted
from rating.release.intake.values import Grid, Row

# a number and what stands behind it, up to a bracket or a mark
_CARD = re.compile(
    r"\s*(?:no\.?\s*|#\s*)?(?P<number>(?:[a-z]{1,6}-?)?\d{1,4})[.):]?\s+(?P<name>[^\W\d].*)", re.IGNORECASE
)
_BEHIND = re.compile(r"\s*[\[(|,]")
_NEAR = 2  # numbers that one of the next card goes on from
_BELOW = 3  # rows from the last card to what still speaks of it


def read_sheet(grid: Grid, account: Account, layouts: Layouts, known: Iterable[str] = ()) -> Sheet:
    """A sheet's rows given their parts; cards get the section and the header that hold for them.

    `known` are names of subsets as other lists have them.
    """
    sheet = Sheet(grid, account, [], [], [], [], [])
    names = {text.key(one) for one in known}
    for part in layouts.parts(grid):
        _Reader(part, sheet, layouts, names).read()
    return sheet


class _Reader:
    def __init__(self, grid: Grid, sheet: Sheet, layouts: Layouts, known: set[str]) -> None:
        self.grid, self.account, self.is_team = grid, sheet.account, layouts.is_team
        self.known, self.columns, self.repeated = known, layouts.columns, layouts.repeated
        self.parting = layouts.parting_of(grid)
        self.header: Header | None = None
        self.headers: dict[int, Header] = {}
        for header in layouts.headers(grid):
            if header.row is None:
                self.header = header
            else:
                self.headers[header.row.number] = header
        self.section: Section | None = None
        self.sheet = sheet
        if self.header:
            sheet.headers.append(self.header)
        self.inner: set[str] = set()  # parts of the base set that are no subsets, as headings write them
        self.banner = headings.Style()
        self.last_card = self.page_end = 0
        self.titled: set[str] = set()  # titles as compared
        self.pending: list[list[Row]] = []  # text rows that wait, in blocks parted by blank rows
        self.team = ""
        self.group = ""
        self.last = 0
        self.spanned = {
            (row, column): first
            for first, column, last, _ in grid.spans
            if last > first
            for row in range(first + 1, min(last, first + 10_000) + 1)
        }

    def read(self) -> None:
        """Give every row its part."""
        _, explained = statements.legend_among(self.grid.rows)
        legend = {row.number for row in explained}
        for row in self.grid.rows:
            if row.number in legend and len(row.filled) < 3:
                self.account.take(row, "key")
            else:
                self._row(row)
            self.last = row.number
        for row in self._waiting():
            if self._is_own_ladder(row):
                continue
            if statements.read(row.text) or statements.pair(row):
                self.sheet.footnotes.append(row)
                self.account.take(row, "footnote")
            else:
                self.account.aside(row, "a line of text after the last card")

    # ------------------------------------------------------------ one row
    def _row(self, row: Row) -> None:
        if header := self._header(row):
            self._begin(header, row)
            return
        filled = row.filled
        if not filled:
            self.account.take(row, "card")  # the cards of a paragraph that goes on
        elif self._heads_columns(row):
            self.account.take(row, "header")
        elif statements.is_footer(row.text) and not words.FOOTNOTE.match(row.text):
            self.account.take(row, "title")
            self.page_end = row.number
        elif words.TOTAL.match(filled[0]) or (
            any(map(words.TOTAL.match, filled[1:3])) and not is_number(self._cell(row, "number") or "-")
        ):
            self.account.aside(row, "a line of totals")
        elif self._is_text(row, filled):
            self._text(row)
        else:
            self._card(row)

    def _header(self, row: Row) -> Header | None:
        return self.headers.get(row.number)

    def _heads_columns(self, row: Row) -> bool:
        """Whether a row's words are those over columns, though too few to head a table."""
        named = [self.columns.name(cell) for cell in row.filled]
        if len(named) > 1:
            is_again = any(named) and row.cells in self.repeated and not any(map(is_number, row.filled))
            return all(named) or is_again
        place = self.header.place("subject") if self.header else None
        return place is not None and row.cell(place) != "" and named == ["subject"]

    def _begin(self, header: Header, row: Row) -> None:
        self.account.take(row, "header")
        if self.section is None and self._are_titles_above(row):
            self.pending.append([])  # what stands between the header and the cards is nearer to them
        self.header = header
        self.sheet.headers.append(header)

    def _are_titles_above(self, row: Row) -> bool:
        """Whether the text above the first header is titles, so that a heading may follow below it."""
        if not self.pending or not self.pending[-1]:
            return False
        above = self.pending[-1][-1].text
        name, rest = subset_names.split_heading(above)
        if rest or words.BASE_NAME.match(words.fold(name)):
            return False  # a heading, or what is said below one
        return row.number > self.last + 1 or words.TITLE_LIKE.search(above) is not None

    def _cell(self, row: Row, name: str) -> str:
        return self.header.get(row, name) if self.header else ""

    def _is_text(self, row: Row, filled: Sequence[str]) -> bool:
        """Whether a row speaks of cards rather than being one."""
        if words.FOOTNOTE.match(filled[0]) and not is_number(filled[0]):
            return True
        if self.header is None or is_counted(filled):
            return True
        number = self._cell(row, "number")
        subject = self._cell(row, "subject") or self._cell(row, "last")
        if self.grid.roles and number and (subject or self._cell(row, "variation")):
            return False
        if self.header.has("number"):
            if is_number(number) and len(filled) > 1:
                return False
            if len(filled) == 1 or self._is_marked_alone(row):
                # a subject alone under the spanned number of the row above is the second person on a card
                is_second = self._is_spanned(row, "number") or self._is_second_person(row, subject)
                return not (subject and not number and is_second)
            if number and not is_number(number):
                return not (subject and self.header.has("team") and self._cell(row, "team"))
            return not subject
        if len(filled) == 1:
            return not (subject and len(self.header.named) == 1)
        return not subject

    def _is_second_person(self, row: Row, cell: str) -> bool:
        """Whether a person and a team stand alone right below a card, in the column of the card's own."""
        if row.number != self.last_card + 1 or not self.header or row.cells[0]:
            return False
        told = self.parting.read(cell)
        return bool(told.teams) and looks.is_person(told.names)

    def _is_marked_alone(self, row: Row) -> bool:
        """Whether one cell of a row says something, and beside the table's columns somebody left a mark."""
        places = [place for place, cell in enumerate(row.cells) if cell]
        named = self.header.named if self.header else {}
        return all(place not in named and _is_mark(row.cells[place]) for place in places[1:])

    def _is_spanned(self, row: Row, name: str) -> bool:
        place = self.header.place(name) if self.header else None
        return place is not None and (row.number, place) in self.spanned

    # ------------------------------------------------------------ text
    def _text(self, row: Row) -> None:
        if len(row.filled) > 1 and all(map(_is_mark, row.filled[1:])):
            row = replace(row, cells=(row.filled[0],))  # a mark beside a heading
        line = row.text
        if len(row.filled) == 1 and (told := numerals.digits(line)) != line:
            row = replace(row, cells=(told,))
        if words.FOOTNOTE.match(line):
            self.sheet.footnotes.append(row)
            self.account.take(row, "footnote")
            if self.section is not None and self.section.lines and not self._waiting():
                self.section.is_closed = True
            return
        if not self.pending or (row.number > self.last + 1 and self.pending[-1]):
            self.pending.append([])
        self.pending[-1].append(row)

    def _waiting(self) -> list[Row]:
        return [row for block in self.pending for row in block]

    def _settle(self, card: Row) -> None:
        """Turn the text that waits above a card into a new section, a team's heading, or titles."""
        blocks, self.pending = self.pending, []
        blocks = [left for block in blocks if (left := self._without_astray(block, card))]
        rows = [row for block in blocks for row in block]
        if not rows:
            return
        if self.is_team(rows[-1].text) and self.header and not self.header.has("team"):
            team = rows.pop()
            blocks = [left for block in blocks if (left := [row for row in block if row is not team])]
            self.account.take(team, "team heading")
            if rows:
                self._settle_text(blocks, card)
            self.team = team.text
            return
        self._settle_text(blocks, card)

    def _without_astray(self, block: Sequence[Row], card: Row) -> list[Row]:
        """Text without lines that are cards by their number and name, and whose cells lost their places."""
        left = []
        for row in block:
            told = _CARD.match(row.filled[0]) if self.section is not None else None
            number, this = _parts(told["number"] if told else ""), _parts(self._cell(card, "number"))
            runs_on = this[0] == number[0] and 0 <= this[1] - number[1] <= _NEAR
            if told and runs_on and looks.is_person(_BEHIND.split(told["name"])[0]):
                self.account.aside(row, "a card by its number and name, whose cells are not in their places")
            else:
                left.append(row)
        return left

    def _settle_text(self, blocks: Sequence[list[Row]], card: Row) -> None:
        """Turn text into a new section with what is said of it, or into titles."""
        rows = [row for block in blocks for row in block]
        chosen = self._chosen(blocks)
        if chosen is None:
            self._say(rows)
            return
        place = rows.index(chosen)
        bare = headings.bare(chosen.text)
        if self.section is None and headings.is_usual_section(bare.name) and bare.count is None:
            for row in rows:
                self._title(row)  # a part of the base set: the sheet's name is that of the subset
            self.inner.add(bare.name)
            return
        if place == len(rows) - 1 and self._is_within(chosen, bare, card):
            for row in rows:
                self.account.take(row, "heading")
            self.inner.add(bare.name)
            return
        for row in rows[:place]:
            if words.GROUP_HEADING.match(row.text.strip(" :")):
                self.group = row.text
                self.account.take(row, "heading")
            elif not self._is_own_ladder(row):
                self._title(row)
        name, rest = subset_names.split_heading(bare.name)
        blurbs = rest.split(headings.DOT) if rest else []
        if own := headings.beside_base(name):
            name = own
            blurbs.append("the base set")
        if bare.count is not None:
            blurbs.append(f"{bare.count} cards")
        self.inner = set()
        for row in rows[place + 1 :]:
            if self._is_blurb(row):
                blurbs.append(row.text)
                self.account.take(row, "blurb")
            else:
                self.inner.add(headings.bare(row.text).name)
                self.account.take(row, "heading")
        self.account.take(chosen, "heading")
        name, full = (
            text.tidy(subset_names.CONTINUED.sub("", one)).strip(" :*")
            for one in (name, subset_names.before_blurb(bare.name))
        )
        self.banner = bare.style
        self._open(name, full, blurbs, chosen)

    def _is_own_ladder(self, row: Row) -> bool:
        """Whether a line right below cards lists their parallels; it is taken down then."""
        section = self.section
        if section is None or not section.lines or row.number > section.lines[-1].row.number + _BELOW:
            return False
        listed = words.listed_parallels(row.text)
        if not (listed and listed["rest"].strip()) and not ladder.in_brackets(row.text):
            return False
        section.blurbs.append(row.text)
        self.account.take(row, "blurb")
        return True

    def _say(self, rows: Sequence[Row]) -> None:
        """Text without a heading: what it says of the section goes with it, the rest is titles."""
        for row in rows:
            if self._is_blurb(row) and self.section is not None and not self.section.lines:
                self.section.blurbs.append(row.text)
                self.account.take(row, "blurb")
            else:
                self._title(row)

    def _is_blurb(self, row: Row) -> bool:
        """Whether a line says something of cards rather than being a name."""
        line = row.text
        name, rest = subset_names.split_heading(line)
        told = kinds.read(line)
        return (
            words.listed_parallels(line) is not None
            or bool(ladder.in_brackets(line))
            or kinds.are_kinds(line)
            or told.is_signed
            or told.has_relic
            or told.is_insert
            or not name
            or bool(rest)
            or line.endswith((".", "!"))
            or name[:1].islower()
            or len(name.split()) > 6
            or (
                self.section is None
                and not headings.is_usual_section(name)
                and words.BLURB.search(line) is not None
            )
        )

    def _is_within(self, chosen: Row, bare: headings.Bare, card: Row) -> bool:
        """Whether a heading names a part of the base set and no subset: numbers go on, and it is plainer."""
        section = self.section
        if section is None or not section.lines or bare.count is not None:
            return False
        if text.key(bare.name) in self.known or not self._is_base(section):
            return False
        head = self.header.row.number if self.header is not None and self.header.row is not None else 0
        if head > chosen.number and head != self.page_end + 1:  # one that heads a page says nothing new
            return False
        last, this = _parts(section.lines[-1].get("number")), _parts(self._cell(card, "number"))
        if last[0] != this[0] or not 0 < this[1] - last[1] <= 3:
            return False
        if headings.is_usual_section(bare.name) or bare.style.is_plainer(self.banner):
            return True
        return bool(self.inner) and chosen.number == self.last_card + 1

    def _is_base(self, section: Section) -> bool:
        return (
            section is self.sheet.sections[0] or words.BASE_NAME.match(words.fold(section.name)) is not None
        )

    def _chosen(self, blocks: Sequence[list[Row]]) -> Row | None:
        """The heading among waiting text: the first name in the last block that has one."""
        spare: Row | None = None
        dated: Row | None = None
        for block in reversed(blocks):
            first: Row | None = None
            for row, below in zip(block, (*block[1:], None), strict=True):
                bare = headings.bare(row.text)
                name, rest = subset_names.split_heading(bare.name)
                if not name or not any(mark.isalpha() for mark in name) or len(name) > 80:
                    continue
                if len(name.split()) > 8 or name.endswith(".") or looks.is_small(name[0]):
                    continue  # a sentence, or words about the cards
                if self.section is not None and text.key(row.text) in self.titled:
                    continue  # what stands above the first cards, again on another page
                if (
                    words.listed_parallels(row.text)
                    or ladder.in_brackets(row.text)
                    or self._says_kinds(row, first)
                ):
                    continue
                if words.TITLE_LIKE.search(row.text):
                    if self.section is not None and self._is_dated_heading(row):
                        dated = dated or row
                    continue
                if words.GROUP_HEADING.match(name.strip(" :")) and not words.BASE_NAME.match(
                    name.strip(" :")
                ):
                    spare = spare or row
                    continue
                if self.section is None:
                    is_said = bool(rest) and kinds.are_kinds(rest)
                    if words.BASE_NAME.match(words.fold(name)) or bare.count is not None or is_said:
                        return row  # the lines above it are titles
                    if not rest and below is not None and _is_product(below.text):
                        continue  # the maker's name above the product's
                first = first or row
                if self.section is not None:
                    break
            if first is not None:
                return first
        return spare or dated

    def _says_kinds(self, row: Row, above: Row | None) -> bool:
        return kinds.are_kinds(row.text) and (row.text.endswith(".") or above is not None)

    def _is_dated_heading(self, row: Row) -> bool:
        """Whether a line below the first cards that names a year is a subset's, such as 'Class of 2031'."""
        bare = words.YEAR.sub(" ", row.text)
        return not words.TITLE_LIKE.search(bare) and row.text not in self.sheet.titles

    def _title(self, row: Row) -> None:
        self.titled.add(text.key(row.text))
        self.account.take(row, "title")
        self.sheet.titles.append(row.text)

    def _open(self, name: str, full: str, blurbs: list[str], heading: Row) -> None:
        self.team = ""
        is_continued = subset_names.CONTINUED.search(subset_names.before_blurb(heading.text)) is not None
        for section in self.sheet.sections:
            if text.key(section.name) == text.key(name) and (
                is_continued or text.key(section.full) == text.key(full)
            ):
                section.blurbs += blurbs
                section.is_closed = False
                self.section = section
                return
        group = self.group if words.key_of_group(name) != words.key_of_group(self.group) else ""
        self.section = Section(name, blurbs, group, heading=heading, full=full)
        self.sheet.sections.append(self.section)

    # ------------------------------------------------------------ cards
    def _card(self, row: Row) -> None:
        if self._waiting():
            self._settle(row)
        self.last_card = row.number
        header = self.header
        if header is None:
            raise ValueError(f"row {row.number} was taken for a card before any header")
        line = Line(row, header, self.team, self.grid)
        section = self.section
        if section is None and self._goes_on_beside(row, header):
            section = self.section = self.sheet.sections[-1]
        if section is None:
            section = self.section = Section("", self._loose_blurbs(), is_guessed=True)
            self.sheet.sections.append(section)
        if section.is_closed and not self._goes_on(row, section, header):
            self.account.aside(row, self._why_outside(row))
            self.sheet.orphans.append(line)
            return
        section.is_closed = False
        section.lines.append(line)
        self.account.take_card(row)

    def _goes_on_beside(self, row: Row, header: Header) -> bool:
        """Whether a block without a heading goes on where the block before it stopped."""
        if not self.sheet.sections or not self.sheet.sections[-1].lines:
            return False
        last = _parts(self.sheet.sections[-1].lines[-1].get("number"))
        this = _parts(header.get(row, "number"))
        return last[0] == this[0] and 0 < this[1] - last[1] <= 3

    def _loose_blurbs(self) -> list[str]:
        """Blurbs above a table without a heading speak of it all the same."""
        return [
            title
            for title in self.sheet.titles
            if (words.BLURB.search(title) or kinds.are_kinds(title) or words.listed_parallels(title))
            and not words.TITLE_LIKE.search(title)
        ]

    def _goes_on(self, row: Row, section: Section, header: Header) -> bool:
        """Whether a card after a footnote goes on where its subset stopped."""
        numbers = [line.get("number") for line in section.lines]
        if not numbers or header.has("subset"):
            return header.has("subset")
        this, last = _parts(self._cell(row, "number")), _parts(numbers[-1])
        return this[0] == last[0] and 0 < this[1] - last[1] <= 5

    def _why_outside(self, row: Row) -> str:
        number = self._cell(row, "number")
        for section in self.sheet.sections:
            for line in section.lines:
                if number and line.get("number") == number:
                    return (
                        f"duplicate card number, outside any subset: {number} stands in"
                        f" {section.name or 'the list'}, row {line.row.number}"
                    )
        return "card outside any subset: it stands after the footnotes, under no heading"


def _is_mark(cell: str) -> bool:
    """Whether a cell beside a heading is somebody's mark, 'x' or 'checked', and says nothing of the cards."""
    is_word = cell.replace(" ", "").isalpha() and cell.islower() and len(cell) <= _REMARK
    return words.is_yes(cell) or (is_word and not words.are_kinds(cell))


_REMARK = 20  # letters of what somebody wrote beside a heading


def _is_product(line: str) -> bool:
    """Whether a line is a product's title, a year first, and says nothing of cards."""
    return words.YEAR.match(line.lstrip(" ©")) is not None and not words.BLURB.search(line)


def _parts(number: str) -> tuple[str, int]:
    bare = re.sub(r"(?<=\d)[a-z]\Z", "", number.strip())
    letters = bare.rstrip("0123456789")
    return letters.upper().rstrip("- "), int(bare[len(letters) :] or 0)
