"""help_lines.toml: read with every problem, remarked where it is missing or old."""

from __future__ import annotations

import re
from datetime import date

import pytest

from rating.errors import Refused
from rating.season import folder
from rating.season.season import Season
from rating.season.settings import help_lines

LINE = '[[lines]]\nname = "Quay Room"\nwhere = "Fog Isle"\ncontact = "pier 0"\nfor = "debts"\n'


@pytest.fixture
def season(tmp_path):
    """A new season."""
    folder.start(tmp_path / "mine", name="Mine")
    return tmp_path / "mine"


def write(season, content):
    (season / help_lines.FILE).write_text(content, encoding="utf-8")


def told(season, today=date(2031, 7, 15)):
    return [(one.code, one.severity) for one in help_lines.problems(season, today=today)]


def test_the_sentence_names_each_with_the_day(season):
    """What it is called, where it is for, how it is reached and what with."""
    write(season, f"format = 1\nas_of = 2031-06-30\n{LINE}")
    found = Season.open(season).files.help_lines
    assert found.sentence == "Help, as looked up on 2031-06-30: Quay Room (Fog Isle), pier 0: debts."
    assert told(season) == []


def test_the_template_can_be_read_and_names_nothing(season):
    """Nothing is claimed before somebody has looked it up, and the file says how."""
    assert Season.open(season).files.help_lines.sentence == ""
    assert told(season) == [("no-help-lines", "remark")]
    assert "look them up locally" in " ".join(folder.template(help_lines.FILE).replace("#", "").split())


def test_the_example_of_the_template_is_sound_once_the_marks_are_gone(season):
    """Whoever takes the marks away has a file that can be read."""
    head, mark, rest = folder.template(help_lines.FILE).partition("# as_of")
    write(season, head + re.sub(r"(?m)^# ?", "", mark + rest))
    assert len(Season.open(season).files.help_lines.lines) == 1


def test_a_missing_file_is_remarked(season):
    """An export goes on without, and `check` says so."""
    (season / help_lines.FILE).unlink()
    assert Season.open(season).files.help_lines is None
    assert told(season) == [("no-help-lines", "remark")]


@pytest.mark.parametrize(
    ("as_of", "today", "old"),
    [
        ("2030-07-15", date(2031, 7, 15), False),  # a year to the day
        ("2030-07-14", date(2031, 7, 15), True),
        ("2028-02-29", date(2029, 2, 28), False),
        ("2028-02-29", date(2029, 3, 1), True),
        ("2031-07-16", date(2031, 7, 15), True),  # a slip: the day is still to come
        ("2027-02-28", date(2028, 2, 29), True),
    ],
)
def test_a_date_over_a_year_ago_is_remarked(season, as_of, today, old):
    """Numbers of help lines change; one year is allowed, the leap day included."""
    write(season, f"format = 1\nas_of = {as_of}\n{LINE}")
    assert told(season, today) == ([("help-lines-date", "remark")] if old else [])


def test_every_problem_of_the_file_is_told_at_once(season):
    """A line without its contact, an unknown key and a missing day; an export refuses to guess."""
    write(season, "format = 1\n" + LINE.replace('contact = "pier 0"', 'phone = "1"'))
    found = help_lines.problems(season, today=date(2031, 7, 15))
    assert sorted(one.code for one in found) == ["missing-value", "missing-value", "unknown-key"]
    assert {one.severity for one in found} == {"error"}
    with pytest.raises(Refused):
        _ = Season.open(season).files.help_lines
    write(season, "format = 1\nlines = 3\n")
    assert ("bad-value", "error") in told(season)
    (season / help_lines.FILE).write_bytes(b"\xff\xfe")
    assert told(season) == [("unreadable-file", "error")]


def test_the_samples_lines_are_marked_and_can_be_dialled_by_nobody(sample_season):
    """No run of digits that a telephone would take; the word sample in every name."""
    found = Season.open(sample_season).files.help_lines
    assert all("sample" in one.name for one in found.lines)
    assert all(sum(mark.isdigit() for mark in one.contact) <= 3 for one in found.lines)
