"""Standings: ranks, ties, classes, movement, stages and the audit, from entries of a ledger."""

from __future__ import annotations

import itertools
import json
import random
from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from rating import standings as rules
from rating.ledger.ledger import Entry, ScoreEntry

RUBRIC = json.dumps(
    {
        "criteria": [],
        "verdicts": [
            {"from": 600, "words": "Buy"},
            {"from": 400, "words": "Wait"},
            {"from": 0, "words": "Pass"},
        ],
    }
)
TEXTS = {"r": RUBRIC}
seq = itertools.count(1)


def entry(release="a", grade=500, on="2031-03-01", **more):
    """One review's copied values."""
    number = next(seq)
    values = {
        "title": release.upper(),
        "released_on": "2031-02-01",
        "price_class": "middle",
        "log_price": "5",
    }
    values |= {"product_format": "hobby", "stage": "launch", "recorded_at": "", "rubric": "r", "facts": "f"}
    values |= {
        "lowest": grade,
        "highest": grade,
        "unknown_points": 0,
        "applying_points": 1000,
        "withdrawn": 0,
    }
    values |= {"seq": number, "id": f"id{number}"} | more
    return Entry(release=release, grade=grade, published_on=on, **values)


def ranked(*entries, **options):
    """The standings as (release, place), in order."""
    return [(one.release, one.place) for one in rules.standings(entries, TEXTS, **options)]


def moves(*entries, **options):
    """Each release's movement."""
    return {one.release: one.movement for one in rules.standings(entries, TEXTS, **options)}


grades = st.lists(st.integers(0, 1000) | st.integers(500, 503), min_size=1, max_size=25)


@given(grades)
def test_ranks_agree_with_pandas_and_scipy(found):
    """Competition ranks: rank(method="min") of pandas, rankdata of scipy on the negated grades."""
    rows = rules.standings([entry(f"r{n}", grade) for n, grade in enumerate(found)], TEXTS)
    ours = {int(one.release[1:]): one.rank for one in rows}
    theirs = pd.Series(found).rank(method="min", ascending=False)
    assert [ours[n] for n in range(len(found))] == theirs.astype(int).tolist()
    assert [ours[n] for n in range(len(found))] == stats.rankdata([-one for one in found], "min").tolist()
    assert [one.tied for one in rows] == [found.count(one.grade) > 1 for one in rows]
    assert [one.grade for one in rows] == sorted(found, reverse=True)


def test_ties_stand_in_order_of_release_date_then_name():
    """They share the better place, and the next place is left out."""
    rows = (
        entry("late", 500, released_on="2031-05-01", title="A"),
        entry("soon-b", 500, released_on="2031-04-01", title="beta"),
        entry("soon-a", 500, released_on="2031-04-01", title="Alpha"),
        entry("best", 600),
        entry("last", 499),
    )
    expected = [("best", "1"), ("soon-a", "=2"), ("soon-b", "=2"), ("late", "=2"), ("last", "5")]
    for order in itertools.permutations(rows):
        assert ranked(*order) == expected


@given(
    st.lists(
        st.tuples(st.sampled_from(["low", "middle", "high"]), st.integers(400, 410)), min_size=1, max_size=20
    )
)
def test_class_ranks_agree_with_pandas(found):
    """A group's own competition ranks."""
    frame = pd.DataFrame(found, columns=["class", "grade"])
    theirs = frame.groupby("class")["grade"].rank(method="min", ascending=False).astype(int)
    entries = [entry(f"r{n}", grade, price_class=name) for n, (name, grade) in enumerate(found)]
    rows = rules.standings(entries, TEXTS)
    assert {one.release: one.class_rank for one in rows} == {f"r{n}": rank for n, rank in enumerate(theirs)}


def test_a_class_alone_keeps_the_ranks_of_the_season():
    """The place in the class stands beside them; without a class there is none."""
    rows = [
        entry("a", 700),
        entry("b", 600, price_class="low"),
        entry("c", 500),
        entry("d", 400, price_class=""),
    ]
    shown = rules.standings(rows, TEXTS, price_class="middle")
    assert [(one.release, one.rank, one.class_rank) for one in shown] == [("a", 1, 1), ("c", 3, 2)]
    assert next(one for one in rules.standings(rows, TEXTS) if one.release == "d").class_rank is None


# which review counts -----------------------------------------------------------------------------------


def test_the_last_review_published_by_a_day_counts():
    """As of any past day, what was known then."""
    rows = [entry("a", 500, "2031-03-01"), entry("b", 600, "2031-03-05"), entry("a", 700, "2031-04-01")]
    assert ranked(*rows) == [("a", "1"), ("b", "2")]
    assert ranked(*rows, as_of=date(2031, 3, 31)) == [("b", "1"), ("a", "2")]
    assert ranked(*rows, as_of=date(2031, 3, 4)) == [("a", "1")]
    assert ranked(*rows, as_of=date(2031, 2, 28)) == []


def test_of_two_reviews_of_one_day_the_later_recorded_counts():
    """And one back-filled for an earlier day does not push out a later one."""
    rows = [entry("a", 500, "2031-03-01"), entry("a", 510, "2031-03-01"), entry("a", 400, "2031-02-01")]
    assert rules.current(rows)["a"].grade == 510


def test_a_withdrawn_release_leaves_and_the_older_review_does_not_come_back():
    """Until it is reviewed anew; before that day it stands as it stood."""
    rows = [
        entry("a", 500, "2031-03-01"),
        entry("a", 520, "2031-03-10", stage="settled"),
        entry("a", 520, "2031-04-01", stage="settled", withdrawn=1),
    ]
    assert ranked(*rows) == []
    assert ranked(*rows, as_of=date(2031, 3, 31)) == [("a", "1")]
    for stage in ("launch", "settled"):
        assert ranked(*rows, stage=stage) == []
    rows.append(entry("a", 530, "2031-05-01"))
    assert rules.current(rows)["a"].grade == 530


def test_a_review_after_a_withdrawal_brings_no_withdrawn_one_back():
    """Reviewed anew at launch, a release has no settled review: the withdrawal took that away."""
    rows = [
        entry("a", 500, "2031-03-01", stage="settled"),
        entry("a", 500, "2031-04-01", stage="settled", withdrawn=1),
        entry("a", 530, "2031-05-01", stage="launch"),
    ]
    assert ranked(*rows) == [("a", "1")]
    assert ranked(*rows, stage="launch") == [("a", "1")]
    assert ranked(*rows, stage="settled") == []


def test_one_stage_alone_takes_the_last_review_of_that_stage():
    """A launch grade is held against launch grades."""
    rows = [
        entry("a", 500, "2031-03-01"),
        entry("b", 400, "2031-03-02"),
        entry("a", 300, "2031-06-01", stage="settled"),
        entry("c", 450, "2031-06-02", stage="settled"),
    ]
    assert ranked(*rows) == [("c", "1"), ("b", "2"), ("a", "3")]
    assert ranked(*rows, stage="launch") == [("a", "1"), ("b", "2")]
    assert ranked(*rows, stage="settled") == [("c", "1"), ("a", "2")]
    assert {one.stage for one in rules.standings(rows, TEXTS, stage="launch")} == {"launch"}


# apart and partial -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unknown", "applying", "apart"),
    [(0, 1000, False), (250, 1000, False), (251, 1000, True), (1, 3, True), (0, 0, False)],
)
def test_more_than_a_quarter_unknown_is_shown_apart(unknown, applying, apart):
    """Exactly a quarter is not more than a quarter."""
    assert rules.is_apart(entry(unknown_points=unknown, applying_points=applying)) == apart


def test_a_release_apart_keeps_its_grade_and_counts_in_nobodys_rank():
    """No place, no class place, no verdict, no movement; at the end of the list."""
    rows = rules.standings(
        [
            entry("best", 900, unknown_points=400),
            entry("a", 700),
            entry("b", 500, unknown_points=250),
            entry("none", None),
        ],
        TEXTS,
    )
    told = [
        (one.release, one.place, one.class_rank, one.grade, one.verdict, one.partial, one.moved)
        for one in rows
    ]
    assert told == [
        ("a", "1", 1, 700, "Buy", False, "0"),
        ("b", "2", 2, 500, "Wait", True, "0"),
        ("best", "", None, 900, "", True, ""),
        ("none", "", None, None, "", False, ""),
    ]
    assert [one.movement for one in rows] == [0, 0, None, None]


# movement ----------------------------------------------------------------------------------------------


def test_movement_is_against_the_standings_before_the_last_review_of_another_release():
    """c lands at the top: the others fall one place, and c is new."""
    rows = [entry("a", 600, "2031-03-01"), entry("b", 500, "2031-03-02"), entry("c", 700, "2031-03-03")]
    assert moves(*rows) == {"c": None, "a": -1, "b": -1}
    assert [one.moved for one in rules.standings(rows, TEXTS)] == ["new", "-1", "-1"]


def test_a_revised_release_moves_against_where_it_stood():
    """a is revised from first to third; the others gained a place each."""
    rows = [
        entry("a", 600, "2031-03-01"),
        entry("b", 500, "2031-03-02"),
        entry("c", 400, "2031-03-03"),
        entry("a", 300, "2031-04-01", stage="settled"),
    ]
    # for b and c: before a's revision 2 and 3; for a: before c's landing, the last review of another, 1
    assert moves(*rows) == {"b": 1, "c": 1, "a": -2}


def test_revising_one_release_twice_does_not_hide_how_it_moved():
    """Its own two reviews in a row are not reviews of another release."""
    rows = [
        entry("a", 600, "2031-03-01"),
        entry("b", 500, "2031-03-02"),
        entry("a", 450, "2031-04-01"),
        entry("a", 400, "2031-04-02"),
    ]
    assert moves(*rows) == {"b": 0, "a": -1}
    assert [one.moved for one in rules.standings(rows, TEXTS)] == ["0", "-1"]


def test_a_withdrawal_moves_the_others_up():
    """It is the last review of another release for all who stay."""
    rows = [
        entry("a", 600, "2031-03-01"),
        entry("b", 500, "2031-03-02"),
        entry("c", 400, "2031-03-03"),
        entry("a", 600, "2031-04-01", withdrawn=1),
    ]
    assert moves(*rows) == {"b": 1, "c": 1}
    assert moves(*rows, stage="launch") == {"b": 1, "c": 1}


def test_a_withdrawal_at_another_stage_counts_in_the_standings_of_a_stage():
    """Withdrawn once settled, it leaves the launch standings as well, and the others moved up then."""
    rows = [
        entry("a", 600, "2031-03-01"),
        entry("b", 500, "2031-03-02"),
        entry("a", 600, "2031-03-05", stage="settled"),
        entry("a", 600, "2031-04-01", stage="settled", withdrawn=1),
    ]
    assert moves(*rows, stage="launch") == {"b": 1}
    rows.append(entry("c", 550, "2031-05-01"))
    assert moves(*rows, stage="launch") == {"c": None, "b": -1}


def test_movement_since_a_day():
    """Against the standings of that day, for everyone alike."""
    rows = [
        entry("a", 600, "2031-03-01"),
        entry("b", 500, "2031-03-02"),
        entry("c", 700, "2031-03-03"),
        entry("b", 800, "2031-04-01"),
    ]
    assert moves(*rows, since=date(2031, 3, 2)) == {"b": 1, "c": None, "a": -2}
    assert moves(*rows, since=date(2031, 3, 3)) == {"b": 2, "c": -1, "a": -1}
    assert moves(*rows, since=date(2031, 2, 1)) == {"b": None, "c": None, "a": None}
    assert moves(*rows, as_of=date(2031, 3, 3), since=date(2031, 3, 2)) == {"c": None, "a": -1, "b": -1}


def test_movement_as_of_a_past_day_knows_nothing_later():
    """The last review is that of the day asked for."""
    rows = [entry("a", 600, "2031-03-01"), entry("b", 700, "2031-03-02"), entry("c", 800, "2031-03-03")]
    assert moves(*rows, as_of=date(2031, 3, 2)) == {"b": None, "a": -1}


def by_the_definition(entries, release):
    """Movement as it is defined, worked out anew: ranks now, and ranks before the last review of another."""

    def rank(kept):
        last = {}
        for one in sorted(kept, key=lambda one: (one.published_on, one.seq)):
            last[one.release] = one.grade
        if release not in last:
            return None
        return 1 + sum(grade > last[release] for grade in last.values())

    told = sorted(entries, key=lambda one: (one.published_on, one.seq))
    others = [place for place, one in enumerate(told) if one.release != release]
    before = rank(told[: others[-1]]) if others else None
    return None if before is None else before - rank(told)


histories = st.lists(
    st.tuples(st.sampled_from("abcd"), st.integers(400, 406), st.integers(0, 5)), min_size=1, max_size=10
)


@given(histories)
def test_movement_agrees_with_its_definition(history):
    """On any history of reviews, in whatever order their days were recorded."""
    days = [(date(2031, 3, 1) + timedelta(days=day)).isoformat() for _, _, day in history]
    entries = [entry(release, grade, day) for (release, grade, _), day in zip(history, days, strict=True)]
    found = moves(*entries)
    assert found == {release: by_the_definition(entries, release) for release in found}


# adding and removing -----------------------------------------------------------------------------------


@given(grades, st.data())
def test_adding_or_removing_a_release_moves_no_grade(found, data):
    """Places shift by at most one, grades and verdicts do not: nothing is scaled to the season."""
    entries = [entry(f"r{n}", grade) for n, grade in enumerate(found)]
    gone = data.draw(st.sampled_from(entries))
    whole = {one.release: one for one in rules.standings(entries, TEXTS)}
    rest = {one.release: one for one in rules.standings([one for one in entries if one is not gone], TEXTS)}
    for release, one in rest.items():
        assert (one.grade, one.verdict) == (whole[release].grade, whole[release].verdict)
        assert whole[release].rank - one.rank == (1 if gone.grade > one.grade else 0)


@given(grades, st.randoms())
def test_the_order_in_which_releases_were_recorded_is_irrelevant_to_places(found, order):
    """Reviews of one day rank by their grades alone."""
    entries = [entry(f"r{n}", grade) for n, grade in enumerate(found)]
    mixed = list(entries)
    order.shuffle(mixed)
    renumbered = [one._replace(seq=n) for n, one in enumerate(mixed)]
    assert {one.release: one.place for one in rules.standings(entries, TEXTS)} == {
        one.release: one.place for one in rules.standings(renumbered, TEXTS)
    }


# the audit ---------------------------------------------------------------------------------------------


def audited(prices, columns, computed=None, **more):
    """The audit of releases with these logarithms of price and scores by criterion, none or some computed."""
    entries = [entry(f"r{n}", 100 + 10 * n, log_price=price, **more) for n, price in enumerate(prices)]
    rows = rules.standings(entries, TEXTS)
    by_release = {one.release: one.seq for one in rows}
    scores = {
        by_release[f"r{n}"]: [
            ScoreEntry(
                seq=by_release[f"r{n}"], criterion=name, score=column[n], basis="judged", spread=1, points=10
            )
            for name, column in columns.items()
        ]
        for n in range(len(prices))
    }
    known = {
        by_release[f"r{n}"]: {
            name: column[n] for name, column in (computed or {}).items() if column[n] is not None
        }
        for n in range(len(prices))
    }
    return rules.audit(rows, scores, known)


@pytest.mark.parametrize("seed", range(8))
def test_the_audit_agrees_with_scipy(seed):
    """Spearman's rho with ties, to six digits, of every criterion with price and with each other."""
    rng = np.random.default_rng(seed)
    m = 12
    prices = [f"{value:.5f}" for value in rng.normal(5, 1, m)]
    columns = {name: rng.integers(0, 8, m).tolist() for name in ("chase", "access", "design")}
    found = audited(prices, columns)
    logs = [float(price) for price in prices]
    assert found.releases == m
    assert list(found.with_price) == ["grade", "access", "chase", "design"]
    for name, column in {"grade": list(range(m)), **columns}.items():
        assert float(found.with_price[name]) == pytest.approx(
            stats.spearmanr(logs, column).statistic, abs=1e-6
        )
    assert list(found.between) == [("access", "chase"), ("access", "design"), ("chase", "design")]
    for (first, second), rho in found.between.items():
        expected = stats.spearmanr(columns[first], columns[second]).statistic
        assert float(rho) == pytest.approx(expected, abs=1e-6)


def test_criteria_whose_computed_scores_go_together_are_named():
    """By what was computed, not by what people made of it; d is a turned round, e is a with two swapped.

    Two swapped neighbours of five: rho = 1 - 6 x 2 / (5 x 24) = 0.9; of b and a it is 0.
    """
    computed = {"a": [1, 2, 3, 4, 5], "b": [5, 1, 3, 2, 4], "d": [5, 4, 3, 2, 1], "e": [2, 1, 3, 4, 5]}
    found = audited(["1", "2", "3", "4", "5"], {"a": [3, 3, 3, 1, 2], "b": [3, 3, 3, 1, 2]}, computed)
    assert found.alike == (
        ("a", "d", Decimal(-1)),
        ("a", "e", Decimal("0.9")),
        ("d", "e", Decimal("-0.9")),
    )


def test_unknown_scores_are_left_out_of_the_audit_pair_by_pair():
    """With three releases left it is still told, with two it is not."""
    found = audited(["1", "2", "3", "4"], {"a": [4, 3, 2, None], "b": [1, None, None, 5]})
    assert found.with_price["a"] == Decimal(-1)
    assert found.with_price["b"] is None
    assert found.between[("a", "b")] is None


def test_a_constant_column_and_a_release_without_price_have_no_correlation():
    """No NaN is shown, and no nought either."""
    found = audited(["1", "2", "3", "", "5"], {"a": [7, 7, 7, 0, 7]})
    assert found.releases == 4
    assert found.with_price["a"] is None
    assert found.with_price["grade"] == Decimal(1)


def test_releases_apart_are_no_part_of_the_audit():
    """Their grades mean less."""
    assert audited(["1", "2", "3"], {"a": [1, 2, 3]}, unknown_points=900).releases == 0


# the sentence ------------------------------------------------------------------------------------------


THREE = [entry("a", 600, "2031-03-01"), entry("b", 500, "2031-03-02"), entry("c", 400, "2031-03-03")]
NOTICES = [
    ([], "Nothing is ranked yet."),
    ([entry("a", 600, unknown_points=900)], "Nothing is ranked yet."),
    ([entry("a", 600)], "A leads with 60.0."),
    (THREE[:2], "A leads with 60.0, 10.0 ahead of B."),
    ([THREE[0], entry("b", 600, "2031-03-02")], "A and B lead with 60.0."),
]


@pytest.mark.parametrize(("rows", "sentence"), NOTICES)
def test_who_leads_is_said(rows, sentence):
    """And by how much."""
    assert rules.notice(rules.standings(rows, TEXTS)) == sentence


@pytest.mark.parametrize(
    ("day", "show"),
    [("2031-02-28", None), ("2031-03-01", None), ("2031-03-02", "2031-03-01"), ("2031-12-31", "2031-03-02")],
)
def test_the_last_show_is_the_last_day_but_one_with_a_review(day, show):
    """Two reviews of one day are one show."""
    rows = [*THREE, entry("d", 300, "2031-03-03")]
    found = rules.last_show(rows, as_of=date.fromisoformat(day))
    assert found == (None if show is None else date.fromisoformat(show))


def test_a_shuffled_ledger_still_says_the_same_of_places():
    """Entries may come in any order of their numbers."""
    rows = [entry(f"r{n}", 500 + n % 7, f"2031-03-{1 + n:02d}") for n in range(20)]
    mixed = random.Random(1).sample(rows, len(rows))
    assert ranked(*mixed) == ranked(*rows)


@pytest.mark.parametrize(
    ("releases", "rho", "said"),
    [
        (
            7,
            "0.9",
            "Too few priced releases to tell whether price decides the grade: 7 ranked releases have a price",
        ),
        # z = 1.6449 sqrt((1 + 0.045) / 14) = 0.4494 about atanh 0.3 = 0.3095: tanh of -0.1399 and 0.7590
        (
            17,
            "0.3",
            "is 0.30 (between -0.14 and 0.64 with 90 % confidence): no sign that price decides the grade.",
        ),
        # z = 1.6449 sqrt(1.045 / 97) = 0.1707: tanh of 0.1388 and 0.4802
        (
            100,
            "0.3",
            "is 0.30 (between 0.14 and 0.45 with 90 % confidence): they go together, but by less than",
        ),
        # z = 1.6449 sqrt(1.18 / 17) = 0.4334 about 0.6931: tanh of 0.2597 and 1.1265
        (
            20,
            "0.6",
            "is 0.60 (between 0.25 and 0.81 with 90 % confidence): price goes with the grade more than it",
        ),
    ],
)
def test_whether_price_decides_is_told_with_its_interval(releases, rho, said):
    """By hand after Bonett and Wright (2000); nothing below eight releases."""
    found = rules.Audit(releases=releases, with_price={"grade": Decimal(rho)}, between={})
    assert said in rules.price_decides(found)
