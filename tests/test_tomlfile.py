"""Reading a person's TOML: every value checked, every problem at once with its line."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating import tomlfile
from rating.errors import RatingError, Refused
from rating.rubric import rubric as rubrics
from rating.season.scoring import scores
from rating.season.settings import config as configs


def parsed(body: str) -> tomlfile.TomlTable:
    """A table in today's format."""
    return tomlfile.parse(f"format = 1\n{body}", file="x.toml")


def told(table: tomlfile.TomlTable) -> list[tuple[str, int | None]]:
    """Code and line of each problem."""
    return [(one.code, one.row) for one in table.problems]


def test_well_written_values_are_read_as_what_they_are():
    """Text, lists, words, numbers, points, dates, flags and tables."""
    table = parsed(
        'title = "  Deep   Harbour "\nnames = ["a", "b"]\nkind = "hobby"\ncount = 7\nshare = 0.10\n'
        "points = 12.5\nday = 2031-03-12\non = true\n[inner]\nx = 1\n[[many]]\ny = 2\n[[many]]\ny = 3\n"
    )
    assert table.text("title") == "Deep Harbour"
    assert table.texts("names") == ("a", "b")
    assert table.one_of("kind", ("hobby", "retail")) == "hobby"
    assert table.whole("count") == 7
    assert str(table.decimal("share")) == "0.10"
    assert table.points("points") == 125
    assert table.day("day") == date(2031, 3, 12)
    assert table.flag("on") is True
    assert table.table("inner").whole("x") == 1
    assert [one.whole("y") for one in table.tables("many")] == [2, 3]
    table.finish()
    tomlfile.finish(table)


@pytest.mark.parametrize(
    ("content", "what"),
    [
        ("", "empty"),
        ("# only a remark\n", "empty"),
        ("format = 2\nname = 'x'", "format 2, this program reads format 1"),
        ("a = " + "[" * 5000 + "]" * 5000, "nested too deeply"),
    ],
)
def test_a_file_that_cannot_be_read_at_all_is_refused(content, what):
    """One clear message with the file and a mend."""
    with pytest.raises(RatingError, match=what) as caught:
        tomlfile.parse(content, file="x.toml")
    assert caught.value.where == "x.toml"
    assert caught.value.fix


@pytest.mark.parametrize(
    ("body", "row"),
    [
        ("a = 1\na = 2", 3),
        ("[a]\n[a]", 3),
        ("a = 1\nb = [1, 2", 3),
        ("\n\nnonsense", 4),
        ("a = 2031-02-30", 2),
        ("a = 'open", 2),
        ('a = "\\ud800"', 2),
        ("a = 1\nb = " + "9" * 5000, 3),
        ("a = 1\nb = 1e99999999999999999999", 3),
    ],
)
def test_broken_toml_is_told_with_its_line(body, row):
    """Doubled keys and tables, open brackets and quotes, days that do not exist, endless numbers."""
    with pytest.raises(Refused) as caught:
        parsed(body)
    problem = caught.value.problems[0]
    assert (problem.code, problem.file, problem.row) == ("broken-toml", "x.toml", row)


@pytest.mark.parametrize(
    "form", ["", "format = 0", "format = -1", "format = true", "format = '1'", "format = nan"]
)
def test_a_file_without_its_format_is_told_so(form):
    """The first line says how the rest is to be read; anything but 1 is a problem, never a guess."""
    table = tomlfile.parse(f"{form}\nname = 'x'", file="x.toml")
    assert [one.code for one in table.problems] == ["bad-value"]
    assert table.problems[0].fix == "begin the file with the line: format = 1"


def test_a_missing_file_a_folder_and_bytes_that_are_no_text_are_refused(tmp_path):
    """Each with the file's name, and the line where there is one."""
    with pytest.raises(RatingError, match="missing"):
        tomlfile.read(tmp_path / "no.toml")
    with pytest.raises(RatingError, match="a folder"):
        tomlfile.read(tmp_path, file="x.toml")
    path = tmp_path / "x.toml"
    path.write_bytes("format = 1\nname = 'Núñez'\n".encode("cp1252"))
    with pytest.raises(RatingError, match="not UTF-8") as caught:
        tomlfile.read(path)
    assert caught.value.where == "x.toml, line 2"
    path.write_bytes(b"#" * (tomlfile.SIZE_LIMIT + 1))
    with pytest.raises(RatingError, match="4,194,305 bytes"):
        tomlfile.read(path)


def test_a_byte_order_mark_is_passed_over(tmp_path):
    """Some editors write one."""
    path = tmp_path / "x.toml"
    path.write_bytes(b"\xef\xbb\xbfformat = 1\r\nname = 'x'\r\n")
    table = tomlfile.read(path)
    assert (table.text("name"), table.problems) == ("x", [])


WRONG = ["5", "1.5", "true", "'x'", "2031-01-01", "[1]", "{a = 1}", "nan", "inf", "-1", "10:00:00", "''"]
READERS = {
    "text": (lambda table: table.text("a", required=True), {"'x'"}),
    "texts": (lambda table: table.texts("a"), set()),
    "one_of": (lambda table: table.one_of("a", ("y", "z"), required=True), set()),
    "whole": (lambda table: table.whole("a", required=True), {"5"}),
    "decimal": (lambda table: table.decimal("a", required=True), {"5", "1.5"}),
    "points": (lambda table: table.points("a", required=True), {"5", "1.5"}),
    "day": (lambda table: table.day("a", required=True), {"2031-01-01"}),
    "flag": (lambda table: table.flag("a"), {"true"}),
    "table": (lambda table: table.table("a"), {"{a = 1}"}),
    "tables": (lambda table: table.tables("a"), set()),
}


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("value", WRONG)
def test_a_value_of_another_kind_is_one_problem(reader, value):
    """Whatever is asked for and whatever is there: taken where it fits, else one problem on its line."""
    read, fits = READERS[reader]
    table = parsed(f"\na = {value}")
    read(table)
    expected = [] if value in fits else [3]
    assert [row for _, row in told(table)] == expected


@pytest.mark.parametrize(
    "value", ["1e-999999999999", "1e999999999", "0x" + "f" * 5000, "{b" + ".b" * 3000 + " = 1}"]
)
@pytest.mark.parametrize("reader", READERS)
def test_a_monstrous_value_is_a_problem_and_no_crash(reader, value):
    """Numbers with more digits than memory, and tables deeper than the stack."""
    table = parsed(f"a = {value}")
    read, _ = READERS[reader]
    read(table)
    assert len(table.problems) == (0 if reader == "table" and value[0] == "{" else 1)


def test_a_required_value_that_is_not_there_is_told():
    """Missing and blank are one thing; the mend says what to write."""
    table = parsed("blank = '  '")
    table.text("title", required=True)
    table.text("blank", required=True)
    table.whole("count", required=True)
    table.day("day", required=True)
    assert [one.code for one in table.problems] == ["missing-value"] * 4
    assert 'write title = "..."' in table.problems[0].fix


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("a\\u202eb", "bad-mark"),
        ("a\\u0007b", "bad-mark"),
        ("a\\u200bb", "bad-mark"),
        ("a" * 201, "bad-value"),
    ],
)
def test_marks_and_length_of_a_name_are_checked(text, code):
    """Control and direction marks, invisible ones, and more than two hundred characters."""
    table = parsed(f'title = "{text}"\nnames = ["ok", "{text}"]')
    assert table.text("title") is None
    assert table.texts("names") == ("ok",)
    assert told(table) == [(code, 2), (code, 3)]


def test_a_slip_in_a_key_is_told_with_what_is_known():
    """A key that nobody asks for does not pass in silence, in a table within a table neither."""
    table = parsed("tilte = 'x'\n[inner]\nb = 1\n")
    table.text("title")
    inner = table.table("inner")
    inner.whole("a")
    inner.finish()
    table.finish()
    assert told(table) == [("unknown-key", 4), ("unknown-key", 2)]
    assert table.problems[0].what == "inner.b is not known here"
    assert "title" in table.problems[1].fix


def test_each_problem_stands_on_its_own_line():
    """Tables, lists of tables and keys with dots: the line is that of the key."""
    table = parsed(
        "[formats.hobby]\ncards = 'x'\n[[formats.hobby.promises]]\ncount = 1\n"
        "[[formats.hobby.promises]]\ncount = 'many'\n[formats.retail]\ncards = -1\nsize.box = 'x'\n"
    )
    for _, one in table.named_tables("formats"):
        one.whole("cards")
        for promise in one.tables("promises"):
            promise.whole("count")
        size = one.table("size")
        if size is not None:
            size.whole("box")
    assert [row for _, row in told(table)] == [3, 7, 9, 10]


def test_every_problem_is_raised_at_once_in_the_order_of_lines():
    """Nobody mends one only to meet the next."""
    table = parsed("b = 'x'\na = 'x'")
    table.whole("a")
    table.whole("b")
    with pytest.raises(Refused) as caught:
        tomlfile.finish(table)
    assert [one.row for one in caught.value.problems] == [2, 3]


@given(st.decimals(0, 10**6, allow_nan=False, allow_infinity=False, places=6))
def test_a_number_is_kept_as_it_was_written(number):
    """No float stands between the file and the decimal."""
    assert parsed(f"a = {number:f}").decimal("a") == number


@given(st.text(max_size=40))
def test_nothing_that_is_no_toml_ends_in_a_traceback(content):
    """Any text is a table, or is refused by name."""
    try:
        found = tomlfile.parse(content, file="x.toml")
    except RatingError as fault:
        found = fault
    assert isinstance(found, tomlfile.TomlTable) or found.what


# scores.toml ------------------------------------------------------------------------------------------

SCORES = """format = 1

[mo.design]
score = 62
reason = "Bold and plain."
spread = 4

[mo.finish]
score = 101
reason = "x"

[mo.opening]
score = 7.5
reason = "x"

[mo.chase]
score = "62"
reason = "x"

[mo.outlay]
score = true
reason = "x"

[mo.roster]
score = 40
reason = "   "

[mo.record]
score = 40

[mo.beauty]
score = 40
reason = "no such question"

[zed.design]
score = 40
reason = "no such rater"

[mo.access]
score = nan
reason = "x"

[mo.rookies]
score = 50
reason = "hid\\u202eden"
scoer = 3

[mo.relics]
does_not_apply = "There are none by design."

[mo.returns]
does_not_apply = "x"
score = 3

[mo.building]
score = 50
reason = "x"
spread = 51
"""
CRITERIA = [
    "design",
    "finish",
    "opening",
    "chase",
    "outlay",
    "roster",
    "record",
    "access",
    "rookies",
    "relics",
    "returns",
    "building",
]


def read_scores(content):
    """The judgements in a text, and its problems."""
    table = tomlfile.parse(content, file="scores.toml")
    found = scores.read(table, raters=("mo", "wren"), criteria=CRITERIA)
    return found, table.problems


def test_every_wrong_score_is_told_at_once_with_its_line():
    """101, 7.5, "62", true, NaN, blank reasons, unknown names, marks, slips: none hides another."""
    found, problems = read_scores(SCORES)
    assert [(one.row, one.code) for one in sorted(problems, key=lambda one: (one.row, one.code))] == [
        (9, "bad-value"),
        (13, "bad-value"),
        (17, "bad-value"),
        (21, "bad-value"),
        (26, "score-without-reason"),
        (28, "score-without-reason"),
        (31, "unknown-criterion"),
        (35, "unknown-rater"),
        (40, "bad-value"),
        (45, "bad-mark"),
        (46, "unknown-key"),
        (53, "bad-value"),
        (58, "bad-value"),
    ]
    sound = {one.criterion: one for one in found}
    assert (sound["design"].score, sound["design"].reason, sound["design"].spread) == (
        62,
        "Bold and plain.",
        4,
    )
    assert sound["relics"].score is None
    assert "finish" not in sound


@pytest.mark.parametrize(
    "score", ["101", "-1", "7.5", "62.0", '"62"', "true", "nan", "inf", "[62]", "2031-01-01"]
)
def test_only_a_whole_score_from_0_to_100_is_one(score):
    """Everything else is a problem that says which numbers are meant."""
    found, problems = read_scores(f"format = 1\n[mo.design]\nscore = {score}\nreason = 'x'\n")
    assert found == ()
    assert [(one.code, one.row, one.fix) for one in problems] == [
        ("bad-value", 3, "write a whole number from 0 to 100")
    ]


@pytest.mark.parametrize("score", [0, 100])
def test_the_ends_of_the_scale_are_scores(score):
    """0 and 100 are given, not refused."""
    found, problems = read_scores(f"format = 1\n[mo.design]\nscore = {score}\nreason = 'x'\n")
    assert ([one.score for one in found], problems) == ([score], [])


@pytest.mark.parametrize("reason", ["", "   ", "\\t\\n", "\\u00a0\\u2003"])
def test_a_reason_of_blanks_is_none(reason):
    """No score stands without a reason, whatever kind of blank is in its place."""
    found, problems = read_scores(f'format = 1\n[mo.design]\nscore = 5\nreason = "{reason}"\n')
    assert found == ()
    assert [(one.code, one.row) for one in problems] == [("score-without-reason", 4)]


def test_a_reason_that_is_too_long_or_no_text_is_told_as_such():
    """It is not called missing."""
    _, problems = read_scores(f"format = 1\n[mo.design]\nscore = 5\nreason = '{'x' * 1001}'\n")
    assert [(one.code, one.what) for one in problems] == [
        ("bad-value", "mo.design.reason has 1001 characters")
    ]
    _, problems = read_scores("format = 1\n[mo.design]\nscore = 5\nreason = 7\n")
    assert [one.code for one in problems] == ["bad-value"]


@pytest.mark.parametrize("body", ["mo = 5", "[[mo]]\nx = 1", "mo.design = 5", "[mo]\ndesign = [1]"])
def test_scores_of_another_shape_are_a_problem(body):
    """A number or a list where a table should be."""
    found, problems = read_scores(f"format = 1\n{body}\n")
    assert found == ()
    assert [one.code for one in problems] == ["bad-value"]


# rubric.toml and season.toml ---------------------------------------------------------------------------

RUBRIC = """format = 1
name = "House rubric"

[groups]
people = "People"

[criteria.roster]
group = "people"
points = 12.5
[criteria.roster.scale]
kind = "linear"
unit = "share of teams"
points = [[0.5, 0], [1, 100]]

[criteria.design]
group = "people"
points = 7

[[verdicts]]
from = 0
words = "Leave it"
[[verdicts]]
from = 50
words = "Take it"
"""


def test_a_rubric_is_read_with_its_points_in_tenths():
    """Criteria, scale and bands, best first."""
    found = rubrics.read(tomlfile.parse(RUBRIC, file="rubric.toml"))
    assert [(one.key, one.points) for one in found.criteria] == [("roster", 125), ("design", 70)]
    assert found.criteria[0].scale.place(Decimal("0.75")).score == 50
    assert [found.verdict(grade) for grade in (0, 499, 500, 1000)] == [
        "Leave it",
        "Leave it",
        "Take it",
        "Take it",
    ]


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("points = 7", "points = 7.55", "is 7.55"),
        ("points = 7", "points = -7", "is -7"),
        ("points = 7", "points = nan", "is NaN"),
        ("points = 7", "", "is missing"),
        ('group = "people"\npoints = 7', 'group = "hits"\npoints = 7', "is 'hits'"),
        ("[0.5, 0], ", "", "two goalposts"),
        ("[1, 100]", "[1, 101]", "no measure with a whole score"),
        ("[1, 100]", "[1, 99.5]", "no measure with a whole score"),
        ("[1, 100]", "[nan, 100]", "no measure with a whole score"),
        ("[1, 100]", "[1, 1e999999999]", "no measure with a whole score"),
        ("[1, 100]", "[1e999999999, 100]", "no measure with a whole score"),
        ("[1, 100]", "[0.5, 100]", "must rise"),
        ("[1, 100]", "7", "no measure with a whole score"),
        ("[[0.5, 0], [1, 100]]", "7", "not a list of pairs"),
        ('"linear"', '"cubic"', "is 'cubic'"),
        ("from = 0\n", "from = 10\n", "do not cover every grade"),
        ("from = 50", "from = 0", "begin at the same grade"),
        ("Take it", "Leave it", "the same words twice"),
        ("[groups]\npeople", "[grousp]\npeople", "is not known here"),
    ],
)
def test_a_rubric_that_cannot_grade_is_refused(old, new, what):
    """Points, groups, goalposts and bands that make no sense, each with its place."""
    with pytest.raises(Refused) as caught:
        rubrics.read(tomlfile.parse(RUBRIC.replace(old, new), file="rubric.toml"))
    assert any(what in one.what for one in caught.value.problems)
    assert all(one.file == "rubric.toml" for one in caught.value.problems)


def test_a_rubric_without_any_points_is_refused():
    """Nothing could be graded by it."""
    with pytest.raises(Refused, match="no points at all"):
        rubrics.read(tomlfile.parse(RUBRIC.replace("12.5", "0").replace("= 7", "= 0"), file="rubric.toml"))


SEASON = """format = 1
name = "Harbour 2031"
currency = "USD"
[[classes]]
name = "low"
below = 60
[[classes]]
name = "high"
[[raters]]
key = "mo"
name = "Mo"
[[teams]]
name = "Otters"
code = "OTT"
[[teams]]
name = "Herons"
"""


def test_a_season_is_read():
    """What is left out has its default."""
    found = configs.read(tomlfile.parse(SEASON, file="season.toml"))
    assert (found.name, found.rater_keys, found.published) == ("Harbour 2031", ("mo",), "first")
    assert found.aliases == {"otters": "otters", "ott": "otters", "herons": "herons"}


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ('currency = "USD"', 'currency = "usd"', "is 'usd'"),
        ('currency = "USD"', 'currency = "USD"\ntime_zone = "Mars/Base"', "is 'Mars/Base'"),
        ('currency = "USD"', 'currency = "USD"\ntime_zone = "../../etc/passwd"', "time_zone is"),
        ('currency = "USD"', 'currency = "USD"\nearlier = ["../2030"]', "earlier holds '../2030'"),
        ('currency = "USD"', 'currency = "USD"\nearlier = ["/srv/2030"]', "earlier holds"),
        ('currency = "USD"', 'currency = "USD"\npublished = "best"', "published is 'best'"),
        ('currency = "USD"', 'currency = "USD"\ntoday = "2031-07-15"', "not a date"),
        ("below = 60", "", "do not cover every price once"),
        ('name = "high"', 'name = "low"', "two of one name"),
        ('name = "high"', 'name = "high"\nbelow = 50', "do not cover every price once"),
        ('key = "mo"', 'key = "format"', "needs for itself"),
        ('key = "mo"', 'key = "Mo T"', "only a-z"),
        ('name = "Herons"', 'name = "Otters"', "name lists Otters twice"),
        ('name = "Herons"', 'name = "otters"', "share the spelling 'otters'"),
        ('name = "Herons"', 'name = "Herons"\ncode = "ott"', "share the spelling 'ott'"),
        ('name = "Mo"', 'name = "Mo"\n[[raters]]\nkey = "mo"\nname = "Moira"', "used twice"),
    ],
)
def test_a_season_that_contradicts_itself_is_refused(old, new, what):
    """Currency, zone, folders, classes, raters and teams."""
    with pytest.raises(Refused) as caught:
        configs.read(tomlfile.parse(SEASON.replace(old, new, 1), file="season.toml"))
    assert any(what in one.what for one in caught.value.problems), caught.value
