"""Questions for any set of cards: what the words pick, and chances worked out by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from rating.errors import RatingError
from rating.facts.chances.questions import ask
from rating.facts.chances.tell import answered
from rating.facts.context import Buying, SeasonContext
from rating.facts.gather import gather
from rating.facts.history.value import History
from rating.facts.plain import Unknown
from rating.release.checklist import Card, Odds, Parallel
from rating.release.release import Release
from rating.release.sheet import Format, Sheet

HERONS, ROOKS, FOXES = "Saltmarsh Herons", "Kelderby Rooks", "Tarn End Foxes"
SEASON = SeasonContext(
    name="S",
    currency="USD",
    teams=(HERONS, ROOKS, FOXES),
    rookies=None,
    classes=(),
    buying=Buying(),
    aliases={"saltmarsh herons": "saltmarsh herons", "smh": "saltmarsh herons"},
)


def card(subset, kind, number, subject, team, rookie=False, run=None):
    return Card(subset, kind, number, (subject,), (team,), rookie, run, "", "", False, False, "", 2)


CARDS = (
    card("Base", "base", "1", "Orla Łowicz", HERONS),
    card("Base", "base", "2", "Rhosyn Quenby", ROOKS, True),
    card("Base", "base", "3", "Ivo Quenby", ROOKS),
    card("Base", "base", "4", "Bo Larkin", ROOKS),
    card("Ink", "autograph", "I1", "Orla Łowicz", HERONS, run=10),
    card("Ink", "autograph", "I2", "Rhosyn Quenby", ROOKS, True, run=30),
    card("Tides", "insert", "T1", "Bo Larkin", ROOKS),
)


def facts(cards=CARDS, odds=(("Ink", "", "hobby", 20), ("Base", "Amber", "hobby", 8)), packs=10):
    """A release with hobby boxes of ten packs of five, and retail of which nothing is said."""
    hobby = Format(
        key="hobby", name="Hobby", cards_per_pack=Decimal(5), packs_per_box=packs, boxes_per_case=4
    )
    retail = Format(key="retail", name="Retail", cards_per_pack=None, packs_per_box=None, boxes_per_case=None)
    sheet = Sheet(
        slug="deep-harbour",
        title="Deep Harbour",
        maker="M",
        line="L",
        released_on=date(2031, 3, 12),
        formats=(hobby, retail),
        headline="hobby",
        disclosure=None,
    )
    release = Release(
        sheet=sheet,
        cards=cards,
        parallels=(Parallel("Base", "Amber", None, ("hobby",), 2),) if cards else (),
        odds=tuple(Odds(s, p, f, Decimal(x), "", 2) for s, p, f, x in odds),
    )
    history = History(line="L", since=None, editions=())
    return gather(release, SEASON, history, as_of=date(2031, 5, 1))


def p_box(*of, **options):
    """The chance of at least one in a hobby box."""
    found = ask(facts(), of, **options).formats["hobby"]
    return float(next(one for one in found.amounts if one.what == "a box").p)


def test_an_autograph_of_a_team_goes_by_copies():
    """10 of 40 copies at 1:20 are 1:80 in ten packs; for the other team 1:26.67."""
    assert p_box("team=SMH", "kind=autograph") == pytest.approx(1 - (79 / 80) ** 10, abs=1e-6)
    assert p_box(f"team={ROOKS}", "subset=ink") == pytest.approx(1 - (1 - 0.75 / 20) ** 10, abs=1e-6)


def test_words_of_one_key_are_alternatives_and_of_two_must_both_hold():
    """Both teams sign all; rookies sign three quarters; an Amber of four cards is 1:32."""
    both = p_box(f"team={HERONS}", f"team={ROOKS}", "kind=hit")
    assert both == pytest.approx(1 - (19 / 20) ** 10, abs=1e-6)
    assert p_box("rookie=yes", "kind=autograph") == pytest.approx(1 - (1 - 0.75 / 20) ** 10, abs=1e-6)
    amber = p_box("subject=lowicz orla", "parallel=AMBER")
    assert amber == pytest.approx(1 - (31 / 32) ** 10, abs=1e-6)
    few = p_box("numbered=10")
    assert few == pytest.approx(1 - (79 / 80) ** 10, abs=1e-6)


def test_expected_copies_and_packs_for_a_chance():
    """1:20 in three boxes is 1.5 copies; 0.9 needs ln 0.1 / ln 0.95 = 44.9, 45 packs."""
    found = ask(facts(), ["kind=autograph"], opening="3 boxes", likely="0.9").formats["hobby"]
    (amount,) = found.amounts
    assert (amount.what, amount.packs, amount.expected) == ("3 boxes", 30, Decimal("1.5"))
    assert found.packs == math.ceil(math.log(0.1) / math.log(0.95)) == 45


def test_a_team_without_cards_has_the_chance_0():
    """It is a team of the season, and the answer is a number."""
    found = ask(facts(), [f"team={FOXES}"])
    assert all(one.p == 0 and one.expected == 0 for one in found.formats["hobby"].amounts)
    assert found.formats["hobby"].packs is None
    assert answered(found, "hobby") == f"No card in it is of this: {FOXES}, so the chance is 0."


def test_what_nothing_is_said_of_is_not_known():
    """Tides has no odds: alone it is unknown; with others the chance is at least theirs."""
    found = ask(facts(), ["subset=Tides"])
    assert isinstance(found.formats["hobby"], Unknown)
    assert "how often they fall: Tides" in answered(found, "hobby")
    both = ask(facts(), ["subset=Tides", "subset=Ink"])
    assert both.formats["hobby"].open_lines == ("Tides",)
    assert "It is higher still, as no odds are given for these: Tides." in answered(both, "hobby")


def test_a_format_without_packs_says_so():
    """And the other one comes out."""
    found = ask(facts(), ["kind=autograph"])
    assert found.formats["retail"] == Unknown("cards per pack or packs per box are missing")


@pytest.mark.parametrize(
    ("of", "options", "told"),
    [
        ("colour=red", {}, "team, subject, subset, parallel, kind, rookie, numbered"),
        ("team", {}, "team=NAME"),
        ("team=Gull Point", {}, "'Gull Point'"),
        ("subject=quenby", {}, "Rhosyn Quenby or Ivo Quenby"),
        ("subset=Sails", {}, "one of Base, Ink, Tides"),
        ("parallel=Pearl", {}, "one of base, Amber"),
        ("kind=sticker", {}, "autograph relic, hit"),
        ("numbered=0", {}, "such as 25"),
        ("rookie=maybe", {}, "yes, no"),
        ("kind=hit", {"opening": "3 bags"}, "such as '3 boxes'"),
        ("kind=hit", {"opening": "0 boxes"}, "such as '3 boxes'"),
        ("kind=hit", {"likely": "2"}, "such as 0.9"),
        ("kind=hit", {"likely": "0.0"}, "such as 0.9"),
    ],
)
def test_words_that_say_nothing_are_refused(of, options, told):
    """With what one can write."""
    with pytest.raises(RatingError) as fault:
        ask(facts(), [of], **options)
    assert told in str(fault.value)


def test_without_a_checklist_there_is_nothing_to_ask_for():
    """The fix says where one comes from."""
    with pytest.raises(RatingError, match="no checklist"):
        ask(facts(cards=None), ["kind=hit"])


def test_an_amount_of_a_size_that_is_not_known_is_left_out():
    """A case of unknown size has no chance; no line of cards is asked about twice."""
    known = facts()
    collation = replace(known.collations["hobby"], boxes_per_case=None)
    found = ask(known.replaced(collations={"hobby": collation}), ["kind=hit"], opening="1 case")
    assert found.formats["hobby"].amounts == ()
    assert [one.what for one in ask(known, ["kind=hit"]).formats["hobby"].amounts] == [
        "a pack",
        "a box",
        "a case",
    ]
