"""`find`: every card of somebody, with chances and prices worked out by hand."""

from __future__ import annotations

import pytest

from rating.season.season import Season

SALES = """date,subset,parallel,number,price,postage,currency,how,condition,title,source,match
2031-04-01,Ink,,INK-1,40.00,4.00,,auction,raw,a,s,sure
2031-04-02,Ink,,INK-1,50.00,,USD,auction,raw,b,s,hand
2031-04-03,Ink,,INK-1,61.01,,,auction,,c,s,likely
2031-04-04,Ink,,INK-1,900.00,,,auction,slabbed,d,s,sure
2031-04-05,Ink,,INK-1,10.00,,EUR,auction,raw,e,s,sure
2031-04-06,,,,11.00,,,auction,raw,Ada Finch lot,s,
2031-05-02,Ink,,INK-1,1.00,,,auction,raw,of tomorrow,s,sure
2031-04-06,Base,,001,2.00,,,auction,raw,f,s,sure
2031-04-07,Base,,001,2.01,,,auction,raw,g,s,sure
"""


@pytest.fixture
def season(small_season):
    """Odds for the signed cards of deep-harbour, and sales."""
    folder = small_season / "releases" / "deep-harbour"
    (folder / "odds.csv").write_text(
        "subset,parallel,format,packs_per_copy,note\nInk,,hobby,7,\n", encoding="utf-8"
    )
    (folder / "sales.csv").write_text(SALES, encoding="utf-8")
    return small_season


def test_cards_with_chances_and_prices_by_hand(answer, season):
    """Ink at 1:7, one of two cards of 99 copies: 1:14 in 14 packs; 2 cards of 8 a pack are hits at most.

    Of the three raw sales in the season's currency up to today, 50.00 is the middle; two of the base card
    make 2.005, half-up 2.01.
    """
    got = answer("find", "ada finch", "deep-harbour", "--season", season)
    assert got["names"] == ["Ada Finch"]
    base, ink = got["cards"]
    assert {"release", "subset", "parallel", "number", "subjects", "print_run", "p_box", "price"} <= set(ink)
    assert (ink["release"], ink["subset"], ink["parallel"], ink["number"], ink["print_run"]) == (
        "deep-harbour",
        "Ink",
        "",
        "INK-1",
        99,
    )
    assert (ink["subjects"], ink["signed"], ink["rookie"]) == (["Ada Finch"], "card", True)
    assert ink["p_box"] == pytest.approx(1 - (13 / 14) ** 14, abs=1e-6)
    assert ink["p_case"] == pytest.approx(1 - (13 / 14) ** 140, abs=1e-5)
    assert (ink["price"], ink["sales"]) == (50, 3)
    assert (base["price"], base["sales"]) == (2.01, 2)
    (whole,) = got["releases"]
    assert (whole["cards"], whole["format"]) == (2, "hobby")
    assert whole["p_box"] >= max(ink["p_box"], base["p_box"])
    # tomorrow's sale counts tomorrow: 1, 40, 50, 61.01 make 45
    later = answer("find", "ada finch", "deep-harbour", "--season", season, "--today", "2031-05-02")
    assert later["cards"][1]["price"] == 45


def test_over_the_season_in_the_order_of_release(answer, season):
    """Both releases that have her; the second has no odds, so its signed card falls by the promise alone."""
    got = answer("find", "FINCH, Ada", "--season", season)
    assert [one["release"] for one in got["releases"]] == ["deep-harbour", "high-water"]
    assert len(got["cards"]) == 4
    # three autographs a box on average, half of them hers: 1 - exp(-1.5)
    assert got["cards"][3]["p_box"] == pytest.approx(0.776870, abs=1e-6)
    assert got["cards"][3]["price"] is None


def test_what_nothing_is_said_of_has_no_chance(answer, run, season):
    """Eve Holm's only card is an insert without odds."""
    got = answer("find", "eve holm", "deep-harbour", "--season", season)
    assert (got["cards"][0]["p_box"], got["releases"][0]["p_box"]) == (None, None)
    out = run("find", "eve holm", "deep-harbour", "--cards", "--season", season)[1]
    assert "how often these cards fall is not known" in " ".join(out.split())


@pytest.mark.parametrize("typed", ["ada fnich", "Finch", "ADA  FINCH", "ada finnch"])
def test_spelling_is_forgiven(answer, season, typed):
    """A slip, a part, capitals and blanks."""
    assert answer("find", typed, "--season", season)["names"] == ["Ada Finch"]


def test_where_it_is_not_clear_the_candidates_are_told(answer, run, season):
    """And no card, for it might be the wrong one's."""
    path = season / "releases" / "deep-harbour" / "checklist.csv"
    with path.open("a", encoding="utf-8") as file:
        file.write("Base,base,005,Zoe Finch,Brindle Quay Otters,,,,,,,\n")
    got = answer("find", "finch", "--season", season)
    assert (got["cards"], set(got["candidates"])) == ([], {"Ada Finch", "Zoe Finch"})
    assert "Who is meant by 'finch'? Ada Finch or Zoe Finch." in run("find", "finch", "--season", season)[1]


def test_nobody_and_no_release_and_no_format_are_told(refused, season):
    """Each in a sentence."""
    assert "nobody on a card is called 'Xyzzy'" in refused("find", "Xyzzy", "--season", season)
    assert "deep-harbour" in refused("find", "ada finch", "fog-bank", "--season", season)
    told = refused("find", "ada finch", "--format", "bags", "--season", season)
    assert "no format 'bags'" in told
    assert "hobby" in told
    told = refused("find", "ada finch", "low-water", "--season", season)
    assert "no release has a checklist" in told


def test_another_format_can_be_asked_for(answer, season):
    """Ink has odds in hobby only, and so is not in the jar of one pack: 0, and the base card is."""
    sheet = season / "releases" / "deep-harbour" / "release.toml"
    with sheet.open("a", encoding="utf-8") as file:
        file.write(
            '\n[formats.jar]\nname = "Jar"\ncards_per_pack = 8\npacks_per_box = 1\nboxes_per_case = 4\n'
        )
    odds = season / "releases" / "deep-harbour" / "odds.csv"
    with odds.open("a", encoding="utf-8") as file:
        file.write("Tides,,jar,2,\n")
    got = answer("find", "ada finch", "--format", "jar", "--season", season)
    assert [one["release"] for one in got["releases"]] == ["deep-harbour"]
    base, ink = got["cards"]
    # a pack of eight has each of the four base cards
    assert (base["p_box"], ink["p_box"], ink["formats"]) == (1, 0, ["hobby"])


def test_a_release_that_cannot_be_read_is_left_out_of_a_season(run, refused, season):
    """With a remark; alone it is refused."""
    path = season / "releases" / "high-water" / "checklist.csv"
    with path.open("a", encoding="utf-8") as file:
        file.write("Base,poem,009,Ada Finch,,,,,,,,\n")
    code, out, err = run("find", "ada finch", "--season", season)
    assert code == 0
    assert "left out: high-water: kind is 'poem'" in err
    assert "Deep Harbour" in out
    assert "poem" in refused("find", "ada finch", "high-water", "--season", season)


def test_the_text_fits_the_page_and_names_the_model(run, sample_season, monkeypatch):
    """A hundred columns for the person with the most cards: first by release, and card by card on request."""
    monkeypatch.setenv("COLUMNS", "100")
    code, out, _ = run("find", "maddoc nunez", "--season", sample_season)
    assert code == 0
    assert len(out.splitlines()) < 24
    code, out, _ = run("find", "maddoc nunez", "--cards", "--season", sample_season)
    assert code == 0
    assert max(map(len, out.splitlines())) <= 100
    assert "if packs are filled at random" in " ".join(out.split())
    assert "only retail" in out


def test_prices_stand_beside_the_caution_once(run, answer, sample_season):
    """In words and as JSON, and not where no price is known."""
    names = [one.subjects[0] for one in Season.open(sample_season).files.release("halyard").cards[:40]]
    seen = set()
    for name in names:
        got = answer("find", name, "halyard", "--season", sample_season)
        priced = any(card["price"] is not None for card in got["cards"])
        seen.add(priced)
        assert ("caution" in got) == priced
        out = " ".join(run("find", name, "halyard", "--season", sample_season)[1].split())
        assert out.count("Many boxes return less than they cost.") == int(priced)
        if len(seen) == 2:
            break
    assert True in seen


def test_changed_files_change_the_answer(answer, season):
    """What was kept of the old ones is not used."""
    before = answer("find", "ada finch", "deep-harbour", "--season", season)["cards"][1]["p_box"]
    odds = season / "releases" / "deep-harbour" / "odds.csv"
    odds.write_text(odds.read_text(encoding="utf-8").replace(",7,", ",9,"), encoding="utf-8")
    after = answer("find", "ada finch", "deep-harbour", "--season", season)["cards"][1]["p_box"]
    assert before == pytest.approx(1 - (13 / 14) ** 14, abs=1e-6)
    assert after == pytest.approx(1 - (17 / 18) ** 14, abs=1e-6)
