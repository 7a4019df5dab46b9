"""Slots of a break: by hand, by enumeration, by simulation, and by the laws behind the sample's sales."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import replace
from decimal import Decimal
from itertools import product

import numpy as np
import pytest

import rating
from rating.errors import RatingError
from rating.facts.breaks import compute as breaks
from rating.facts.breaks import owners
from rating.facts.breaks.value import CONTENT, PRICES
from rating.facts.context import Buying, Demand, SeasonContext
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.facts import Facts
from rating.facts.falling.collation import collate
from rating.facts.falling.lines import CardLine
from rating.facts.house import HouseRules, SlotRules, TierMove
from rating.facts.plain import Unknown
from rating.facts.returns.compute import categories
from rating.facts.values.valuation import VALUATION
from rating.facts.values.value import Valuation, Values
from rating.facts.worth.value import LineWorth
from rating.numerics.draws import Different
from rating.numerics.sums import Counts as Numbers
from rating.numerics.sums import moments
from rating.release.checklist import Card
from rating.release.sheet import Format, Guarantee

HERONS, ROOKS = "Saltmarsh Herons", "Kelderby Rooks"


def card(subset, kind, number, teams, rookie=False):
    who = tuple(f"{subset} {number} {i}" for i in range(max(1, len(teams))))
    return Card(subset, kind, number, who, teams, rookie, None, "", "", False, False, "", 2)


def line(subset, kind, cards, runs):
    return CardLine(
        subset=subset, parallel="", kind=kind, cards=cards, runs=runs, odds={}, formats=("hobby",)
    )


INK = line(
    "Ink",
    "autograph",
    (
        card("Ink", "autograph", "1", (HERONS,), True),
        card("Ink", "autograph", "2", (ROOKS,)),
        card("Ink", "autograph", "3", (HERONS, ROOKS)),
    ),
    (10, 20, 10),
)
BASE = line(
    "Base", "base", (card("Base", "base", "1", (HERONS,)), card("Base", "base", "2", (ROOKS,))), (None, None)
)
LINES = (INK, BASE)
PRICES_ = ((40.0, 10.0, 100.0), (0.0, 0.0))


def values(amounts=PRICES_, lines=LINES):
    """What each card is worth, all of it modelled."""
    section = Values(
        sales=30,
        presales=0,
        set_aside={},
        wild=0,
        sold_share=Decimal(0),
        modelled_share=Decimal(1),
        carried_over=Decimal(0),
        bulk_share=Decimal(0),
        least=None,
        coverage=None,
        effects=(),
    )
    each = tuple(
        LineWorth(
            subset=one.subset,
            parallel="",
            worth=own,
            low=tuple(v / 2 for v in own),
            high=tuple(v * 2 for v in own),
            basis=("modelled",) * len(own),
        )
        for one, own in zip(lines, amounts, strict=True)
    )
    return Valuation(values=section, subjects=(), lines=each)


def packing(boxes_per_case, per):
    """Boxes of one pack of two cards, with one autograph for certain in each box or case."""
    return Format(
        key="hobby",
        name="Hobby",
        cards_per_pack=Decimal(2),
        packs_per_box=1,
        boxes_per_case=boxes_per_case,
        guarantees=(Guarantee(what="autograph", count=Decimal(1), per=per, hard=True),),
    )


def facts(worth=None, case="100", packed=None, lines=LINES, **season):
    """A case of two boxes with an autograph each; it costs 100, landed 110, unless said otherwise."""
    hobby = packed or packing(2, "box")
    plain = dict.fromkeys(FormatEconomics.__dataclass_fields__)
    given = {"name": "Hobby", "case_price": case and Decimal(case), "case_kind": "street", "prices": ()}
    money = FormatEconomics(**plain | given | {"boxes_per_case": 2})
    return Facts(
        release="deep-harbour",
        title="Deep Harbour",
        maker="M",
        line="L",
        released_on=None,
        headline="hobby",
        season=SeasonContext(
            name="S",
            currency="USD",
            teams=(HERONS, ROOKS),
            rookies=None,
            classes=(),
            aliases={},
            **{"buying": Buying(tax=Decimal("0.1"))} | season,
        ),
        economics=Economics(
            headline="hobby", formats={"hobby": money}, price_class="", class_price=None, left_out=()
        ),
        lines=lines,
        collations={"hobby": collate(hobby, lines)},
        valuation=values() if worth is None else worth,
    )


def enumerated():
    """Every way two autographs and two lots can fall: each slot's value with its chance."""
    found = defaultdict(float)
    cards = [(0.25, ("H",), 40), (0.5, ("R",), 10), (0.125, ("H",), 100), (0.125, ("R",), 100)]
    for both in product(cards, repeat=2):
        chance = math.prod(one[0] for one in both)
        held = {"H": 0, "R": 0}
        for _, who, worth in both:
            held[who[0]] += worth
        found[held["H"], held["R"]] += chance
    return found


def test_mean_and_deviation_are_those_of_all_ways_the_cards_can_fall():
    """Two boxes, one autograph each: 40 in one of four, 10 in two, 100 in one, for which lots are drawn."""
    ways = enumerated()
    for place, slot in enumerate(breaks.broken_down(facts()).slots):
        mean = sum(chance * way[place] for way, chance in ways.items())
        spread = sum(chance * (way[place] - mean) ** 2 for way, chance in ways.items())
        assert float(slot.value) == pytest.approx(mean, abs=0.005)
        assert float(slot.deviation) == pytest.approx(math.sqrt(spread), abs=0.005)
    # by hand: 2 x (1/4 x 40 + 1/8 x 100) = 45 and 2 x (1/2 x 10 + 1/8 x 100) = 35
    assert [str(slot.worth) for slot in breaks.broken_down(facts()).slots] == ["45.00", "35.00"]


def test_the_chance_of_no_autograph_is_that_of_all_ways():
    """Herons miss both with (1 - 3/8)^2, Rooks with (1 - 5/8)^2."""
    found = breaks.broken_down(facts()).slots
    assert [slot.p_no_autograph for slot in found] == [Decimal("0.390625"), Decimal("0.140625")]
    assert [slot.p_no_hit for slot in found] == [slot.p_no_autograph for slot in found]
    assert [slot.p_only_base for slot in found] == [slot.p_no_autograph for slot in found]


def test_cards_are_counted_by_kind_and_copies_are_expected():
    """A card of two teams counts for both, and half of it is expected in each."""
    one = breaks.broken_down(facts()).slots[0]
    assert (one.counts.base, one.counts.rookies, one.counts.autographs, one.counts.numbered) == (1, 1, 2, 2)
    assert one.counts.subjects == 4
    # two autographs, of which 3/8 are hers; two packs with a base card each, half of them hers
    assert (one.expected.autographs, one.expected.rookies, one.expected.base) == (
        Decimal("0.75"),
        Decimal("0.5"),
        Decimal(1),
    )


def test_cost_shares_sum_to_the_cost_with_the_margin_and_stand_beside_the_worth():
    """100, landed 110, with a fifth for the host 132: 45/80 of it is 74.25. The limit knows no cost."""
    found = breaks.broken_down(facts(slots=SlotRules(margin=Decimal("0.2"))))
    assert (found.cost.price, found.cost.landed, found.cost.total) == (
        Decimal("100.00"),
        Decimal("110.00"),
        Decimal("132.00"),
    )
    assert [slot.cost_share for slot in found.slots] == [Decimal("74.25"), Decimal("57.75")]
    # 45 and 35 over the tax of a tenth: 40.909 and 31.818
    assert [slot.limit for slot in found.slots] == [Decimal("40.90"), Decimal("31.81")]
    assert sum(slot.share for slot in found.slots) == pytest.approx(1, abs=1e-15)


def test_a_cent_more_than_the_limit_costs_more_than_the_cards_are_worth():
    """Whatever the case costs, 5 of shipping and a tenth of tax included."""
    buying = Buying(tax=Decimal("0.1"), shipping=Decimal(5))
    found = breaks.broken_down(facts(case="10", buying=buying))
    for slot in found.slots:
        assert (slot.limit + 5) * Decimal("1.1") <= slot.worth
        assert (slot.limit + Decimal("5.01")) * Decimal("1.1") > slot.worth


def test_a_slot_worth_less_than_its_shipping_has_a_limit_of_nothing():
    """35 of cards against 40 of shipping."""
    assert breaks.broken_down(facts(buying=Buying(shipping=Decimal(40)))).slots[1].limit == 0


def test_what_the_host_keeps_is_no_slots_value():
    """Base at 2 apiece that is not shipped: two packs bring a base card each."""
    worth = values(((40.0, 10.0, 100.0), (2.0, 2.0)))
    shipped = breaks.broken_down(facts(worth))
    kept = breaks.broken_down(facts(worth, house=HouseRules(base="not shipped")))
    assert (shipped.value, shipped.kept) == (Decimal("84.00"), Decimal("0.00"))
    assert (kept.value, kept.kept) == (Decimal("80.00"), Decimal("4.00"))


def test_several_cases_bring_as_many_times_as_much_and_cost_so():
    """Means and variances of independent cases add up."""
    one, three = breaks.broken_down(facts()), breaks.broken_down(facts(), cases=3)
    assert (three.cases, three.boxes) == (3, 6)
    assert three.slots[0].worth == 3 * one.slots[0].worth
    assert float(three.slots[0].deviation) == pytest.approx(
        math.sqrt(3) * float(one.slots[0].deviation), abs=0.01
    )
    assert three.cost.price == Decimal("300.00")


def test_what_a_case_is_promised_comes_as_often_as_there_are_whole_cases():
    """One autograph a case of two boxes: two cases bring two for certain, and one box one in half of them."""
    packed = packing(2, "case")
    collation = collate(packed, LINES)

    def autographs(boxes):
        found = categories(collation, LINES, PRICES_, boxes=boxes)
        return [one.draws for one in found if len(one.values) == len(INK.cards)]

    assert autographs(4)[0] == 2
    assert autographs(1)[0] == Numbers((0.5, 0.5, 0.0))
    assert autographs(3)[:2] == [1, Numbers((0.5, 0.5, 0.0))]


def test_tiers_follow_the_values_and_the_host_may_move_a_slot_with_a_reason():
    """Both places are kept, and the reason beside them."""
    move = TierMove("deep-harbour", "kelderby rooks", "headland", "Half the league follows them.")
    rules = SlotRules(tiers=("headland", "buoy"), moves=(move, TierMove("other", HERONS, "buoy", "Else.")))
    first, second = breaks.broken_down(facts(slots=rules)).slots
    assert (first.tier, first.tier_by_value, first.moved) == ("headland", "headland", "")
    assert (second.tier, second.tier_by_value) == ("headland", "buoy")
    assert second.moved == "Half the league follows them."


def test_without_prices_content_stands_in_weighed_by_demand():
    """An autograph counts 15, a base card 1, both times demand over 50; no worth and no deviation."""
    wanted = {"ink 1 0": Demand(subject="Ink 1 0", demand=Decimal(100), basis="nudge", why="")}
    found = breaks.broken_down(facts(Unknown("there are no sales yet"), demand=wanted))
    assert found.basis == CONTENT
    # two autographs: 1/4 x 2 x 15 + 1/8 x 15, and 1/2 x 15 + 1/8 x 15; a base card each
    assert [slot.value for slot in found.slots] == [Decimal("19.75"), Decimal("19.75")]
    assert {(slot.worth, slot.deviation, slot.share_low) for slot in found.slots} == {(None, None, None)}
    assert [slot.cost_share for slot in found.slots] == [Decimal("55.00"), Decimal("55.00")]
    # nothing but its part of the landed case is known: 55 over the tax
    assert [slot.limit for slot in found.slots] == [Decimal("50.00"), Decimal("50.00")]


def test_without_a_price_of_box_or_case_shares_are_known_and_costs_are_not():
    """A sentence says why."""
    found = breaks.broken_down(facts(case=None))
    assert found.cost == Unknown("there is no price for a Hobby box or case yet")
    assert [(slot.cost_share, slot.limit) for slot in found.slots] == [
        (None, Decimal("40.90")),
        (None, Decimal("31.81")),
    ]
    assert found.basis == PRICES


def test_by_pair_without_named_pairs_the_strongest_goes_with_the_weakest():
    """Two teams are one pair, which has it all."""
    found = breaks.broken_down(facts(), by=("pair",))
    assert [slot.slot for slot in found.slots] == [f"{HERONS} + {ROOKS}"]
    assert found.slots[0].worth == found.value == Decimal("80.00")


@pytest.mark.parametrize(
    ("changes", "asked", "said"),
    [
        ({"lines": ()}, {}, "there is no checklist yet"),
        ({}, {"packed": "retail"}, "there is no format 'retail'"),
        ({}, {"boxes": 0}, "0 boxes are not a break"),
        ({}, {"cases": 5000}, "10,000 boxes are not a break"),
        ({"worth": values(((0.0,) * 3, (0.0, 0.0)))}, {}, "holds nothing that has a value"),
    ],
)
def test_a_break_without_what_it_needs_is_refused_in_a_sentence(changes, asked, said):
    """What is missing, and how to mend it."""
    with pytest.raises(RatingError, match=said):
        breaks.broken_down(facts(**changes), **asked)


def test_a_case_of_unknown_size_asks_for_boxes():
    """So many boxes can be opened all the same."""
    packed = packing(None, "box")
    with pytest.raises(RatingError, match="how many boxes a hobby case holds is not known"):
        breaks.broken_down(facts(packed=packed))
    found = breaks.broken_down(facts(packed=packed), boxes=2)
    assert (found.cases, found.boxes, found.value) == (None, 2, Decimal("80.00"))


@pytest.fixture(scope="module")
def halyard(sample_season):
    """The sample's big release, with its sales."""
    return rating.open_season(sample_season).facts("halyard")


def test_all_slots_together_are_worth_what_a_case_returns(halyard):
    """Two ways to the same number: slot by slot, and the whole distribution."""
    found = breaks.broken_down(halyard)
    assert float(found.value) == pytest.approx(float(halyard.returns.formats["hobby"].case.mean), abs=0.02)
    assert sum(slot.cost_share for slot in found.slots) == found.cost.total
    assert float(sum(slot.worth for slot in found.slots)) == pytest.approx(float(found.value), abs=0.2)


def test_means_and_deviations_are_those_of_simulated_cases(halyard):
    """4,000 cases, card by card; means and deviations within five standard errors.

    The fourth moment about the mean is 3 deviations^4 and what single dear cards add: copies x worth^4.
    """
    found = breaks.broken_down(halyard)
    owned = owners.owners(halyard.lines, halyard.season)
    places, count = [], 0
    for one in halyard.lines:
        places.append(list(range(count, count + len(one.cards))))
        count += len(one.cards)
    worth = np.array([v for one in halyard.of(VALUATION).lines for v in one.expected])
    sharing = [shares for own in owned.cards for shares in own]
    rng, cases = np.random.default_rng(20310312), 4000
    held, fourth = np.zeros((cases, len(found.slots))), np.zeros(len(found.slots))
    for one in categories(halyard.collations["hobby"], halyard.lines, places, boxes=10):
        weights = np.asarray(one.weights) / np.sum(one.weights)
        match one.draws:
            case Different(packs, sure, more):
                # packs with a card twice are drawn again
                size = sure + (rng.random((cases, packs)) < more)
                in_pack = np.arange(sure + 1) < size[..., None]
                drawn = rng.integers(len(weights), size=in_pack.shape)
                drawn[~in_pack] = -1
                while True:
                    ordered = np.sort(drawn, axis=2)
                    twice = ((ordered[..., 1:] == ordered[..., :-1]) & (ordered[..., 1:] >= 0)).any(axis=2)
                    if not twice.any():
                        break
                    again = rng.integers(len(weights), size=(int(twice.sum()), sure + 1))
                    drawn[twice] = np.where(in_pack[twice], again, -1)
                draws, drawn = size.sum(axis=1), np.asarray(one.values, int)[drawn[in_pack]]
            case ("poisson", mean):
                draws = rng.poisson(mean, cases)
            case ("binomial", trials, chance):
                draws = rng.binomial(int(trials), chance, cases)
            case _:
                draws = np.full(cases, one.draws)
        if not isinstance(one.draws, Different):
            drawn = rng.choice(np.asarray(one.values, int), size=int(draws.sum()), p=weights)
        whose = np.repeat(np.arange(cases), draws)
        slot = np.array(
            [
                sharing[i][rng.integers(len(sharing[i]))][0] if len(sharing[i]) > 1 else sharing[i][0][0]
                for i in drawn
            ]
        )
        np.add.at(held, (whose, slot), worth[drawn])
        for i, part in zip(one.values, weights * moments(one.draws)[0], strict=True):
            for owner, share in sharing[int(i)]:
                fourth[owner] += share * part * worth[int(i)] ** 4
    for place, slot in enumerate(found.slots):
        own = held[:, place]
        assert own.mean() == pytest.approx(float(slot.value), abs=5 * own.std() / math.sqrt(cases))
        deviation = float(slot.deviation)
        error = math.sqrt((2 * deviation**4 + fourth[place]) / cases) / (2 * deviation)
        assert own.std() == pytest.approx(deviation, abs=5 * error)


# of the value of a hobby case, by team, from the laws that the sample's sales were drawn with: price =
# floor of the kind x scarcity x (demand of its subjects)^0.95 / 12 x 1.45 for rookies, noise 0.42, no sale
# below 0.99, net of the season's selling costs
TRUE_SHARES = {
    "Brindle Quay Otters": 0.0225,
    "Cinder Hill Embers": 0.0504,
    "Saltmarsh Herons": 0.1370,
    "Port Averil Lamplighters": 0.0836,
    "Gannet Rock Moorers": 0.1346,
    "Thornwick Bells": 0.0125,
    "Ferry Cross Wherrymen": 0.0303,
    "Ashgrove Coppicers": 0.0481,
    "Low Tarn Pike": 0.1133,
    "Kelderby Rooks": 0.0417,
    "St. Orrin Sextons": 0.0941,
    "Wexmouth Groynes": 0.0539,
    "Dunmere Harrows": 0.0330,
    "Nacre Bay Divers": 0.0546,
    "Holm & Sound Drummers": 0.0565,
    "Vellin Étoiles": 0.0339,
}


def test_the_true_shares_of_the_teams_lie_in_their_limits(halyard):
    """Nine of ten should; of sixteen at least twelve, which chance alone misses once in sixty."""
    found = breaks.broken_down(halyard).slots
    inside = sum(slot.share_low <= TRUE_SHARES[slot.slot] <= slot.share_high for slot in found)
    assert inside >= 12
    # and no limits so wide that they say nothing
    assert max(slot.share_high - slot.share_low for slot in found) < 0.05


def test_a_break_by_subject_has_a_slot_for_everybody(halyard):
    """The checklist names over two hundred, and their shares sum to 1."""
    found = breaks.broken_down(halyard, by=("subject",))
    assert len(found.slots) == len({name for card in halyard.cards for name in card.subjects})
    assert sum(slot.share for slot in found.slots) == pytest.approx(1, abs=1e-12)


def test_whole_boxes_are_worth_a_tenth_of_the_case_each(halyard):
    """Ten slots alike."""
    found = breaks.broken_down(halyard, by=("box",))
    assert {slot.worth for slot in found.slots} == {found.slots[0].worth}
    assert len(found.slots) == 10
    assert float(found.slots[0].worth) == pytest.approx(float(found.value) / 10, abs=0.01)


def test_other_house_rules_change_what_cards_of_two_teams_bring(halyard):
    """What is given to the first named is the same in sum, but not slot by slot."""
    other = halyard.replaced(rules=replace(halyard.rules, house=HouseRules(two_teams="first named")))
    by_lot, by_name = breaks.broken_down(halyard), breaks.broken_down(other)
    assert by_lot.value == by_name.value
    assert [slot.worth for slot in by_lot.slots] != [slot.worth for slot in by_name.slots]
