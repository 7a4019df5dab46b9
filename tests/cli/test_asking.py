"""`grade --ask` at a real pseudo-terminal: one question a screen, answers written back, comments kept."""

from __future__ import annotations

import os
import tomllib

import pytest


@pytest.fixture
def scores(own_season):
    path = own_season / "releases" / "halyard" / "scores.toml"
    for file in own_season.rglob("sales.csv"):
        file.unlink()  # without sales, or any to carry over, the returns are asked for too
    text = path.read_text(encoding="utf-8")
    opened = '[mo.returns]\nscore = 53\nreason = "Six boxes: two break-evens, four below."\n\n'
    path.write_text(
        "# what I think of it\n" + text.replace("[mo.design]", f"{opened}[mo.design] # the look"),
        encoding="utf-8",
    )
    return path


@pytest.fixture
def ask(terminal):
    return lambda season: terminal(["grade", "halyard", "--ask", "--season", season])


SCORE, REASON = "score 0 to 100: ", "reason: "


def test_answers_go_into_the_file_with_comments_kept(ask, own_season, scores):
    """A wrong number is asked again, blank keeps an answer, - says it does not apply, q ends the round."""
    before = tomllib.loads(scores.read_text(encoding="utf-8"))["mo"]
    person = ask(own_season)
    person.wait_for("3 questions for Mo Tarrant")
    person.answer(SCORE, "101")
    person.wait_for("a whole number from 0 to 100")
    person.answer(SCORE, "7.5")
    person.answer(SCORE, "77")
    person.answer(REASON, 'Three "hits" in six boxes.')
    person.answer(SCORE, "")
    person.answer(SCORE, "-")
    person.answer("why does it not apply? ", "   ")
    person.wait_for("no score stands without a reason")
    person.answer("why does it not apply? ", "Nobody sells it.")
    assert person.ended() == 0
    assert "Grade " in person.seen
    text = scores.read_text(encoding="utf-8")
    after = tomllib.loads(text)["mo"]
    assert after["returns"]["score"] == 77
    assert after["returns"]["reason"] == 'Three "hits" in six boxes.'
    assert after["design"] == before["design"]
    assert after["finish"] == {"does_not_apply": "Nobody sells it."}
    assert after.keys() == before.keys()
    assert text.startswith("# what I think of it\n")
    assert "[mo.design] # the look" in text


def test_ctrl_c_keeps_the_answers_so_far(ask, own_season, scores):
    """It ends with 130; what was answered is written, what was not is as it was."""
    person = ask(own_season)
    person.answer(SCORE, "12")
    person.answer(REASON, "One hit, far off.")
    person.wait_for("written.")
    person.wait_for(SCORE)
    person.interrupt()
    assert person.ended() == 130
    assert "Traceback" not in person.seen
    assert tomllib.loads(scores.read_text(encoding="utf-8"))["mo"]["returns"]["score"] == 12


def test_another_rater_answers_for_themselves(terminal, own_season, scores):
    """`--rater` says who; the published scores stay those of the first rater."""
    person = terminal(["grade", "halyard", "--ask", "--rater", "wren", "--season", own_season])
    person.wait_for("questions for Wren")
    person.answer(SCORE, "5")
    person.answer(REASON, "I never saw a Beacon.")
    person.answer(SCORE, "q")
    assert person.ended() == 0
    found = tomllib.loads(scores.read_text(encoding="utf-8"))
    assert found["wren"]["returns"]["score"] == 5
    assert found["mo"]["returns"]["score"] == 53
    assert "Grade " in person.seen


@pytest.mark.parametrize("end", ["q\n", "\x04"], ids=["q", "end of input"])
@pytest.mark.parametrize("score", ["12", "-"])
def test_a_round_that_ends_at_a_reason_writes_no_half_answer(ask, own_season, scores, end, score):
    """Neither q nor the end of input is taken for a reason."""
    before = scores.read_bytes()
    person = ask(own_season)
    person.answer(SCORE, score)
    person.wait_for(REASON if score != "-" else "why does it not apply? ")
    os.write(person.master, end.encode())
    assert person.ended() == 0
    assert scores.read_bytes() == before


def test_a_blank_reason_keeps_the_one_before(ask, own_season, scores):
    """Only the score changes; a comment beside it stays."""
    text = scores.read_text(encoding="utf-8")
    lines = text.splitlines()
    place = lines.index("[mo.returns]") + 1
    lines[place] += "  # not sure yet"
    scores.write_text("\n".join(lines) + "\n", encoding="utf-8")
    before = tomllib.loads(text)["mo"]["returns"]
    person = ask(own_season)
    person.answer(SCORE, "33")
    person.answer(REASON, "")
    person.wait_for("written.")
    person.answer(SCORE, "q")
    assert person.ended() == 0
    after = scores.read_text(encoding="utf-8")
    assert tomllib.loads(after)["mo"]["returns"] == before | {"score": 33}
    assert "score = 33  # not sure yet" in after


def test_the_question_shows_the_evidence_guidance_and_the_answer_before(ask, own_season, scores):
    """What 0, 25, 50, 75 and 100 look like, what the files say to this question alone, and what was said."""
    person = ask(own_season)
    person.wait_for("returns, 1 of 3")
    for score in (0, 25, 50, 75, 100):
        person.wait_for(f"  {score:>3}  ")
    person.wait_for("returns: ")
    assert "people: " not in person.passed
    person.wait_for(f"Now: {tomllib.loads(scores.read_text(encoding='utf-8'))['mo']['returns']['score']}.")
    assert "design, 2 of 3" not in person.passed
    person.answer(SCORE, "")
    person.wait_for("design, 2 of 3")
    person.wait_for(SCORE)
    assert "returns: " not in person.passed
    assert len(person.passed.splitlines()) <= 24
    os.write(person.master, b"q\n")
    assert person.ended() == 0


@pytest.mark.parametrize(("stage", "told"), [("launch", True), ("in-hand", False), ("", False)])
def test_a_first_impression_is_said_until_the_cards_are_in_hand(terminal, own_season, scores, stage, told):
    """By the stage that is declared, else the last recorded one: halyard was recorded as settled."""
    more = ["--stage", stage] if stage else []
    person = terminal(["grade", "halyard", "--ask", *more, "--season", own_season])
    for _ in range(2):
        person.answer(SCORE, "")
    person.wait_for("finish, 3 of 3")
    if told:
        person.wait_for("a first impression until the release is in-hand")
    person.answer(SCORE, "q")
    assert person.ended() == 0
    assert "first impression" not in person.seen
    assert told or "first impression" not in person.passed
