"""The review as a value: its canonical text is RFC 8785, its id the SHA-256 of that text."""

from __future__ import annotations

import dataclasses
import hashlib
import json
import unicodedata

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from rating import review as reviews
from rating.errors import RatingError
from rating.review import Foretold, KindPrices, PriceAdvice, PrintedDisclosure, Review, Score, Unscored
from rating.stage import STAGES

composed = st.text(st.characters(exclude_categories=("Cs",)), max_size=20).map(
    lambda text: unicodedata.normalize("NFC", text)
)
# keys of objects stay below U+10000, where the order of code points is that of UTF-16
keys = st.text(st.characters(max_codepoint=0xFFFF, exclude_categories=("Cs",)), max_size=8).map(
    lambda text: unicodedata.normalize("NFC", text)
)
low_keys = keys.filter(lambda name: max(name, default="") <= "\uffff")
whole = st.integers(-(2**53) + 1, 2**53 - 1)
plain = st.recursive(
    st.none() | st.booleans() | whole | composed,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(low_keys, inner, max_size=4),
    max_leaves=20,
)
digest = composed.map(lambda text: hashlib.sha256(text.encode()).hexdigest())
tenths = st.none() | st.integers(0, 1000)


def lefts(criteria):
    """Criteria without a score, in the order in which they are stored."""
    return st.tuples(*(st.builds(Unscored, criterion=st.just(one), why=composed) for one in sorted(criteria)))


def scores(criteria):
    """Scores in the order in which they are stored."""
    return st.tuples(
        *(
            st.builds(
                Score,
                criterion=st.just(one),
                score=st.integers(0, 100),
                basis=st.sampled_from(("computed", "judged", "overruled")),
                reason=composed,
                spread=st.integers(0, 50),
                computed_score=st.none() | st.integers(0, 100),
                computed_spread=st.none() | st.integers(0, 50),
                measure=composed,
                module=composed,
                module_hash=digest,
                rater=composed,
            )
            for one in sorted(criteria)
        )
    )


def some_reviews():
    """Reviews with any text in them, as a ledger may be given."""
    few = st.sets(st.sampled_from("abcdefg"), max_size=4)
    return few.flatmap(
        lambda here: st.builds(
            Review,
            season=composed,
            release=composed,
            title=composed,
            released_on=composed,
            price_class=composed,
            log_price=composed,
            product_format=composed,
            stage=st.sampled_from(STAGES),
            published_on=composed,
            recorded_at=composed,
            raters=st.lists(composed, max_size=3).map(tuple),
            disclosure=st.builds(
                PrintedDisclosure, how_obtained=st.lists(composed, max_size=2).map(tuple), sentence=composed
            ),
            rubric=digest,
            scores=scores(here),
            not_applicable=lefts(set("hij") - here),
            unknown=lefts(set("kl")),
            grade=tenths,
            lowest=tenths,
            highest=tenths,
            facts=digest,
            supersedes=st.sets(digest, max_size=2).map(lambda ids: tuple(sorted(ids))),
            heads=st.sets(digest, max_size=2).map(lambda ids: tuple(sorted(ids))),
            reason_for_change=composed,
            withdrawn=st.booleans(),
            foretold=st.none()
            | st.builds(
                Foretold,
                as_of=composed,
                prices=st.lists(
                    st.builds(KindPrices, kind=composed, quantiles=st.lists(composed, max_size=2).map(tuple)),
                    max_size=2,
                ).map(tuple),
                box=st.lists(composed, max_size=2).map(tuple),
                box_mean=st.just(()),
            ),
            price_advice=st.none()
            | st.builds(
                PriceAdvice,
                price=st.none() | composed,
                mean=st.none() | composed,
                as_of=st.none() | composed,
                is_carried=st.booleans(),
                still=st.lists(composed, max_size=2).map(tuple),
            ),
        )
    )


@given(plain)
def test_the_canonical_text_is_that_of_rfc_8785(value):
    """Byte for byte what the rfc8785 package writes, for any value without floats."""
    assert reviews.canonical(value).encode() == rfc8785.dumps(value)


def test_the_canonical_text_is_that_of_the_rfc_for_its_own_text():
    """RFC 8785, section 3.2.2: the string of its sample and its literals, without the numbers."""
    value = {"string": "\u20ac$\u000f\u000aA'\u0042\u0022\u005c\\\"/", "literals": [None, True, False]}
    expected = '{"literals":[null,true,false],"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    assert reviews.canonical(value) == expected


@given(plain)
def test_a_canonical_text_is_read_back_by_any_reader(value):
    """Nothing is lost on the way through JSON, and writing it again gives the same bytes."""
    text = reviews.canonical(value)
    assert json.loads(text) == value
    assert reviews.canonical(json.loads(text)) == text


@given(st.text(st.characters(exclude_categories=("Cs",)), max_size=20))
def test_text_is_composed(text):
    """Two ways of writing an accent give one text, hence one id."""
    assert reviews.canonical(unicodedata.normalize("NFD", text)) == reviews.canonical(text)


@pytest.mark.parametrize(
    "value",
    [
        1.0,
        [0.5],
        {"a": {"b": float("nan")}},
        2**53,
        -(2**53),
        {1: 2},
        {None: 2},
        {"\U0001f3d2": 1},
        {"\ufacf": 1},  # composes to U+2284A, which sorts elsewhere in UTF-16
        b"bytes",
        {1, 2},
        object(),
        {"e\u0301": 1, "\u00e9": 2},  # two keys that are one once they are composed
    ],
)
def test_what_readers_would_not_keep_is_refused(value):
    """Floats, whole numbers beyond 2**53, odd keys, keys that fall together and other kinds raise."""
    with pytest.raises(ValueError, match=r"canonical|large|plain text|twice"):
        reviews.canonical(value)


@given(some_reviews())
def test_a_review_comes_back_from_its_text(review):
    """from_text(text_of(review)) is the review, whatever its texts hold."""
    text = reviews.text_of(review)
    assert reviews.from_text(text) == review
    assert text.encode() == rfc8785.dumps(reviews.as_plain(review))
    assert reviews.hash_of(text) == hashlib.sha256(text.encode("utf-8")).hexdigest()


@given(some_reviews(), st.randoms())
def test_the_order_of_scores_does_not_change_the_id(review, order):
    """Scores, what is left out and ids of others are kept in an order of their own."""
    mixed = {}
    for name in ("scores", "not_applicable", "unknown", "supersedes", "heads"):
        values = list(getattr(review, name))
        order.shuffle(values)
        mixed[name] = tuple(values)
    assert reviews.text_of(dataclasses.replace(review, **mixed)) == reviews.text_of(review)


@given(some_reviews(), st.data())
def test_any_other_value_gives_another_id(review, data):
    """One field changed is another review."""
    name = data.draw(st.sampled_from(["title", "grade", "published_on", "reason_for_change", "withdrawn"]))
    value = getattr(review, name)
    other = (
        (not value)
        if name == "withdrawn"
        else 7
        if value is None
        else f"{value}x"
        if name != "grade"
        else value + 1
    )
    changed = dataclasses.replace(review, **{name: other})
    assert reviews.hash_of(reviews.text_of(changed)) != reviews.hash_of(reviews.text_of(review))


@given(some_reviews(), some_reviews())
def test_when_it_was_written_is_no_part_of_a_judgement(review, other):
    """Dates, links and the reason for a change may differ; nothing else may."""
    times = ("published_on", "recorded_at", "supersedes", "heads", "reason_for_change")
    later = dataclasses.replace(review, **{name: getattr(other, name) for name in times})
    assert reviews.same_judgement(review, later)
    assert not reviews.same_judgement(review, dataclasses.replace(later, title=f"{review.title}x"))
    assert not reviews.same_judgement(review, dataclasses.replace(later, withdrawn=not review.withdrawn))


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "7", "null", "{}", '{"format":1}', '{"format":"1"}', '{"format":null}', "[" * 100_000],
)
def test_a_text_that_is_no_review_is_refused(text):
    """Cut, of another shape, without its fields, or nested without end: a message and no traceback."""
    with pytest.raises(RatingError, match="not a review"):
        reviews.from_text(text)


def test_a_review_of_a_newer_format_is_refused():
    """With both numbers, and what to do."""
    with pytest.raises(RatingError, match="format 2, this program reads format 1") as caught:
        reviews.from_text('{"format":2}')
    assert "newer version" in caught.value.fix
