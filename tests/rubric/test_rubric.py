"""The rubric as a value: its hash, its verdicts, its shares."""

from __future__ import annotations

import dataclasses
from decimal import Decimal

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from rating.rubric import rubric as rubrics
from rating.rubric.rubric import Band, Rubric, WeightedCriterion
from rating.scale import scale

LINEAR = scale("linear", "share of teams", ("0.5", 0), (1, 100))


def made(**changes) -> Rubric:
    """A small rubric."""
    found = Rubric(
        name="House rubric",
        groups={"people": "People", "object": "The object"},
        criteria=(
            WeightedCriterion(key="roster", group="people", points=125, scale=LINEAR),
            WeightedCriterion(key="design", group="object", points=70),
        ),
        bands=(Band(start=500, words="Take it"), Band(start=0, words="Leave it — Ö")),
    )
    return dataclasses.replace(found, **changes)


def test_the_text_is_canonical():
    """Byte for byte what the rfc8785 package writes."""
    assert made().text.encode() == rfc8785.dumps(made().as_plain())


@pytest.mark.parametrize(
    "change",
    [
        {"name": "Another name"},
        {"groups": {"object": "Things", "people": "Folk"}},
        {"criteria": made().criteria[::-1]},
        {
            "criteria": (
                WeightedCriterion(
                    key="roster",
                    group="people",
                    points=125,
                    scale=scale("linear", "share of teams", ("0.50", 0), ("1.0", 100)),
                ),
                made().criteria[1],
            )
        },
    ],
)
def test_what_decides_no_grade_is_no_part_of_the_hash(change):
    """Names, order in the file and ways of writing a number."""
    assert made(**change).hash == made().hash


@pytest.mark.parametrize(
    "change",
    [
        {"criteria": made().criteria[:1]},
        {"criteria": (dataclasses.replace(made().criteria[0], points=126), made().criteria[1])},
        {"criteria": (dataclasses.replace(made().criteria[0], scale=None), made().criteria[1])},
        {"criteria": (dataclasses.replace(made().criteria[0], group="object"), made().criteria[1])},
        {"bands": (Band(start=510, words="Take it"), made().bands[1])},
        {"bands": (Band(start=500, words="Grab it"), made().bands[1])},
    ],
)
def test_what_decides_a_grade_changes_the_hash(change):
    """Points, scales, groups and verdicts."""
    assert made(**change).hash != made().hash


@pytest.mark.parametrize(
    ("grade", "words"), [(0, "Leave it — Ö"), (499, "Leave it — Ö"), (500, "Take it"), (1000, "Take it")]
)
def test_a_verdict_is_the_band_that_a_grade_falls_in(grade, words):
    """A band begins with its own grade; the stored text says the same."""
    assert made().verdict(grade) == words
    assert rubrics.verdict_of(made().text, grade) == words


def test_points_are_told_by_criterion_and_group():
    """12.5 and 7 points are 125 and 70 tenths, 195 in all."""
    one = made()
    assert one.total == 195
    assert rubrics.shares(one) == {"people": 125, "object": 70}
    assert rubrics.points_of(one.text) == {"roster": ("people", 125), "design": ("object", 70)}
    assert one.by_key["roster"].scale.place(Decimal("0.75")).score == 50


def test_a_criterion_that_no_module_answers_for_is_told():
    """With the ones there are."""
    problems = rubrics.problem_unknown_criteria(made(), {"design", "finish"}, "rubric.toml")
    assert [(one.code, one.file) for one in problems] == [("unknown-criterion", "rubric.toml")]
    assert "'roster'" in problems[0].what
    assert "design, finish" in problems[0].fix


@given(st.integers(0, 1000), st.lists(st.integers(1, 1000), unique=True, max_size=6))
def test_every_grade_has_exactly_one_verdict(grade, starts):
    """The highest band that it reaches."""
    bands = tuple(Band(start=one, words=str(one)) for one in sorted([0, *starts], reverse=True))
    assert made(bands=bands).verdict(grade) == str(max(one for one in [0, *starts] if one <= grade))
