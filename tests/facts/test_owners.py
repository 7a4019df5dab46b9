"""Who gets which card in a break: teams, pairs, divisions, subjects, boxes, filters, and the house rules."""

from __future__ import annotations

from decimal import Decimal

import pytest

from rating.errors import RatingError
from rating.facts.breaks.owners import owners, pair_up, same_slot
from rating.facts.context import Buying, SeasonContext
from rating.facts.falling.lines import CardLine
from rating.facts.house import HouseRules, SlotRules
from rating.release.checklist import Card

HERONS, ROOKS, FOXES = "Saltmarsh Herons", "Kelderby Rooks", "Tarn End Foxes"


def season(**changes):
    given = {
        "name": "S",
        "currency": "USD",
        "teams": (HERONS, ROOKS, FOXES),
        "rookies": None,
        "classes": (),
        "buying": Buying(),
        "aliases": {
            "saltmarsh herons": "saltmarsh herons",
            "smh": "saltmarsh herons",
            "herons": "saltmarsh herons",
        },
    }
    return SeasonContext(**given | changes)


def card(number, subjects, teams, kind="base", rookie=False, redemption=False):
    return Card("S", kind, number, subjects, teams, rookie, None, "", "", False, redemption, "", 2)


def lines(*cards, parallel="", kind="base", runs=None):
    """One line of these cards."""
    return (
        CardLine(
            subset="S",
            parallel=parallel,
            kind=kind,
            cards=cards,
            runs=runs or (None,) * len(cards),
            odds={},
            formats=("hobby",),
        ),
    )


ONE = card("1", ("Orla Łowicz",), ("SMH",))
DUAL = card("2", ("Orla Łowicz", "Rhosyn Quenby"), (HERONS, ROOKS), kind="autograph")
NOBODY = card("3", ("The Cup",), ())


def test_a_code_and_an_alias_are_the_team_and_every_team_of_the_season_is_a_slot():
    """A team without a card is a slot all the same: somebody may have bought it."""
    found = owners(lines(ONE), season())
    assert found.slots == (HERONS, ROOKS, FOXES)
    assert found.cards == ((((0, 1.0),),),)
    assert found.remarks == ()


@pytest.mark.parametrize(
    ("rule", "shares"),
    [
        ("randomised", ((0, 0.5), (1, 0.5))),
        ("first named", ((0, 1.0),)),
        ("team shown", ((0, 1.0),)),
    ],
)
def test_a_card_of_two_teams_goes_by_the_house_rule(rule, shares):
    """Lots among the owners, or the first; either is told."""
    found = owners(lines(DUAL), season(house=HouseRules(two_teams=rule)))
    assert found.cards[0][0] == shares
    assert found.remarks[0].startswith("1 card belongs to more than one slot: ")


@pytest.mark.parametrize(
    ("rule", "shares", "words"),
    [
        ("randomised", ((0, 1 / 3), (1, 1 / 3), (2, 1 / 3)), "randomised among all slots"),
        ("host", (), "kept by the host"),
    ],
)
def test_a_card_without_a_team_goes_by_the_house_rule(rule, shares, words):
    """To all alike, or to nobody."""
    found = owners(lines(NOBODY), season(house=HouseRules(no_team=rule)))
    assert found.cards[0][0] == shares
    assert found.remarks == (f"1 card without a team that has a slot: {words}",)


def test_a_redemption_and_base_that_is_not_shipped_can_stay_with_the_host():
    """A parallel of a base card is shipped: only the base set itself is left behind."""
    rules = HouseRules(redemptions="host", base="not shipped")
    post = card("4", ("Rhosyn Quenby",), (ROOKS,), kind="autograph", redemption=True)
    plain = owners((*lines(ONE), *lines(post, kind="autograph")), season(house=rules))
    assert plain.cards == (((),), ((),))
    assert plain.remarks == (
        "1 card to be redeemed: kept by the host",
        "1 card of the base set: not shipped, so they count for nobody",
    )
    shiny = owners(lines(ONE, parallel="Amber"), season(house=rules))
    assert shiny.cards[0] == (((0, 1.0),),)


def test_a_traded_player_counts_for_the_team_that_the_house_rule_names():
    """By the card he is a Heron; now he is a Fox. Who was not traded stays where the card says."""
    moved = {"orla łowicz": FOXES}
    shown = owners(lines(ONE, DUAL), season(house=HouseRules(now_with=moved)))
    assert shown.cards[0] == (((0, 1.0),), ((0, 0.5), (1, 0.5)))
    now = owners(lines(ONE, DUAL), season(house=HouseRules(traded="team now", now_with=moved)))
    assert now.cards[0] == (((2, 1.0),), ((2, 0.5), (1, 0.5)))


def test_a_pair_holds_a_card_of_both_its_teams_whole():
    """Both owners are one; the team that stands in no pair is a slot by itself."""
    found = owners(lines(DUAL), season(), ("pair",), pairs=((HERONS, ROOKS),))
    assert found.slots == (f"{HERONS} + {ROOKS}", FOXES)
    assert found.cards[0] == (((0, 1.0),),)


def test_divisions_must_hold_every_team():
    """A team without one is named, with how to mend it."""
    rules = SlotRules(divisions={"Outer": (HERONS, FOXES)})
    with pytest.raises(RatingError, match=f"no division is named for {ROOKS}"):
        owners(lines(ONE), season(slots=rules), ("division",))
    rules = SlotRules(divisions={"Outer": (HERONS, FOXES), "Inner": (ROOKS,)})
    found = owners(lines(ONE, DUAL), season(slots=rules), ("division",))
    assert found.slots == ("Outer", "Inner")
    assert found.cards[0] == (((0, 1.0),), ((0, 0.5), (1, 0.5)))


def test_by_subject_each_person_is_a_slot():
    """In the order of the checklist; two on a card draw lots as two teams would."""
    found = owners(lines(ONE, DUAL), season(), ("subject",))
    assert found.slots == ("Orla Łowicz", "Rhosyn Quenby")
    assert found.cards[0] == (((0, 1.0),), ((0, 0.5), (1, 0.5)))


def test_whole_boxes_share_every_card_alike():
    """Nobody knows which box it is in."""
    found = owners(lines(ONE), season(), ("box",), boxes=4)
    assert found.slots == ("box 1", "box 2", "box 3", "box 4")
    assert found.cards[0][0] == ((0, 0.25), (1, 0.25), (2, 0.25), (3, 0.25))


def test_filters_are_slots_and_what_none_takes_is_told():
    """Named by their words, or by a name before a colon."""
    found = owners(lines(ONE, DUAL, NOBODY), season(), ("Ink: kind=autograph", "team=herons; kind=base"))
    assert found.slots == ("Ink", "Saltmarsh Herons, base")
    assert found.cards[0] == (((1, 1.0),), ((0, 1.0),), ())
    assert found.remarks == ("1 card in no slot, in one version or all: kept by the host",)


@pytest.mark.parametrize(
    ("by", "said"),
    [
        (("kind=autograph", "team=herons"), "autograph and Saltmarsh Herons both take S 2"),
        (("kind=base", "rookie=yes"), "no card is of rookies"),
        (("kind=base", "kind=base"), "two slots are called 'base'"),
        (("kind=base", "team"), "'team' says no cards"),
        (("colour=red",), "'colour=red' does not say which cards"),
        (("shelf",), "a break cannot be cut by 'shelf'"),
    ],
)
def test_a_break_that_cannot_be_cut_so_is_refused_in_a_sentence(by, said):
    """Filters that overlap or match nothing, names that clash, words that are none."""
    with pytest.raises(RatingError, match=said):
        owners(lines(ONE, DUAL), season(), by)


def test_teams_that_only_the_checklist_names_are_slots_and_are_told():
    """A misspelt team would otherwise hide its cards."""
    found = owners(lines(card("9", ("A",), ("Gull Point",))), season())
    assert found.slots == (HERONS, ROOKS, FOXES, "Gull Point")
    assert found.remarks == ("not among the season's teams: Gull Point",)


def test_without_any_team_a_break_by_team_is_refused():
    """It can still be cut by subject."""
    with pytest.raises(RatingError, match=r"neither season\.toml nor the checklist names a team"):
        owners(lines(NOBODY), season(teams=(), aliases={}))


def test_the_strongest_goes_with_the_weakest():
    """Inwards from both ends; of an odd number the middle one stays alone."""
    assert pair_up(["a", "b", "c", "d", "e"], [3, 9, 1, 5, 4]) == [("b", "c"), ("d", "a"), ("e",)]


def test_a_slot_is_meant_by_code_by_alias_and_by_teams_in_any_order():
    """Hosts write Herons / Rooks and Rooks + Herons."""
    shown = season().team_names()
    assert same_slot("smh", HERONS, shown)
    assert same_slot("kelderby rooks / Herons", f"{HERONS} + {ROOKS}", shown)
    assert not same_slot("Herons", f"{HERONS} + {ROOKS}", shown)


def test_shares_of_a_card_never_sum_to_more_than_the_card():
    """Three teams on a card: a third each."""
    triple = card("5", ("A", "B", "C"), (HERONS, ROOKS, FOXES))
    found = owners(lines(triple), season())
    assert sum(Decimal(share) for _, share in found.cards[0][0]) == pytest.approx(1)
