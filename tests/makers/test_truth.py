"""The truth agrees with itself: people, numbers, ladders, odds and promises."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from itertools import pairwise

import pytest

from makers.truth.facts import from_json
from makers.truth.league import draw_league
from makers.truth.market import draw_market
from makers.truth.people import ALPHABETS, Person
from makers.truth.planning import Style, contradict, plan
from makers.truth.release import per_box, promised_per_box

SEEDS = range(900, 924)
STYLES = ("dash", "tight", "padded", "initials", "restart", "continued")


@pytest.fixture(scope="module")
def releases():
    """Two dozen releases, their numbers in every style."""
    return [
        plan(seed, Style(STYLES[seed % 6], "plain", silent=seed % 2 == 0, traps=seed % 3 == 0))
        for seed in SEEDS
    ]


def test_a_league_has_8_to_32_teams_told_apart():
    """Cities, nicknames and codes each occur once; every team has people."""
    sizes = set()
    for seed in SEEDS:
        league = draw_league(seed)
        sizes.add(len(league.teams))
        assert 8 <= len(league.teams) <= 32
        for column in ("city", "nick", "code", "name"):
            assert len({getattr(team, column) for team in league.teams}) == len(league.teams)
        assert {person.team for person in league.people} == set(range(len(league.teams)))
        assert len({person.name for person in league.people}) == len(league.people)
    assert len(sizes) > 4


def test_several_alphabets_are_drawn():
    """Every one of them, and leagues without any."""
    drawn = Counter(draw_league(seed, people=1).alphabet for seed in range(200))
    assert set(drawn) == {"", *ALPHABETS}


def test_family_names_come_first_where_that_is_the_custom():
    """In Hangul without a blank, in Japanese with one."""
    assert Person(0, "하린", "강", "", "hangul", 0, False, "강하린").name == "강하린"
    names = [one for seed in range(60) for one in draw_league(seed).people if one.script == "japanese"]
    assert names
    assert all(one.name == f"{one.family} {one.given}" for one in names)


def test_numbers_are_unique_in_a_subset(releases):
    """Whatever the style; a variation has the number of its base card."""
    for release in releases:
        for subset in release.subsets:
            assert len({card.number for card in subset.cards}) == len(subset.cards)
            if subset.variation:
                base = {card.number: card.persons for card in release.base.cards}
                assert all(base[card.number] == card.persons for card in subset.cards)


def test_names_of_subsets_and_prefixes_are_unique(releases):
    """So that a banner or a number tells the subset."""
    for release in releases:
        names = [one.name for one in release.subsets]
        prefixes = [one.prefix for one in release.subsets]
        assert len(set(names)) == len(names)
        assert len(set(prefixes)) == len(prefixes)


def test_ladders_fall_from_common_to_scarce(releases):
    """Names differ, runs fall, and stay below that of the base version."""
    for release in releases:
        for subset in release.subsets:
            assert len({rung.name for rung in subset.rungs}) == len(subset.rungs)
            runs = [rung.run for rung in subset.rungs if rung.run]
            assert all(first > second for first, second in pairwise(runs))
            assert all(run < subset.run for run in runs if subset.run)


def test_odds_of_numbered_lines_agree_on_the_packs_there_are(releases):
    """Copies times packs a copy is the same for all numbered lines of a format."""
    checked = 0
    for release in releases:
        for one in release.formats:
            implied = [
                (odds.rung.run if odds.rung else odds.subset.run) * len(odds.subset.cards) * odds.packs
                for odds in release.odds
                if odds.format is one
                and odds.packs >= 20
                and (odds.rung.run if odds.rung else odds.subset.run)
            ]
            if len(implied) > 1:
                checked += 1
                assert max(implied) <= min(implied) * Decimal("1.06")
    assert checked > 20


def test_a_parallel_of_one_format_has_odds_there_alone(releases):
    """And every line of odds belongs to the release."""
    for release in releases:
        lines = {(subset.index, rung.index) for subset, rung in release.rungs()}
        for odds in release.odds:
            if odds.rung:
                assert (odds.subset.index, odds.rung.index) in lines
                assert not odds.rung.formats or odds.format.key in odds.rung.formats


def test_odds_keep_the_promises(releases):
    """Within a twelfth, unless one contradicts them on purpose; a minimum is part of what is promised."""
    promises = [(release, one) for release in releases for one in release.promises]
    assert len(promises) > 60
    for release, one in promises:
        expected = per_box(release, one)
        assert abs(promised_per_box(one) - expected) * 12 <= expected
        assert one.minimum < one.count


def test_a_contradiction_is_three_times_too_much(releases):
    """In the first promise, and in no other."""
    release = next(one for one in releases if one.promises)
    bent = contradict(release)
    assert bent.promises[0].contradicts
    assert promised_per_box(bent.promises[0]) > 2 * per_box(bent, bent.promises[0])
    assert bent.promises[1:] == release.promises[1:]


def test_a_certain_title_fits_one_card_by_an_own_search(releases):
    """Read again from the text: whose name, number, subset, parallel and run stand in it."""
    found = 0
    for seed, release in zip(SEEDS, releases, strict=True):
        for sale in draw_market(seed, release, initials=False).sales:
            if sale.card is None or not sale.certain:
                continue
            text = sale.title.casefold()
            fits = [
                (card.index, rung.name if rung else "")
                for subset, card in release.cards()
                for rung in (None, *subset.rungs)
                if all(one.family.casefold() in text for one in card.persons)
                and (rung is None or f" {rung.name.casefold()}" in text)
            ]
            assert (sale.card.index, sale.rung.name if sale.rung else "") in fits
            found += 1
    assert found > 300


def test_junk_is_given_to_no_card(releases):
    """And strangers name another line, another year or another release."""
    traits = Counter()
    for seed, release in zip(SEEDS, releases, strict=True):
        for sale in draw_market(seed, release, initials=False).sales:
            traits.update(sale.traits)
            if sale.card is None:
                assert sale.subset is None
            if "cards of other releases" in sale.traits:
                assert release.line not in sale.title or str(release.year) not in sale.title
    assert {"junk", "unsold", "cards of other releases", "slabs"} <= set(traits)


def test_the_truth_comes_back_from_json(makers):
    """With its blanks, places and spellings."""
    truth = makers[0].truth
    assert from_json(truth.to_json()) == truth
