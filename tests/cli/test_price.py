"""boxwright price: one row more in prices.csv, and what it does to the price line."""

from __future__ import annotations

import pytest


@pytest.fixture
def file(small_season):
    """The prices of deep-harbour: a list price of 160 and a street price of 200 on 14 March."""
    return small_season / "releases" / "deep-harbour" / "prices.csv"


def test_a_price_is_added_as_the_file_is_written_and_the_line_told(run, small_season, file):
    """Its order of columns and line ends stay to the byte; the price line speaks of the new price."""
    before = b"price,unit,format,kind,date\r\n200.00,box,hobby,street,2031-03-14\r\n"
    file.write_bytes(before)
    code, out, err = run("price", "deep-harbour", "hobby", "$150", "--season", small_season)
    assert code == 0
    assert file.read_bytes() == before + b"150.00,box,hobby,street,2031-05-01\r\n"
    told = " ".join(out.split())
    assert (
        "$150.00 for a hobby box on 2031-05-01 (street) is now in releases/deep-harbour/prices.csv, line 3."
        in told
    )
    assert "Whether it is worth $200.00 is open" in told.partition("Now: ")[0]
    assert "Whether it is worth $150.00 is open" in told.partition("Now: ")[2]
    assert " ".join(err.split()).startswith("Next: boxwright grade deep-harbour --record --season ")


def test_what_counts_for_another_day_unit_or_place_is_written_too(run, answer, small_season, file):
    """Thousands may be marked; the line stays where the new price is older than the one that counts."""
    words = ("--kind", "presale", "--unit", "case", "--on", "2031-03-02", "--from", "a shop, by phone")
    told = answer("price", "deep-harbour", "hobby", "1,590.00", *words, "--season", small_season)
    assert file.read_text(encoding="utf-8").splitlines()[-1] == (
        '2031-03-02,hobby,case,presale,1590.00,,"a shop, by phone"'
    )
    assert (told["price"], told["unit"], told["row"], told["source"]) == (1590, "case", 4, "a shop, by phone")
    assert told["before"] == told["after"]
    assert told["price_seen"] == "2031-03-14"


@pytest.mark.parametrize(("day", "is_old"), [("2031-04-01", False), ("2031-03-31", True)])
def test_a_price_older_than_thirty_days_is_not_said_without_a_look(run, small_season, day, is_old):
    """Today is 1 May: 30 days after 1 April, 31 after 31 March."""
    code, out, _ = run("price", "deep-harbour", "hobby", "99", "--on", day, "--season", small_season)
    assert code == 0
    assert (f"last seen on {day}; check before you say it." in " ".join(out.split())) is is_old


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("hoby", "150"), "did you mean hobby?"),
        (("hobby", "cheap"), "'cheap' is not a price"),
        (("hobby", "0"), "'0' is not a price"),
        (("hobby", "EUR 150"), "nothing says what EUR is worth in USD"),
        (("hobby", "150", "--kind", "steet"), "did you mean street?"),
        (("hobby", "150", "--unit", "crate"), "name one of pack, box, case"),
        (("hobby", "150", "--on", "2031-05-02"), "2031-05-02 is after today"),
        (("hobby", "201", "--on", "2031-03-14", "--from", "two shops"), "the price 200.00 of that day"),
    ],
)
def test_what_cannot_be_a_price_is_refused_and_nothing_is_written(refused, small_season, file, words, told):
    """One message, and the file as it was."""
    before = file.read_bytes()
    assert told in refused("price", "deep-harbour", *words, "--season", small_season)
    assert file.read_bytes() == before


def test_a_file_with_errors_is_mended_first(refused, small_season, file):
    """Nothing is added to what cannot be read."""
    file.write_text("date,format,unit,kind,price\n2031-03-14,hobby,crate,street,9\n", encoding="utf-8")
    before = file.read_bytes()
    assert "unit is 'crate'" in refused("price", "deep-harbour", "hobby", "8", "--season", small_season)
    assert file.read_bytes() == before


def test_a_source_needs_its_column(refused, small_season, file):
    """The columns of the file are the person's."""
    file.write_text("date,format,unit,kind,price\n", encoding="utf-8")
    words = ("deep-harbour", "hobby", "8", "--from", "a shop", "--season", small_season)
    assert "no column source" in refused("price", *words)


def test_a_release_that_cannot_be_graded_takes_a_price_all_the_same(run, answer, small_season):
    """An error elsewhere in its files is said, and the price is kept."""
    odds = small_season / "releases" / "deep-harbour" / "odds.csv"
    odds.write_text("subset,parallel,format,packs_per_copy\nBase,,hobby,none\n", encoding="utf-8")
    told = answer("price", "deep-harbour", "hobby", "150", "--season", small_season)
    assert told["after"] is None
    assert "packs_per_copy is 'none'" in told["unknown"]
    assert told["row"] == 4


@pytest.mark.parametrize(("today", "is_old"), [("2031-04-13", False), ("2031-04-14", True)])
def test_grade_says_so_too_beside_the_price_line(run, small_season, today, is_old):
    """The street price is of 14 March: 30 and 31 days before."""
    _, out, _ = run("grade", "deep-harbour", "--today", today, "--season", small_season)
    told = " ".join(out.split())
    assert ("was last seen on 2031-03-14; check before you say it." in told) is is_old
