"""Writes the generated tables of the sample season: checklists, parallels, odds and sales of its releases.

Run it as `python tests/sample/make_sample.py`; the test beside it holds the files to what this makes.
Halyard's tables are only read here: its people are the league, filled up with more invented ones.
Every choice is made by the SHA-256 of a text that begins with SEED, so it is the same on every machine.
Odds follow from the print runs and from how many boxes were made, rounded to whole packs as makers do.
The sales of the season before follow the market that Halyard's own were drawn from, told with its answers.
"""

from __future__ import annotations

import csv
import json
import math
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import cache
from hashlib import sha256
from pathlib import Path
from statistics import NormalDist

from rapidfuzz.distance import OSA

from rating.release import CHECKLIST, ODDS, OPENED, PARALLELS, ROOKIES, SALES, SLOTS
from rating.release.csv_file import to_text
from rating.release.swap import write_whole

SEED = "lantern coast 2031"
HOME = Path(__file__).resolve().parents[2] / "sample_ratings"
ANSWERS = Path(__file__).resolve().parents[1] / "release/intake/data/halyard/answers.json"
EARLIER = "earlier/2030"
SQUAD = 18  # veterans of each team, when the league is filled up
EARLIER_ROOKIES = 24

FIRST_NAMES = """
Alda Aubin Briony Caspar Dilys Edrik Ewart Fraser Garrow Greer Hollis Ivo Jory Kester Keziah Lowen Maddoc
Merrin Orla Oswin Pell Perran Quill Rhosyn Senna Sorrel Talan Tamsin Ulric Vesper Viggo Wilmot Wynn Yara
"""
LAST_NAMES = """
Abbercrake Appledram Birkenhow Bostwyn Carrowmore Coldbeck Dravensby Dunsley Ellerbeck Fallowfield Fossgate
Gillhespy Hathersage Hollinrake Inchbald Jarrowick Kilbrannan Langstrother Longbottam Marchbanks
Mossthwaite Netherby Nunwick Oakshott Ormathwaite Pendragoon Quarrington Quenby Ravenglass Rushbrook
Saltonstall Skelwith Tarnhowes Thistlewood Ullock Underhay Varncastle Vickerstown Wetherill Winderwath
Yarborough Zennor
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Subset:
    """A subset to make: `rookies` is a stretch of the class, `a_box` how many fall in a box by format."""

    name: str
    kind: str
    count: int
    mark: str = ""
    pad: int = 0
    first: int = 1
    rookies: tuple[int, int] = (0, 0)
    run: int | None = None
    signed: str = ""
    relic: str = ""
    in_pairs: bool = False
    is_variation: bool = False
    redeemed: tuple[int, ...] = ()
    a_box: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """A parallel to make: numbered with a run, or falling once in `every` so many packs of a format."""

    subset: str
    name: str
    run: int | None = None
    formats: tuple[str, ...] = ()
    every: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A release to make: `boxes` that were made and `packs` in one, by format; no boxes, no odds.

    A format with `lean` 0.5 holds half as many numbered cards a pack as one with 1. `sold` is how many sales
    there are, `level` how many times dearer its cards are than the market's, `least` the price that none is
    below, `copies` those of each base card, and `span` the days after the release in which they were sold,
    before it where negative. `opened` are the boxes of a format that were opened on a day, `asked` what all
    slots of a case cost together on one.
    """

    subsets: tuple[Subset, ...]
    rungs: tuple[Rung, ...] = ()
    boxes: Mapping[str, int] = field(default_factory=dict)
    packs: Mapping[str, int] = field(default_factory=dict)
    lean: Mapping[str, str] = field(default_factory=dict)
    without: tuple[str, ...] = ()
    sold: int = 0
    level: str = "1"
    least: str = "0.25"
    copies: int = 5200
    span: tuple[int, int] = (4, 64)
    opened: tuple[date, str, int] | None = None
    asked: tuple[date, str, int] | None = None


def base(count: int, **more: object) -> Subset:
    """A base set."""
    return Subset(name="Base", kind="base", count=count, **more)  # type: ignore[arg-type]


def sub(name: str, kind: str, count: int, mark: str, **more: object) -> Subset:
    """Any other subset, with what its numbers begin with."""
    return Subset(name=name, kind=kind, count=count, mark=mark, **more)  # type: ignore[arg-type]


def ladder(subset: str, **runs: int) -> tuple[Rung, ...]:
    """Numbered parallels of a subset in every format; an underscore stands for a blank."""
    return tuple(Rung(subset=subset, name=name.replace("_", " "), run=run) for name, run in runs.items())


PLANS: dict[str, Plan] = {
    "foghorn": Plan(
        subsets=(
            base(150, rookies=(0, 24)),
            sub("Low Notes", "insert", 20, "LN", a_box={"counter": "1.25", "sack": "0.1"}),
            sub(
                "Hand Signals",
                "autograph",
                10,
                "HS",
                rookies=(0, 1),
                signed="sticker",
                a_box={"counter": "0.0625", "sack": "0.005"},
            ),
        ),
        rungs=(
            Rung(subset="Base", name="Brine", every={"counter": 4, "sack": 2}),
            Rung(subset="Base", name="Rust", every={"counter": 10, "sack": 9}),
            Rung(subset="Low Notes", name="Static", every={"counter": 40, "sack": 60}),
        ),
        boxes={"counter": 180_000, "sack": 240_000},
        packs={"counter": 10, "sack": 1},
        without=(
            "Vellin Étoiles",
            "Thornwick Bells",
            "Nacre Bay Divers",
            "Ashgrove Coppicers",
            "Dunmere Harrows",
        ),
        sold=60,
        level="0.5",
        copies=48_000,
    ),
    "slipway": Plan(
        subsets=(
            base(200, pad=3, rookies=(0, 30)),
            sub("Clean Wake", "insert", 15, "CW-", a_box={"standard": "2", "pegboard": "0.2"}),
            sub("Launch Day", "insert", 20, "LD-", rookies=(0, 20), run=499),
            sub(
                "Dockside Signatures",
                "autograph",
                40,
                "DS-",
                rookies=(0, 18),
                signed="sticker",
                redeemed=(7,),
                a_box={"standard": "0.5", "pegboard": "0.02"},
            ),
        ),
        rungs=(
            Rung(subset="Base", name="Wet Paint", every={"standard": 3, "pegboard": 1}),
            *ladder("Base", Red_Lead=150, Brass=40),
            Rung(subset="Base", name="Keel", run=1, formats=("standard",)),
            *ladder("Dockside Signatures", Brass=40),
            Rung(subset="Dockside Signatures", name="Keel", run=1, formats=("standard",)),
        ),
        boxes={"standard": 26_000, "pegboard": 40_000},
        packs={"standard": 12, "pegboard": 1},
        lean={"pegboard": "0.4"},
        sold=110,
        level="2.2",
        copies=11_700,
    ),
    "gatehouse-winter": Plan(
        subsets=(
            base(90, rookies=(0, 12)),
            sub("Snowed In", "insert", 12, "SI-", a_box={"hobby": "2"}),
            sub(
                "Cold Hands",
                "autograph",
                24,
                "CH-",
                rookies=(0, 8),
                signed="sticker",
                a_box={"hobby": "0.5"},
            ),
        ),
        rungs=(*ladder("Base", Frost=99, Icicle=25), *ladder("Cold Hands", Icicle=25)),
        boxes={"hobby": 12_000},
        packs={"hobby": 8},
        without=("Low Tarn Pike", "Thornwick Bells"),
    ),
    "market-waltz": Plan(
        subsets=(
            base(240, pad=3, rookies=(0, 38)),
            sub("Busy Corners", "base", 12, "BC", is_variation=True, a_box={"pocket": "0.2"}),
            sub("Street Organ", "insert", 20, "SO", a_box={"pocket": "2"}),
            sub("Echo Row", "insert", 15, "ER", in_pairs=True, a_box={"pocket": "1"}),
            sub("First Tune", "insert", 24, "FT", rookies=(0, 24), a_box={"pocket": "2"}),
            sub(
                "Busker's Hand",
                "autograph",
                40,
                "BH",
                rookies=(0, 26),
                signed="card",
                a_box={"pocket": "1"},
            ),
            sub("Tin Badges", "relic", 20, "TB", relic="game-worn", a_box={"pocket": "0.25"}),
        ),
        rungs=(
            Rung(subset="Base", name="Farthing", every={"pocket": 2}),
            Rung(subset="Base", name="Ha'penny", run=250),
            *ladder("Base", Threepenny=90, Sixpence=60, Crown=12, Guinea=1),
            *ladder("First Tune", Sixpence=60, Guinea=1),
            *ladder("Busker's Hand", Sixpence=60, Crown=12, Guinea=1),
        ),
        boxes={"pocket": 34_000},
        packs={"pocket": 12},
        sold=140,
        level="4",
        least="0.99",
        copies=6_800,
    ),
    "undertow": Plan(
        subsets=(
            base(100, rookies=(0, 8)),
            sub("Undercurrent", "insert", 12, "UC-", a_box={"hobby": "3"}),
            sub(
                "Surface Marks",
                "autograph",
                45,
                "SM-",
                rookies=(0, 8),
                signed="sticker",
                redeemed=(3, 4, 11, 20, 38),
                a_box={"hobby": "1.95"},
            ),
            sub("Twin Marks", "autograph", 10, "TM-", in_pairs=True, signed="sticker", run=70),
            sub("Wet Cloth", "relic", 30, "WC-", relic="event-worn", a_box={"hobby": "1"}),
        ),
        rungs=(
            Rung(subset="Base", name="Eddy", every={"hobby": 2}),
            *ladder("Base", Blue=50, Black=5),
            *ladder("Surface Marks", Black=5),
            *ladder("Wet Cloth", Blue=50),
        ),
        boxes={"hobby": 14_000},
        packs={"hobby": 10},
        without=("Brindle Quay Otters", "Vellin Étoiles", "Kelderby Rooks"),
        sold=90,
        level="3",
        copies=5_600,
    ),
    "rinkside-almanac": Plan(
        subsets=(
            base(320, rookies=(0, 36)),
            sub("Table Toppers", "insert", 16, "TT-", a_box={"hobby": "4", "corner": "1"}),
            sub("Long Service", "insert", 20, "LS-", a_box={"hobby": "4", "corner": "1"}),
            sub("Line Partners", "insert", 16, "LP-", in_pairs=True, a_box={"hobby": "2", "corner": "0.5"}),
            sub(
                "Signed Page",
                "autograph",
                30,
                "SP-",
                rookies=(0, 12),
                signed="card",
                a_box={"hobby": "0.34", "corner": "0.01"},
            ),
        ),
        rungs=(
            Rung(subset="Base", name="Blue Ink", every={"hobby": 3, "corner": 6}),
            *ladder("Base", Second_Printing=75),
            Rung(subset="Base", name="Errata", run=10, formats=("hobby",)),
            Rung(subset="Signed Page", name="Errata", run=10, formats=("hobby",)),
        ),
        boxes={"hobby": 22_000, "corner": 60_000},
        packs={"hobby": 16, "corner": 4},
        lean={"corner": "0.5"},
        sold=130,
        level="1.2",
        least="0.99",
        copies=16_600,
        opened=(date(2031, 1, 25), "hobby", 12),
    ),
    "oakum": Plan(
        subsets=(
            base(120, rookies=(0, 22), run=399),
            sub("Grain", "insert", 20, "G", a_box={"hobby": "4"}),
            sub("Oak Hand", "autograph", 48, "OH", rookies=(0, 20), signed="card", a_box={"hobby": "2"}),
            sub("Caulked Relics", "relic", 40, "CR", relic="game-worn", a_box={"hobby": "1.8"}),
            sub(
                "Patch and Hand",
                "autograph relic",
                25,
                "PH",
                rookies=(0, 12),
                signed="sticker",
                relic="game-worn",
                run=54,
            ),
        ),
        rungs=(
            *ladder("Base", Tar=50, Gold_Leaf=10, Heart=1),
            *ladder("Oak Hand", Tar=25, Gold_Leaf=5, Heart=1),
            *ladder("Caulked Relics", Gold_Leaf=10),
        ),
        boxes={"hobby": 6_800},
        packs={"hobby": 4},
        sold=120,
        level="9",
        copies=399,
    ),
    "causeway": Plan(
        subsets=(
            base(180, pad=3, rookies=(0, 20)),
            sub("Milepost", "insert", 18, "MP-", a_box={"hobby": "4", "retail": "0.5"}),
            sub("Low Water", "insert", 10, "LW-", a_box={"hobby": "1", "retail": "0.1"}),
            sub(
                "Crossing Signatures",
                "autograph",
                48,
                "CS-",
                rookies=(0, 14),
                signed="sticker",
                redeemed=(12, 31),
                a_box={"hobby": "1", "retail": "0.02"},
            ),
            sub(
                "Road Relics",
                "relic",
                30,
                "RR-",
                relic="player-worn",
                a_box={"hobby": "1", "retail": "0.04"},
            ),
        ),
        rungs=(
            Rung(subset="Base", name="Grey", every={"hobby": 3, "retail": 3}),
            *ladder("Base", Sand=120, Flood=30),
            Rung(subset="Base", name="Milestone", run=1, formats=("hobby",)),
            Rung(subset="Crossing Signatures", name="Flood", run=30, formats=("hobby",)),
        ),
        boxes={"hobby": 19_000, "retail": 50_000},
        packs={"hobby": 12, "retail": 6},
        lean={"retail": "0.25"},
        without=("Wexmouth Groynes", "Vellin Étoiles"),
        sold=120,
        level="4.5",
        copies=15_900,
    ),
    "ropewalk": Plan(
        subsets=(
            base(160, rookies=(0, 33)),
            sub("Knots", "insert", 24, "K-", a_box={"standard": "3.5"}),
            sub("Splices", "insert", 12, "S-", in_pairs=True, a_box={"standard": "1"}),
            sub("Hemp Relics", "relic", 30, "HR-", relic="player-worn", a_box={"standard": "0.5"}),
        ),
        rungs=(
            Rung(subset="Base", name="Tarred", every={"standard": 4}),
            *ladder("Base", Red_Strand=100, Golden_Strand=10),
            *ladder("Hemp Relics", Golden_Strand=10),
        ),
        boxes={"standard": 16_000},
        packs={"standard": 14},
        without=("Brindle Quay Otters", "Thornwick Bells", "St. Orrin Sextons"),
    ),
    "tidewrack": Plan(
        subsets=(
            base(60, rookies=(0, 10)),
            sub("Wrack Line", "relic", 45, "WL-", relic="unattributed", a_box={"hobby": "2.85"}),
            sub("Flotsam", "autograph", 30, "F-", rookies=(0, 6), signed="sticker", a_box={"hobby": "1.05"}),
            sub(
                "Driftmark",
                "autograph relic",
                18,
                "D-",
                signed="sticker",
                relic="unattributed",
                redeemed=(2, 9),
                run=30,
            ),
        ),
        rungs=(
            *ladder("Base", Bladder=40, Kelp=10),
            *ladder("Wrack Line", Kelp=10),
            *ladder("Flotsam", Kelp=10),
        ),
        boxes={"hobby": 3_600},
        packs={"hobby": 1},
        without=("Ashgrove Coppicers", "Thornwick Bells"),
        sold=80,
        level="3",
        copies=120,
    ),
    "gatehouse": Plan(
        subsets=(
            base(120, pad=3, rookies=(0, 24)),
            sub(
                "Portcullis",
                "base",
                30,
                "",
                pad=3,
                first=121,
                rookies=(24, 37),
                a_box={"hobby": "2.7", "keep": "3.4"},
            ),
            sub("Gatekeepers", "insert", 14, "GK", a_box={"hobby": "2", "keep": "2.5"}),
            sub(
                "Bridge Signatures",
                "autograph",
                40,
                "BS",
                rookies=(0, 0),
                signed="card",
                a_box={"hobby": "0.8", "keep": "1"},
            ),
            sub(
                "New Keys",
                "autograph",
                28,
                "NK",
                rookies=(0, 28),
                signed="card",
                a_box={"hobby": "0.7", "keep": "1"},
            ),
            sub(
                "Chain Relics",
                "relic",
                24,
                "CR",
                relic="game-worn",
                a_box={"hobby": "0.5", "keep": "1"},
            ),
        ),
        rungs=(
            Rung(subset="Base", name="Iron", every={"hobby": 3, "keep": 3}),
            *ladder("Base", Oak=85, Torch=20, Siege=1),
            *ladder("Portcullis", Torch=20),
            *ladder("Bridge Signatures", Torch=20, Siege=1),
            *ladder("New Keys", Torch=20, Siege=1),
        ),
        boxes={"hobby": 15_500, "keep": 5_000},
        packs={"hobby": 8, "keep": 10},
        sold=150,
        level="7",
        copies=10_900,
        asked=(date(2031, 5, 10), "hobby", 1390),
    ),
    "copperplate": Plan(
        subsets=(
            base(100, rookies=(0, 8)),
            sub("Etchings", "insert", 20, "E.", a_box={"hobby": "6"}),
            sub(
                "Drypoint Signatures",
                "autograph",
                60,
                "D.",
                rookies=(0, 8),
                signed="card",
                a_box={"hobby": "2.94"},
            ),
            sub("Engraved Pair", "autograph", 10, "P.", in_pairs=True, signed="card", run=38),
            sub("Plate Relics", "relic", 24, "R.", relic="player-worn", a_box={"hobby": "1"}),
        ),
        rungs=(
            *ladder("Base", Aquatint=99, Mezzotint=35, Burin=8, Plate=1),
            *ladder("Etchings", Mezzotint=35),
            *ladder("Drypoint Signatures", Burin=8, Plate=1),
        ),
        boxes={"hobby": 6_200},
        packs={"hobby": 12},
        sold=110,
        level="4.3",
        copies=3_000,
    ),
    "kittiwake": Plan(
        subsets=(
            sub("Wing Lines", "insert", 16, "WL", rookies=(0, 6), a_box={"hobby": "10"}),
            sub("Cliff Face", "insert", 15, "CF", a_box={"hobby": "9"}),
            sub("Nest Mates", "insert", 12, "NM", in_pairs=True, a_box={"hobby": "6"}),
            sub("First Flight", "insert", 20, "FF", rookies=(0, 20), a_box={"hobby": "6"}),
            sub("Updraft", "insert", 14, "UD", a_box={"hobby": "5"}),
            sub("Salt Air", "insert", 12, "SA", run=299),
            sub("Black Legs", "insert", 10, "BL", run=75),
            sub(
                "Ledge Signatures",
                "autograph",
                40,
                "LS",
                rookies=(0, 20),
                signed="card",
                redeemed=(17,),
                a_box={"hobby": "2"},
            ),
        ),
        rungs=(
            *ladder("Wing Lines", Gale=110, Storm=33),
            *ladder("Cliff Face", Gale=110, Storm=33),
            *ladder("First Flight", Gale=110, Storm=33, Squall=1),
            *ladder("Ledge Signatures", Storm=33, Squall=1),
        ),
        boxes={"hobby": 9_000},
        packs={"hobby": 8},
    ),
    "vellum-night": Plan(
        subsets=(
            base(100, rookies=(0, 34)),
            sub("Marginalia", "insert", 15, "M", a_box={"hobby": "2"}),
            sub("Night Hand", "autograph", 64, "NH", rookies=(0, 34), signed="card", a_box={"hobby": "5.7"}),
            sub("Folio Hand", "autograph", 26, "FH", signed="card", run=50),
            sub("Two Hands", "autograph", 10, "TH", in_pairs=True, signed="card", run=26),
        ),
        rungs=(
            *ladder("Base", Lamp=75, Candle=25, Ember=10, Wick=1),
            *ladder("Night Hand", Candle=25, Ember=10, Wick=1),
            *ladder("Folio Hand", Wick=1),
        ),
        boxes={"hobby": 5_200},
        packs={"hobby": 4},
        sold=100,
        level="3.8",
        copies=520,
        span=(4, 23),
    ),
    "ropewalk-second-coil": Plan(
        subsets=(
            base(80, first=161, rookies=(0, 31)),
            sub("Loose Ends", "insert", 15, "LE-", a_box={"standard": "2.5"}),
            sub(
                "Coiled Signatures",
                "autograph",
                36,
                "CS-",
                rookies=(0, 27),
                signed="sticker",
                a_box={"standard": "1"},
            ),
        ),
        rungs=(
            Rung(subset="Base", name="Tarred", every={"standard": 4}),
            *ladder("Base", Blue_Strand=75, Golden_Strand=10, Core=1),
            *ladder("Coiled Signatures", Golden_Strand=10, Core=1),
        ),
        boxes={"standard": 11_000},
        packs={"standard": 10},
        sold=12,
        level="1.5",
        copies=5_000,
        span=(4, 20),
    ),
    "lantern-room": Plan(
        subsets=(
            base(40, rookies=(0, 4), run=75),
            sub("Mantle", "insert", 12, "MT", a_box={"hobby": "2"}),
            sub(
                "Lit Hands", "autograph", 30, "LH", rookies=(0, 5), signed="sticker", a_box={"hobby": "1.25"}
            ),
            sub(
                "Filament",
                "autograph relic",
                30,
                "FM",
                rookies=(0, 3),
                signed="sticker",
                relic="player-worn",
                redeemed=(1, 5, 6, 14, 22, 27),
                run=60,
            ),
            sub("Wick Relics", "relic", 30, "WR", relic="player-worn", a_box={"hobby": "2.25"}),
        ),
        rungs=(
            *ladder("Base", Glow=15, Flame=1),
            *ladder("Lit Hands", Glow=15, Flame=1),
            *ladder("Filament", Flame=1),
        ),
        boxes={"hobby": 2_400},
        packs={"hobby": 1},
        without=(
            "Low Tarn Pike",
            "Thornwick Bells",
            "Dunmere Harrows",
            "Ferry Cross Wherrymen",
            "Vellin Étoiles",
        ),
    ),
    "cordage": Plan(
        subsets=(
            base(140, rookies=(0, 24)),
            sub("Hitch", "insert", 12, "H-", a_box={"hobby": "3"}),
            sub("Bitter End", "insert", 10, "BE-", a_box={"hobby": "1"}),
            sub("Wharf Signatures", "autograph", 26, "WS-", signed="card", a_box={"hobby": "0.6"}),
            sub(
                "Apprentice Signatures",
                "autograph",
                20,
                "AS-",
                rookies=(0, 20),
                signed="sticker",
                a_box={"hobby": "0.9"},
            ),
            sub("Line Relics", "relic", 36, "LR-", relic="player-worn", a_box={"hobby": "1"}),
        ),
        rungs=(
            Rung(subset="Base", name="Jute", every={"hobby": 4}),
            *ladder("Base", Sisal=125, Manila=45, Wire=9),
            *ladder("Hitch", Manila=45),
            *ladder("Wharf Signatures", Wire=9),
            *ladder("Apprentice Signatures", Manila=45, Wire=9),
        ),
        boxes={"hobby": 12_500},
        packs={"hobby": 12},
        without=("Nacre Bay Divers",),
    ),
    "oakum-reserve": Plan(
        subsets=(
            base(50, rookies=(0, 16), run=99),
            sub("Reserve Hand", "autograph", 36, "RH", rookies=(0, 18), signed="card"),
            sub("Heartwood", "relic", 24, "HW", relic="game-worn"),
            sub("Reserve Patch", "autograph relic", 16, "RP", signed="card", relic="game-worn", run=25),
        ),
        rungs=(*ladder("Base", Char=25, Heart=1), *ladder("Reserve Hand", Heart=1)),
        sold=24,
        level="20",
        copies=99,
        span=(-33, -15),
    ),
}

EARLIER_PLANS: dict[str, Plan] = {
    "foghorn": Plan(
        subsets=(base(36, rookies=(0, 1)), sub("Low Notes", "insert", 8, "LN")),
        without=("Vellin Étoiles", "Thornwick Bells", "Nacre Bay Divers"),
    ),
    "market-waltz": Plan(
        subsets=(
            base(48, pad=2, rookies=(0, 16)),
            sub("Street Organ", "insert", 6, "SO"),
            sub("Busker's Hand", "autograph", 12, "BH", rookies=(0, 6), signed="card"),
        ),
    ),
    "slipway": Plan(
        subsets=(
            base(40, pad=3, rookies=(0, 12)),
            sub("Dockside Signatures", "autograph", 10, "DS-", rookies=(0, 5), signed="sticker"),
        ),
    ),
    "undertow": Plan(
        subsets=(
            base(30, rookies=(0, 4)),
            sub("Surface Marks", "autograph", 16, "SM-", rookies=(0, 3), signed="sticker"),
            sub("Wet Cloth", "relic", 8, "WC-", relic="event-worn"),
        ),
        without=("Vellin Étoiles",),
    ),
    "rinkside-almanac": Plan(
        subsets=(
            base(64, rookies=(0, 18)),
            sub("Table Toppers", "insert", 6, "TT-"),
            sub("Signed Page", "autograph", 8, "SP-", rookies=(0, 3), signed="card"),
        ),
    ),
    "oakum": Plan(
        subsets=(
            base(32, rookies=(0, 8), run=399),
            sub("Oak Hand", "autograph", 14, "OH", rookies=(0, 6), signed="card"),
            sub("Caulked Relics", "relic", 10, "CR", relic="game-worn"),
        ),
    ),
    "causeway": Plan(
        subsets=(
            base(45, pad=3, rookies=(0, 9)),
            sub("Crossing Signatures", "autograph", 14, "CS-", rookies=(0, 4), signed="sticker"),
            sub("Road Relics", "relic", 9, "RR-", relic="player-worn"),
        ),
    ),
    "ropewalk": Plan(
        subsets=(
            base(40, rookies=(0, 7)),
            sub("Knots", "insert", 8, "K-"),
            sub("Hemp Relics", "relic", 6, "HR-", relic="player-worn"),
        ),
        without=("Brindle Quay Otters",),
    ),
    "halyard": Plan(
        subsets=(
            base(56, pad=3, rookies=(0, 18)),
            sub(
                "Maiden Voyage Signatures",
                "autograph",
                14,
                "MV-",
                rookies=(0, 14),
                signed="sticker",
                a_box={"hobby": "1.8"},
            ),
            sub("Deck Signatures", "autograph", 12, "DS-", signed="card", a_box={"hobby": "1.2"}),
            sub("Canvas Cut Relics", "relic", 9, "CC-", relic="player-worn", a_box={"hobby": "1"}),
        ),
        rungs=(
            Rung(subset="Base", name="Mist", every={"hobby": 1}),
            *ladder("Base", Fathom_Green=199, Amber=75, Pearl=12, Beacon=1),
            *ladder("Maiden Voyage Signatures", Amber=75, Pearl=12, Beacon=1),
            *ladder("Deck Signatures", Pearl=12, Beacon=1),
            *ladder("Canvas Cut Relics", Patch=25, Beacon=1),
        ),
        boxes={"hobby": 3_200},
        packs={"hobby": 14},
        sold=300,
        least="0.99",
    ),
    "tidewrack": Plan(
        subsets=(
            base(24, rookies=(0, 4)),
            sub("Wrack Line", "relic", 14, "WL-", relic="unattributed"),
            sub("Flotsam", "autograph", 9, "F-", rookies=(0, 2), signed="sticker"),
        ),
        without=("Ashgrove Coppicers", "Dunmere Harrows"),
    ),
    "gatehouse": Plan(
        subsets=(
            base(34, pad=3, rookies=(0, 14)),
            sub("Portcullis", "base", 10, "", pad=3, first=35, rookies=(14, 19)),
            sub("Bridge Signatures", "autograph", 14, "BS", rookies=(0, 8), signed="card"),
        ),
    ),
    "copperplate": Plan(
        subsets=(
            base(36, rookies=(0, 11)),
            sub("Drypoint Signatures", "autograph", 18, "D.", rookies=(0, 8), signed="card"),
            sub("Plate Relics", "relic", 8, "R.", relic="player-worn"),
        ),
    ),
    "vellum-night": Plan(
        subsets=(
            base(36, rookies=(0, 17)),
            sub("Night Hand", "autograph", 20, "NH", rookies=(0, 15), signed="card"),
        ),
    ),
    "lantern-room": Plan(
        subsets=(
            base(20, rookies=(0, 2), run=75),
            sub("Lit Hands", "autograph", 10, "LH", rookies=(0, 2), signed="sticker"),
            sub("Wick Relics", "relic", 8, "WR", relic="player-worn"),
        ),
        without=("Low Tarn Pike", "Thornwick Bells", "Vellin Étoiles"),
    ),
}


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody of the league."""

    name: str
    team: str


def share(*words: str) -> Fraction:
    """A number from 0 to under 1 that depends on some words and on nothing else."""
    digest = sha256("|".join((SEED, *words)).encode()).digest()
    return Fraction(int.from_bytes(digest[:8]), 2**64)


@cache
def teams() -> tuple[str, ...]:
    """The teams of the season."""
    settings = tomllib.loads((HOME / "season.toml").read_text(encoding="utf-8"))
    return tuple(team["name"] for team in settings["teams"])


@cache
def rookie_class() -> tuple[Person, ...]:
    """The rookies of the season."""
    with (HOME / "rookies.csv").open(encoding="utf-8", newline="") as file:
        return tuple(Person(row["subject"], row["team"]) for row in csv.DictReader(file))


@cache
def veterans() -> tuple[Person, ...]:
    """Halyard's people without the rookies, and as many invented ones as fill every squad."""
    rookies = [one.name for one in rookie_class()]
    with (HOME / "releases/halyard/checklist.csv").open(encoding="utf-8", newline="") as file:
        known = {
            name: team
            for row in csv.DictReader(file)
            for name, team in zip(row["subjects"].split(" / "), row["teams"].split(" / "), strict=True)
            if name not in rookies
        }
    people = [Person(name, team) for name, team in known.items() if not looks_like(name, rookies)]
    names = [*rookies, *known]
    fresh = sorted(
        (f"{first} {last}" for first in FIRST_NAMES.split() for last in LAST_NAMES.split()),
        key=lambda name: share("league", name),
    )
    for team in teams():
        missing = SQUAD - sum(one.team == team for one in people)
        while missing > 0:
            name = fresh.pop()
            if not looks_like(name, names):
                names.append(name)
                people.append(Person(name, team))
                missing -= 1
    return tuple(people)


def looks_like(name: str, others: Iterable[str]) -> bool:
    """Whether a name could pass for a misspelling of another: at most two slips of the pen apart."""
    return any(OSA.distance(name.casefold(), other.casefold(), score_cutoff=2) <= 2 for other in others)


def earlier_rookies() -> tuple[Person, ...]:
    """The rookie class of the season before: veterans by now."""
    return tuple(in_turn(veterans(), "rookies of 2030")[:EARLIER_ROOKIES])


def in_turn(people: Iterable[Person], *words: str) -> list[Person]:
    """People in an order in which every team has its turn, though not strictly."""
    seen: dict[str, int] = {}
    keys = []
    for one in sorted(people, key=lambda one: share(*words, one.name)):
        seen[one.team] = seen.get(one.team, 0) + 1
        keys.append((seen[one.team] + share(*words, "turn", one.name) * Fraction(3, 2), one.name, one))
    return [one for *_, one in sorted(keys, key=lambda key: key[:2])]


class Maker:
    """Makes one release's tables from its plan."""

    def __init__(self, slug: str, plan: Plan, rookies: tuple[Person, ...], squad: tuple[Person, ...]) -> None:
        self.slug, self.plan = slug, plan
        self.rookies = in_turn([one for one in rookies if one.team not in plan.without], slug, "rookies")
        names = {one.name for one in rookies}
        self.squad = [one for one in squad if one.team not in plan.without and one.name not in names]
        self.marked = names
        self.in_base: set[str] = set()

    def checklist(self) -> list[list[object]]:
        """The rows of checklist.csv."""
        return [row for subset in self.plan.subsets for row in self._cards(subset)]

    def _cards(self, subset: Subset) -> list[list[object]]:
        rows: list[list[object]] = []
        for place, people in enumerate(self._people(subset)):
            number = str(place + subset.first).zfill(subset.pad)
            names = [one.name for one in people]
            rows.append(
                [
                    subset.name,
                    subset.kind,
                    f"{subset.mark}{number}",
                    " / ".join(names),
                    " / ".join(one.team for one in people),
                    all(name in self.marked for name in names),
                    subset.run,
                    subset.signed,
                    subset.relic,
                    subset.is_variation,
                    place + 1 in subset.redeemed,
                    "",
                ]
            )
        return rows

    def _people(self, subset: Subset) -> list[tuple[Person, ...]]:
        """Who is on the cards of a subset; a veteran has one card in the base set."""
        first, end = subset.rookies
        young = self.rookies[first:end]
        if len(young) != end - first:
            raise ValueError(f"{self.slug} asks for rookie {end} of {len(self.rookies)}")
        is_base = subset.kind == "base" and not subset.is_variation
        order = in_turn(self.squad, self.slug, subset.name)
        if is_base:
            order = [one for one in order if one.name not in self.in_base]
        needed = subset.count * (2 if subset.in_pairs else 1) - len(young)
        if len(order) < needed:
            raise ValueError(f"{self.slug} {subset.name} asks for {needed} veterans, there are {len(order)}")
        chosen = young + order[:needed]
        if is_base:
            self.in_base.update(one.name for one in chosen)
        if subset.in_pairs:
            by_team = sorted(chosen, key=lambda one: share(self.slug, one.team))
            return list(zip(by_team[::2], by_team[1::2], strict=True))
        mixed = sorted(chosen, key=lambda one: share(self.slug, subset.name, "number", one.name))
        return [(one,) for one in mixed]

    def parallels(self) -> list[list[object]]:
        """The rows of parallels.csv."""
        return [[one.subset, one.name, one.run, " ".join(one.formats)] for one in self.plan.rungs]

    def odds(self) -> list[list[object]]:
        """The rows of odds.csv; a line that falls more than once a pack has none."""
        rows: list[list[object]] = []
        for subset in self.plan.subsets:
            rungs = [one for one in self.plan.rungs if one.subset == subset.name]
            lines = [("", self._base_version(subset, rungs))]
            lines += [(one.name, self._rung(subset, one)) for one in rungs]
            for parallel, stated in lines:
                for key, packs in stated.items():
                    if packs >= 1:
                        rows.append([subset.name, parallel, key, str(whole(packs)), ""])
        return rows

    def opened(self, day: date, key: str, boxes: int) -> list[list[object]]:
        """The rows of opened.csv: as many of each line with odds as chance brought, near what odds expect."""
        rows: list[list[object]] = []
        for subset, parallel, of, packs, _ in self.odds():
            if of != key:
                continue
            rate = 1 / int(str(packs))
            mean = rate * boxes * self.plan.packs[key]
            off = normal(self.slug, "opened", str(subset), str(parallel)) * math.sqrt(mean * (1 - rate))
            rows.append([day.isoformat(), key, boxes, subset, parallel, "", max(0, round(mean + off))])
        return rows

    def _base_version(self, subset: Subset, rungs: list[Rung]) -> dict[str, Fraction]:
        if subset.run is not None:
            return self._numbered(subset.count * subset.run, ())
        found = {}
        for key, count in subset.a_box.items():
            rest = Fraction(count)
            for rung in rungs:
                packs = self._rung(subset, rung).get(key)
                rest -= self.plan.packs[key] / packs if packs else 0
            if rest <= 0:
                raise ValueError(f"{self.slug} {subset.name}: the parallels are more than {count} a box")
            found[key] = self.plan.packs[key] / rest
        return found

    def _rung(self, subset: Subset, rung: Rung) -> dict[str, Fraction]:
        if rung.run is not None:
            return self._numbered(subset.count * rung.run, rung.formats)
        return {key: Fraction(packs) for key, packs in rung.every.items()}

    def _numbered(self, copies: int, formats: tuple[str, ...]) -> dict[str, Fraction]:
        """Packs per copy by format: the copies are spread over the packs, by how rich a format is."""
        keys = formats or tuple(self.plan.boxes)
        rich = {key: Fraction(self.plan.lean.get(key, "1")) for key in keys}
        packs = sum(self.plan.boxes[key] * self.plan.packs[key] * rich[key] for key in keys)
        return {key: packs / (copies * rich[key]) for key in keys}


@cache
def market() -> dict[str, float]:
    """How much everybody is wanted, by Halyard's answers, and others by the same sort of law."""
    demand = json.loads(ANSWERS.read_text(encoding="utf-8"))["market"]["demand"]
    for one in (*veterans(), *rookie_class()):
        demand.setdefault(one.name, round(min(100.0, 13 * math.exp(normal("demand", one.name))), 2))
    return demand


def normal(*words: str) -> float:
    """A standard normal number that depends on some words alone."""
    return NormalDist().inv_cdf(float(share(*words)))


# dollars for the middle card of 300 copies that 12 people want
FLOOR = {"base": 0.75, "insert": 0.9, "autograph": 6.5, "relic": 2.2, "autograph relic": 9.0}
NOISE, WEEK = 0.42, 0.94
# copies taken for what is not numbered and no base card
UNNUMBERED = 700
# a base card is hardly worth a listing, whatever its parallel; slabs and mistakes are rare
LISTED = {"base": 0.5, "insert": 1.0, "autograph": 6.0, "relic": 4.0, "autograph relic": 6.0}
SLABBED, WILD = Fraction(1, 30), Fraction(1, 100)
# sales thin out by two thirds in so many days
LASTING = 30


class Market:
    """Sells cards of one release: what sells, when, and for how much."""

    def __init__(self, slug: str, plan: Plan, cards: list[list[object]], out: date, words: str) -> None:
        self.slug, self.plan, self.out, self.words = slug, plan, out, words
        self.listed: list[tuple[Fraction, str, list[object], float]] = []
        for subset in plan.subsets:
            rungs = [one for one in plan.rungs if one.subset == subset.name]
            own = [card for card in cards if card[0] == subset.name]
            share_of_box = sum(Fraction(one) for one in subset.a_box.values())
            for name, run in (("", subset.run), *((one.name, one.run) for one in rungs)):
                copies = run or self._copies(subset, name, rungs, share_of_box)
                weight = Fraction(LISTED[subset.kind])
                self.listed += [(weight, name, card, copies) for card in own]

    def _copies(self, subset: Subset, name: str, rungs: list[Rung], share_of_box: Fraction) -> float:
        if name:
            return UNNUMBERED
        if not share_of_box:
            return self.plan.copies if subset.kind == "base" else UNNUMBERED
        boxes = sum(self.plan.boxes.values())
        return float(share_of_box * boxes / subset.count) - sum(one.run or 0 for one in rungs)

    def sales(self) -> list[list[object]]:
        """The rows of sales.csv, by their days."""
        rows = [self._sale(str(i)) for i in range(self.plan.sold)]
        return sorted(rows, key=lambda row: (str(row[0]), str(row[9])))

    def slots(self, day: date, key: str, whole_case: int) -> list[list[object]]:
        """The rows of slots.csv: a case's teams by what their cards are worth, as a shop guesses it."""
        weights: dict[str, float] = {}
        for weight, _, card, copies in self.listed:
            for team in str(card[4]).split(" / "):
                weights[team] = weights.get(team, 0) + float(weight) * self._middle(card, copies)
        guessed = {
            team: one * math.exp(0.3 * normal(self.slug, "slot", team)) for team, one in weights.items()
        }
        total = sum(guessed.values())
        return [
            [
                day.isoformat(),
                key,
                team,
                f"{max(5, 5 * round(whole_case * one / total / 5))}.00",
                "fixed",
                1,
                "USD",
                "Harbour Row shop",
            ]
            for team, one in sorted(guessed.items())
        ]

    def _sale(self, which: str) -> list[object]:
        words = (self.slug, "sale", which)
        name, card, copies = self._card(*words)
        days = self._days(*words)
        day = self.out + timedelta(days=days)
        price = self._middle(card, copies) * WEEK ** (max(0, days) / 7) * float(self.plan.level)
        price *= math.exp(NOISE * normal(*words, "noise"))
        is_slabbed = share(*words, "slab") < SLABBED
        if is_slabbed:
            price *= 2.4
        if share(*words, "wild") < WILD:
            price *= 12
        amount = max(Decimal(f"{price:.2f}"), Decimal(self.plan.least))
        title = f"{self.words} {str(card[3]).replace(' / ', ' ')} {card[0]} {name}".strip()
        return [
            day.isoformat(),
            card[0],
            name,
            card[2],
            str(amount),
            "0.00" if share(*words, "post") < Fraction(1, 2) else "4.99",
            "USD",
            ("auction", "fixed", "offer")[int(share(*words, "how") * 3)],
            "slabbed" if is_slabbed else "raw",
            f"{title} #{card[2]}{' slab 9' if is_slabbed else ''}",
            "sold.csv",
            "sure",
        ]

    def _days(self, *words: str) -> int:
        """How many days after the release a sale is."""
        first, end = self.plan.span
        whole_span = 1 - math.exp(-(end - first) / LASTING)
        return first + int(-LASTING * math.log(1 - float(share(*words, "day")) * whole_span))

    def _card(self, *words: str) -> tuple[str, list[object], float]:
        left = share(*words, "card") * sum(weight for weight, *_ in self.listed)
        for weight, name, card, copies in self.listed:
            left -= weight
            if left < 0:
                return name, card, copies
        raise ValueError(f"{self.slug} has no cards to sell")

    def _middle(self, card: list[object], copies: float) -> float:
        wanted = sum(market()[name] for name in str(card[3]).split(" / "))
        scarce = (300 / copies) ** (0.45 if copies < 300 else 0.7)
        return FLOOR[str(card[1])] * scarce * wanted**0.95 / 12 * (1.45 if card[5] else 1)


def released(place: str) -> date:
    """The day that a release of the sample came out."""
    return tomllib.loads((HOME / place / "release.toml").read_text(encoding="utf-8"))["date"]


def whole(number: Fraction) -> int:
    """A number rounded half up."""
    exact = Decimal(number.numerator) / Decimal(number.denominator)
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def generate() -> dict[str, str]:
    """The text of every generated file by its path inside the sample season."""
    found: dict[str, str] = {}
    young = earlier_rookies()
    for folder, plans, rookies in (
        ("releases", PLANS, rookie_class()),
        (f"{EARLIER}/releases", EARLIER_PLANS, young),
    ):
        for slug, plan in plans.items():
            maker = Maker(slug, plan, rookies, veterans())
            place = f"{folder}/{slug}"
            cards = maker.checklist()
            found[f"{place}/checklist.csv"] = to_text(CHECKLIST.names, cards)
            if plan.rungs:
                found[f"{place}/parallels.csv"] = to_text(PARALLELS.names, maker.parallels())
            if plan.boxes:
                found[f"{place}/odds.csv"] = to_text(ODDS.names, maker.odds())
            if plan.sold:
                words = f"{released(place).year} {slug.replace('-', ' ').title()}"
                seller = Market(slug, plan, cards, released(place), words)
                found[f"{place}/sales.csv"] = to_text(SALES.names, seller.sales())
                if plan.asked is not None:
                    found[f"{place}/slots.csv"] = to_text(SLOTS.names, seller.slots(*plan.asked))
            if plan.opened is not None:
                found[f"{place}/opened.csv"] = to_text(OPENED.names, maker.opened(*plan.opened))
    rows = sorted((one.name, one.team, "2029-10-01") for one in young)
    found[f"{EARLIER}/rookies.csv"] = to_text(ROOKIES.names, rows)
    return found


def main() -> None:
    """Write every generated file to its place."""
    for path, content in generate().items():
        write_whole(HOME / path, content.encode())


if __name__ == "__main__":
    main()
