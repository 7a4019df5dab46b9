"""`facts`: what the files say, in sections, each by hand."""

from __future__ import annotations

import csv
import random

import pytest

from rating.facts import sections


@pytest.fixture(autouse=True)
def _page(monkeypatch):
    """A screen as wide as a page of sentences."""
    monkeypatch.setenv("COLUMNS", "100")


def test_economics_by_hand(answer, small_season):
    """A box of 14 packs of 8 at 200, with three autographs: 1.79 a card, 14.29 a pack, 66.67 a hit."""
    got = answer("facts", "deep-harbour", "--season", small_season)
    assert {"economics", "content", "people", "history"} <= set(got)
    assert set(got["economics"]) == {"hobby"}
    assert (got["headline"], got["class"]) == ("hobby", "middle")
    hobby = got["economics"]["hobby"]
    assert hobby["cards_per_box"] == 112
    assert (hobby["box_price"], hobby["price_kind"], hobby["list_price"]) == (200, "street", 160)
    assert (hobby["per_card"], hobby["per_pack"], hobby["per_hit"]) == (1.79, 14.29, 66.67)
    # nothing is added to a price, as season.toml says
    assert hobby["landed_box"] == 200
    # at the list price: 160 / 112 = 1.43, 160 / 3 = 53.33
    first = hobby["prices"][0]
    assert (first["kind"], first["per_card"], first["per_hit"], first["day"]) == (
        "list", 1.43, 53.33, "2031-03-01",
    )  # fmt: skip


def test_content_and_people_by_hand(answer, small_season):
    """Seven cards: four base, an insert, two signed of 99 each; three of four teams and rookies."""
    got = answer("facts", "deep-harbour", "--season", small_season)
    content = got["content"]
    assert content["kinds"] == {"base": 4, "insert": 1, "autograph": 2}
    assert (content["cards"], content["rookies"], content["subjects"], content["signers"]) == (7, 4, 5, 2)
    assert [(tier["name"], tier["versions"], tier["copies"]) for tier in content["tiers"]] == [
        ("51 to 100", 2, 198)
    ]
    assert {team["team"]: (team["cards"], team["autographs"]) for team in content["teams"]} == {
        "Brindle Quay Otters": (4, 2), "Gull Point Herons": (2, 0), "Saltmarsh Lanterns": (1, 0),
    }  # fmt: skip
    people = got["people"]
    assert people["teams_missing"] == ["Tarn End Foxes"]
    # Gil Ash belongs to the class from 1 April on only, after the release
    assert (people["rookie_class"], people["rookies_missing"]) == (4, ["Fay Brook"])
    assert people["rookies_in_base"] == ["Ada Finch", "Bo Larkin"]
    assert people["rookies_signing"] == ["Ada Finch"]


def test_landed_adds_what_the_season_says(answer, small_season):
    """(200 + 15) x 1.1 x 1.08 = 255.42."""
    path = small_season / "season.toml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("tax = 0", "tax = 0.08").replace("shipping = 0", "shipping = 15")
    path.write_text(text.replace("duty = 0", "duty = 0.1"), encoding="utf-8")
    hobby = answer("facts", "deep-harbour", "--season", small_season)["economics"]["hobby"]
    assert (hobby["box_price"], hobby["landed_box"]) == (200, 255.42)


def test_a_section_that_cannot_be_computed_says_why(run, answer, small_season):
    """As JSON `unknown` with the reason, in words as a sentence."""
    got = answer("facts", "low-water", "--season", small_season)
    assert got["content"] == {"unknown": "there is no checklist yet"}
    assert got["people"] == {"unknown": "there is no checklist yet"}
    assert got["economics"]["hobby"]["box_price"] is None
    out = run("facts", "low-water", "--season", small_season)[1]
    told = " ".join(out.split())
    assert "not known content, people, completing, opening: there is no checklist yet." in told
    out = run("facts", "low-water", "--section", "content", "--season", small_season)[1]
    assert "Not known: there is no checklist yet." in out
    path = small_season / "releases" / "low-water" / "release.toml"
    path.write_text('format = 1\ntitle = "A"\nmaker = "B"\nline = "C"\n', encoding="utf-8")
    got = answer("facts", "low-water", "--season", small_season)
    assert got["economics"] == {"unknown": "no box formats are on file yet"}


def test_the_text_says_a_sentence_for_each_section(run, small_season):
    """With the cautions that go with prices; within a hundred columns."""
    code, out, err = run("facts", "deep-harbour", "--all", "--season", small_season)
    assert (code, err.split(" --season")[0]) == (0, "Next: boxwright grade deep-harbour")
    for name in ("Economics", "Content", "People", "History"):
        assert f"\n{name}\n{'-' * len(name)}\n" in out
    assert "66.67" in out
    assert "investment advice" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 100


@pytest.mark.parametrize("name", ["economics", "content", "people", "history"])
def test_one_section_alone(run, answer, small_season, name):
    """As JSON and in words; the cautions stand only beside prices."""
    got = answer("facts", "deep-harbour", "--section", name, "--season", small_season)
    assert {"economics", "content", "people", "history"} & set(got) == {name}
    out = run("facts", "deep-harbour", "--section", name, "--season", small_season)[1]
    assert ("investment advice" in " ".join(out.split())) == ("caution" in got) == (name == "economics")


@pytest.mark.parametrize(
    "name", ["economics", "completing", "values", "returns", "history", "earlier", "advice"]
)
def test_every_section_with_prices_has_the_caution_once(run, answer, sample_season, name):
    """Halyard has sales and an edition before, so each of these prints amounts."""
    out = run("facts", "halyard", "--section", name, "--season", sample_season)[1]
    assert " ".join(out.split()).count("investment advice") == 1
    got = answer("facts", "halyard", "--section", name, "--season", sample_season)
    # its own share, where returns are worked out anyway
    has_share = "of this release's boxes return less than they cost, if packs" in got["caution"]
    assert has_share == (name in {"returns", "advice"})


def test_what_is_left_out_is_told(run, answer, small_season):
    """A price in another currency, and one of tomorrow."""
    with (small_season / "releases" / "deep-harbour" / "prices.csv").open("a", encoding="utf-8") as file:
        file.write("2031-04-02,hobby,box,street,999,EUR,a shop\n2031-05-02,hobby,box,street,100,,a shop\n")
    got = answer("facts", "deep-harbour", "--season", small_season)
    assert got["economics"]["hobby"]["box_price"] == 200
    told = " ".join(got["left_out"])
    assert "USD" in told
    assert "after the day" in told
    assert "Left out: " in run("facts", "deep-harbour", "--all", "--season", small_season)[1]
    later = answer("facts", "deep-harbour", "--today", "2031-05-02", "--season", small_season)
    assert later["economics"]["hobby"]["box_price"] == 100


def test_a_wrong_section_or_release_is_told(refused, small_season):
    """With those there are."""
    words = ("facts", "deep-harbour", "--section", "weather", "--season", small_season)
    assert "economics, content, people, scarcity, chances, completing" in refused(*words)
    assert "fog-bank" in refused("facts", "fog-bank", "--season", small_season)


@pytest.fixture
def with_odds(small_season):
    """Odds for the signed cards of deep-harbour: 1:7 in boxes of 14 packs."""
    odds = small_season / "releases" / "deep-harbour" / "odds.csv"
    odds.write_text("subset,parallel,format,packs_per_copy,note\nInk,,hobby,7,\n", encoding="utf-8")
    return small_season


def test_chances_by_kind_and_line(answer, run, with_odds):
    """Ink at 1:7 is two a box; the inserts are open."""
    hobby = answer("facts", "deep-harbour", "--season", with_odds)["chances"]["formats"]["hobby"]
    (ink,) = hobby["lines"]
    assert (ink["what"], ink["expected_box"], ink["expected_case"]) == ("Ink", 2, 20)
    assert ink["p_box"] == pytest.approx(1 - (6 / 7) ** 14, abs=1e-6)
    assert ink["packs"] == 5  # 1 - (6/7)^4 is 0.46, one more makes 0.54
    assert hobby["open_lines"] == ["Tides"]
    code, out, _ = run("facts", "deep-harbour", "--section", "chances", "--season", with_odds)
    assert code == 0
    assert "This assumes that packs are filled at random" in " ".join(out.split())
    assert "Not counted, as their odds are not stated: Tides." in out
    assert max(map(len, out.splitlines())) <= 100


def test_any_set_of_cards_can_be_asked_for(answer, run, with_odds):
    """One of two signed cards of 99 copies, at 1:14: in three boxes of 14 packs."""
    words = ("facts", "deep-harbour", "--of", "team=Brindle Quay Otters", "--of", "subject=marsh di")
    words = (*words, "--of", "kind=autograph", "--open", "3 boxes", "--chance", "0.9", "--season", with_odds)
    got = answer(*words)["chances"]
    hobby = got["formats"]["hobby"]
    (amount,) = hobby["amounts"]
    assert (amount["packs"], amount["expected"]) == (42, 3)
    assert amount["p"] == pytest.approx(1 - (13 / 14) ** 42, abs=1e-6)
    assert (hobby["packs"], got["cards"], got["versions"]) == (32, 1, 1)
    out = run(*words)[1]
    assert "Brindle Quay Otters, Di Marsh, autograph" in out
    assert "96 % in 3 boxes" in " ".join(out.split())


def test_a_team_without_cards_and_words_that_say_nothing(answer, refused, with_odds):
    """The team gets a chance of 0; the others are refused with what to write."""
    of = ("facts", "deep-harbour", "--season", with_odds, "--of")
    got = answer(*of, "team=Tarn End Foxes")["chances"]
    assert [one["p"] for one in got["formats"]["hobby"]["amounts"]] == [0, 0, 0]
    assert "one of Base, Ink, Tides" in refused(*of, "subset=Sails")
    assert "leave --section and --all out" in refused(*of, "kind=hit", "--section", "people")
    told = refused("facts", "deep-harbour", "--season", with_odds, "--open", "3 boxes")
    assert "say which with --of" in told
    assert "no checklist yet" in refused("facts", "low-water", "--season", with_odds, "--of", "kind=hit")


def test_opened_boxes_stand_against_the_odds(answer, run, with_odds):
    """Twenty boxes of 14 packs without a single signed card at 1:7 do not fit."""
    path = with_odds / "releases" / "deep-harbour" / "opened.csv"
    path.write_text(
        "date,format,boxes,subset,parallel,number,count\n2031-04-01,hobby,20,Ink,,,0\n"
        "2031-04-01,hobby,20,Tides,,,31\n",
        encoding="utf-8",
    )
    opened = answer("facts", "deep-harbour", "--season", with_odds)["chances"]["opened"]
    (ink,) = opened["lines"]
    assert (ink["packs"], ink["hits"], ink["expected"], ink["verdict"]) == (280, 0, 40, "differs")
    # with no hit in n the exact upper end is 1 - 0.025^(1/n)
    assert ink["high"] == pytest.approx(1 - 0.025 ** (1 / 280), rel=1e-5)
    assert opened["left_out"] == ["Tides in hobby: no odds are stated"]
    code, out, _ = run("facts", "deep-harbour", "--section", "chances", "--season", with_odds)
    assert code == 0
    assert "Ink fell 0 times in 280 packs; at 1:7 it would be 40.0" in " ".join(out.split())
    assert max(map(len, out.splitlines())) <= 100
    assert "opened-unknown-card" not in run("check", "deep-harbour", "--season", with_odds)[1]
    path.write_text(path.read_text(encoding="utf-8").replace("Tides", "Tydes"), encoding="utf-8")
    assert "opened-unknown-card" in run("check", "deep-harbour", "--season", with_odds)[1]


def test_completing_and_opening_answer_by_format(answer, sample_season):
    """Packs with mean and quantiles, money or why there is none, and hits as chances that sum to 1."""
    got = answer("facts", "halyard", "--section", "completing", "--season", sample_season)["completing"]
    assert set(got) == {"hobby", "retail"}
    assert set(got["hobby"]["packs"]) == {"mean", "q50", "q90"}
    best = got["retail"]["best_boxes_then_singles"]
    assert best["cost"] == min(row["cost"] for row in best["rows"])
    got = answer("facts", "halyard", "--section", "opening", "--season", sample_season)["opening"]
    assert sum(got["hobby"]["hits"]) == pytest.approx(1, abs=1e-4)
    kept = answer("facts", "kittiwake", "--section", "completing", "--season", sample_season)["completing"]
    assert kept == {"unknown": "there is no base set to complete"}


def test_completing_and_opening_are_shown_with_their_sentences(run, sample_season):
    """Tables by format, then what a host would say."""

    def said(*words):
        code, out, _ = run("facts", *words, "--season", sample_season)
        assert code == 0
        return " ".join(out.split())

    words = said("halyard", "--section", "completing")
    assert "no base card twice in a box" in words
    assert "collecting all 220 base cards takes about 18 Hobby boxes on average, and nine" in words
    assert "What it costs is not known: short prints" in said("gatehouse", "--section", "completing")
    words = said("halyard", "--section", "opening")
    assert "Not counted in retail" in words
    assert (
        "Every pack has a Base Mist card; 84 % of packs also hold something else besides base cards." in words
    )


def test_who_is_wanted_comes_from_the_hosts_word(answer, run, small_season):
    """demand.csv names Eve, who has an insert, and Fay, who has no card."""
    table = "subject,demand,why\nEve Holm,95,she scored the winner\nFay Wick,85,\n"
    (small_season / "demand.csv").write_text(table, encoding="utf-8")
    got = answer("facts", "deep-harbour", "--section", "people", "--season", small_season)["people"]
    assert [one["subject"] for one in got["wanted"]] == ["Eve Holm"]
    assert [one["subject"] for one in got["wanted_missing"]] == ["Fay Wick"]
    code, out, _ = run("facts", "deep-harbour", "--section", "people", "--season", small_season)
    assert code == 0
    assert "Most wanted but missing, with their demand out of 100: Fay Wick (85)." in out
    assert max(map(len, out.splitlines())) <= 100
    (small_season / "demand.csv").write_text(table + "eve holm,200,\n", encoding="utf-8")
    told = run("check", "--season", small_season)[1]
    assert "duplicate-subject" in told
    assert "write a whole number from 0 to 100" in told


def test_the_edition_before_stands_beside_this_one(run, sample_season):
    """A table and three sentences."""
    code, out, _ = run("facts", "halyard", "--section", "earlier", "--season", sample_season)
    assert code == 0
    told = " ".join(out.split())
    assert "lists at $164.95, 3 % more than last time ($159.95)" in told
    assert "of the last edition's 72 are gone." in told
    assert max(map(len, out.splitlines())) <= 100


def test_values_say_what_they_rest_on(answer, run, own_season):
    """Sales of ten cards: one answer, one table, one sentence, and what is set aside."""
    folder = own_season / "releases" / "halyard"
    rows = ["date,subset,parallel,number,price,postage,currency,condition,title"]
    for i in range(40):
        number, price = f"{i % 10 + 1:03d}", 20 + 3 * (i % 10) + i % 4
        rows.append(f"2031-04-{i % 28 + 1:02d},Base,Pearl,{number},{price},1.10,,raw,A card")
    rows.append("2031-04-02,Base,Pearl,001,95,,,slabbed,A slab")
    (folder / "sales.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    got = answer("facts", "halyard", "--section", "values", "--season", own_season)["values"]
    assert (got["sales"], got["set_aside"]) == (40, {"slabbed": 1})
    shares = [got[name] for name in ("sold_share", "modelled_share", "carried_over", "bulk_share")]
    assert sum(shares) == pytest.approx(1)
    assert got["carried_over"] == 0
    code, out, _ = run("facts", "halyard", "--section", "values", "--season", own_season)
    assert code == 0
    words = " ".join(out.split())
    assert "210 modelled, 10 sold" in words
    assert "1 sale was set aside (slabbed)." in words
    assert "Prices rest on 40 sales. Of the total value of all cards," in words
    assert "Many boxes return less than they cost" in words
    assert max(map(len, out.splitlines())) <= 100


def test_on_the_day_of_the_release_prices_are_carried_over_and_later_that_is_told(answer, run, own_season):
    """From the edition before, with its title, in both sections; two months on by its own."""
    title = "Wickfield 2030 Halyard Roller Hockey"
    day = ("--season", own_season, "--today", "2031-03-12")
    got = answer("facts", "halyard", *day)
    assert got["values"]["carried_from"] == [title]
    assert (got["values"]["sales"], got["values"]["carried_on"]) == (1, "2031-03-12")
    assert got["values"]["carried_over"] > 0.5
    box = got["returns"]["hobby"]["box"]
    assert box["p_low"] < box["p_return"] < box["p_high"]
    # what the market's own law says of a box that day, with 0.42 of noise, net of selling: 126
    assert 126 / got["returns"]["hobby"]["factor"] < box["mean"] < 126 * got["returns"]["hobby"]["factor"]
    words = " ".join(run("facts", "halyard", "--all", *day)[1].split())
    assert (
        f"There is only 1 usable sale so far. Prices are borrowed from {title}, and may be far off." in words
    )
    assert "Going by other releases' prices, which may be far off, a Hobby box" in words
    words = " ".join(run("facts", "halyard", "--section", "returns", "--season", own_season)[1].split())
    assert f"At launch, prices carried over from {title} said that a Hobby box returns" in words
    assert "Now 854 sales of its own say" in words


def test_without_sales_values_say_so(answer, own_season):
    """And everything that needs no prices still answers."""
    for path in own_season.rglob("sales.csv"):
        path.unlink()
    got = answer("facts", "foghorn", "--season", own_season)
    why = "there are no sales on file, and there are no prices to carry over"
    assert got["values"] == {"unknown": why}
    assert "unknown" not in got["content"]


def test_what_a_box_returns_stands_beside_the_caution(answer, run, sample_season):
    """Box and case by format, and how many boxes of this release return less than they cost."""
    got = answer("facts", "halyard", "--section", "returns", "--season", sample_season)["returns"]
    assert set(got) == {"hobby", "retail"}
    for one in got.values():
        for paid in (one["box"], one["case"]):
            assert paid["q05"] <= paid["q25"] <= paid["median"] <= paid["q75"] <= paid["q95"]
            assert 0 <= paid["p_return"] <= 1
    code, out, _ = run("facts", "halyard", "--section", "returns", "--season", sample_season)
    assert code == 0
    words = " ".join(out.split())
    assert "of this release's boxes return less than they cost, if packs are" in words
    assert "not investment advice" in words
    assert max(map(len, out.splitlines())) <= 100
    bare = answer("facts", "halyard-late-watch", "--section", "returns", "--season", sample_season)
    assert "unknown" in bare["returns"]


@pytest.mark.parametrize("release", ["halyard", "copperplate", "vellum-night", "halyard-late-watch"])
def test_every_section_fits_the_page(run, sample_season, release):
    """All of them, in a hundred columns; the answers of all on one screen of 24 lines of 80."""
    code, out, _ = run("facts", release, "--all", "--season", sample_season)
    assert code == 0
    assert [line for line in out.splitlines() if len(line) > 100] == []
    for name in sections.all_keys():
        assert f"\n{name.capitalize()}\n" in out


def test_the_answers_of_all_sections_stand_on_one_screen(run, sample_season, monkeypatch):
    """24 lines of 80 columns with what comes next and the prompt; each section of each release is named."""
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.chdir(sample_season)
    for release in sorted(path.name for path in (sample_season / "releases").iterdir()):
        code, out, err = run("facts", release)
        lines = [*out.splitlines(), *err.splitlines()]
        assert code == 0
        assert len(lines) < 24, out
        assert max(map(len, lines)) <= 80
        words = out.replace(",", " ").replace(":", " ").split()
        assert set(sections.all_keys()) <= set(words)


def test_names_without_end_fit_the_page(run, own_season):
    """Subsets and formats as long as anybody writes them are wrapped or stand in lines; nothing is cut."""
    folder = own_season / "releases" / "halyard"
    for path in sorted(folder.iterdir()):
        text = path.read_text(encoding="utf-8")
        text = text.replace(
            "Deck Signatures", "Deck Signatures of the Twenty-Fifth Anniversary of the League"
        )
        path.write_text(text.replace("hobby", "hobby-jumbo-hanger-of-the-lantern-coast"), encoding="utf-8")
    code, out, _ = run("facts", "halyard", "--all", "--season", own_season)
    assert code == 0
    assert [line for line in out.splitlines() if len(line) > 100] == []
    assert "…" not in out
    assert "Deck Signatures of the Twenty-Fifth Anniversary of the League" in " ".join(out.split())


def test_advice_names_what_to_buy_for_each_aim(answer, run, sample_season):
    """A list as JSON, a table of a hundred columns, one sentence and the cautions."""
    words = ("facts", "halyard", "--section", "advice", "--season", sample_season)
    got = answer(*words)
    aims = {one["aim"]: one for one in got["advice"]}
    assert list(aims) == [
        "set builder", "rookie hunter", "autograph buyer", "break buyer", "casual opener", "singles buyer",
    ]  # fmt: skip
    assert all({"aim", "buy", "below", "why"} <= set(one) for one in aims.values())
    # twice the 85.88 that a box is expected to return is 171.76, and 171.76 / 1.06 - 6.50 = 155.538
    mean = answer("facts", "halyard", "--section", "returns", "--season", sample_season)["returns"]["hobby"]
    most = 2 * mean["box"]["mean"] / 1.06 - 6.5
    assert aims["casual opener"]["buy"] == "wait"
    assert most < aims["casual opener"]["below"] < most + 0.011
    assert got["price_advice"]["format"] == "hobby"
    assert got["price_advice"]["below"] == aims["casual opener"]["below"]
    code, out, _ = run(*words)
    assert code == 0
    told = " ".join(out.split())
    assert got["price_advice"]["sentence"] in told
    assert "Rookie hunters and autograph buyers: singles. " in told
    assert "of this release's boxes return less than they cost, if packs are" in told
    assert max(map(len, out.splitlines())) <= 100


def test_advice_without_prices_or_sales_says_what_it_lacks(answer, run, small_season):
    """And what can be said from counts: 200 for three autographs on average."""
    got = answer("facts", "deep-harbour", "--section", "advice", "--season", small_season)
    aims = {one["aim"]: one for one in got["advice"]}
    assert {one["buy"] for one in aims.values()} <= {"not known", "singles", "box"}
    assert (
        "With tax and shipping, an autograph from a Hobby box costs $66.67" in aims["autograph buyer"]["why"]
    )
    assert got["price_advice"] is None
    code, out, _ = run("facts", "deep-harbour", "--section", "advice", "--season", small_season)
    assert code == 0
    assert "There is no fair price to name yet. What a Hobby box returns is not known" in " ".join(
        out.split()
    )
    assert max(map(len, out.splitlines())) <= 100
    path = small_season / "releases" / "low-water" / "release.toml"
    path.write_text('format = 1\ntitle = "A"\nmaker = "B"\nline = "C"\n', encoding="utf-8")
    got = answer("facts", "low-water", "--section", "advice", "--season", small_season)
    assert got["advice"] == {"unknown": "no box formats are on file yet"}
    assert got["price_advice"] is None


@pytest.mark.parametrize("seed", [35, 49])
def test_sales_that_follow_no_law_are_refused_in_words(run, own_season, seed):
    """Sales drawn again with replacement: most stand twice, and a few far from all others."""
    file = own_season / "releases" / "slipway" / "sales.csv"
    with file.open(encoding="utf-8-sig", newline="") as source:
        head, *rows = csv.reader(source)
    draw = random.Random(seed)
    again = [list(draw.choice(rows)) for _ in rows]
    for number, row in enumerate(again):
        row[head.index("source")] += f" {number}"
    with file.open("w", encoding="utf-8", newline="") as target:
        csv.writer(target).writerows([head, *again])
    code, out, _ = run("facts", "slipway", "--section", "values", "--season", own_season)
    assert code == 0
    assert "so much that no price follows" in " ".join(out.split())
