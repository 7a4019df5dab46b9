"""What a review keeps of the facts is read back as the values it was."""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rating import text
from rating.facts import sections
from rating.facts.context import Buying, Demand, SeasonContext
from rating.facts.economics.value import Economics
from rating.facts.facts import Facts, KeptFacts
from rating.facts.plain import Unknown, as_text_values
from rating.facts.returns.value import FormatReturns
from rating.facts.stored import NOT_KEPT, loaded, read, stored
from rating.season.season import Season

DATA = Path(__file__).parent / "data"
SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"
SEASON = SeasonContext(
    name="Trial 2031",
    currency="USD",
    teams=("Otters",),
    rookies=None,
    classes=(),
    buying=Buying(),
    aliases={},
)
KINDS = [one.value for one in sections.SECTIONS]
WORDS = st.text(max_size=5)
PLAIN = {
    str: WORDS,
    int: st.integers(-10, 10**9),
    bool: st.booleans(),
    type(None): st.none(),
    date: st.dates(),
    Decimal: st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9),
    Unknown: st.builds(Unknown, WORDS),
}


def anything(kind):
    """Values of a type: written here and not taken from the code, so that both have to agree on it."""
    origin, parts = typing.get_origin(kind), typing.get_args(kind)
    if origin in {typing.Union, types.UnionType}:
        return st.one_of(*map(anything, parts))
    if origin is tuple and parts[-1] is Ellipsis:
        return st.lists(anything(parts[0]), max_size=2).map(tuple)
    if origin is tuple:
        return st.tuples(*map(anything, parts))
    if origin is not None and issubclass(origin, Mapping):
        return st.dictionaries(WORDS, anything(parts[1]), max_size=2)
    if kind in PLAIN:
        return PLAIN[kind]
    hints = typing.get_type_hints(kind)
    return st.builds(kind, **{one.name: anything(hints[one.name]) for one in dataclasses.fields(kind)})


def through_a_file(plain):
    return json.loads(json.dumps(plain))


@pytest.mark.parametrize("kind", KINDS)
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_a_value_is_read_back_as_it_was(kind, data):
    """Of every section, whatever it holds: decimals, days, what is not known, and what is left out."""
    value = data.draw(anything(kind | Unknown))
    assert read(kind | Unknown, through_a_file(as_text_values(value))) == value


DEMANDS = st.none() | st.lists(anything(Demand), max_size=2, unique_by=lambda one: text.key(one.subject))


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data(), demand=DEMANDS, elsewhere=DEMANDS, own=st.booleans())
def test_facts_are_read_back_as_they_were(data, demand, elsewhere, own):
    """All sections at once, with the season's currency and who was wanted; stored again they are the same."""
    by_name = [
        None if one is None else {text.key(each.subject): each for each in one} for one in (demand, elsewhere)
    ]
    season = dataclasses.replace(
        SEASON,
        currency="EUR",
        demand=by_name[0],
        demand_elsewhere=by_name[1] if own else None,
        has_own_sales=own,
    )
    given_ = {one.key: data.draw(anything(one.value)) for one in sections.SECTIONS}
    about = {"release": "a", "title": "A", "maker": "M", "line": "L", "headline": "hobby"}
    day = data.draw(st.none() | st.dates())
    kept = through_a_file(stored(Facts(**given_, **about, released_on=day, season=season)))
    found = loaded(kept, SEASON)
    assert {one.key: found.of(one) for one in sections.SECTIONS} == given_
    assert (found.released_on, found.season) == (day, season)
    assert stored(found) == kept


@pytest.fixture(scope="module")
def season():
    return Season.open(SAMPLE)


@pytest.mark.parametrize("release", ["halyard", "foghorn", "kittiwake", "gatehouse", "halyard-late-watch"])
def test_a_recorded_review_is_told_as_a_fresh_one(season, release):
    """With sales and without, without a base set, with odds that do not fit, and a second format."""
    facts = season.facts(release)
    found = loaded(through_a_file(stored(facts)), season.files.context)
    assert {one.key: one.told(found) for one in sections.SECTIONS} == {
        one.key: one.told(facts) for one in sections.SECTIONS
    }
    assert {one.key: found.of(one) for one in sections.SECTIONS} == {
        one.key: facts.of(one) for one in sections.SECTIONS
    }


def test_a_review_from_before_a_field_takes_its_default():
    """What a later version added has one, what it took out is left alone; a section may be missing too."""
    silent = """cards_per_pack packs_per_box boxes_per_case cards_per_box autographs_per_box relics_per_box
        hits_per_box numbered_per_box price_day landed_box per_pack per_card per_hit per_numbered list_price
        street_price case_price case_discount"""
    hobby = {"name": "Hobby"} | dict.fromkeys(silent.split())
    hobby |= {"counts_from": "", "box_price": "168.5", "price_kind": "street", "restocks": 0, "sources": 1}
    old = {"headline": "hobby", "formats": {"hobby": hobby | {"prices": [], "weather": "fair"}}}
    kept = {"economics": old | {"price_class": "", "class_price": None, "left_out": []}}
    found = loaded(kept, SEASON)
    assert isinstance(found.economics, Economics)
    assert (found.economics.main.box_price, found.economics.main.case_kind) == (Decimal("168.50"), "")
    assert found.returns == NOT_KEPT
    # who was wanted and the currency are those of a season that says nothing else
    assert (found.season.currency, found.season.demand, found.released_on) == ("USD", None, None)


def _as_kept(now, then):
    """What is read, without the fields that were added since."""
    if isinstance(then, dict):
        return {name: _as_kept(now[name], value) for name, value in then.items()}
    if isinstance(then, list):
        return [_as_kept(one, value) for one, value in zip(now, then, strict=True)]
    return now


def test_what_the_first_version_kept_is_read():
    """A settled review as its ledger holds it: nothing is lost, and every section has its sentence."""
    kept = json.loads((DATA / "kept_by_0_1.json").read_text(encoding="utf-8"))
    found = loaded(kept, SEASON)
    for one in sections.SECTIONS:
        again = as_text_values(found.of(one))
        assert _as_kept(again, kept[one.key]) == kept[one.key]
        assert one.told(found).endswith(".")
        assert "Not known" not in one.told(found)


@pytest.mark.parametrize(
    ("kind", "plain", "told"),
    [
        (FormatReturns, {"name": "Hobby"}, "there is no box of FormatReturns"),
        (Economics, {"headline": 1}, "headline: 1 is not of the type str"),
        (tuple[int, ...], [1, True], "1: True is not of the type int"),
        (tuple[int, int], [1], "has not 2 parts"),
        (Mapping[str, Decimal], {"a": "one"}, "a: 'one' is not a decimal number"),
        (date, "yesterday", "Invalid isoformat"),
    ],
)
def test_what_is_no_such_value_is_refused_with_its_place(kind, plain, told):
    """A ledger holds nothing else, so this is a fault of ours and says where."""
    with pytest.raises(ValueError, match=told):
        read(kind, plain)


def test_what_was_kept_cannot_be_changed():
    """As with any facts."""
    with pytest.raises(dataclasses.FrozenInstanceError):
        KeptFacts(headline="hobby").headline = "retail"
