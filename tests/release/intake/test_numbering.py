"""Cards that a list should have, by its count or its numbers, and that were not read."""

from __future__ import annotations

import pytest

from rating.release.intake import numbering

THIRTY = [f"{number:03d}" for number in range(1, 31)]


@pytest.mark.parametrize(
    ("numbers", "gone"),
    [
        ([one for one in THIRTY if one != "012"], ["012"]),
        ([f"HM-{number}" for number in range(1, 30) if number != 9], ["HM-9"]),
        (THIRTY, []),
        (["2", "4", "18", "34", "42"], []),  # variations have some of the base set's numbers
        (["A-1", "B-3"], []),
        (["DS-MH", "DS-AQ"], []),
        ([], []),
    ],
)
def test_a_number_lacks_where_nearly_all_run_on(numbers, gone):
    """Few that lack are an oversight; many are a way of numbering."""
    assert numbering.lacking(numbers) == gone


@pytest.mark.parametrize(
    ("numbers", "stated", "words"),
    [
        (THIRTY, 30, ""),
        (THIRTY, None, ""),
        (THIRTY[:28], 30, "Base: the list says 30 cards, 28 were found"),
        (
            [one for one in THIRTY if one != "012"],
            30,
            "Base: the list says 30 cards, 29 were found; no card has the number 012",
        ),
        ([one for one in THIRTY if one != "012"], 29, ""),  # the maker left it out
        ([one for one in THIRTY if one != "012"], None, "Base: no card has the number 012"),
        (["1", "2", "4"], None, ""),
    ],
)
def test_what_is_said_of_a_subset(numbers, stated, words):
    """The list's own count goes before the gap that its numbers leave."""
    assert numbering.told("Base", numbers, stated) == words


def test_a_gap_in_a_list_is_a_remark_of_check(intake):
    """Of a real list, told once for the subset."""
    rows = [f"{at},Ada Quill{'' if at % 2 else 'y'},Tarn Otters,Base" for at in range(1, 41) if at != 17]
    result = intake(("list.csv", "\n".join(["Card,Player,Team,Set", *rows]) + "\n"))
    (said,) = [one for one in result.problems if one.code == "count-differs"]
    assert (said.severity, said.what) == ("remark", "Base: no card has the number 17")
