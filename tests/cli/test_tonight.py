"""boxwright tonight: what is left to do, each with the command that settles it."""

from __future__ import annotations

import re


def needs(told, release, part="due"):
    """What a release still needs, by what settles it."""
    return {
        one["settle"]: one["what"] for one in next(x for x in told[part] if x["release"] == release)["needs"]
    }


def test_what_is_due_lacks_what_its_files_lack(answer, small_season):
    """Out since April with nothing but a sheet, scores and a disclosure; the other two lack odds alone."""
    told = answer("tonight", "--season", small_season)
    assert {one["release"] for one in told["due"]} == {"deep-harbour", "high-water", "low-water"}
    assert needs(told, "low-water") == {
        "boxwright intake low-water FILE": "no odds yet",
        "boxwright price low-water hobby AMOUNT": "no price for hobby boxes yet",
        "boxwright grade low-water --record": "no review yet",
    }
    found = next(one for one in told["due"] if one["release"] == "low-water")
    assert [one["what"] for one in found["needs"]][:2] == ["no checklist yet", "no odds yet"]
    assert found["why"] == "out since 2031-04-20, and not reviewed"
    assert needs(told, "deep-harbour")["boxwright price deep-harbour hobby AMOUNT"] == (
        "its price was last seen on 2031-03-14; check before you say it"
    )
    assert told["later"] == [{"release": "spring-tide", "date": "2031-09-01"}]


def test_how_far_ahead_is_due_is_said(answer, small_season):
    """1 September is 123 days after 1 May."""
    spring = answer("tonight", "--days", "123", "--season", small_season)["due"][-1]
    assert (spring["release"], spring["why"]) == ("spring-tide", "comes out on 2031-09-01, in 123 days")
    assert "no score yet for design and finish" in {one["what"] for one in spring["needs"]}
    assert answer("tonight", "--days", "122", "--season", small_season)["later"]


def test_disclosure_embargo_errors_and_an_unreadable_sheet_are_told(answer, small_season):
    """One broken release does not keep the others from being looked at."""
    folder = small_season / "releases"
    sheet = folder / "low-water" / "release.toml"
    text = sheet.read_text(encoding="utf-8")
    text = re.sub(r"how_obtained.*\nsentence.*\n", "", text)
    sheet.write_text(
        text.replace("date = 2031-04-20", "date = 2031-04-20\nembargo = 2031-05-09"), encoding="utf-8"
    )
    (folder / "high-water" / "odds.csv").write_text("subset\nx\n", encoding="utf-8")
    (folder / "spring-tide" / "release.toml").write_text("title = ", encoding="utf-8")
    told = answer("tonight", "--season", small_season)
    low = needs(told, "low-water")
    assert "how you came by the product" in low["fill in [disclosure] in releases/low-water/release.toml"]
    assert low["keep it to yourself until then; exports leave it out"] == "under embargo until 2031-05-09"
    assert needs(told, "high-water")["boxwright check high-water"] == "1 error in its files"
    assert (
        needs(told, "spring-tide")["boxwright check spring-tide"] == "its release.toml has errors or blanks"
    )


def test_help_lines_and_the_rookie_class_concern_all_releases(answer, small_season):
    """As check remarks them."""
    (small_season / "rookies.csv").unlink()
    what = [one["what"] for one in answer("tonight", "--season", small_season)["needs"]]
    assert any("rookies.csv is missing" in one for one in what)
    assert any("names no place yet that helps" in one for one in what)


def test_what_outran_a_review_is_told_once_it_has(run, answer, small_season):
    """Newer rows, other scores, another rubric, the stage of the files; and nothing right after a review."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", "--on", "2031-04-20", *words)[0] == 0
    assert answer("tonight", *words)["outrun"] == []
    folder = small_season / "releases" / "high-water"
    assert run("price", "high-water", "hobby", "150", *words)[0] == 0
    scores = folder / "scores.toml"
    scores.write_text(scores.read_text(encoding="utf-8").replace("86", "40"), encoding="utf-8")
    (folder / "odds.csv").write_text(
        "subset,parallel,format,packs_per_copy\nInk,,hobby,5\n", encoding="utf-8"
    )
    rubric = small_season / "rubric.toml"
    text = rubric.read_text(encoding="utf-8")
    rubric.write_text(
        re.sub(r"points = (\d+)\n", lambda m: f"points = {int(m[1]) + 1}\n", text, count=1), encoding="utf-8"
    )
    found = answer("tonight", *words)["outrun"]
    assert [one["release"] for one in found] == ["high-water"]
    what = [one["what"] for one in found[0]["needs"]]
    assert what == [
        "its files say launch, the review is of the stage preview",
        "newer than the review: 1 price",
        "scores.toml says otherwise on design",
        "it was graded by another rubric",
    ]


def test_a_screen_says_each_need_with_what_settles_it(run, small_season):
    """And where nothing is left, that."""
    _, out, _ = run("tonight", "--season", small_season)
    assert "- no price for hobby boxes yet: boxwright price low-water hobby AMOUNT" in " ".join(out.split())
    assert "Later: spring-tide on 2031-09-01." in out


def test_whatever_else_moved_is_found_by_grading_anew(run, answer, small_season):
    """A card more in the checklist has no day that would tell it."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", *words)[0] == 0
    path = small_season / "releases" / "high-water" / "checklist.csv"
    row = "Base,base,005,Eve Holm,Gull Point Herons,,,,,,,\n"
    path.write_text(path.read_text(encoding="utf-8") + row, encoding="utf-8")
    assert answer("tonight", *words)["outrun"] == []
    found = answer("tonight", "--whole", *words)["outrun"]
    assert [one["release"] for one in found] == ["high-water"]
    assert "graded again, it differs: " in found[0]["needs"][0]["what"]
    assert "the facts" in found[0]["needs"][0]["what"]


def test_a_withdrawn_release_is_not_due(run, answer, small_season):
    """Nothing is left to do for it."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", *words)[0] == 0
    assert run("ledger", "withdraw", "high-water", "--reason", "Searched boxes.", *words)[0] == 0
    told = answer("tonight", *words)
    assert "high-water" not in {one["release"] for one in (*told["due"], *told["outrun"])}


def test_a_reviewed_release_that_comes_out_soon_is_due(run, answer, small_season):
    """With what it lacks still, though it has a review; once it is out, it is not."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", *words)[0] == 0
    sheet = small_season / "releases" / "high-water" / "release.toml"
    text = sheet.read_text(encoding="utf-8")
    day = re.search(r"(?m)^date = (\S+)$", text)[1]
    sheet.write_text(text.replace(f"date = {day}", "date = 2031-05-09"), encoding="utf-8")
    told = answer("tonight", *words)
    found = next(one for one in told["due"] if one["release"] == "high-water")
    assert found["why"].startswith("comes out on 2031-05-09, in 8 days; reviewed at the stage ")
    assert "no odds yet" in [one["what"] for one in found["needs"]]
    assert "no review yet" not in [one["what"] for one in found["needs"]]
    assert "high-water" not in {one["release"] for one in told["outrun"]}
    assert "high-water" not in {one["release"] for one in answer("tonight", "--days", "7", *words)["due"]}
