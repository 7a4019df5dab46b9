"""Errors and problems: what, where, fix."""

from __future__ import annotations

import pytest

from rating.errors import Problem, RatingError, Refused, errors_in, refuse_if_any, trimmed


def test_an_error_says_what_where_and_how_to_mend_it():
    """Three lines, one each."""
    fault = RatingError("there is no ledger yet", where="ledger.db", fix="record a review first")
    assert str(fault) == "error: there is no ledger yet\n  at:  ledger.db\n  fix: record a review first"
    assert fault.exit_code == 1


def test_an_error_without_place_or_mend_has_one_line():
    """No empty lines are printed."""
    assert str(RatingError("nothing to do")) == "error: nothing to do"


@pytest.mark.parametrize(
    ("given", "where"),
    [
        ({}, ""),
        ({"file": "a.csv"}, "a.csv"),
        ({"file": "a.csv", "row": 3}, "a.csv, line 3"),
        ({"file": "a.xlsx", "sheet": "Base", "row": 3}, "a.xlsx, sheet Base, row 3"),
        ({"sheet": "Base"}, "sheet Base"),
        ({"row": 1}, "line 1"),
    ],
)
def test_a_problem_tells_its_place(given, where):
    """File, sheet and row, as far as they are known."""
    assert Problem(code="bad-value", what="odd", **given).where == where


def test_a_problem_is_printed_with_its_code():
    """The stable word stands in brackets after what is wrong."""
    problem = Problem(
        code="duplicate-number",
        what="7 stands twice",
        file="a.csv",
        row=9,
        fix="correct one",
        severity="remark",
    )
    expected = "remark: 7 stands twice [duplicate-number]\n  at:  a.csv, line 9\n  fix: correct one"
    assert str(problem) == expected
    assert str(Problem(code="odd", what="odd")) == "error: odd [odd]"


def test_a_refusal_carries_every_problem():
    """The message prints all of them; what, where and fix are those of the first."""
    problems = [Problem(code="a", what="first", file="x", row=1, fix="f"), Problem(code="b", what="second")]
    fault = Refused(iter(problems))
    assert fault.problems == tuple(problems)
    assert (fault.what, fault.where, fault.fix) == ("first", "x, line 1", "f")
    assert str(fault) == "\n".join(map(str, problems))


def test_a_refusal_of_nothing_is_a_wrong_call():
    """There is no refusal without a problem."""
    with pytest.raises(ValueError, match="at least one"):
        Refused([])


def test_remarks_stop_nothing():
    """Only errors refuse, and only they are in the refusal."""
    remark = Problem(code="a", what="look", severity="remark")
    error = Problem(code="b", what="wrong")
    refuse_if_any([remark])
    refuse_if_any([])
    assert errors_in([remark, error]) == (error,)
    with pytest.raises(Refused) as caught:
        refuse_if_any([remark, error])
    assert caught.value.problems == (error,)


def test_a_flood_of_problems_is_cut_with_a_count():
    """Fifty of a kind and file, then one that counts the others; other kinds are not touched."""
    flood = [Problem(code="a", file="x", row=row, what="w") for row in range(60)]
    others = [
        Problem(code="b", file="x", what="w"),
        *(Problem(code="a", file="y", what="w") for _ in range(50)),
    ]
    found = trimmed([*flood, *others])
    assert found[:50] == flood[:50]
    assert found[50:101] == others
    assert [(one.code, one.file, one.what) for one in found[101:]] == [("a", "x", "10 more of the same kind")]
