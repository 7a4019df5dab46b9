"""The proof of a grade: what a stranger finds out with one file, and that no byte of it is free."""

from __future__ import annotations

import dataclasses
import json
import subprocess
import sys

import pytest
import rfc8785

from rating import review as reviews
from rating.errors import RatingError
from rating.ledger import check_proof, merkle, proof
from rating.review import Score

SEASON = "0f" * 16


@pytest.fixture
def five(book):
    """A ledger of five reviews, and the texts of its fourth."""
    book.add(release="fen", title="Fen — größer", published_on="2031-06-01")
    book.add(release="gale", title="Gale", published_on="2031-06-02")
    fourth = book.ledger.ids()[3]
    return book.ledger.text(fourth), book.rubric, book.ledger.ids()


def told(five, **changes):
    body, rubric, ids = five
    return proof.told_of(body, rubric, ids, season_id=SEASON, **changes)


def altered(plain, **changes):
    """A file that was made with other values, in the same way."""
    return (reviews.canonical(plain | changes) + "\n").encode()


def refused(content):
    with pytest.raises(RatingError, match="this proof is refused") as caught:
        proof.read(content, where="x.json")
    assert caught.value.exit_code == 1
    return str(caught.value)


def test_a_proof_is_canonical_json_and_reads_back(five):
    """RFC 8785 by another library; the whole review and rubric are in it, by their hashes."""
    plain = told(five)
    content = proof.as_file(plain)
    assert content == rfc8785.dumps(plain) + b"\n"
    assert len(content) <= 16384
    back = proof.read(content, where="")
    assert back == plain
    assert reviews.hash_of(reviews.canonical(back["review"])) == five[2][3]
    assert reviews.hash_of(reviews.canonical(back["rubric"])) == back["review"]["rubric"]
    assert (back["index"], back["reviews"]) == (3, 5)


@pytest.mark.parametrize("since", [0, 3])
def test_every_byte_of_it_is_held(five, since):
    """Each byte altered in several ways, taken out, and doubled; with and without an older head."""
    older = merkle.head(SEASON, five[2][:since]) if since else ""
    content = proof.as_file(told(five, since=older))
    for place, byte in enumerate(content):
        others = {byte ^ 1, byte ^ 0x20, ord("0")} - {byte}
        for other in others:
            with pytest.raises(RatingError):
                proof.read(content[:place] + bytes([other]) + content[place + 1 :], where="")
        for cut in (content[:place] + content[place + 1 :], content[: place + 1] + content[place:]):
            with pytest.raises(RatingError):
                proof.read(cut, where="")


def test_a_proof_that_is_cut_or_longer_or_something_else_is_refused(five):
    content = proof.as_file(told(five))
    for size in range(len(content)):
        refused(content[:size])
    for other in (
        b"",
        b"\n",
        b"null",
        b"[]",
        b"{}",
        b"17",
        b'"\xff"',
        b"[" * 16000,
        b"\xff\xfe{}",
        content + b"\n",
        content + content,
        content.replace(b"{", b"{ ", 1),
        json.dumps(json.loads(content)).encode(),
        content.decode().encode("utf-16"),
    ):
        refused(other)
    assert "16,384 at most" in refused(content + b" " * 20000)


def test_what_fits_with_itself_and_not_with_the_ledger_is_refused(five):
    """Other values, written in the same way: none of them is taken."""
    plain = told(five, since=merkle.head(SEASON, five[2][:3]))
    review, earlier = plain["review"], plain["earlier"]
    for changes in (
        {"review": review | {"grade": 990}},
        {"review": review | {"title": "Another"}},
        {"rubric": plain["rubric"] | {"format": 2}},
        {"index": 1},
        {"index": "3"},
        {"index": 3 + 8},
        {"index": -1},
        {"reviews": 4},
        {"reviews": 6},
        {"path": plain["path"][:-1]},
        {"path": [*plain["path"], plain["path"][0]]},
        {"path": [one.upper() for one in plain["path"]]},
        {"path": "".join(plain["path"])},
        {"head": merkle.head("ff" * 16, five[2])},
        {"season_id": "ff" * 16},
        {"earlier": earlier | {"reviews": 4}},
        {"earlier": earlier | {"head": plain["head"]}},
        {"earlier": earlier | {"path": [earlier["path"][-1], *earlier["path"][1:]]}},
        {"earlier": earlier | {"path": []}},
        {"earlier": earlier | {"more": 1}},
        {"earlier": ""},
        {"earlier": 0},
        {"signatures": {"mo": "QQ"}},
        {"signatures": {"mo": "QR=="}},
        {"signatures": []},
        {"format": True},
        {"format": 2},
        {"boxwright": "ledger"},
        {"more": 1},
    ):
        refused(altered(plain, **changes))
    assert proof.read(altered(plain), where="") == plain


def test_the_only_review_of_a_ledger_has_one_place(book):
    """Of a tree of one leaf, whose path is empty, a place below the first leads to the same root."""
    [first, *_] = book.ledger.ids()
    plain = proof.told_of(book.ledger.text(first), book.rubric, [first], season_id=SEASON)
    assert plain["path"] == []
    assert proof.read(altered(plain), where="")["reviews"] == 1
    for changes in ({"index": -1}, {"index": False}, {"reviews": True}, {"index": "0"}):
        refused(altered(plain, **changes))


@pytest.mark.parametrize("grade", [619, 621, None, True])
def test_a_recorded_grade_that_does_not_follow_from_its_scores_is_not_proved(base, book, grade):
    """62 at 60 points, one open, one that does not apply: 62.0, whatever the review itself says."""
    wrong = reviews.text_of(dataclasses.replace(base, grade=grade))
    plain = proof.told_of(wrong, book.rubric, [reviews.hash_of(wrong)], season_id=SEASON)
    with pytest.raises(RatingError, match="does not follow"):
        proof.as_file(plain)


def test_the_grade_is_worked_out_by_half_up(base, book):
    """By hand: (600 x 62 + 200 x 61) / 800 = 61.75, which is 61.8."""
    two = (
        base.scores[0],
        Score(criterion="relics", score=61, basis="judged", reason="Fine.", spread=8, rater="mo"),
    )
    right = dataclasses.replace(base, scores=two, not_applicable=(), grade=618)
    text = reviews.text_of(right)
    plain = proof.told_of(text, book.rubric, [reviews.hash_of(text)], season_id=SEASON)
    assert proof.read(proof.as_file(plain), where="")["review"]["grade"] == 618


def test_a_review_that_names_another_season_is_refused(base, book):
    text = reviews.text_of(dataclasses.replace(base, season_id="ab" * 16))
    plain = proof.told_of(text, book.rubric, [reviews.hash_of(text)], season_id=SEASON)
    refused(altered(plain))


def test_a_proof_is_of_16_kilobytes_at_most(base, book):
    long = dataclasses.replace(base, scores=(dataclasses.replace(base.scores[0], reason="word " * 4000),))
    text = reviews.text_of(long)
    plain = proof.told_of(text, book.rubric, [reviews.hash_of(text)], season_id=SEASON)
    with pytest.raises(RatingError, match="no more than 16,384"):
        proof.as_file(plain)


def test_the_four_answers_are_apart(five):
    """What always; when by a head that was published; one history by an older one; who by nobody here."""
    older, head = merkle.head(SEASON, five[2][:4]), merkle.head(SEASON, five[2])
    plain = told(five, since=older[:12])

    def answers(*heads):
        return tuple(proof.answers(plain, heads, "", where="").values())

    assert answers() == ("shown", "not shown", "not shown", "not shown")
    assert answers(head) == ("shown", "not shown", "shown", "not shown")
    assert answers(older) == ("shown", "not shown", "shown", "shown")
    with pytest.raises(RatingError, match="not in it"):
        answers(merkle.head(SEASON, five[2][:3]))


def test_an_older_head_from_before_the_review_shows_no_day(five):
    """It shows one history; the fourth review was not yet among the first two."""
    older = merkle.head(SEASON, five[2][:2])
    got = proof.answers(told(five, since=older), [older], "", where="")
    assert (got["when"], got["one history"]) == ("not shown", "shown")


def test_an_older_head_must_be_one_of_this_ledger(five):
    """At least twelve letters of it; the head of now is no older one."""
    for since in (merkle.head("ab", five[2]), "ab" * 5, "zz" * 6, "x"):
        with pytest.raises(RatingError, match="never had the head"):
            told(five, since=since)
    assert told(five, since=merkle.head(SEASON, five[2]))["earlier"] is None


def test_two_histories_are_told(five):
    """Two files of one season with as many reviews and other heads, also as an older head."""
    body, rubric, ids = five
    one, other = (
        told(five),
        proof.told_of(body, rubric, [*ids[1:3][::-1], *ids[:1], *ids[3:]], season_id=SEASON),
    )
    proof.one_history({"a": one, "b": one})
    with pytest.raises(RatingError, match="two histories: 5 reviews"):
        proof.one_history({"a": one, "b": other})
    later = proof.told_of(body, rubric, [*other_ids(ids), "ab" * 32], season_id=SEASON, since=other["head"])
    with pytest.raises(RatingError, match="two histories: 5 reviews"):
        proof.one_history({"a": one, "b": later})


def other_ids(ids):
    return [*ids[1:3][::-1], *ids[:1], *ids[3:]]


def test_the_verifier_stands_alone(five, tmp_path):
    """At most a hundred lines; in a Python without this program it takes the proof, and nothing altered."""
    script = tmp_path / "check_proof.py"
    script.write_text(proof.script(), encoding="utf-8")
    assert len(proof.script().splitlines()) <= 100
    assert "rating" not in {
        line.split()[1].split(".")[0]
        for line in proof.script().splitlines()
        if line.startswith(("import ", "from "))
    }
    file = tmp_path / "fen.json"
    file.write_bytes(proof.as_file(told(five)))

    def run(*words):
        call = [sys.executable, "-I", "-S", script, *words]
        return subprocess.run(call, capture_output=True, text=True, cwd=tmp_path, check=False)

    head = merkle.head(SEASON, five[2])
    done = run(file)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines() == [
        f'"Fen \\u2014 gr\\u00f6\\u00dfer" 620 tenths, head {head}',
        "what: shown",
        "who: not shown",
        "when: not shown",
        "one history: not shown",
    ]
    assert "when: shown" in run(file, head).stdout
    for words in ((file, "ab" * 32), (tmp_path / "no.json",), ()):
        done = run(*words)
        assert (done.returncode, done.stderr.count("\n")) == (1, 1)
    file.write_bytes(file.read_bytes().replace(b"Good.", b"Bad.."))
    done = run(file)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("refused: it was altered")


def test_the_verifier_hashes_as_reviews_do(five):
    """One canonical form, told twice because the script stands alone."""
    plain = json.loads(five[0])
    assert check_proof.canonical(plain).decode() == five[0] == reviews.canonical(plain)
