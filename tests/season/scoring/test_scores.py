"""scores.toml: read with every problem, edited with comments kept."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rating import text, tomlfile
from rating.errors import RatingError
from rating.raters import Judgement
from rating.release import swap
from rating.season.scoring import scores

CRITERIA = ("design", "finish", "relics")
RATERS = ("mo", "wren")
BODY = """format = 1
# my notes on Halyard

[mo.design]   # bold
score = 62    # was 60
reason = "Bold and plain."
spread = 4
note = "private"

# from here on Wren's
[wren.design]
score = 70
reason = "Better than last year."
"""


def says(score=50, reason="So it is.", rater="mo", criterion="design", spread=None):
    """One answer."""
    return Judgement(rater=rater, criterion=criterion, score=score, reason=reason, spread=spread)


def read(path):
    """The judgements of a file, without problems."""
    table = tomlfile.read(path)
    found = scores.read(table, raters=RATERS, criteria=CRITERIA)
    tomlfile.finish(table)
    return {(one.rater, one.criterion): one for one in found}


@pytest.fixture
def path(tmp_path):
    """A file with two answers and comments."""
    made = tmp_path / "scores.toml"
    made.write_text(BODY, encoding="utf-8")
    return made


def test_the_answers_of_every_rater_are_read(path):
    """With their scores, reasons and doubt; notes are nobody else's business."""
    assert read(path) == {
        ("mo", "design"): says(62, "Bold and plain.", spread=4),
        ("wren", "design"): says(70, "Better than last year.", "wren"),
    }


@pytest.mark.parametrize(
    "answer",
    [
        says(80, "Grown on me.", spread=6),
        says(80, "No doubt given."),
        says(None, "There is no design to speak of."),
        says(40, "New for Mo.", criterion="finish"),
        says(40, "New for Wren.", rater="wren", criterion="relics"),
        says(None, "None by design.", rater="wren", criterion="relics"),
    ],
)
def test_one_answer_is_written_and_the_rest_stays(path, answer):
    """Comments, order, notes and all other answers; what is read again is what was given."""
    before = read(path)
    scores.write(path, answer)
    assert read(path) == before | {(answer.rater, answer.criterion): answer}
    lines = path.read_text(encoding="utf-8").splitlines()
    for kept in (
        "# my notes on Halyard",
        "[mo.design]   # bold",
        "# from here on Wren's",
        'note = "private"',
    ):
        assert kept in lines
    assert lines.index("[mo.design]   # bold") < lines.index("[wren.design]")


def test_a_comment_beside_a_score_survives_the_new_score(path):
    """Only the number is exchanged."""
    scores.write(path, says(81, "Better."))
    assert "score = 81    # was 60" in path.read_text(encoding="utf-8")


def test_an_answer_is_written_into_a_file_that_is_not_there_yet(tmp_path):
    """With its format."""
    path = tmp_path / "new" / "scores.toml"
    scores.write(path, says(50, "First."))
    scores.write(path, says(60, "Second.", criterion="finish"))
    assert path.read_text(encoding="utf-8").startswith("format = 1\n")
    assert read(path) == {
        ("mo", "design"): says(50, "First."),
        ("mo", "finish"): says(60, "Second.", criterion="finish"),
    }


def test_an_answer_takes_turns_with_does_not_apply(path):
    """Neither stays beside the other."""
    scores.write(path, says(None, "No."))
    assert "score = 62" not in path.read_text(encoding="utf-8")
    scores.write(path, says(55, "Yes, after all."))
    assert read(path)["mo", "design"] == says(55, "Yes, after all.")
    assert "does_not_apply" not in path.read_text(encoding="utf-8")


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    reason=st.text(min_size=1, max_size=60)
    .map(text.tidy)
    .filter(lambda one: one and not text.bad_marks(one)),
    score=st.none() | st.integers(0, 100),
    spread=st.none() | st.integers(0, 50),
)
def test_any_answer_comes_back_as_it_was_given(path, reason, score, spread):
    """Quotes, strokes, brackets and signs of any script in a reason."""
    answer = says(score, reason, spread=None if score is None else spread)
    scores.write(path, answer)
    assert read(path)["mo", "design"] == answer
    assert read(path)["wren", "design"].score == 70


@pytest.mark.parametrize("body", ["format = 1\n[mo.design\n", "format = 1\na = 1\na = 2\n", "format = 2\n"])
def test_a_file_that_cannot_be_read_is_not_written(path, body):
    """It is told, and keeps every byte."""
    path.write_text(body, encoding="utf-8")
    with pytest.raises(RatingError):
        scores.write(path, says())
    assert path.read_text(encoding="utf-8") == body


@pytest.mark.parametrize("body", ["mo = 5", "mo.design = 5", "[[mo]]\nx = 1", "[mo]\ndesign = [1]"])
def test_what_is_no_table_is_not_written_into(path, body):
    """A number or a list stands where the answers should: told by name, and every byte stays."""
    path.write_text(f"format = 1\n{body}\n", encoding="utf-8")
    with pytest.raises(RatingError, match="is not a table") as caught:
        scores.write(path, says())
    assert caught.value.where == "scores.toml"
    assert path.read_text(encoding="utf-8") == f"format = 1\n{body}\n"


@pytest.mark.parametrize(
    "body",
    [
        'format = 1\nmo = {design = {score = 5, reason = "x"}}\n',
        'format = 1\n[mo]\ndesign = {score = 5, reason = "x"}\n[wren]\n',
        (
            'format = 1\n[mo.design]\nscore = 5\nreason = "x"\n[wren.design]\nscore = 5\nreason = "x"\n'
            '[mo.finish]\nscore = 5\nreason = "x"\n'
        ),
        'format = 1\r\n[mo.design]\r\nscore = 5\r\nreason = "x"\r\n',
        '\ufeffformat = 1\n[mo.design]\nscore = 5\nreason = "x"\n',
    ],
    ids=["one line", "inner line", "out of order", "crlf", "mark"],
)
def test_other_ways_of_writing_a_table_are_edited_as_well(path, body):
    """Tables on one line, tables of a rater apart, line ends of another system."""
    path.write_bytes(body.encode())
    before = read(path)
    scores.write(path, says(80, "Anew.", spread=3))
    assert read(path) == before | {("mo", "design"): says(80, "Anew.", spread=3)}
    scores.write(path, says(70, "Also.", criterion="relics"))
    assert read(path)["mo", "relics"] == says(70, "Also.", criterion="relics")


def test_a_file_that_would_be_mixed_up_is_left_alone(path):
    """Tables made by dotted keys cannot be edited in place: it says how to go on, and every byte stays."""
    body = 'format = 1\nmo.design.score = 5\nmo.design.reason = "x"\n'
    path.write_text(body, encoding="utf-8")
    with pytest.raises(RatingError, match="without disturbing others") as caught:
        scores.write(path, says(70, "Also.", criterion="relics"))
    assert "[mo.relics]" in caught.value.fix
    assert path.read_text(encoding="utf-8") == body


def test_a_full_disk_keeps_the_answers_there_were(path, monkeypatch):
    """The file is exchanged whole or not at all."""

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(swap.os, "fsync", full)
    with pytest.raises(RatingError, match="No space left"):
        scores.write(path, says())
    assert path.read_text(encoding="utf-8") == BODY
    assert [one.name for one in path.parent.iterdir()] == ["scores.toml"]


def test_text_is_kept_composed(path):
    """A reason typed with a decomposed accent is read composed."""
    path.write_text(unicodedata.normalize("NFD", BODY.replace("Bold", "Café")), encoding="utf-8")
    assert read(path)["mo", "design"].reason == "Caf\u00e9 and plain."
