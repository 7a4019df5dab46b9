"""Numbers and days at the edges are refused by `check` with their place, and end no command in a fault."""

from __future__ import annotations

import re

import pytest

BIG = "9" * 100
TABLES = [
    ("prices.csv", f"2031-04-01,hobby,box,street,{BIG},,x", "price"),
    ("prices.csv", f"2031-04-01,hobby,box,street,1.{BIG},,x", "price"),
    ("prices.csv", "2031-04-01,hobby,box,street,0,,x", "price"),
    ("prices.csv", "2031-04-01,hobby,box,street,NaN,,x", "price"),
    ("prices.csv", "2031-04-01,hobby,box,street,1E5,,x", "price"),
    ("prices.csv", "0001-01-01,hobby,box,street,10,,x", "date"),
    ("prices.csv", "9999-12-31,hobby,box,street,10,,x", "date"),
    ("odds.csv", "Base,,hobby,0.0001", "packs_per_copy"),
    ("odds.csv", "Base,,hobby,0", "packs_per_copy"),
    ("odds.csv", f"Base,,hobby,0.{'0' * 30}1", "packs_per_copy"),
    ("odds.csv", f"Base,,hobby,{BIG}", "packs_per_copy"),
    ("sales.csv", f"2031-04-10,Base,,001,{BIG},,,auction,raw,,,hand", "price"),
    ("sales.csv", "0001-01-01,Base,,001,5,,,auction,raw,,,hand", "date"),
    ("parallels.csv", f"Base,Giant,{BIG},", "print_run"),
    ("parallels.csv", "Base,Giant,0,", "print_run"),
]
HEADERS = {
    "prices.csv": "date,format,unit,kind,price,currency,source",
    "odds.csv": "subset,parallel,format,packs_per_copy",
    "sales.csv": "date,subset,parallel,number,price,postage,currency,how,condition,title,source,match",
    "parallels.csv": "subset,parallel,print_run,formats",
}
TOML = [
    ("releases/high-water/release.toml", r"^date = .*", "date = 0001-01-01", "date is 0001-01-01"),
    ("releases/high-water/release.toml", r"^date = .*", "date = 9999-12-31", "date is 9999-12-31"),
    ("releases/high-water/release.toml", r"^packs_per_box = .*", f"packs_per_box = {BIG}", "packs_per_box"),
    ("releases/high-water/release.toml", r"^cards_per_pack = .*", "cards_per_pack = 0", "cards_per_pack"),
    ("rubric.toml", r"^points = .*", f"points = {BIG}", "points"),
]


def ends_in_no_fault(run, season):
    """Every command that reads the release: refused or done, never a fault of the program."""
    for words in (("grade", "high-water"), ("facts", "high-water"), ("tonight",)):
        assert run(*words, "--season", season)[0] in {0, 1}


@pytest.mark.parametrize(("file", "row", "column"), TABLES)
def test_a_cell_at_the_edge_is_refused_with_its_place(run, answer, small_season, file, row, column):
    """The file, the row, and what to write instead."""
    path = small_season / "releases" / "high-water" / file
    before = path.read_text(encoding="utf-8") if path.exists() else f"{HEADERS[file]}\n"
    path.write_text(f"{before}{row}\n", encoding="utf-8")
    found = answer("check", "high-water", "--season", small_season, code=1)["problems"]
    (bad,) = (one for one in found if one["code"] == "bad-value")
    assert bad["what"].startswith(f"{column} is ")
    assert bad["row"] == len(before.splitlines()) + 1
    assert bad["file"].endswith(file)
    assert bad["fix"]
    ends_in_no_fault(run, small_season)


@pytest.mark.parametrize(("file", "old", "new", "told"), TOML)
def test_a_setting_at_the_edge_is_refused_with_its_place(run, small_season, file, old, new, told):
    """In the sheet of a release and in the rubric."""
    path = small_season / file
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(old, new, text, count=1, flags=re.MULTILINE), encoding="utf-8")
    code, out, err = run("check", "--season", small_season)
    assert code == 1
    assert told in out + err
    ends_in_no_fault(run, small_season)


@pytest.mark.parametrize("day", ["0001-01-01", "9999-12-31", "0000-00-00"])
def test_a_today_at_the_edge_is_refused(refused, small_season, day):
    """A slip of the keyboard."""
    assert "is not a date" in refused("tonight", "--today", day, "--season", small_season)
