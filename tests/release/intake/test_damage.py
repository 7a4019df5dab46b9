"""Documents damaged in every way that files are, each row of them accounted for and none written wrong.

What a damaged document holds is counted here by itself: a list of cards is laid out and damaged, and every
card is looked for in the tables, and in what the program says of its row.
"""

from __future__ import annotations

import csv
import io
import random
import zipfile
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import date

import pytest
import xlsxwriter

from rating.errors import RatingError
from rating.release.intake import SeasonWords, take_in

FIRST = ("Ada", "Bo", "Cy", "Dora", "Émile", "Finn", "Gösta", "Hana", "Íris", "Jan", "Køre", "Lene")
LAST = ("Quill", "Núñez-Holm", "Marsh", "Larkin", "Müller", "Thorne", "Åsgard", "Bellamy", "Çelik", "Wray")
TEAMS = ("Harbour Otters", "Quay Herons", "Fen Rooks", "Moor Hares", "Tarn Foxes")
# next line, vertical tab, line and paragraph separator, carriage return
ENDS = ("\x85", "\v", "\u2028", "\u2029", "\r")


@dataclass(frozen=True)
class Made:
    """One card of a list as it is laid out."""

    subset: str
    number: str
    name: str
    team: str

    @property
    def facts(self):
        """What the table must say of it."""
        return self.name, self.team


@dataclass
class Document:
    """Lines with the card that each holds; `mark` parts their cells."""

    name: str
    lines: list[str]
    cards: list[Made | None]
    mark: str
    touched: set[int] = field(default_factory=set)  # places of lines that were damaged
    free: set[int] = field(default_factory=set)  # those of which no reader can tell what they said
    end: str = "\n"
    rows_a_line: int = 1

    def text(self):
        """The whole of it."""
        return "".join(line + self.end for line in self.lines)


def cards(rng):
    """Two subsets of cards, every person another."""
    people = [f"{first} {last}" for first in FIRST for last in LAST]
    rng.shuffle(people)
    sizes = (rng.randint(24, 40), rng.randint(10, 16))
    found = []
    for subset, size, letters in (("Base", sizes[0], ""), ("Night Tide", sizes[1], "NT-")):
        found += [Made(subset, f"{letters}{n + 1}", people.pop(), rng.choice(TEAMS)) for n in range(size)]
    return found


def table(rng, mark, *, heading=True, turned=False):
    """A table with a row a card."""
    made = cards(rng)
    lines = [mark.join(("Card", "Player", "Team", "Set"))] if heading else []
    kept: list[Made | None] = [None] * len(lines)
    for one in made:
        name = one.name
        if turned:
            first, last = name.split(" ", 1)
            name = f'"{last}, {first}"'
        lines.append(mark.join((one.number, name, one.team, one.subset)))
        kept.append(one)
    return Document("list.csv", lines, kept, mark)


def text(rng):
    """A list with a line a card, under headings."""
    lines, kept = [], []
    subset = ""
    for one in cards(rng):
        if one.subset != subset:
            subset = one.subset
            lines.append(subset.upper())
            kept.append(None)
        lines.append(f"{one.number} {one.name}, {one.team}")
        kept.append(one)
    return Document("list.txt", lines, kept, "")


LAYOUTS = {
    "comma": lambda rng: table(rng, ","),
    "semicolon": lambda rng: table(rng, ";"),
    "tab": lambda rng: table(rng, "\t"),
    "stroke": lambda rng: table(rng, "|"),
    "no heading": lambda rng: table(rng, ",", heading=False),
    "last first": lambda rng: table(rng, ",", turned=True),
    "lines": text,
}


# ---------------------------------------------------------------- ways to damage a text
def some(rng, document, most=4):
    """Places of a few lines with cards."""
    places = [place for place, card in enumerate(document.cards) if card]
    return rng.sample(places, rng.randint(1, most))


def cut(rng, document):
    """The file ends in the middle of a line."""
    place = rng.randrange(len(document.lines) // 2, len(document.lines))
    del document.lines[place + 1 :], document.cards[place + 1 :]
    line = document.lines[place]
    document.lines[place] = line[: rng.randrange(1, len(line) + 1)]
    document.touched.add(place)
    # cut in its last cell, or where all of its cells are lines of text, it looks like any other
    if document.lines[place].count(document.mark) == line.count(document.mark):
        document.free.add(place)
    return document.text()[: -len(document.end)].encode()


def open_quote(rng, document):
    """Quotes that never close."""
    for place in some(rng, document):
        cells = document.lines[place].split(document.mark) if document.mark else [document.lines[place]]
        if '"' in document.lines[place]:
            document.lines[place] = (
                document.lines[place].replace('"', "", 2).replace(document.mark, document.mark + '"', 1)
            )
        else:
            at = rng.randrange(len(cells))
            cells[at] = f'"{cells[at]}'
            document.lines[place] = document.mark.join(cells)
        document.touched.add(place)
    return document.text().encode()


def bare_comma(rng, document):
    """Marks inside names that no quotes hold together."""
    for place in some(rng, document):
        card = document.cards[place]
        mark = document.mark or ","
        if '"' in document.lines[place]:
            document.lines[place] = document.lines[place].replace('"', "")
        else:
            document.lines[place] = document.lines[place].replace(card.name, f"{card.name}{mark} Jr.")
            name = f"{card.name}, Jr." if mark == "," else f"{card.name} Jr."
            document.cards[place] = Made(card.subset, card.number, name, card.team)
        document.touched.add(place)
    return document.text().encode()


def other_ends(rng, document):
    """Lines that end in a way of their own."""
    end = rng.choice(ENDS)
    share = rng.choice((1.0, 0.3))
    return "".join(line + (end if rng.random() < share else "\n") for line in document.lines).encode()


def noughts(rng, document):
    """A few NULs."""
    for place in some(rng, document):
        line = document.lines[place]
        at = rng.randrange(len(line) + 1)
        document.lines[place] = line[:at] + "\0" + line[at:]
        document.touched.add(place)
    return document.text().encode()


def mixed(rng, document):
    """Lines in another encoding than the rest."""
    other = rng.choice(("cp1252", "mac-roman", "cp1250"))
    data = b""
    share = rng.choice((0.1, 0.5, 1.0))
    for place, line in enumerate(document.lines):
        raw = f"{line}\n".encode()
        if rng.random() < share:
            try:
                raw = f"{line}\n".encode(other)
                if not line.isascii():
                    document.touched.add(place)
            except UnicodeEncodeError:
                pass
        data += raw
    return data


def widths(rng, document):
    """Rows with a cell more or less."""
    for place in some(rng, document):
        cells = document.lines[place].split(document.mark or ", ")
        how = rng.randrange(3)
        if how == 0:  # in a line of text the team: what is left without a number is a heading
            del cells[rng.randrange(len(cells)) if document.mark else 1]
        elif how == 1:
            cells.insert(rng.randrange(len(cells) + 1), "")
        else:
            at = rng.randrange(len(cells))
            cells.insert(at, cells[at])
        document.lines[place] = (document.mark or ", ").join(cells)
        document.touched.add(place)
        if not document.mark and how == 0:
            document.cards[place] = replace(document.cards[place], team="")
    return document.text().encode()


def columns(rng, document):
    """A column twice."""
    if not document.mark or '"' in document.text():
        return document.text().encode()
    at = rng.randrange(3)
    for place, line in enumerate(document.lines):
        cells = line.split(document.mark)
        cells.insert(at, cells[at])
        document.lines[place] = document.mark.join(cells)
    return document.text().encode()


def flipped(rng, document):
    """A byte with one bit turned."""
    place = some(rng, document, 1)[0]
    data = bytearray(document.lines[place].encode())
    at = rng.randrange(len(data))
    data[at] ^= 1 << rng.randrange(8)
    document.touched.add(place)
    document.free.add(place)
    if place + 1 < len(document.lines):
        document.touched.add(place + 1)
    lines = [line.encode() for line in document.lines]
    lines[place] = bytes(data)
    return b"".join(line + b"\n" for line in lines)


def marks(rng, document):
    """Byte order marks where parts were pasted together."""
    for place in some(rng, document):
        document.lines[place] = "\ufeff" + document.lines[place]
    return document.text().encode()


def tail(rng, document):
    """Rubbish behind the end."""
    rubbish = rng.choice(
        (
            b"\x1a",
            b"\0" * rng.randint(1, 3),
            b"<<<EOF>>>\n",
            bytes(rng.randrange(128, 256) for _ in range(20)),
            b"\n\n\n,,,\n",
            b"--\nsent from a phone\n",
        )
    )
    return document.text().encode() + rubbish


def joined(rng, document):
    """A line end that is missing, so that two rows stand in one line."""
    place = rng.choice([p for p, card in enumerate(document.cards[:-1]) if card and document.cards[p + 1]])
    document.lines[place] += document.lines.pop(place + 1)
    document.touched.add(place)
    del document.cards[place + 1]
    return document.text().encode()


def doubled_ends(rng, document):
    """Windows line ends that were turned into them once more."""
    document.end = "\r\r\n"
    document.rows_a_line = 2
    return document.text().encode()


DAMAGES = {
    one.__name__: one
    for one in (
        cut,
        open_quote,
        bare_comma,
        other_ends,
        noughts,
        mixed,
        widths,
        columns,
        flipped,
        marks,
        tail,
        joined,
        doubled_ends,
    )
}


# ---------------------------------------------------------------- what became of it
def taken(folder, name, data):
    """The result of an intake and the cards in the table by subset and number; None where it is refused."""
    release = folder / "release"
    release.mkdir()
    file = folder / name
    file.write_bytes(data)
    try:
        result = take_in(release, [file], season=SeasonWords(currency="USD"), today=date(2031, 7, 15))
    except RatingError as fault:
        if not (fault.where.startswith(name) and fault.fix):
            raise
        return None
    found = {}
    path = release / "checklist.csv"
    if path.exists():
        for row in csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"))):
            key = row["subset"], row["number"]
            key = (*key, "again") if key in found else key
            found[key] = row["subjects"], row["teams"]
    return result, found


def told_rows(result):
    """The rows of the file that the program says something of; every row where a sheet is set aside."""
    told = {one.row for one in (*result.problems, *result.repaired, *result.questions) if one.row}
    for one in result.set_aside:
        told |= set(range(10_000)) if one.rows > 1 else {one.row}
    return told


def account(document, result, found):
    """How many cards are right, told of, wrong, or lost without a word."""
    told = told_rows(result)
    fates = Counter()
    for place, card in enumerate(document.cards):
        if card is None:
            continue
        written = found.get((card.subset, card.number))
        if written == card.facts:
            fates["right"] += 1
        elif place * document.rows_a_line + 1 in told:
            fates["told"] += 1
        elif place in document.free:
            fates["free"] += 1  # a letter or a digit that is another one now
        else:
            fates["lost" if written is None else "wrong"] += 1
    return fates


VARIANTS = [(layout, damage) for damage in DAMAGES for layout in LAYOUTS]


@pytest.mark.trial(seed=20, few=len(VARIANTS), full=2_000)
def test_every_row_of_a_damaged_text_is_right_or_told_of(trial, tmp_path):
    """No card is lost in silence or written otherwise than the text says, and nearly all come out right."""
    whole = Counter()
    for number in range(trial.count):
        layout, damage = VARIANTS[number % len(VARIANTS)]
        rng = random.Random(f"{trial.seed} {number}")
        document = LAYOUTS[layout](rng)
        data = DAMAGES[damage](rng, document)
        folder = tmp_path / str(number)
        folder.mkdir()
        outcome = taken(folder, document.name, data)
        assert outcome is not None, (layout, damage, number)
        result, found = outcome
        for one in result.tallies:
            assert sum(one.taken.values()) + one.set_aside + one.problems == one.rows
        fates = account(document, result, found)
        assert not fates["lost"] + fates["wrong"], (layout, damage, number, fates)
        known = {(card.subset, card.number) for card in document.cards if card}
        assert len(found.keys() - known) <= fates["free"], (layout, damage, number)
        whole += fates
    assert whole["right"] >= 0.98 * whole.total()


def workbook(rng):
    """A list of cards as a workbook, and its cards."""
    made = cards(rng)
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet("Checklist")
    for place, row in enumerate(
        [("Card", "Player", "Team", "Set"), *((c.number, c.name, c.team, c.subset) for c in made)]
    ):
        sheet.write_row(place, 0, row)
    book.close()
    return out.getvalue(), made


def without_a_part(rng, data):
    """A workbook that lacks one of its parts."""
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        names = book.namelist()
        missing = rng.choice(names)
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as other:
            for name in names:
                if name != missing:
                    other.writestr(name, book.read(name))
    return out.getvalue()


def with_a_part_cut(rng, data):
    """A workbook one of whose parts ends in the middle."""
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        names = book.namelist()
        hurt = rng.choice(names)
        out = io.BytesIO()
        with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as other:
            for name in names:
                part = book.read(name)
                other.writestr(name, part[: rng.randrange(len(part))] if name == hurt else part)
    return out.getvalue()


def with_bytes_turned(rng, data):
    """A workbook with a few bytes turned."""
    hurt = bytearray(data)
    for _ in range(rng.randint(1, 3)):
        hurt[rng.randrange(len(hurt))] ^= 1 << rng.randrange(8)
    return bytes(hurt)


def ended_early(rng, data):
    """A workbook that was not fetched whole."""
    return data[: rng.randrange(4, len(data))]


@pytest.mark.trial(seed=21, few=40, full=400)
def test_a_damaged_workbook_is_read_whole_or_refused_by_name(trial, tmp_path):
    """A part that is gone, cut or turned: all cards are right, or the file is named with what to do."""
    ways = (without_a_part, with_a_part_cut, with_bytes_turned, ended_early)
    for number in range(trial.count):
        rng = random.Random(f"{trial.seed} {number}")
        data, made = workbook(rng)
        folder = tmp_path / str(number)
        folder.mkdir()
        outcome = taken(folder, "list.xlsx", ways[number % len(ways)](rng, data))
        if outcome is None:
            continue
        result, found = outcome
        assert not any(found.get((card.subset, card.number), card.facts) != card.facts for card in made), (
            number
        )
        missing = [place for place, card in enumerate(made) if (card.subset, card.number) not in found]
        assert not missing or {place + 2 for place in missing} <= told_rows(result), number
