"""`grade`: the grade by hand, its JSON, its words, stages, recording."""

from __future__ import annotations

import re
import shutil
import tomllib

import pytest

from rating.season.recording import stage_of_files
from rating.season.season import Season

# worked out by hand in tests/conftest.py: score and points of every criterion that counts
BY_HAND = {
    "roster": (44, 10), "rookies": (53, 10), "signatures": (52, 13), "chase": (60, 7), "scarcity": (40, 8),
    "outlay": (32, 6), "access": (39, 4), "returns": (45, 12), "building": (55, 5), "opening": (70, 5),
    "design": (80, 6), "finish": (65, 4), "record": (50, 5),
}  # fmt: skip


def scores_of(season, slug="deep-harbour"):
    return season / "releases" / slug / "scores.toml"


def rewrite(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_the_json_answer_is_the_grade_by_hand(answer, small_season):
    """Every key of the contract; scores hold only what counts, and the grade follows from them."""
    got = answer("grade", "deep-harbour", "--season", small_season)
    assert {
        "release", "stage", "grade", "lowest", "highest", "rank", "verdict", "partial", "disclosure",
        "scores", "not_applicable", "unknown", "recorded", "differs",
    } <= set(got)  # fmt: skip
    assert {one["criterion"]: (one["score"], one["points"]) for one in got["scores"]} == BY_HAND
    total = sum(points for _, points in BY_HAND.values())
    assert sum(score * points for score, points in BY_HAND.values()) / total == pytest.approx(
        51.463, abs=1e-3
    )
    assert (got["grade"], got["lowest"], got["highest"]) == (51.5, 51.5, 51.5)
    assert (got["verdict"], got["partial"], got["rank"]) == ("Mixed", False, 1)
    assert (got["recorded"], got["differs"]) == (None, False)
    assert got["disclosure"] == {"how_obtained": ["bought"], "sentence": "I bought a box."}
    assert got["not_applicable"] == [{"criterion": "relics", "why": "the release has no relics, by design"}]
    assert got["unknown"] == []


def test_each_score_says_where_it_comes_from(answer, small_season):
    """Computed with measure and evidence, judged with the person's words; a first impression doubts twice."""
    got = answer("grade", "deep-harbour", "--season", small_season)
    scores = {one["criterion"]: one for one in got["scores"]}
    for one in scores.values():
        assert {"criterion", "group", "score", "points", "basis", "reason", "spread", "evidence"} <= set(one)
        assert all(isinstance(words, str) for words in one["evidence"])
    assert scores["rookies"]["basis"] == "computed"
    assert scores["rookies"]["measure"] == 0.475
    assert scores["rookies"]["reason"].startswith(
        "3 of the season's 4 rookies have cards: 2 are in the base set"
    )
    assert scores["design"]["basis"] == "judged"
    assert scores["design"]["reason"] == "The fronts breathe."
    assert (scores["design"]["spread"], scores["finish"]["spread"], scores["returns"]["spread"]) == (
        8,
        16,
        12,
    )
    seen = answer("grade", "deep-harbour", "--stage", "in-hand", "--season", small_season)
    assert {one["criterion"]: one["spread"] for one in seen["scores"]}["finish"] == 8


def test_the_text_shows_grade_reasons_and_what_lifts_and_costs(run, small_season):
    """Within a hundred columns; the same numbers as the JSON."""
    code, out, err = run("grade", "deep-harbour", "--season", small_season)
    assert (code, err.split(" --season")[0]) == (0, "Next: boxwright grade deep-harbour --record")
    told = " ".join(out.split())
    assert out.startswith("Marlow 2031 Deep Harbour, stage preview\n")
    assert told.index("bought. I bought a box.") < told.index("Biggest strengths")
    assert "Grade 51.5." in told
    assert "Mixed. Whether it is worth $200.00 is open: what a box returns is not known." in told
    assert "1st of 1. 1st of 1 in its price class, middle." in told
    # points x (score - 50): design 180, opening 100, chase 70; outlay -108, scarcity -80, returns, roster -60
    strengths, weaknesses, others = (
        re.findall(r"^([a-z]+) \d+(?: \(me\))?: ", part, re.MULTILINE)
        for part in re.split("Biggest strengths|Biggest weaknesses|In between", out)[1:]
    )
    assert strengths == ["design", "opening", "chase"]
    assert weaknesses == ["outlay", "scarcity", "returns"]
    assert {*strengths, *weaknesses, *others} == set(BY_HAND)
    assert "design 80 (me): The fronts breathe." in told
    assert "relics: the release has no relics, by design" in told
    assert "Not recorded yet" in told
    assert max(map(len, out.splitlines())) <= 100


def test_the_unknown_bounds_the_grade_and_sets_it_apart(run, answer, small_season):
    """2895 of 52 known points: 55.7; the 48 others at 0 give 29.0 (28.95 half-up), at 100 give 77.0."""
    got = answer("grade", "low-water", "--season", small_season)
    assert (got["grade"], got["lowest"], got["highest"]) == (55.7, 29.0, 77.0)
    assert (got["partial"], got["rank"], got["verdict"]) == (True, None, None)
    assert {one["criterion"]: one["why"] for one in got["unknown"]} == {
        "roster": "there is no checklist yet",
        "rookies": "there is no checklist yet",
        "signatures": "there is no checklist yet",
        "relics": "there is no checklist yet",
        "outlay": "there is no price for a Hobby box yet",
        "access": "the maker's price of a Hobby box is not known",
    }
    told = " ".join(run("grade", "low-water", "--season", small_season)[1].split())
    assert "Grade 55.7 so far." in told
    assert "Too early for a verdict. Neither the price of a box nor what it returns is known yet." in told
    assert "Partial: what is still unknown could make it anything from 29.0 to 77.0." in told
    assert "shown apart, without a place" in told


def test_nothing_scored_is_no_grade(run, answer, small_season):
    """And no zero; nothing can be recorded."""
    got = answer("grade", "spring-tide", "--season", small_season)
    # a new line's declared 50 is the one score there is: 50 of 5 points
    assert (got["grade"], got["rank"], [one["criterion"] for one in got["scores"]]) == (
        50.0,
        None,
        ["record"],
    )
    rewrite(
        small_season / "releases" / "spring-tide" / "release.toml", "2031-09-01", "2031-09-01\nsince = 2020"
    )
    got = answer("grade", "spring-tide", "--season", small_season)
    assert (got["grade"], got["lowest"], got["highest"], got["rank"], got["scores"]) == (None,) * 4 + ([],)
    assert (
        "No grade: no criterion has a score yet." in run("grade", "spring-tide", "--season", small_season)[1]
    )
    code, _, err = run("grade", "spring-tide", "--record", "--season", small_season)
    assert (code, "nothing to record" in err) == (1, True)


@pytest.mark.parametrize(
    ("slug", "odds", "stage"),
    [("low-water", False, "announced"), ("deep-harbour", False, "preview"), ("deep-harbour", True, "launch")],
)
def test_the_stage_is_what_the_files_say(answer, small_season, slug, odds, stage):
    """Odds make a launch, a checklist a preview, neither an announcement."""
    if odds:
        (small_season / "releases" / slug / "odds.csv").write_text(
            "subset,parallel,format,packs_per_copy,note\nInk,,hobby,5,\n", encoding="utf-8"
        )
    assert answer("grade", slug, "--season", small_season)["stage"] == stage


def test_a_recorded_stage_stays_until_another_is_declared(answer, run, small_season):
    """`--stage` declares; without it the last recorded one counts."""
    assert run("grade", "deep-harbour", "--stage", "in-hand", "--record", "--season", small_season)[0] == 0
    assert answer("grade", "deep-harbour", "--season", small_season)["stage"] == "in-hand"
    other = answer("grade", "deep-harbour", "--stage", "settled", "--season", small_season)
    assert (other["stage"], other["differs"]) == ("settled", True)


def test_recording_answers_with_the_review_it_made(run, answer, small_season):
    """As JSON: the id on standard output, what happened on standard error."""
    code, out, err = run("grade", "deep-harbour", "--record", "--json", "--season", small_season)
    assert code == 0
    assert err == "Recorded as of 2031-05-01, stage preview.\n"
    got = answer("grade", "deep-harbour", "--season", small_season)
    assert got["recorded"] is not None
    assert got["recorded"] in out
    assert got["differs"] is False
    code, out, _ = run("grade", "deep-harbour", "--season", small_season)
    assert out.rstrip().endswith("As recorded on 2031-05-01.")


def test_recording_the_same_again_appends_nothing(run, small_season):
    """Also on another day; the ledger keeps every byte."""
    assert run("grade", "deep-harbour", "--record", "--on", "2031-04-01", "--season", small_season)[0] == 0
    before = (small_season / "ledger.db").read_bytes()
    code, out, _ = run("grade", "deep-harbour", "--record", "--season", small_season)
    assert code == 0
    assert out.rstrip().endswith("Unchanged since the last recorded review: nothing was appended.")
    assert (small_season / "ledger.db").read_bytes() == before


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda s: rewrite(scores_of(s), "score = 80", "score = 81"), "the scores of design"),
        (lambda s: rewrite(scores_of(s), "breathe.", "breathe!"), "the scores of design"),
        (
            lambda s: rewrite(s / "releases/deep-harbour/prices.csv", "200.00", "160.00"),
            "the scores of outlay, access, signatures",
        ),
        (
            lambda s: rewrite(s / "releases/deep-harbour/release.toml", "I bought a box.", "I bought two."),
            "the disclosure",
        ),
        (lambda s: rewrite(s / "rubric.toml", "points = 13", "points = 12"), "the rubric"),
    ],
)
def test_what_differs_from_the_recorded_review_is_named(run, answer, small_season, change, told):
    """A score, a reason, a price, the disclosure, the rubric."""
    assert run("grade", "deep-harbour", "--record", "--season", small_season)[0] == 0
    change(small_season)
    assert answer("grade", "deep-harbour", "--season", small_season)["differs"] is True
    out = " ".join(run("grade", "deep-harbour", "--season", small_season)[1].split())
    words = out.rsplit("This differs from the review recorded on 2031-05-01 (51.5): ", 1)[1]
    for one in told.removeprefix("the scores of ").split(", "):
        assert one in words


def test_a_day_in_the_past_knows_only_the_prices_of_then(answer, run, small_season):
    """On 2031-03-05 there was a list price only: no access yet, and the box at 160."""
    on = ("--on", "2031-03-05", "--season", small_season)
    got = answer("grade", "deep-harbour", *on)
    assert {one["criterion"] for one in got["unknown"]} == {"access"}
    assert run("grade", "deep-harbour", "--record", *on)[0] == 0
    history = answer("ledger", "history", "deep-harbour", "--season", small_season)["reviews"]
    assert [one["published_on"] for one in history] == ["2031-03-05"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--on", "2031-05-02"), "2031-05-02 is after today, 2031-05-01"),
        (("--today", "2031-04-01", "--on", "2031-04-02"), "2031-04-02 is after today, 2031-04-01"),
        (("--on", "2031-03-31"), "the last review of deep-harbour is of 2031-04-01, after 2031-03-31"),
        (("--on", "1 May 2031"), "'1 May 2031' is not a date"),
        (("--on", "20310501"), "'20310501' is not a date"),
    ],
)
def test_a_day_that_cannot_be_is_refused(run, small_season, words, told):
    """After today, before the last review, or no day; the ledger stays as it was."""
    assert run("grade", "deep-harbour", "--record", "--on", "2031-04-01", "--season", small_season)[0] == 0
    before = (small_season / "ledger.db").read_bytes()
    rewrite(scores_of(small_season), "score = 80", "score = 81")
    code, out, err = run("grade", "deep-harbour", "--record", *words, "--season", small_season)
    assert (code, out) == (1, "")
    assert told in err
    assert (small_season / "ledger.db").read_bytes() == before


def test_today_is_flag_then_variable_then_file_for_a_recording(run, answer, small_season, monkeypatch):
    """BOXWRIGHT_TODAY goes before season.toml, --today before both."""
    monkeypatch.setenv("BOXWRIGHT_TODAY", "2031-04-10")
    assert "as of 2031-04-10" in run("grade", "deep-harbour", "--record", "--season", small_season)[1]
    words = ("grade", "high-water", "--record", "--today", "2031-04-12", "--season", small_season)
    assert "as of 2031-04-12" in run(*words)[1]
    monkeypatch.setenv("BOXWRIGHT_TODAY", "yesterday")
    code, _, err = run("grade", "deep-harbour", "--season", small_season)
    assert (code, "BOXWRIGHT_TODAY" in err) == (1, True)


def test_the_season_is_option_then_variable_then_here(run, answer, small_season, tmp_path, monkeypatch):
    """BOXWRIGHT_SEASON goes before the current folder, --season before both."""
    other = tmp_path / "other"
    shutil.copytree(small_season, other)
    rewrite(scores_of(other), "score = 80", "score = 86")
    monkeypatch.chdir(small_season / "releases")
    assert answer("grade", "deep-harbour")["grade"] == 51.5
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(other))
    assert answer("grade", "deep-harbour")["grade"] == 51.8
    assert answer("grade", "deep-harbour", "--season", small_season)["grade"] == 51.5
    monkeypatch.setenv("BOXWRIGHT_SEASON", str(tmp_path / "gone"))
    assert run("grade", "deep-harbour")[0] == 1


def test_a_review_without_disclosure_is_refused(run, small_season):
    """It is graded and not recorded."""
    path = small_season / "releases" / "deep-harbour" / "release.toml"
    rewrite(path, 'how_obtained = ["bought"]\nsentence = "I bought a box."\n', "")
    out = run("grade", "deep-harbour", "--season", small_season)[1]
    assert "nothing can be recorded without it" in " ".join(out.split())
    code, _, err = run("grade", "deep-harbour", "--record", "--season", small_season)
    assert (code, "fill in [disclosure]" in err) == (1, True)
    assert not (small_season / "ledger.db").exists()


def test_an_overruled_score_keeps_the_computed_one(answer, run, small_season):
    """Both are kept, with who overruled; the grade goes by the person's."""
    with scores_of(small_season).open("a", encoding="utf-8") as file:
        file.write(
            '[me.roster]\nscore = 60\nreason = "The two names everybody wants are in it."\nspread = 3\n'
        )
    got = answer("grade", "deep-harbour", "--season", small_season)
    roster = {one["criterion"]: one for one in got["scores"]}["roster"]
    assert (roster["score"], roster["computed_score"], roster["basis"]) == (60, 44, "overruled")
    assert (roster["spread"], roster["rater"]) == (3, "me")
    assert any(words.startswith("computed 44: 3 of the 4 teams") for words in roster["evidence"])
    # 4889 + 16 x 10 = 5049; 5049 / 95 = 53.147
    assert got["grade"] == 53.1
    assert "overruled 44" in run("grade", "deep-harbour", "--season", small_season)[1]


def test_a_question_that_does_not_arise_leaves_the_grade(answer, small_season):
    """(4889 - 55 x 5) / 90 = 51.3; it is not partial."""
    rewrite(
        scores_of(small_season),
        '[me.building]\nscore = 55\nreason = "Two boxes and a few singles do it."',
        '[me.building]\ndoes_not_apply = "There is no base set."',
    )
    got = answer("grade", "deep-harbour", "--season", small_season)
    assert (got["grade"], got["partial"]) == (51.3, False)
    assert {"criterion": "building", "why": "There is no base set."} in got["not_applicable"]


@pytest.mark.parametrize(
    ("rule", "design", "grade"),
    # 4889 - 80 x 6 + design x 6, over 95
    [("first", 80, 51.5), ("mean", 76, 51.2), ("median", 76, 51.2)],
)
def test_several_raters_are_combined_as_the_season_says(answer, small_season, rule, design, grade):
    """First, mean or median; 80 and 71 make 75.5, half-up 76."""
    with scores_of(small_season).open("a", encoding="utf-8") as file:
        file.write('[kit.design]\nscore = 71\nreason = "Crowded."\n')
    rewrite(small_season / "season.toml", 'published = "first"', f'published = "{rule}"')
    got = answer("grade", "deep-harbour", "--season", small_season)
    assert ({one["criterion"]: one["score"] for one in got["scores"]}["design"], got["grade"]) == (
        design,
        grade,
    )


def test_the_reason_for_a_change_is_kept(run, answer, small_season):
    """With `--because`; hidden marks in it are refused."""
    run("grade", "deep-harbour", "--record", "--on", "2031-04-01", "--season", small_season)
    rewrite(scores_of(small_season), "score = 80", "score = 70")
    words = ("grade", "deep-harbour", "--record", "--season", small_season, "--because")
    assert run(*words, "It faded\u202e.")[0] == 1
    assert run(*words, "  The ink   faded. ")[0] == 0
    last = answer("ledger", "history", "deep-harbour", "--season", small_season)["reviews"][-1]
    assert last["reason_for_change"] == "The ink faded."


def test_grading_writes_nothing(run, small_season):
    """Neither a ledger nor a file of the person's."""

    def state():
        return {path: path.read_bytes() for path in sorted(small_season.rglob("*")) if path.is_file()}

    before = state()
    for slug in ("deep-harbour", "high-water", "low-water", "spring-tide"):
        assert run("grade", slug, "--season", small_season)[0] == 0
    assert state() == before
    assert tomllib.loads(scores_of(small_season).read_text(encoding="utf-8"))["me"]["design"]["score"] == 80


def test_asking_needs_a_terminal(refused, small_season, monkeypatch):
    """Without one it says where to write the scores; an unknown rater is named."""
    assert "--ask needs a terminal" in refused("grade", "deep-harbour", "--ask", "--season", small_season)
    words = ("grade", "deep-harbour", "--ask", "--rater", "zoe", "--season", small_season)
    assert "name one of me, kit" in refused(*words)


def test_a_grade_stands_beside_the_caution_once(run, answer, sample_season):
    """Its reasons speak of prices and returns: in words, and as JSON, with the release's own share."""
    out = " ".join(run("grade", "halyard", "--season", sample_season)[1].split())
    got = answer("grade", "halyard", "--season", sample_season)
    share = f"{100 * (1 - got['price_advice']['p_return']):.0f} %"
    losing = f"{share} of this release's boxes return less than they cost"
    assert out.count(losing) == 1
    assert losing in got["caution"]


def test_demand_is_refreshed_in_the_open(answer, run, own_season):
    """Causeway was first recorded before anybody was sold: its roster is about teams only until asked anew.

    Its review stays as it is, says so, and a refreshed one supersedes it with the reason.
    """

    def roster(got):
        return next(one for one in got["scores"] if one["criterion"] == "roster")

    words = ("grade", "causeway", "--season", own_season)
    kept, (_, _, told) = answer(*words), run(*words)
    assert kept["differs"] is False
    assert "by teams alone" in roster(kept)["reason"]
    assert "--refresh-demand takes today's" in told
    fresh = answer(*words, "--refresh-demand")
    assert fresh["differs"] is True
    assert roster(fresh)["score"] < roster(kept)["score"]
    assert "most-wanted" in roster(fresh)["reason"]
    assert fresh["grade"] < kept["grade"]
    # until it is recorded nothing has moved
    assert answer(*words)["grade"] == kept["grade"]
    code, out, _ = run(*words, "--refresh-demand", "--record", "--because", "Sales say who is wanted now.")
    assert code == 0
    assert "Recorded as of 2031-07-15" in out
    again, (_, _, told) = answer(*words), run(*words)
    assert (again["grade"], again["differs"]) == (fresh["grade"], False)
    assert told == ""


def test_a_release_whose_sales_cannot_be_read_is_told(run, own_season):
    """Another one is graded without them, and a remark names the file's release and what to do."""
    with (own_season / "releases" / "halyard" / "sales.csv").open("a", encoding="utf-8") as file:
        file.write("2031-04-31,Base,,001,5,,,fixed,raw,,,sure\n")
    code, _, told = run("grade", "gatehouse", "--season", own_season)
    assert code == 0
    assert "The sales of halyard do not count towards who is wanted" in told
    assert "'boxwright check halyard' says more" in told


def test_under_the_grade_stands_the_price_line(answer, run, sample_season, small_season):
    """Its amounts are those of the facts, null where they are not known, and standings tell the same."""
    there = ("halyard", "--season", sample_season)
    facts, got = answer("facts", *there), answer("grade", *there)
    box = facts["returns"]["hobby"]["box"]
    amounts = got["price_advice"]
    assert {name: amounts[name] for name in ("price", "even_price", "mean", "p_return")} == {
        name: box[name] for name in ("price", "even_price", "mean", "p_return")
    }
    assert amounts["landed"] == pytest.approx((box["price"] + 6.5) * 1.06, abs=0.005)
    assert amounts["p_return_landed"] < amounts["p_return"]
    opens = next(one for one in facts["advice"] if one["aim"] == "casual opener")
    assert amounts["entertainment_price"] == opens["below"]
    assert amounts["as_of"] == "2031-05-18"  # the last sale, after the last price
    assert amounts["values_as_of"] == "2031-05-18"  # that of the last sale too
    factor = facts["returns"]["hobby"]["factor"]
    assert amounts["mean_low"] == pytest.approx(box["mean"] / factor, abs=0.006)
    assert amounts["mean_high"] == pytest.approx(box["mean"] * factor, abs=0.006)
    assert amounts["p_return_low"] == box["p_low"] < box["p_return"] < box["p_high"]
    assert amounts["p_return_high"] == box["p_high"]
    assert got["differs"] is False
    line = got["price_line"]
    assert line.startswith(f"{got['verdict']}, but wait: at $178.00 a box is expected to return $")
    out = run("grade", *there)[1]
    head, _, after = " ".join(out.split()).partition(line)
    assert "Grade " in head
    assert "of this release's boxes return less than they cost" in after
    rows = answer("standings", "--season", sample_season)["standings"]
    (row,) = [one for one in rows if one["release"] == "halyard"]
    assert (row["price_line"], row["price_advice"]) == (line, amounts)
    bare = answer("grade", "deep-harbour", "--season", small_season)
    assert bare["price_advice"]["mean"] is None
    assert "is open: what a box returns is not known" in bare["price_line"]


def test_a_score_far_overruled_is_remarked_with_the_grade_as_computed(answer, run, own_season):
    """In grade, check and standings; 40 less in 10 of all points that count."""
    there = ("--season", own_season)
    assert answer("grade", "slipway", *there)["grade_as_computed"] is None
    path = own_season / "releases" / "slipway" / "scores.toml"
    was = {one["criterion"]: one["score"] for one in answer("grade", "slipway", *there)["scores"]}["rookies"]
    text = path.read_text(encoding="utf-8")
    more = f'\n[mo.rookies]\nscore = {was - 40}\nreason = "Too few of them matter."\nspread = 5\n'
    path.write_text(text + more, encoding="utf-8")
    got = answer("grade", "slipway", *there)
    words = (
        f"rookies at {was - 40} (computed {was}). By the computed scores the grade would be "
        f"{got['grade_as_computed']:.1f}."
    )
    whole = sum(one["points"] for one in got["scores"])
    assert got["grade_as_computed"] - got["grade"] == pytest.approx(40 * 10 / whole, abs=0.1)
    assert words in got["remark"]
    assert words in " ".join(run("grade", "slipway", *there)[1].split())
    (one,) = [
        one
        for one in answer("check", "slipway", *there)["problems"]
        if one["code"] == "overruled-beyond-doubt"
    ]
    assert (one["severity"], one["file"]) == ("remark", "releases/slipway/scores.toml")
    run("grade", "slipway", "--record", *there)
    told = " ".join(run("standings", *there)[1].split())
    assert f"Slipway ({got['grade_as_computed']:.1f} as computed)" in told


def test_files_that_know_more_than_the_last_stage_are_told(run, small_season):
    """Recorded as announced, with odds on file since: it stays so, and a remark names the stage to say."""
    words = ("grade", "deep-harbour", "--season", small_season)
    known = stage_of_files(Season.open(small_season).files, "deep-harbour")
    assert known != "announced"
    assert run(*words, "--stage", "announced", "--record")[0] == 0
    assert f"Its files say {known}, it was last recorded as announced: --stage {known} says so." in " ".join(
        run(*words)[2].split()
    )
    assert "Its files say" not in run(*words, "--stage", known)[2]


@pytest.mark.parametrize("words", [("grade", "high-water"), ("facts", "high-water")])
def test_an_embargo_is_told_under_the_title(run, small_season, rewrite, words):
    """Until its day, and no longer."""
    sheet = small_season / "releases" / "high-water" / "release.toml"
    rewrite(sheet, "[disclosure]", "embargo = 2031-05-02\n[disclosure]")
    out = run(*words, "--season", small_season)[1]
    assert (
        out.splitlines()[1] == "Under embargo until 2031-05-02: do not show it or talk about it before then."
    )
    assert "embargo" not in run(*words, "--season", small_season, "--today", "2031-05-02")[1]
