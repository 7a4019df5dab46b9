"""Speed and memory of taking in large files."""

from __future__ import annotations

import csv
import io
import itertools
import random
import subprocess
import sys
import time
from datetime import date
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from rating.release.checklist import Card, Parallel
from rating.release.intake import SeasonWords, take_in
from rating.release.intake.titles import Matcher

TODAY = date(2031, 7, 15)
ROOT = Path(__file__).resolve().parents[2]
FIRST = (
    "Hesper",
    "Lowen",
    "Yara",
    "Edrik",
    "Caspar",
    "Merrin",
    "Zeb",
    "Senna",
    "Ulric",
    "Quill",
    "Sorrel",
    "Alda",
)
LAST = ("Cattermole", "Thistlewood", "Jessop-Marr", "Inchbald", "Birkenhow", "Wetherill", "Quenby", "Ullock")


def rows(number):
    """A checklist of so many cards in subsets of 197."""
    rng = random.Random(1)
    for subset in range(number // 197):
        yield [f"Tide {subset} Signatures"]
        yield [f"197 cards, signed on card. Numbered to {subset + 40}. Parallels: Amber /25, Beacon 1/1"]
        yield ["Card", "Player", "Team", "Notes"]
        for card in range(1, 198):
            name = f"{rng.choice(FIRST)} {rng.choice(LAST)}"
            yield [f"T{subset}-{card}", name, f"Harbour {card % 16} Rovers", "RC" if card % 9 == 0 else ""]
        yield []


@pytest.fixture(scope="module", params=["shared texts", "texts in cells"])
def workbook(request, tmp_path_factory):
    """A workbook of 20,000 rows, as two programs write it."""
    path = tmp_path_factory.mktemp("large") / "checklist.xlsx"
    if request.param == "shared texts":
        book = xlsxwriter.Workbook(str(path))
        sheet = book.add_worksheet("Master")
        for place, row in enumerate(rows(19_700)):
            sheet.write_row(place, 0, row)
        book.close()
    else:
        book = openpyxl.Workbook()
        for row in rows(19_700):
            book.active.append(row)
        book.save(path)
    return path


def test_a_large_workbook_costs_little_more_than_reading_it(workbook, ratio, tmp_path):
    """At most 2.5 times one read-only pass of openpyxl over its cells."""
    fresh = itertools.count()

    def ours():
        folder = tmp_path / str(next(fresh))
        folder.mkdir()
        result = take_in(folder, [workbook], season=SeasonWords(currency="USD"), today=TODAY)
        assert result.tables["checklist.csv"] == 19_700

    def theirs():
        book = openpyxl.load_workbook(workbook, read_only=True, data_only=True, keep_links=False)
        for _ in book.active.iter_rows(values_only=True):
            pass

    assert ratio(ours, theirs) <= 2.5


@pytest.fixture(scope="module")
def listed(tmp_path_factory):
    """A checklist of 50,000 cards as CSV and as a workbook, nearly all of its persons different."""
    rng = random.Random(4)
    parts = ("ka", "lo", "mi", "ren", "ta", "vo", "su", "nel", "bri", "dor", "pha", "wes")

    def word():
        return "".join(rng.choice(parts) for _ in range(rng.randint(2, 4))).capitalize()

    teams = [f"Harbour {word()}" for _ in range(30)]
    rows = [["No.", "Athlete", "Club", "Program", "Run"]]
    for place in range(50_000):
        subset, number = place // 250, place % 250 + 1
        rows.append(
            [
                f"{subset}-{number}",
                f"{word()} {word()}",
                rng.choice(teams),
                f"Tide {subset}",
                rng.choice(["", "99"]),
            ]
        )
    folder = tmp_path_factory.mktemp("listed")
    with (folder / "list.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    book = openpyxl.Workbook(write_only=True)
    sheet = book.create_sheet()
    for row in rows:
        sheet.append(row)
    book.save(folder / "list.xlsx")
    return folder


def test_a_checklist_of_fifty_thousand_rows_costs_no_more_than_reading_it_as_text_and_as_a_workbook(
    listed, ratio, tmp_path
):
    """At most 15 passes of csv.reader and one of openpyxl over the same rows, together."""
    fresh = itertools.count()
    content = (listed / "list.csv").read_text(encoding="utf-8")

    def ours():
        folder = tmp_path / str(next(fresh))
        folder.mkdir()
        result = take_in(folder, [listed / "list.csv"], season=SeasonWords(currency="USD"), today=TODAY)
        assert result.tables["checklist.csv"] == 50_000

    def theirs():
        for _ in range(15):
            list(csv.reader(io.StringIO(content, newline="")))
        book = openpyxl.load_workbook(listed / "list.xlsx", read_only=True, data_only=True)
        for _ in book.active.iter_rows(values_only=True):
            pass

    assert ratio(ours, theirs, rounds=3) <= 1


@pytest.fixture(scope="module")
def sold(tmp_path_factory):
    """5,000 titles against a checklist of 500 cards with three parallels a subset."""
    rng = random.Random(2)
    folder = tmp_path_factory.mktemp("sold")
    people = [f"{first} {last}" for first in FIRST for last in LAST]
    cards = [["Card", "Player", "Team", "Set", "Parallels"]]
    for subset in ("Base", "Night Tide", "Deck Signatures", "Cut Canvas Relics"):
        for number in range(1, 126):
            player = people[(number * 7) % len(people)]
            cards.append(
                [f"{subset[0]}{number}", player, "Rovers", subset, "Amber /75, Slate /35, Beacon 1/1"]
            )
    listed = [["Date", "Title", "Price"]]
    for _ in range(5_000):
        number, player, _, subset, _ = rng.choice(cards[1:])
        rung, run = rng.choice([("", 0), ("Amber", 75), ("Slate", 35)])
        words = ["2031 Halyard", player, "" if subset == "Base" else subset, rung]
        words += [
            f"#{number}",
            f"{rng.randint(1, run)}/{run}" if run else "",
            rng.choice(["", "RC", "hot", "LK"]),
        ]
        rng.shuffle(words)
        listed.append(["2031-04-01", " ".join(word for word in words if word), f"${rng.randint(1, 90)}.50"])
    for name, table in (("cards.csv", cards), ("sold.csv", listed)):
        out = io.StringIO()
        csv.writer(out).writerows(table)
        (folder / name).write_text(out.getvalue(), encoding="utf-8")
    return folder


def test_five_thousand_titles_are_matched_in_five_seconds(sold, tmp_path, benchmark):
    """Of CPU, with everything around it."""
    start = time.process_time()
    result = take_in(
        tmp_path, [sold / "cards.csv", sold / "sold.csv"], season=SeasonWords(currency="USD"), today=TODAY
    )
    taken = time.process_time() - start
    benchmark.extra_info["seconds"] = taken
    benchmark.pedantic(lambda: None, rounds=1)
    print(f"\n{taken:.2f} s for {sum(result.matches.values()):,} titles, {result.matches}")
    assert sum(result.matches.values()) > 4_900
    assert taken <= 5


def test_ten_times_the_titles_take_ten_times_as_long(sold):
    """5,000 and 50,000, all different."""
    with (sold / "sold.csv").open(encoding="utf-8", newline="") as file:
        titles = [row["Title"] for row in csv.DictReader(file)]
    with (sold / "cards.csv").open(encoding="utf-8", newline="") as file:
        cards = [
            Card(
                row["Set"],
                "base",
                row["Card"],
                (row["Player"],),
                ("",),
                False,
                None,
                "",
                "",
                False,
                False,
                "",
                0,
            )
            for row in csv.DictReader(file)
        ]
    parallels = [
        Parallel(one.subset, name, run, (), 0)
        for one in cards
        for name, run in (("Amber", 75), ("Slate", 35))
    ]

    def seconds(number):
        start = time.process_time()
        listed = [f"{titles[place % len(titles)]} item {place:07}" for place in range(number)]
        matcher = Matcher(cards, parallels, titles=listed)
        for title in listed:
            matcher.match(title)
        return time.process_time() - start

    few, many = seconds(5_000), seconds(50_000)
    print(f"\n{few:.2f} s for 5,000 titles, {many:.2f} s for 50,000")
    assert few <= 3
    assert many <= 13 * few


@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the system does not tell it")
def test_large_files_stay_under_two_hundred_megabytes(workbook, sold, tmp_path, benchmark):
    """The whole process, with its imports."""
    code = (
        "import sys; from pathlib import Path; from datetime import date\n"
        "from rating.release.intake import SeasonWords, take_in\n"
        "folder, *files = map(Path, sys.argv[1:])\n"
        "take_in(folder, files, season=SeasonWords(currency='USD'), today=date(2031, 7, 15))\n"
        "print(next(line.split()[1] for line in open('/proc/self/status') if line.startswith('VmHWM')))"
    )
    sizes = []
    for place, files in enumerate(([workbook], [sold / "cards.csv", sold / "sold.csv"])):
        folder = tmp_path / str(place)
        folder.mkdir()
        done = subprocess.run(
            [sys.executable, "-c", code, str(folder), *map(str, files)],
            capture_output=True,
            text=True,
            check=True,
            cwd=ROOT,
        )
        sizes.append(int(done.stdout) * 1024 / 1_000_000)
    benchmark.extra_info["megabytes"] = sizes
    benchmark.pedantic(lambda: None, rounds=1)
    print(f"\n{sizes} MB")
    assert max(sizes) < 200
