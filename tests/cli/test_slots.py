"""`slots`: what each slot of a break holds, is worth and should cost, on the terminal and as JSON."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest


@pytest.fixture(autouse=True)
def _page(monkeypatch):
    """A screen as wide as a page of sentences."""
    monkeypatch.setenv("COLUMNS", "100")


def test_the_json_answer_holds_what_scripts_rely_on(answer, sample_season):
    """Shares sum to 1 unrounded, cost shares to the cost to the cent, and terms are the documented ones."""
    got = answer("slots", "halyard", "--season", sample_season)
    assert (got["product_format"], got["cases"], got["by"]) == ("hobby", 1, "team")
    keys = {
        "slot", "base", "rookies", "inserts", "autographs", "relics", "value", "share",
        "p_no_autograph", "cost_share", "worth", "asked", "tier",
    }  # fmt: skip
    assert all(keys <= set(one) for one in got["slots"])
    assert len(got["slots"]) == 16
    assert sum(one["share"] for one in got["slots"]) == pytest.approx(1, abs=1e-12)
    shares = sum(Decimal(str(one["cost_share"])) for one in got["slots"])
    assert shares == Decimal(str(got["cost"]["total"]))
    # ten boxes at 178, for a case only has a list price; 6.50 shipping once, 6 % tax, a tenth for the host
    assert got["cost"] == {
        "price": 1780,
        "landed": 1893.69,
        "total": 2083.06,
        "made_of": "10 boxes at the street price on 2031-05-15",
    }
    assert 0 < got["fit"] <= 1
    assert [set(one) >= {"aim", "slot", "why"} for one in got["picks"]] == [True] * 4
    assert len(got["cautions"]) == 4


def test_cards_are_counted_as_the_checklist_has_them(answer, sample_season):
    """The same counts by team as in the content of the facts."""
    slots = {one["slot"]: one for one in answer("slots", "halyard", "--season", sample_season)["slots"]}
    facts = answer("facts", "halyard", "--section", "content", "--season", sample_season)
    for team in facts["content"]["teams"]:
        own = slots[team["team"]]
        assert own["base"] == team["base"]
        assert own["autographs"] == team["autographs"]
        assert own["inserts"] == team["inserts"]


def test_the_page_says_all_of_it_in_a_hundred_columns(run, sample_season):
    """The table, what is asked, swaps, picks, house rules, and the cautions about random slots."""
    code, out, err = run("slots", "halyard", "--season", sample_season)
    assert (code, err) == (0, "")
    assert [line for line in out.splitlines() if len(line) > 100] == []
    told = " ".join(out.split())
    assert "a break of 1 Hobby case (10 boxes), by team" in told
    assert (
        "The break costs $1,780.00 (10 boxes at the street price on 2031-05-15); with tax and shipping it "
        "costs $1,893.69, and with the host's margin $2,083.06."
    ) in told
    assert "no slot is worth its share of the cost" in told
    assert "16 slots are on offer, for $1,845.00 in all. Furthest above its limit: " in told
    assert "A random slot at $109.00 costs $122.43 with tax and shipping, and is worth" in told
    assert re.search(r"slots? (are|is) worth what it costs\.", told)
    assert "After a random draw, even swaps that gain" in out
    assert "- rookie hunter under $60.00: " in out
    assert "8 cards belong to more than one slot: they are randomized among the owners of those slots" in told
    assert "random formats are subject to local law" in told


def test_numbers_are_the_same_in_both(run, answer, sample_season, monkeypatch):
    """To the last cent, row by row, where there is room for all columns."""
    monkeypatch.setenv("COLUMNS", "160")
    out = run("slots", "halyard", "--season", sample_season)[1]
    for one in answer("slots", "halyard", "--season", sample_season)["slots"]:
        rows = [line for line in out.splitlines() if line.startswith(one["slot"])]
        for key in ("worth", "deviation", "cost_share", "limit", "asked"):
            assert f"${one[key]:,.2f}" in rows[0].split()


def test_what_a_slot_holds_is_shown_on_request_hits_first(run, answer, sample_season):
    """With --cards: autographs, relics, numbered, rookies, inserts, base."""
    out = run("slots", "halyard", "--cards", "--season", sample_season)[1]
    head = next(line for line in out.splitlines() if "autographs" in line)
    assert head.split()[:7] == ["slot", "autographs", "relics", "numbered", "rookies", "inserts", "base"]
    for one in answer("slots", "halyard", "--season", sample_season)["slots"]:
        row = [line for line in out.splitlines() if line.startswith(one["slot"])][1]
        assert row.removeprefix(one["slot"]).split()[5] == f"{one['expected']['base']:.1f}"


@pytest.mark.parametrize(
    "by", [["pair"], ["division"], ["subject"], ["box"], ["Ink: kind=autograph", "kind=base"]]
)
def test_a_break_can_be_cut_in_other_ways(run, sample_season, by):
    """Each fits the page and says how it was cut."""
    words = [word for one in by for word in ("--by", one)]
    code, out, _ = run("slots", "halyard", "--boxes", "3", *words, "--season", sample_season)
    assert code == 0
    assert [line for line in out.splitlines() if len(line) > 100] == []
    assert "a break of 3 Hobby boxes, " in out


def test_of_hundreds_of_slots_the_first_are_shown_unless_all_are_asked_for(run, sample_season):
    """By subject there are over two hundred."""
    words = ("slots", "halyard", "--by", "subject", "--season", sample_season)
    short, long = run(*words)[1], run(*words, "--all")[1]
    assert "more, with --all" in short
    assert "more, with --all" not in long
    assert len(long.splitlines()) > len(short.splitlines()) + 150


def test_before_any_price_of_a_card_content_stands_in(answer, run, own_season):
    """No sales here or to carry over: shares go by content, and worth is not known."""
    for path in own_season.rglob("sales.csv"):
        path.unlink()
    got = answer("slots", "halyard", "--season", own_season)
    assert got["basis"] == "content"
    assert {one["worth"] for one in got["slots"]} == {None}
    assert sum(one["share"] for one in got["slots"]) == pytest.approx(1, abs=1e-12)
    told = " ".join(run("slots", "halyard", "--season", own_season)[1].split())
    assert "No price of a card is known, so shares go by content" in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("deep-harbour", "--format", "jar"), "there is no format 'jar'"),
        (("deep-harbour", "--cases", "0"), "0 boxes are not a break"),
        (("deep-harbour", "--cases", "1", "--boxes", "2"), "--cases and --boxes both say how much is opened"),
        (("deep-harbour", "--by", "shelf"), "a break cannot be cut by 'shelf'"),
        (("deep-harbour", "--by", "team=Kestrels"), "no card in it has the team 'Kestrels'"),
        (("deep-harbour", "--by", "kind=autograph", "--by", "kind=hit"), "both take"),
        (("deep-harbour", "--by", "team=Otters; rookie=perhaps"), "there is no answer 'perhaps'"),
        (("low-water",), "there is no checklist yet"),
    ],
)
def test_what_cannot_be_cut_is_refused_in_a_sentence(refused, small_season, words, said):
    """Exit code 1, and what to do."""
    assert said in refused("slots", *words, "--season", small_season)


@pytest.mark.parametrize(
    ("words", "place"),
    [(("--by", "X: team=Nobody"), "--by team"), (("--boxes", "0"), "--boxes"), (("--cases", "0"), "--cases")],
)
def test_what_is_refused_is_placed_at_its_option(refused, small_season, words, place):
    """The option that was written, not a like one of another command."""
    assert f"at:  {place}\n" in refused("slots", "deep-harbour", *words, "--season", small_season)


def test_a_slot_of_a_filter_pays_for_its_own_cards_only(answer, sample_season):
    """What no filter takes stays with the host unsold: all slots and it together make the cost, by value."""
    found = answer("slots", "halyard", "--by", "P: team=Kelderby Rooks", "--season", sample_season)
    [slot] = found["slots"]
    value, kept, cost = (Decimal(str(one)) for one in (slot["value"], found["kept"], found["cost"]["total"]))
    assert kept > 10 * value
    assert Decimal(str(slot["cost_share"])) == pytest.approx(
        cost * value / (value + kept), abs=Decimal("0.05")
    )


def test_a_filter_without_a_name_is_refused(refused, small_season):
    """A colon says that a name stands before it."""
    said = refused("slots", "deep-harbour", "--by", " : kind=autograph", "--season", small_season)
    assert "says no cards" in said
    assert "NAME: team=" in said
