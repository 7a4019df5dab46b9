"""Files of answers: what is read, every problem of one at once, and rubric.toml with other points."""

from __future__ import annotations

import tomllib
from datetime import date
from fractions import Fraction

import pytest

from rating import tomlfile
from rating.errors import RatingError, Refused
from rating.rubric import rubric as rubrics
from rating.rubric.choosing import Answers, Comparison
from rating.season.scoring import weights

RUBRIC = """format = 1
name = "House rubric" # ours

[groups]
people = "People"
object = "The object"

[[verdicts]]
from = 0
words = "Leave it"

# who is in it
[criteria.roster]
group = "people"
points = 40.0 # as ever
[criteria.rookies]
group = "people"
points = 20
[criteria.design]
group = "object"
points = 25
[criteria.finish]
group = "object"
points = 15
"""
DAY = date(2031, 7, 15)


def rubric(text=RUBRIC):
    return rubrics.read(tomlfile.parse(text, file="rubric.toml"))


@pytest.fixture
def read(tmp_path):
    def call(*lines):
        path = tmp_path / "answers.csv"
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
        return weights.read(path, rubric())

    return call


@pytest.fixture
def problems(read):
    def call(*lines):
        with pytest.raises(Refused) as caught:
            read(*lines)
        return [(one.row, one.what) for one in caught.value.problems]

    return call


ANSWERS = [
    Answers(method="points", numbers={"roster": 125, "rookies": 0, "design": 400, "finish": 475}),
    Answers(method="rank", numbers={"roster": 2, "rookies": 1, "design": 2, "finish": 4}),
    Answers(method="swing", numbers={"roster": 1000, "rookies": 0, "design": 625, "finish": 5}),
    Answers(
        method="pairwise",
        comparisons=(
            Comparison(within="", first="people", second="object", times=Fraction(3)),
            Comparison(within="people", first="rookies", second="roster", times=Fraction(5, 2)),
            Comparison(within="object", first="design", second="finish", times=Fraction(1, 9)),
        ),
    ),
]


@pytest.mark.parametrize("answers", ANSWERS, ids=lambda one: one.method)
def test_what_was_kept_is_read_again(tmp_path, answers):
    """Every method has its own header."""
    path = tmp_path / "kept.csv"
    path.write_text(weights.answers_text(answers), encoding="utf-8")
    assert weights.read(path, rubric()) == answers


def test_a_file_is_read_as_people_write_it(read):
    """A byte order mark, blanks, quotes, capitals in the header, columns and rows in another order."""
    found = read('\ufeff Points ,"Criterion"', "1,finish", " 12.5 ,roster", "0,design", '"3",rookies')
    assert found.numbers == {"finish": 10, "roster": 125, "design": 0, "rookies": 30}


def test_a_blank_comparison_is_left_open(read):
    """As long as something joins all."""
    found = read(
        "first,second,within,times", "people,object,,2", "roster,rookies,people,1", "design,finish,object,1"
    )
    assert len(found.comparisons) == 3
    with pytest.raises(Refused, match="nothing joins these criteria of object: design; finish"):
        read(
            "within,first,second,times",
            ",people,object,2",
            "people,roster,rookies,1",
            "object,design,finish,",
        )


def test_every_problem_of_numbers_is_told_at_once(problems):
    """With its row."""
    assert problems("criterion,swing", "roster,101", "desgin,5", "roster,7", ",3", "finish,") == [
        (None, "rookies and design are missing"),
        (2, "swing is '101'"),
        (3, "there is no criterion 'desgin'"),
        (4, "roster stands twice"),
        (5, "criterion is blank"),
        (6, "swing is blank"),
    ]
    assert problems("criterion,rank", "roster,0", "rookies,5", "design,1.5", "finish,x") == [
        (2, "rank is '0'"),
        (3, "rank is '5'"),
        (4, "rank is '1.5'"),
        (5, "rank is 'x'"),
    ]
    assert problems(
        "criterion,points", *(f"{key},0" for key in ("roster", "rookies", "design", "finish"))
    ) == [(None, "all are 0")]


def test_every_problem_of_pairs_is_told_at_once(problems):
    """Groups are held against groups, criteria against those of their group."""
    assert problems(
        "within,first,second,times",
        ",people,objects,2",
        "peopl,roster,rookies,2",
        "people,roster,design,10",
        "people,rookies,roster,3",
        "people,roster,rookies,1/3",
        "object,design,design,1",
        "object,,finish,1",
        "object,design",
    ) == [
        (2, "there is no group 'objects'"),
        (3, "there is no group 'peopl'"),
        (4, "times is '10'"),
        (4, "there is no criterion of people 'design'"),
        (6, "roster and rookies stand twice"),
        (7, "design is held against itself"),
        (8, "first is blank"),
        (9, "the row has 2 cells, the header 4"),
    ]


@pytest.mark.parametrize("header", ["", "criterion", "criterion,weight", "points,rank,criterion", "times\0"])
def test_a_header_must_say_what_the_file_holds(read, header):
    """One of four."""
    with pytest.raises(RatingError, match=r"header does not say|is not text"):
        read(header, "roster,1")


def test_a_column_too_many_is_refused(read):
    """By the rules of all tidy tables."""
    with pytest.raises(RatingError, match="'why' is not known here"):
        read("criterion,points,why", "roster,1,so")


NEW = {"roster": 400, "rookies": 125, "design": 300, "finish": 175}


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "rubric.toml"
    path.write_text(RUBRIC, encoding="utf-8")
    return path


def test_points_are_written_and_all_else_stays(path):
    """Comments, order and a number that is the same in another way of writing; method and date follow."""
    weights.write(path, NEW, method="swing weights", on=DAY)
    assert path.read_text(encoding="utf-8") == (
        RUBRIC.replace("points = 20", "points = 12.5")
        .replace("points = 25", "points = 30")
        .replace("points = 15", "points = 17.5")
        + '\n[weights]\nmethod = "swing weights"\non = 2031-07-15\n'
    )
    found = rubric(path.read_text(encoding="utf-8"))
    assert {one.key: one.points for one in found.criteria} == NEW
    assert (found.method, found.chosen_on) == ("swing weights", DAY)


def test_how_points_were_chosen_is_no_part_of_the_hash(path):
    """Two methods that give the same points make one rubric."""
    weights.write(path, NEW, method="swing weights", on=DAY)
    first = rubric(path.read_text(encoding="utf-8"))
    weights.write(path, NEW, method="points given directly", on=date(2031, 7, 16))
    second = rubric(path.read_text(encoding="utf-8"))
    assert first.hash == second.hash != rubric().hash
    assert (second.method, second.chosen_on) == ("points given directly", date(2031, 7, 16))


def test_a_note_beside_the_method_stays(path):
    """It is the person's own."""
    path.write_text(
        RUBRIC + '[weights] # how\nnote = "asked three of us"\non = 2030-01-01\n', encoding="utf-8"
    )
    weights.write(path, NEW, method="swing weights", on=DAY)
    text = path.read_text(encoding="utf-8")
    assert "[weights] # how" in text
    assert tomllib.loads(text)["weights"] == {
        "note": "asked three of us",
        "on": DAY,
        "method": "swing weights",
    }


@pytest.mark.parametrize(
    "criteria",
    [
        'criteria.roster = {group = "people", points = 40}\n',
        '[criteria]\nroster.group = "people"\nroster.points = 40 # dotted\n',
        '[criteria]\nroster = {group = "people", points = 40} # inline\n',
    ],
)
def test_other_ways_to_write_a_criterion_are_edited_too(path, criteria):
    """Inline tables and dotted keys are as good TOML as any; the rest of the line stays."""
    head, tail = RUBRIC.split("[groups]")
    rest = "\n[groups]" + tail.split("# who is in it")[0]
    text = head + (criteria + rest if criteria.startswith("criteria.") else rest + criteria)
    path.write_text(text, encoding="utf-8")
    weights.write(path, {"roster": 125}, method="swing weights", on=DAY)
    head = path.read_text(encoding="utf-8").split("\n[weights]")[0]
    assert head.strip() == text.replace("points = 40", "points = 12.5").strip()


def test_a_file_that_cannot_be_written_stays_as_it_was(path, monkeypatch):
    """What would be read as something else is not written; here the editing library is made to err."""
    monkeypatch.setattr("tomlkit.TOMLDocument.as_string", lambda _: RUBRIC)
    with pytest.raises(RatingError, match="cannot be put into this file"):
        weights.write(path, NEW, method="swing weights", on=DAY)
    assert path.read_text(encoding="utf-8") == RUBRIC
