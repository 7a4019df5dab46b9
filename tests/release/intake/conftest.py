"""Files of invented makers, built here, with the tables that a careful person would make of them."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from rating.release.intake import SeasonWords, TeamWords, take_in

TODAY = date(2031, 7, 15)
TEAMS = ("Tarn Otters", "Fell Herons", "Moor Rooks")
HALYARD = Path(__file__).parent / "data" / "halyard"


@pytest.fixture(scope="session")
def halyard():
    """The folder of one maker's files with the answers."""
    return HALYARD


@pytest.fixture
def release(tmp_path):
    """An empty folder of a release."""
    folder = tmp_path / "release"
    folder.mkdir()
    return folder


@pytest.fixture
def words():
    """A season that knows its currency and nothing else."""
    return SeasonWords(currency="USD")


@pytest.fixture
def intake(release, words, tmp_path):
    """Take contents in: names and bytes (or paths) in, the result out; the tables lie in `release`."""

    def run(*files, season=words, today=TODAY, **options):
        paths = []
        for one in files:
            if isinstance(one, Path):
                paths.append(one)
                continue
            name, content = one
            path = tmp_path / "sources" / name
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content.encode() if isinstance(content, str) else content)
            paths.append(path)
        return take_in(release, paths, season=season, today=today, **options)

    return run


@pytest.fixture
def table(release):
    """The text of one of the tables, and '' where there is none."""

    def read(name):
        path = release / name
        return path.read_text(encoding="utf-8") if path.exists() else ""

    return read


@pytest.fixture
def read(intake, table, words):
    """Some columns of each card of documents in a season of three teams; '_' in a name stands for '.'."""

    def told(*columns, **files):
        season = replace(words, teams=tuple(TeamWords(name=one) for one in TEAMS))
        intake(*((name.replace("_", "."), content) for name, content in files.items()), season=season)
        rows = csv.DictReader(io.StringIO(table("checklist.csv")))
        return [tuple(row[one] for one in columns) for row in rows]

    return told


@pytest.fixture
def read_text(read):
    """Some columns of each card of a text: number, names and team where none are named."""
    return lambda content, *columns: read(*(columns or ("number", "subjects", "teams")), list_txt=content)


@pytest.fixture
def workbook():
    """Bytes of a workbook: sheets as lists of rows, merged ranges and number formats by sheet."""

    def build(sheets, *, merged=None, formats=None, hidden=()):
        book = openpyxl.Workbook()
        book.remove(book.active)
        for title, rows in sheets.items():
            sheet = book.create_sheet(title)
            for row in rows:
                sheet.append(row)
            for one in (merged or {}).get(title, ()):
                sheet.merge_cells(one)
            for cell, form in (formats or {}).get(title, {}).items():
                sheet[cell].number_format = form
            if title in hidden:
                sheet.sheet_state = "hidden"
        out = io.BytesIO()
        book.save(out)
        return out.getvalue()

    return build


@dataclass(frozen=True)
class Maker:
    """A maker's file, what the season knows, and the tidy tables by hand."""

    file: str
    content: bytes
    checklist: str
    parallels: str
    season: SeasonWords = field(default_factory=SeasonWords)
    set_aside: tuple[tuple[str, int], ...] = ()


@pytest.fixture
def makers(workbook):
    """Four layouts that have little in common."""
    return {
        "a sheet a subset": sheet_a_subset(workbook),
        "one flat list": flat_list(),
        "text with sections": text_with_sections(),
        "parallels in columns": parallels_in_columns(workbook),
    }


def sheet_a_subset(workbook):
    """A sheet a subset, last names first, codes with a key (one is NA), numbers as numbers, totals."""
    base = [
        ["Quillan & Pegg 2031 Samphire - Base Set", None, None, None],
        [None],
        ["No.", "Skater (Last, First)", "Tm", "Rookie"],
        [1, "Abbercrake, Ysolde", "NA", None],
        [2, "Núñez-Holm, Zeb", "SOS", "RC"],
        ["No.", "Skater (Last, First)", "Tm", "Rookie"],
        [3, "Quenby, Jory, Jr.", "BQO", None],
        [None],
        ["Total cards", 3, None, None],
    ]
    hands = [
        ["Quillan & Pegg 2031 Samphire - Marsh Hands Autographs", None, None, None],
        ["3 cards, signed on stickers. Parallels: Sea Lavender /25, Glasswort 1/1"],
        [None],
        ["No.", "Skater (Last, First)", "Tm", "Numbered to"],
        ["MH-1", "Núñez-Holm, Zeb", "SOS", 99],
        ["MH-2", "Abbercrake, Ysolde", "NA", 49],
        ["MH-3", "Quenby, Jory, Jr. / Abbercrake, Ysolde", "BQO / NA", 10],
        ["Total", None, None, 158],
    ]
    key = [["Team codes"], ["Code", "Club"], ["NA", "Nacre Bay Divers"], ["SOS", "St. Orrin Sextons"]]
    key += [["BQO", "Brindle Quay Otters"]]
    content = workbook(
        {"Base": base, "Marsh Hands Autographs": hands, "Key": key}, merged={"Base": ["A1:D1"]}
    )
    pair = "Brindle Quay Otters / Nacre Bay Divers"
    checklist = f"""\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,1,Ysolde Abbercrake,Nacre Bay Divers,,,,,,,
Base,base,2,Zeb Núñez-Holm,St. Orrin Sextons,yes,,,,,,
Base,base,3,Jory Quenby Jr.,Brindle Quay Otters,,,,,,,
Marsh Hands Autographs,autograph,MH-1,Zeb Núñez-Holm,St. Orrin Sextons,yes,99,sticker,,,,
Marsh Hands Autographs,autograph,MH-2,Ysolde Abbercrake,Nacre Bay Divers,,49,sticker,,,,
Marsh Hands Autographs,autograph,MH-3,Jory Quenby Jr. / Ysolde Abbercrake,{pair},,10,sticker,,,,
"""
    parallels = """\
subset,parallel,print_run,formats
Marsh Hands Autographs,Sea Lavender,25,
Marsh Hands Autographs,Glasswort,1,
"""
    aside = (("Base", 9), ("Marsh Hands Autographs", 8))
    return Maker("samphire.xlsx", content, checklist, parallels, set_aside=aside)


def flat_list():
    """Everything in columns, parted by semicolons, in cp1252 with two names whose letters were lost."""
    pair = "Low Tarn Pike / Vellin Étoiles"
    rows = f"""\
Card Set;Card #;Athlete;Team;RC?;#'d;Auto;Memorabilia;Parallels
Base;001;Orla ?owicz;Kelderby Rooks;;;;;Tarred; Pitch /50
Base;002;Søren Dunsley;Low Tarn Pike;x;;;;Tarred; Pitch /50
Base;003;Rhosyn Quenby;Vellin Étoiles;;;;;Tarred; Pitch /50
Storm Front;SF-1;Orla ?owicz;Kelderby Rooks;;250;;;
Deep Pockets;DP-1;Søren Dunsley & Rhosyn Quenby;{pair};;15;on-card;event-worn;Pitch 1/1 (counter only)
"""
    quoted = rows.replace("Tarred; Pitch /50", '"Tarred; Pitch /50"')
    checklist = f"""\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,001,Orla Łowicz,Kelderby Rooks,,,,,,,
Base,base,002,Søren Dunsley,Low Tarn Pike,yes,,,,,,
Base,base,003,Rhosyn Quenby,Vellin Étoiles,,,,,,,
Storm Front,insert,SF-1,Orla Łowicz,Kelderby Rooks,,250,,,,,
Deep Pockets,autograph relic,DP-1,Søren Dunsley / Rhosyn Quenby,{pair},,15,card,event-worn,,,
"""
    parallels = """\
subset,parallel,print_run,formats
Base,Tarred,,
Base,Pitch,50,
Deep Pockets,Pitch,1,counter
"""
    season = SeasonWords(currency="EUR", subjects=("Orla Łowicz",))
    return Maker("oilskin.csv", quoted.encode("cp1252"), checklist, parallels, season=season)


def text_with_sections():
    """Text parted by tabs in UTF-16: headings, one parallel a line, columns that move, a footnote."""
    lines = """\
BRACKWATER 2031 CORDAGE CHECKLIST
Subject to change

BASE SET
4 cards
Parallels
Sisal - unnumbered
Manila - numbered to 45
Wire - 1/1 - Hobby exclusive

Card\tPlayer\tTeam\tNotes
1\tPell Skelwith\tThornwick Bells\t
2\tUna Tarnhowes (RC)\tGannet Rock Moorers\t
3\tE. Łowicz\tthornwick bells\t
4\tPell Skelwith\tThornwick Bells\tphoto faces left

CLASS OF 2031 (numbered to 300)

Player\t\tCard\tNotes
Una Tarnhowes\tGannet Rock Moorers\tCL-1\t

WHARF SIGNATURES (signed on card, numbered to 120 except as noted)

Player\t\tCard\tNotes
Pell Skelwith\tThornwick Bells\tWS-1\t
Una Tarnhowes\tGannet Rock Moorers\tWS-2\t#/60
E. Łowicz\tThornwick Bells\tWS-3\t

* WS-3 is issued as a redemption.

Player\t\tCard\tNotes
Somebody Else\tThornwick Bells\t77\t
"""
    checklist = """\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base Set,base,1,Pell Skelwith,Thornwick Bells,,,,,,,
Base Set,base,2,Una Tarnhowes,Gannet Rock Moorers,yes,,,,,,
Base Set,base,3,E. Łowicz,Thornwick Bells,,,,,,,
Base Set,base,4,Pell Skelwith,Thornwick Bells,,,,,,,photo faces left
Class of 2031,insert,CL-1,Una Tarnhowes,Gannet Rock Moorers,yes,300,,,,,
Wharf Signatures,autograph,WS-1,Pell Skelwith,Thornwick Bells,,120,card,,,,
Wharf Signatures,autograph,WS-2,Una Tarnhowes,Gannet Rock Moorers,yes,60,card,,,,
Wharf Signatures,autograph,WS-3,E. Łowicz,Thornwick Bells,,120,card,,,yes,
"""
    parallels = """\
subset,parallel,print_run,formats
Base Set,Sisal,,
Base Set,Manila,45,
Base Set,Wire,1,hobby
"""
    return Maker("cordage.txt", lines.encode("utf-16"), checklist, parallels, set_aside=(("", 32),))


def parallels_in_columns(workbook):
    """First and last names apart, a subset's name once over merged cells, a column for each parallel."""
    rows = [
        ["Master checklist 2031 Undertow, preliminary"],
        [None],
        ["Set", "#", "First", "Last", "Team", "Rookie", "Sig", "Relic", "Eddy", "Black /5"],
        ["Base", 7, "Corin", "Dunsley", "Dunmere Harrows", "N", None, None, "X", 5],
        [None, 8, "Talan", "O'Farrow", "Saltmarsh Herons", "Y", None, None, "X", 5],
        ["Wet Hands", "WH7", "Talan", "O'Farrow", "Saltmarsh Herons", "N", "On card", None, None, 5],
        ["Wet Cloth", "WC1", "Corin", "Dunsley", "Dunmere Harrows", "N", None, "player-worn", None, None],
    ]
    content = workbook(
        {"Sheet1": rows}, merged={"Sheet1": ["A4:A5"]}, formats={"Sheet1": {"B4": "000", "B5": "000"}}
    )
    checklist = """\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,007,Corin Dunsley,Dunmere Harrows,,,,,,,
Base,base,008,Talan O'Farrow,Saltmarsh Herons,yes,,,,,,
Wet Hands,autograph,WH7,Talan O'Farrow,Saltmarsh Herons,yes,,card,,,,
Wet Cloth,relic,WC1,Corin Dunsley,Dunmere Harrows,,,,player-worn,,,
"""
    parallels = """\
subset,parallel,print_run,formats
Base,Eddy,,
Base,Black,5,
Wet Hands,Black,5,
"""
    season = SeasonWords(teams=(TeamWords(name="Dunmere Harrows", code="DH"),))
    return Maker("undertow.xlsx", content, checklist, parallels, season=season)
