"""Three invented makers' checklists and odds, each in a layout of its own, against rows written out by hand.

The rows expected here follow from what the tables promise (kinds, how signed, which material, rookies marked
anywhere, two people with a team each), not from what any reader made of the files.
"""

# ruff: noqa: E501  # tables are written row for row as in a file: a broken row could not be compared by eye

from __future__ import annotations

import csv
import io
from datetime import date

import openpyxl
import pytest

from rating.release.intake import SeasonWords, TeamWords, take_in
from rating.season import folder

TEAMS = {
    "Brindle Quay Otters": "BQO",
    "Cinder Hill Embers": "CHE",
    "Saltmarsh Herons": "SMH",
    "Port Averil Lamplighters": "PAL",
    "Gannet Rock Moorers": "GRM",
    "Thornwick Bells": "THB",
    "Kelderby Rooks": "KEL",
    "St. Orrin Sextons": "STO",
    "Nacre Bay Divers": "NA",
    "Holm & Sound Drummers": "HSD",
    "Vellin Étoiles": "VEL",
}

SEASON = SeasonWords(
    teams=tuple(TeamWords(name=name, code=code) for name, code in TEAMS.items()),
    currency="USD",
    date_order="month first",
)

# Twelve packs a box and twelve boxes a case in hobby; six and twenty-four in retail.
SHEET = """\
format = 1

title = "{title}"
maker = "{maker}"
line = "{line}"
date = 2031-05-14
headline = "hobby"

[disclosure]
how_obtained = ["bought"]
sentence = "Two hobby boxes, bought in a shop at the shelf price."

[formats.hobby]
name = "Hobby"
cards_per_pack = 8
packs_per_box = 12
boxes_per_case = 12

[formats.retail]
name = "Retail"
cards_per_pack = 6
packs_per_box = 6
boxes_per_case = 24
"""


def release(tmp_path, *, slug, title, maker, line):
    """The folder of a new release in a new season, its two formats described."""
    season = tmp_path / "season"
    folder.start(season, name="Lantern Coast 2031")
    folder.add(season, slug, title=title)
    place = season / "releases" / slug
    (place / "release.toml").write_text(SHEET.format(title=title, maker=maker, line=line), encoding="utf-8")
    return place


def rows_of(text):
    """The rows of a table written as CSV text."""
    return list(csv.DictReader(io.StringIO(text)))


def table(place, name):
    """The rows of a table of the release."""
    with (place / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


# ---------------------------------------------------------------- a sheet a subset, with a key of team codes

BULWARK_TITLES = ("GREYLOCK PRESS", "2031 Bulwark Roller Hockey, checklist")
BULWARK_KEY = (
    ("BQ", "Brindle Quay Otters"),
    ("CH", "Cinder Hill Embers"),
    ("SM", "Saltmarsh Herons"),
    ("PA", "Port Averil Lamplighters"),
    ("KR", "Kelderby Rooks"),
    ("NA", "Nacre Bay Divers"),
    ("HS", "Holm & Sound Drummers"),
    ("VE", "Vellin Étoiles"),
)
PLAIN = ("No.", "Name", "Club", "Rookie")
# sheet: (lines under the titles, header, cards, lines at the foot)
BULWARK = {
    "Base": (
        ("Parallels: Chalk, Ember /50 (hobby only), Keystone 1/1",),
        PLAIN,
        (
            (1, "Greaves-Toll, Ansel", "BQ", None),
            (2, "Osk, Mirrin", "CH", "Y"),
            (3, "van der Brae, Joost", "SM", None),
            (4, "O'Hanrick, Pell", "PA", None),
            (5, "Łukin, Étain", "NA", None),
            (6, "St. Cray, Wilf", "VE", None),
            (7, "Quill, Dorrit", "HS", "Y"),
            (8, "Harrowgate, Bex", "KR", None),
            (9, "Ingle, Tam", "NA", "Y"),
            (10, "Rask, Sunniva", "BQ", None),
            (11, "Ashdale, Corbin", "CH", None),
            (12, "Marr, Ysolde", "SM", None),
            (13, "Trevanion, Hob", "PA", None),
            (14, "Lockett, Nye", "VE", "Y"),
            (15, "Carrowby, Fen", "HS", None),
            (16, "Mossop, Ida", "KR", None),
        ),
        (("Total", 16),),
    ),
    "Base Night Shots": (
        ("4 cards; same numbers as the base set",),
        PLAIN,
        (
            (2, "Osk, Mirrin", "CH", "Y"),
            (5, "Łukin, Étain", "NA", None),
            (9, "Ingle, Tam", "NA", "Y"),
            (16, "Mossop, Ida", "KR", None),
        ),
        (("Total", 4),),
    ),
    "Parapet": (
        (),
        PLAIN,
        (
            ("P-1", "van der Brae, Joost", "SM", None),
            ("P-2", "Rask, Sunniva", "BQ", None),
            ("P-3", "Quill, Dorrit", "HS", "Y"),
            ("P-4", "Trevanion, Hob", "PA", None),
        ),
        (("Total", 4),),
    ),
    "Rampart Ink": (
        ("Signed on sticker", "Parallels: Ember /25, Keystone 1/1"),
        ("No.", "Name", "Club", "Print Run"),
        (
            ("RI-1", "Osk, Mirrin", "CH", 99),
            ("RI-2", "Quill, Dorrit", "HS", 99),
            ("RI-3", "Harrowgate, Bex", "KR", 49),
            ("RI-4", "Lockett, Nye*", "VE", 99),
            ("RI-5", "Łukin, Étain", "NA", 10),
            ("RI-6", "Ingle, Tam / Osk, Mirrin", "NA / CH", 15),
            ("RI-7", "Ingle, Tam / Rask, Sunniva", "NA / BQ", 15),
        ),
        (("Total", 7), ("* Will be issued as a redemption.",)),
    ),
    "Mortar Relics": (
        ("4 cards; player-worn material",),
        ("No.", "Name", "Club", "Notes"),
        (
            ("MR-1", "Greaves-Toll, Ansel", "BQ", "captain"),
            ("MR-2", "St. Cray, Wilf", "VE", None),
            ("MR-3", "Ingle, Tam", "NA", None),
            ("MR-4", "Carrowby, Fen", "HS", "#/60"),
        ),
        (("Total", 4),),
    ),
    "Signed Mortar": (
        ("3 cards, numbered to 20; signed on card; game-worn material",),
        PLAIN,
        (
            ("SM-1", "Marr, Ysolde", "SM", None),
            ("SM-2", "Lockett, Nye", "VE", "Y"),
            ("SM-3", "Ashdale, Corbin", "CH", None),
        ),
        (("Total", 3),),
    ),
}

BULWARK_ODDS = (
    ("Bulwark: stated odds, per pack",),
    ("Set", "Parallel", "Numbered to", "Hobby", "Retail"),
    ("Base", "Chalk", None, "1:2", "1:3"),
    ("Base", "Ember", "/50", "1:18", "—"),
    ("Base", "Keystone", "1/1", "1:1,431", "1:12,960"),
    ("Base Night Shots", None, None, "1:24", "1:80"),
    ("PARAPET", None, None, "1:6", "1:9"),
    ("Rampart Ink", None, None, "1:31", "1:1,204"),
    ("Rampart Ink", "Ember", "/25", "1:140", "-"),
    ("Rampart Ink", "Keystone", "1/1", "1:3,275", "–"),
    ("Mortar Relics", None, None, "1:36", "—"),
    ("Signed Mortar", None, "/20", "—", "1:2,016"),
    (),
    ("Odds are averages over the whole run.",),
)

BULWARK_CARDS = """\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,1,Ansel Greaves-Toll,Brindle Quay Otters,,,,,,,
Base,base,2,Mirrin Osk,Cinder Hill Embers,yes,,,,,,
Base,base,3,Joost van der Brae,Saltmarsh Herons,,,,,,,
Base,base,4,Pell O'Hanrick,Port Averil Lamplighters,,,,,,,
Base,base,5,Étain Łukin,Nacre Bay Divers,,,,,,,
Base,base,6,Wilf St. Cray,Vellin Étoiles,,,,,,,
Base,base,7,Dorrit Quill,Holm & Sound Drummers,yes,,,,,,
Base,base,8,Bex Harrowgate,Kelderby Rooks,,,,,,,
Base,base,9,Tam Ingle,Nacre Bay Divers,yes,,,,,,
Base,base,10,Sunniva Rask,Brindle Quay Otters,,,,,,,
Base,base,11,Corbin Ashdale,Cinder Hill Embers,,,,,,,
Base,base,12,Ysolde Marr,Saltmarsh Herons,,,,,,,
Base,base,13,Hob Trevanion,Port Averil Lamplighters,,,,,,,
Base,base,14,Nye Lockett,Vellin Étoiles,yes,,,,,,
Base,base,15,Fen Carrowby,Holm & Sound Drummers,,,,,,,
Base,base,16,Ida Mossop,Kelderby Rooks,,,,,,,
Base Night Shots,base,2,Mirrin Osk,Cinder Hill Embers,yes,,,,yes,,
Base Night Shots,base,5,Étain Łukin,Nacre Bay Divers,,,,,yes,,
Base Night Shots,base,9,Tam Ingle,Nacre Bay Divers,yes,,,,yes,,
Base Night Shots,base,16,Ida Mossop,Kelderby Rooks,,,,,yes,,
Parapet,insert,P-1,Joost van der Brae,Saltmarsh Herons,,,,,,,
Parapet,insert,P-2,Sunniva Rask,Brindle Quay Otters,,,,,,,
Parapet,insert,P-3,Dorrit Quill,Holm & Sound Drummers,yes,,,,,,
Parapet,insert,P-4,Hob Trevanion,Port Averil Lamplighters,,,,,,,
Rampart Ink,autograph,RI-1,Mirrin Osk,Cinder Hill Embers,yes,99,sticker,,,,
Rampart Ink,autograph,RI-2,Dorrit Quill,Holm & Sound Drummers,yes,99,sticker,,,,
Rampart Ink,autograph,RI-3,Bex Harrowgate,Kelderby Rooks,,49,sticker,,,,
Rampart Ink,autograph,RI-4,Nye Lockett,Vellin Étoiles,yes,99,sticker,,,yes,
Rampart Ink,autograph,RI-5,Étain Łukin,Nacre Bay Divers,,10,sticker,,,,
Rampart Ink,autograph,RI-6,Tam Ingle / Mirrin Osk,Nacre Bay Divers / Cinder Hill Embers,yes,15,sticker,,,,
Rampart Ink,autograph,RI-7,Tam Ingle / Sunniva Rask,Nacre Bay Divers / Brindle Quay Otters,,15,sticker,,,,
Mortar Relics,relic,MR-1,Ansel Greaves-Toll,Brindle Quay Otters,,,,player-worn,,,captain
Mortar Relics,relic,MR-2,Wilf St. Cray,Vellin Étoiles,,,,player-worn,,,
Mortar Relics,relic,MR-3,Tam Ingle,Nacre Bay Divers,yes,,,player-worn,,,
Mortar Relics,relic,MR-4,Fen Carrowby,Holm & Sound Drummers,,60,,player-worn,,,
Signed Mortar,autograph relic,SM-1,Ysolde Marr,Saltmarsh Herons,,20,card,game-worn,,,
Signed Mortar,autograph relic,SM-2,Nye Lockett,Vellin Étoiles,yes,20,card,game-worn,,,
Signed Mortar,autograph relic,SM-3,Corbin Ashdale,Cinder Hill Embers,,20,card,game-worn,,,
"""

BULWARK_PARALLELS = """\
subset,parallel,print_run,formats
Base,Chalk,,
Base,Ember,50,hobby
Base,Keystone,1,
Rampart Ink,Ember,25,
Rampart Ink,Keystone,1,
"""

BULWARK_STATED = """\
subset,parallel,format,packs_per_copy,note
Base,Chalk,hobby,2,
Base,Chalk,retail,3,
Base,Ember,hobby,18,
Base,Keystone,hobby,1431,
Base,Keystone,retail,12960,
Base Night Shots,,hobby,24,
Base Night Shots,,retail,80,
Parapet,,hobby,6,
Parapet,,retail,9,
Rampart Ink,,hobby,31,
Rampart Ink,,retail,1204,
Rampart Ink,Ember,hobby,140,
Rampart Ink,Keystone,hobby,3275,
Mortar Relics,,hobby,36,
Signed Mortar,,retail,2016,
"""


def bulwark_files(tmp_path):
    """A workbook with a sheet a subset and a key of team codes, and a workbook of odds."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    for name, (lines, header, cards, foot) in BULWARK.items():
        sheet = book.create_sheet(name)
        for row, line in enumerate((*BULWARK_TITLES, *lines), start=1):
            sheet.cell(row, 1, line)
            sheet.merge_cells(start_row=row, start_column=1, end_row=row, end_column=4)
        start = len(BULWARK_TITLES) + len(lines) + 2
        for row, cells in enumerate((header, *cards, *foot), start=start):
            for column, value in enumerate(cells, start=1):
                sheet.cell(row, column, value)
    key = book.create_sheet("Team Key")
    key.append(("Code", "Team"))
    for pair in BULWARK_KEY:
        key.append(pair)
    checklist = tmp_path / "bulwark checklist.xlsx"
    book.save(checklist)

    book = openpyxl.Workbook()
    for cells in BULWARK_ODDS:
        book.active.append(cells)
    odds = tmp_path / "bulwark odds.xlsx"
    book.save(odds)
    return [checklist, odds]


# ------------------------------------------------------- semicolons in cp1252, with everything in its column

TURNPIKE_HEADER = "Set Name;Card Number;Player;Team;Print Run;Parallels;Details"
TURNPIKE_LADDER = "Amber /75, Slate /35, Rust (retail only), Milepost 1/1"
TURNPIKE_CHECKLIST = f"""\
Tollgate Mills – 2031 Turnpike Roller Hockey – checklist;;;;;;
;;;;;;
{TURNPIKE_HEADER}
Base;001;Hélène Vauquer;Vellin Étoiles;;{TURNPIKE_LADDER};
Base;002;Bram Oxley RC;Brindle Quay Otters;;{TURNPIKE_LADDER};
Base;003;Jürg Aldermaston;St. Orrin Sextons;;{TURNPIKE_LADDER};
Base;004;Peg Naughton;BRINDLE QUAY OTTERS;;{TURNPIKE_LADDER};
Base;005;Søren Halloway;Holm & Sound Drummers;;{TURNPIKE_LADDER};
Base;006;Wren Tapsell RC;Gannet Rock Moorers;;{TURNPIKE_LADDER};
Base;007;Dacre Mullion;Saltmarsh Herons  ;;{TURNPIKE_LADDER};
Base;008;Inês Corvalho;Nacre Bay Divers;;{TURNPIKE_LADDER};
Base;009;Lew Garside;Saltmarsh Herons;;{TURNPIKE_LADDER};
Base;010;Odile Pym;Brindle Quay Otters;;{TURNPIKE_LADDER};
;;;;;;
Waymarks;WM-1;Hélène Vauquer;Vellin Étoiles;;;
Waymarks;WM-2;Wren Tapsell;Gannet Rock Moorers;;;
Waymarks;WM-3;Lew Garside;Saltmarsh Herons;;;
{TURNPIKE_HEADER}
Turnpike Signatures;TS-1;Bram Oxley;Brindle Quay Otters;/99;"Slate /35, Milepost 1/1";on-card autograph
Turnpike Signatures;TS-2;Wren Tapsell;Gannet Rock Moorers;/99;"Slate /35, Milepost 1/1";on-card autograph
Turnpike Signatures;TS-3;Jürg Aldermaston;St. Orrin Sextons;/25;"Slate /35, Milepost 1/1";on-card autograph
Turnpike Signatures;TS-4;Inês Corvalho;Nacre Bay Divers;/99;"Slate /35, Milepost 1/1";on-card autograph, redemption
;;;;;;
Double Toll;DT-1;Bram Oxley / Wren Tapsell;Brindle Quay Otters / Gannet Rock Moorers;/15;;sticker autographs
Double Toll;DT-2;Odile Pym / Bram Oxley;Brindle Quay Otters / Brindle Quay Otters;/15;;sticker autographs
Toll Bar Swatches;TB-1;Peg Naughton;Brindle Quay Otters;/199;Amber /75;game-worn swatch
Toll Bar Swatches;TB-2;Dacre Mullion;Saltmarsh Herons;/199;Amber /75;game-worn swatch
Toll Bar Swatches;TB-3;Søren Halloway;Holm & Sound Drummers;/199;Amber /75;game-worn swatch
Signed Swatches;SS-1;Hélène Vauquer;Vellin Étoiles;/10;;"sticker autograph, player-worn swatch"
Signed Swatches;SS-2;Wren Tapsell;Gannet Rock Moorers;1/1;;"sticker autograph, player-worn swatch"
;;;;;;
"""

TURNPIKE_ODDS = """\
Set Name;Parallel;Hobby;Retail
Base;Amber;1 in 12;1 in 40
Base;Slate;1 in 26;-
Base;Rust;-;1 in 2
Base;Milepost;1 in 1,150;1 in 9,800
Waymarks;;1 in 4;1 in 6
Turnpike Signatures;;1 in 30;1 in 720
Turnpike Signatures;Slate;1 in 88;-
Turnpike Signatures;Milepost;1 in 3,020;-
Double Toll;;1 in 411;-
Toll Bar Swatches;;1 in 15;1 in 96
Toll Bar Swatches;Amber;1 in 42;-
Signed Swatches;;1 in 1,012;-
"""

TURNPIKE_CARDS = """\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,001,Hélène Vauquer,Vellin Étoiles,,,,,,,
Base,base,002,Bram Oxley,Brindle Quay Otters,yes,,,,,,
Base,base,003,Jürg Aldermaston,St. Orrin Sextons,,,,,,,
Base,base,004,Peg Naughton,Brindle Quay Otters,,,,,,,
Base,base,005,Søren Halloway,Holm & Sound Drummers,,,,,,,
Base,base,006,Wren Tapsell,Gannet Rock Moorers,yes,,,,,,
Base,base,007,Dacre Mullion,Saltmarsh Herons,,,,,,,
Base,base,008,Inês Corvalho,Nacre Bay Divers,,,,,,,
Base,base,009,Lew Garside,Saltmarsh Herons,,,,,,,
Base,base,010,Odile Pym,Brindle Quay Otters,,,,,,,
Waymarks,insert,WM-1,Hélène Vauquer,Vellin Étoiles,,,,,,,
Waymarks,insert,WM-2,Wren Tapsell,Gannet Rock Moorers,yes,,,,,,
Waymarks,insert,WM-3,Lew Garside,Saltmarsh Herons,,,,,,,
Turnpike Signatures,autograph,TS-1,Bram Oxley,Brindle Quay Otters,yes,99,card,,,,
Turnpike Signatures,autograph,TS-2,Wren Tapsell,Gannet Rock Moorers,yes,99,card,,,,
Turnpike Signatures,autograph,TS-3,Jürg Aldermaston,St. Orrin Sextons,,25,card,,,,
Turnpike Signatures,autograph,TS-4,Inês Corvalho,Nacre Bay Divers,,99,card,,,yes,
Double Toll,autograph,DT-1,Bram Oxley / Wren Tapsell,Brindle Quay Otters / Gannet Rock Moorers,yes,15,sticker,,,,
Double Toll,autograph,DT-2,Odile Pym / Bram Oxley,Brindle Quay Otters / Brindle Quay Otters,,15,sticker,,,,
Toll Bar Swatches,relic,TB-1,Peg Naughton,Brindle Quay Otters,,199,,game-worn,,,
Toll Bar Swatches,relic,TB-2,Dacre Mullion,Saltmarsh Herons,,199,,game-worn,,,
Toll Bar Swatches,relic,TB-3,Søren Halloway,Holm & Sound Drummers,,199,,game-worn,,,
Signed Swatches,autograph relic,SS-1,Hélène Vauquer,Vellin Étoiles,,10,sticker,player-worn,,,
Signed Swatches,autograph relic,SS-2,Wren Tapsell,Gannet Rock Moorers,yes,1,sticker,player-worn,,,
"""

TURNPIKE_PARALLELS = """\
subset,parallel,print_run,formats
Base,Amber,75,
Base,Slate,35,
Base,Rust,,retail
Base,Milepost,1,
Turnpike Signatures,Slate,35,
Turnpike Signatures,Milepost,1,
Toll Bar Swatches,Amber,75,
"""

TURNPIKE_STATED = """\
subset,parallel,format,packs_per_copy,note
Base,Amber,hobby,12,
Base,Amber,retail,40,
Base,Slate,hobby,26,
Base,Rust,retail,2,
Base,Milepost,hobby,1150,
Base,Milepost,retail,9800,
Waymarks,,hobby,4,
Waymarks,,retail,6,
Turnpike Signatures,,hobby,30,
Turnpike Signatures,,retail,720,
Turnpike Signatures,Slate,hobby,88,
Turnpike Signatures,Milepost,hobby,3020,
Double Toll,,hobby,411,
Toll Bar Swatches,,hobby,15,
Toll Bar Swatches,,retail,96,
Toll Bar Swatches,Amber,hobby,42,
Signed Swatches,,hobby,1012,
"""


def turnpike_files(tmp_path):
    """A checklist and its odds between semicolons, both in cp1252."""
    checklist, odds = tmp_path / "turnpike.csv", tmp_path / "turnpike-odds.csv"
    checklist.write_bytes(TURNPIKE_CHECKLIST.replace("\n", "\r\n").encode("cp1252"))
    odds.write_bytes(TURNPIKE_ODDS.replace("\n", "\r\n").encode("cp1252"))
    return [checklist, odds]


# --------------------------------------------------------- tabs in UTF-16, with a heading above each section

BREAKWATER_LINES = (
    "PELLOW & DAUGHTERS",
    "2031 BREAKWATER ROLLER HOCKEY",
    "",
    "Number|Name|Team|Note",
    "BASE — 12 cards",
    "Parallels: Amber /75, Slate /35, Beacon 1/1",
    "B1|Zofia Ćwik|Thornwick Bells|",
    "B2|Rafe Ludlow (RC)|Kelderby Rooks|",
    "B3|Mabyn Teague|Nacre Bay Divers|",
    "B4|Ottilie Grange|Holm & Sound Drummers|",
    "B5|Kit Barrowman (RC)|Cinder Hill Embers|",
    "B6|Ewan Sallow-Pike|Port Averil Lamplighters|",
    "B7|Jenifer Roake|Thornwick Bells|",
    "B8|Aurèle Dubray|Vellin Étoiles|",
    "B9|Tove Lindqvast (RC)|Gannet Rock Moorers|",
    "B10|Gil Penrow|Saltmarsh Herons|",
    "B11|Hattie Crosswell|St. Orrin Sextons|",
    "B12|Nils Aukett|Kelderby Rooks|",
    "",
    "BASE FOG VARIATIONS — 3 cards, same numbers as the base set",
    "B2|Rafe Ludlow|Kelderby Rooks|",
    "B8|Aurèle Dubray|Vellin Étoiles|",
    "B11|Hattie Crosswell|St. Orrin Sextons|",
    "",
    "LAMPLIT — 4 cards",
    "L1|Mabyn Teague|Nacre Bay Divers|",
    "L2|Kit Barrowman|Cinder Hill Embers|",
    "L3|Zofia Ćwik / Jenifer Roake|Thornwick Bells|",
    "L4|Gil Penrow|Saltmarsh Herons|",
    "",
    "HARBOUR INK — autographs, numbered to 50, signed on card",
    "Parallels: Slate /35, Beacon 1/1",
    "HI-1|Zofia Ćwik|Thornwick Bells|",
    "HI-2|Rafe Ludlow|Kelderby Rooks|#/20",
    "HI-3|Tove Lindqvast|Gannet Rock Moorers|",
    "HI-4|Ottilie Grange|Holm & Sound Drummers|",
    "HI-5|Nils Aukett|Kelderby Rooks|",
    "HI-6|Ewan Sallow-Pike|Port Averil Lamplighters|",
    "",
    "TWIN MOORINGS — dual autographs, numbered to 25, signed on sticker",
    "TM-1|Rafe Ludlow / Kit Barrowman|Kelderby Rooks / Cinder Hill Embers|",
    "TM-2|Ottilie Grange / Tove Lindqvast|Holm & Sound Drummers / Gannet Rock Moorers|",
    "TM-3|Aurèle Dubray / Gil Penrow|Vellin Étoiles / Saltmarsh Herons|",
    "",
    "QUAY CLOTH — relics, event-worn material",
    "QC-1|Mabyn Teague|Nacre Bay Divers|",
    "QC-2|Kit Barrowman|Cinder Hill Embers|",
    "QC-3|Hattie Crosswell|St. Orrin Sextons|",
    "",
    "* HI-3 and HI-6 will be issued as redemptions.",
    "© 2031 Pellow & Daughters. Subject to change.",
)

BREAKWATER_ODDS = """\
"Stated odds, per box"
Set,Parallel,Hobby,Retail
Base,Amber,1:1,1:4
Base,Slate,1:3,—
Base,Beacon,"1:1,206",—
Base Fog Variations,,1:9,1:60
Lamplit,,1 in 2,1 in 5
Harbour Ink,,1:2,1:48
Harbour Ink,Slate,1:4,—
Harbour Ink,Beacon,1 in 20 cases,—
Twin Moorings,,1 in 24,—
Quay Cloth,,2 per box,1:12
"""

BREAKWATER_CARDS = """\
subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,B1,Zofia Ćwik,Thornwick Bells,,,,,,,
Base,base,B2,Rafe Ludlow,Kelderby Rooks,yes,,,,,,
Base,base,B3,Mabyn Teague,Nacre Bay Divers,,,,,,,
Base,base,B4,Ottilie Grange,Holm & Sound Drummers,,,,,,,
Base,base,B5,Kit Barrowman,Cinder Hill Embers,yes,,,,,,
Base,base,B6,Ewan Sallow-Pike,Port Averil Lamplighters,,,,,,,
Base,base,B7,Jenifer Roake,Thornwick Bells,,,,,,,
Base,base,B8,Aurèle Dubray,Vellin Étoiles,,,,,,,
Base,base,B9,Tove Lindqvast,Gannet Rock Moorers,yes,,,,,,
Base,base,B10,Gil Penrow,Saltmarsh Herons,,,,,,,
Base,base,B11,Hattie Crosswell,St. Orrin Sextons,,,,,,,
Base,base,B12,Nils Aukett,Kelderby Rooks,,,,,,,
Base Fog Variations,base,B2,Rafe Ludlow,Kelderby Rooks,yes,,,,yes,,
Base Fog Variations,base,B8,Aurèle Dubray,Vellin Étoiles,,,,,yes,,
Base Fog Variations,base,B11,Hattie Crosswell,St. Orrin Sextons,,,,,yes,,
Lamplit,insert,L1,Mabyn Teague,Nacre Bay Divers,,,,,,,
Lamplit,insert,L2,Kit Barrowman,Cinder Hill Embers,yes,,,,,,
Lamplit,insert,L3,Zofia Ćwik / Jenifer Roake,Thornwick Bells / Thornwick Bells,,,,,,,
Lamplit,insert,L4,Gil Penrow,Saltmarsh Herons,,,,,,,
Harbour Ink,autograph,HI-1,Zofia Ćwik,Thornwick Bells,,50,card,,,,
Harbour Ink,autograph,HI-2,Rafe Ludlow,Kelderby Rooks,yes,20,card,,,,
Harbour Ink,autograph,HI-3,Tove Lindqvast,Gannet Rock Moorers,yes,50,card,,,yes,
Harbour Ink,autograph,HI-4,Ottilie Grange,Holm & Sound Drummers,,50,card,,,,
Harbour Ink,autograph,HI-5,Nils Aukett,Kelderby Rooks,,50,card,,,,
Harbour Ink,autograph,HI-6,Ewan Sallow-Pike,Port Averil Lamplighters,,50,card,,,yes,
Twin Moorings,autograph,TM-1,Rafe Ludlow / Kit Barrowman,Kelderby Rooks / Cinder Hill Embers,yes,25,sticker,,,,
Twin Moorings,autograph,TM-2,Ottilie Grange / Tove Lindqvast,Holm & Sound Drummers / Gannet Rock Moorers,,25,sticker,,,,
Twin Moorings,autograph,TM-3,Aurèle Dubray / Gil Penrow,Vellin Étoiles / Saltmarsh Herons,,25,sticker,,,,
Quay Cloth,relic,QC-1,Mabyn Teague,Nacre Bay Divers,,,,event-worn,,,
Quay Cloth,relic,QC-2,Kit Barrowman,Cinder Hill Embers,yes,,,event-worn,,,
Quay Cloth,relic,QC-3,Hattie Crosswell,St. Orrin Sextons,,,,event-worn,,,
"""

BREAKWATER_PARALLELS = """\
subset,parallel,print_run,formats
Base,Amber,75,
Base,Slate,35,
Base,Beacon,1,
Harbour Ink,Slate,35,
Harbour Ink,Beacon,1,
"""

# Packs = boxes x 12 (hobby) or 6 (retail); 20 cases of 12 boxes are 2,880 packs; two a box, 6 packs a copy.
# In `note` stands the word that a converted line has to say.
BREAKWATER_STATED = """\
subset,parallel,format,packs_per_copy,note
Base,Amber,hobby,12,box
Base,Amber,retail,24,box
Base,Slate,hobby,36,box
Base,Beacon,hobby,14472,box
Base Fog Variations,,hobby,108,box
Base Fog Variations,,retail,360,box
Lamplit,,hobby,24,box
Lamplit,,retail,30,box
Harbour Ink,,hobby,24,box
Harbour Ink,,retail,288,box
Harbour Ink,Slate,hobby,48,box
Harbour Ink,Beacon,hobby,2880,case
Twin Moorings,,hobby,288,box
Quay Cloth,,hobby,6,box
Quay Cloth,,retail,72,box
"""


def breakwater_files(tmp_path):
    """A checklist between tabs in UTF-16 with headings above its sections, and odds stated per box."""
    checklist, odds = tmp_path / "breakwater.txt", tmp_path / "breakwater odds.csv"
    text = "\r\n".join(line.replace("|", "\t") for line in BREAKWATER_LINES)
    checklist.write_bytes((text + "\r\n").encode("utf-16"))
    odds.write_text(BREAKWATER_ODDS, encoding="utf-8")
    return [checklist, odds]


MAKERS = [
    pytest.param(
        {"slug": "bulwark", "title": "Greylock 2031 Bulwark", "maker": "Greylock", "line": "Bulwark"},
        bulwark_files,
        {"checklist.csv": BULWARK_CARDS, "parallels.csv": BULWARK_PARALLELS, "odds.csv": BULWARK_STATED},
        id="a sheet a subset",
    ),
    pytest.param(
        {"slug": "turnpike", "title": "Tollgate 2031 Turnpike", "maker": "Tollgate", "line": "Turnpike"},
        turnpike_files,
        {"checklist.csv": TURNPIKE_CARDS, "parallels.csv": TURNPIKE_PARALLELS, "odds.csv": TURNPIKE_STATED},
        id="all in columns",
    ),
    pytest.param(
        {"slug": "breakwater", "title": "Pellow 2031 Breakwater", "maker": "Pellow", "line": "Breakwater"},
        breakwater_files,
        {
            "checklist.csv": BREAKWATER_CARDS,
            "parallels.csv": BREAKWATER_PARALLELS,
            "odds.csv": BREAKWATER_STATED,
        },
        id="headings above sections",
    ),
]


def taken_in(tmp_path, names, files):
    """The folder of the release after its maker's files were taken in, and what was said about it."""
    place = release(tmp_path, **names)
    return place, take_in(place, files(tmp_path), season=SEASON, today=date(2031, 5, 30))


@pytest.mark.parametrize(("names", "files", "expected"), MAKERS)
@pytest.mark.parametrize("name", ["checklist.csv", "parallels.csv"])
def test_a_maker_s_cards_come_out_row_for_row(tmp_path, names, files, expected, name):
    """Every card and parallel of a layout stands in the tidy tables as written out by hand."""
    place, _ = taken_in(tmp_path, names, files)
    assert table(place, name) == rows_of(expected[name])


@pytest.mark.parametrize(("names", "files", "expected"), MAKERS)
def test_a_maker_s_odds_come_out_per_pack(tmp_path, names, files, expected):
    """Odds stand as packs per copy, none where there was a dash; a converted line says from what."""
    place, _ = taken_in(tmp_path, names, files)
    # the column of notes may be left out where no line has one
    got = [{"note": ""} | row for row in table(place, "odds.csv")]
    wanted = rows_of(expected["odds.csv"])
    assert [row | {"note": ""} for row in got] == [row | {"note": ""} for row in wanted]
    for row, want in zip(got, wanted, strict=True):
        if want["note"]:
            assert want["note"] in row["note"], row
        else:
            assert row["note"] == "", row


# rows by file and sheet, counted by hand to the last row with anything in it
ROWS = {
    ("bulwark checklist.xlsx", "Base"): 22,
    ("bulwark checklist.xlsx", "Base Night Shots"): 10,
    ("bulwark checklist.xlsx", "Parapet"): 9,
    ("bulwark checklist.xlsx", "Rampart Ink"): 15,
    ("bulwark checklist.xlsx", "Mortar Relics"): 10,
    ("bulwark checklist.xlsx", "Signed Mortar"): 9,
    ("bulwark checklist.xlsx", "Team Key"): 9,
    ("bulwark odds.xlsx", "Sheet"): 14,
    ("turnpike.csv", ""): 30,
    ("turnpike-odds.csv", ""): 13,
    ("breakwater.txt", ""): 51,
    ("breakwater odds.csv", ""): 12,
}


@pytest.mark.parametrize(("names", "files", "expected"), MAKERS)
def test_every_row_of_a_maker_s_file_is_accounted_for(tmp_path, names, files, expected):
    """On every sheet the rows taken, set aside and found faulty add up to the rows of the file."""
    _, result = taken_in(tmp_path, names, files)
    assert {one.file for one in result.tallies} == {path.name for path in files(tmp_path)}
    for one in result.tallies:
        assert sum(one.taken.values()) + one.set_aside + one.problems == one.rows, one
        assert one.rows == ROWS[one.file, one.sheet], one
    assert sum(one.rows for one in result.tallies) == sum(
        rows for (name, _), rows in ROWS.items() if name.startswith(names["slug"])
    )
