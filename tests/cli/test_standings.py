"""`standings`: places, movement, days, stages, classes, what is still to come."""

from __future__ import annotations

import re
import shutil

import pytest

from rating.cli import main


def set_design(season, slug, score):
    path = season / "releases" / slug / "scores.toml"
    lines = path.read_text(encoding="utf-8").splitlines()
    lines[lines.index("[me.design]") + 1] = f"score = {score}"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def ranked_once(laid_out, tmp_path_factory):
    season = tmp_path_factory.mktemp("ranked") / "mine"
    shutil.copytree(laid_out, season)
    for slug, day in (("deep-harbour", "04-01"), ("high-water", "04-02"), ("low-water", "04-25")):
        assert main(["grade", slug, "--record", "--on", f"2031-{day}", "--season", str(season)]) == 0
    set_design(season, "deep-harbour", 90)
    assert main(["grade", "deep-harbour", "--record", "--season", str(season)]) == 0
    return season


@pytest.fixture
def ranked(ranked_once, small_season):
    """deep-harbour 51.5 on 1 April, high-water 51.8 on 2 April, low-water apart on 25 April.

    On 1 May deep-harbour gets 90 for design: (4889 + 60) / 95 = 52.1.
    """
    shutil.copytree(ranked_once, small_season, dirs_exist_ok=True)
    return small_season


def brief(got):
    return [(one["release"], one["rank"], one["grade"], one["movement"]) for one in got["standings"]]


def test_the_json_answer(answer, ranked):
    """Every key of the contract; the release apart has neither rank nor verdict."""
    got = answer("standings", "--season", ranked)
    assert {"format", "season", "as_of", "rubric", "standings", "to_come"} <= set(got)
    assert (got["format"], got["season"], got["as_of"]) == (1, "Mine 2031", "2031-05-01")
    for row in got["standings"]:
        assert {
            "release", "title", "rank", "class_rank", "class", "tied", "grade", "verdict", "stage", "partial",
            "ranked_apart", "movement", "review",
        } <= set(row)  # fmt: skip
    # deep-harbour gained the place that high-water lost
    assert brief(got) == [
        ("deep-harbour", 1, 52.1, 1),
        ("high-water", 2, 51.8, -1),
        ("low-water", None, 55.7, None),
    ]
    first, _, last = got["standings"]
    assert (first["class"], first["class_rank"], first["verdict"]) == (
        "middle",
        1,
        "Mixed",
    )
    assert (first["tied"], first["partial"], first["ranked_apart"], first["stage"]) == (
        False, False, False, "preview",
    )  # fmt: skip
    assert (last["class"], last["class_rank"], last["verdict"]) == (None, None, None)
    assert (last["partial"], last["ranked_apart"]) == (True, True)
    assert got["to_come"] == [{"release": "spring-tide", "date": "2031-09-01"}]


def test_the_text_has_the_sentence_to_notice(run, ranked):
    """Places, grades, movement, what is partial, what is to come; within a hundred columns."""
    code, out, err = run("standings", "--season", ranked)
    assert (code, err.split(" --season")[0]) == (0, "Next: boxwright standings --ranges")
    lines = out.splitlines()
    assert lines[0] == "Mine 2031, as of 2031-05-01"
    assert [line.split()[:2] for line in lines if line.strip().startswith(("1 ", "2 "))] == [
        ["1", "52.1"], ["2", "51.8"],
    ]  # fmt: skip
    assert "55.7*" in out
    assert "+1" in out
    told = " ".join(out.split())
    assert "leads with 52.1, 0.3 ahead of" in told
    assert "* partial" in told
    assert "To come: Marlow 2031 Spring Tide (2031-09-01)." in told
    assert max(map(len, lines)) <= 100


@pytest.mark.parametrize(
    ("day", "rows"),
    [
        ("2031-03-31", []),
        ("2031-04-01", [("deep-harbour", 1, 51.5, None)]),
        ("2031-04-02", [("high-water", 1, 51.8, None), ("deep-harbour", 2, 51.5, -1)]),
        (
            "2031-04-30",
            [("high-water", 1, 51.8, 0), ("deep-harbour", 2, 51.5, 0), ("low-water", None, 55.7, None)],
        ),
    ],
)
def test_any_past_day_shows_what_stood_then(answer, ranked, day, rows):
    """Later reviews do not exist yet."""
    got = answer("standings", "--as-of", day, "--season", ranked)
    assert (got["as_of"], brief(got)) == (day, rows)


@pytest.mark.parametrize(
    ("since", "moved"),
    [
        ("2031-03-31", [None, None, None]),
        ("2031-04-01", [0, None, None]),  # deep-harbour was first of one
        ("2031-04-02", [1, -1, None]),
        ("2031-05-01", [0, 0, None]),
    ],
)
def test_movement_can_be_counted_from_a_day(answer, ranked, since, moved):
    """Places gained since then; null for what was not there."""
    got = answer("standings", "--since", since, "--season", ranked)
    assert [one["movement"] for one in got["standings"]] == moved


def test_a_tie_is_shared_and_the_next_place_stays_empty(run, answer, ranked):
    """1, 1, 3: in order of release date, and shown as =1."""
    set_design(ranked, "high-water", 90)
    assert run("grade", "high-water", "--record", "--season", ranked)[0] == 0
    got = answer("standings", "--season", ranked)["standings"]
    assert [(one["release"], one["rank"], one["tied"]) for one in got[:2]] == [
        ("deep-harbour", 1, True), ("high-water", 1, True),
    ]  # fmt: skip
    assert "=1" in run("standings", "--season", ranked)[1]


def test_one_stage_and_one_class(run, answer, ranked):
    """A class shows its own; a stage looks at reviews of that stage alone."""
    words = ("grade", "high-water", "--record", "--stage", "in-hand", "--season", ranked)
    assert run(*words)[0] == 0
    assert brief(answer("standings", "--stage", "in-hand", "--season", ranked)) == [
        ("high-water", 1, 51.8, None)
    ]
    early = answer("standings", "--stage", "preview", "--season", ranked)["standings"]
    assert [one["release"] for one in early] == ["deep-harbour", "high-water"]
    middle = answer("standings", "--class", "middle", "--season", ranked)["standings"]
    assert [one["release"] for one in middle] == ["deep-harbour", "high-water"]
    assert answer("standings", "--class", "premium", "--season", ranked)["standings"] == []
    assert run("standings", "--class", "premium", "--season", ranked)[0] == 0


def test_what_is_out_and_not_reviewed_is_told(run, small_season):
    """Not among those to come."""
    assert run("grade", "deep-harbour", "--record", "--season", small_season)[0] == 0
    told = " ".join(run("standings", "--season", small_season)[1].split())
    assert "Out and not reviewed: Marlow 2031 High Water, Marlow 2031 Low Water." in told
    assert "To come: Marlow 2031 Spring Tide" in told


def test_an_audit_of_too_few_says_so(run, answer, ranked):
    """Two priced releases make no correlation."""
    got = answer("standings", "--audit", "--season", ranked)["audit"]
    assert (got["releases"], got["with_price"]["grade"]) == (2, None)
    assert (
        "Too few priced releases to tell whether price decides the grade: "
        in run("standings", "--audit", "--season", ranked)[1]
    )


def test_standings_write_nothing(run, ranked):
    """Reading leaves every file as it was."""
    before = {path: path.read_bytes() for path in ranked.rglob("*") if path.is_file()}
    assert run("standings", "--audit", "--season", ranked)[0] == 0
    assert {path: path.read_bytes() for path in ranked.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--as-of", "2031-02-30"), "'2031-02-30' is not a date"),
        (("--since", "last week"), "'last week' is not a date"),
        (("--stage", "ripe"), "name one of announced, preview, launch, in-hand, settled"),
        (("--class", "royal"), "name one of everyday, middle, premium"),
        (("--today", "20310501"), "is not a date"),
    ],
)
def test_a_wrong_value_is_told_with_the_right_ones(refused, ranked, words, told):
    """One message, and no table."""
    assert told in refused("standings", *words, "--season", ranked)


def test_before_anything_is_recorded_it_says_how(refused, small_season):
    """And makes no ledger."""
    assert "grade RELEASE --record" in refused("standings", "--season", small_season)
    assert not (small_season / "ledger.db").exists()


def test_what_is_under_embargo_is_counted_and_not_named(run, small_season, rewrite):
    """On the screen that a host shows; what was graded before it is out is to come like any other."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", *words)[0] == 0
    sheets = small_season / "releases"
    text = (sheets / "high-water" / "release.toml").read_text(encoding="utf-8")
    day = re.search(r"(?m)^date = (\S+)$", text)[1]
    rewrite(sheets / "high-water" / "release.toml", f"date = {day}", "date = 2031-06-01")
    out = " ".join(run("standings", *words)[1].split())
    assert re.search(r"To come: [^.]*High Water \(2031-06-01\) and [^.]*Spring Tide \(2031-09-01\)\.", out)
    rewrite(sheets / "spring-tide" / "release.toml", "[disclosure]", "embargo = 2031-08-25\n[disclosure]")
    out = " ".join(run("standings", *words)[1].split())
    assert "Spring Tide" not in out
    assert re.search(r"To come: [^.]*High Water \(2031-06-01\) and 1 more under embargo\.", out)


def test_a_price_of_which_nothing_can_be_said_is_called_unknown(run, small_season):
    """With the reason under the table."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", *words)[0] == 0
    out = run("standings", *words)[1]
    assert "unknown\n" in out
    assert "price unknown: the price, or what a box returns, is not known yet." in out
