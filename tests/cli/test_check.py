"""`check`: every problem at once, each with its place and mend; bad input of every kind."""

from __future__ import annotations

import pytest

HEADER = "subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note\n"


@pytest.fixture
def folder(small_season):
    return small_season / "releases" / "deep-harbour"


def add(path, text):
    with path.open("a", encoding="utf-8") as file:
        file.write(text)


def swap(path, old, new):
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def brief(got):
    return {(one["code"], one["severity"], one["file"].rsplit("/", 1)[-1]) for one in got["problems"]}


def test_a_sound_release_has_no_errors(run, answer, small_season):
    """Exit code 0; the text says that nothing stands in the way."""
    swap(small_season / "releases" / "deep-harbour" / "scores.toml", "score = 55", "score = 5")
    assert answer("check", "deep-harbour", "--season", small_season) == {"format": 1, "problems": []}
    code, out, err = run("check", "deep-harbour", "--season", small_season)
    assert (code, err.split(" --season")[0]) == (0, "Next: boxwright grade deep-harbour")
    assert out == "0 errors, 0 remarks: nothing stands in the way of a grade.\n"


def test_every_problem_of_every_file_at_once(run, answer, small_season, folder):
    """Seven files are wrong in their own ways; nothing hides anything else."""
    add(folder / "checklist.csv", "Base,base,001,Ada Finch,Brindle Quay Otters,,,,,,,\n")
    add(folder / "checklist.csv", "Base,bass,005,Ada Finch,Brindle Quay Otters,,,,,,,\n")
    add(folder / "prices.csv", "2031-03-15,hobby,box,street,12.5x,,\n2031-03-15,tin,box,street,12.50,,\n")
    (folder / "parallels.csv").write_text(
        "subset,parallel,print_run,formats\nWaves,Gold,10,\n", encoding="utf-8"
    )
    (folder / "odds.csv").write_text(
        "subset,parallel,format,packs_per_copy,note\nBase,Gold,hobby,5,\nBase,,hobby,0,\n", encoding="utf-8"
    )
    (folder / "sales.csv").write_text(
        "date,subset,parallel,number,price,postage,currency,how,condition,title,source,match\n"
        "2031-04-01,Base,,099,4.50,,,auction,raw,Ada Finch,,sure\n",
        encoding="utf-8",
    )
    swap(folder / "scores.toml", 'reason = "The fronts breathe."', 'reason = "  "')
    add(
        folder / "release.toml",
        '[[formats.hobby.guarantees]]\nwhat = "autograph"\nper = "case"\ncount = 20\ncertainty = "hard"\n',
    )
    got = answer("check", "deep-harbour", "--season", small_season, code=1)
    assert {
        ("duplicate-number", "error", "checklist.csv"),
        ("bad-value", "error", "checklist.csv"),
        ("bad-value", "error", "prices.csv"),
        ("unknown-format", "error", "prices.csv"),
        ("parallel-without-subset", "error", "parallels.csv"),
        ("odds-without-parallel", "error", "odds.csv"),
        ("bad-value", "error", "odds.csv"),
        ("sale-of-unknown-card", "error", "sales.csv"),
        ("score-without-reason", "error", "scores.toml"),
        ("guarantee-mismatch", "error", "release.toml"),
    } <= brief(got)
    for one in got["problems"]:
        assert set(one) == {"code", "severity", "file", "sheet", "row", "what", "fix"}
        assert one["what"]
        assert one["fix"]
        assert one["file"].startswith("releases/deep-harbour/")
    number = next(one for one in got["problems"] if one["code"] == "duplicate-number")
    assert number["row"] == 9  # the header is row 1, the eighth card row 9
    code, out, _ = run("check", "deep-harbour", "--season", small_season)
    errors = sum(one["severity"] == "error" for one in got["problems"])
    assert code == 1
    assert out.rstrip().splitlines()[-1].startswith(f"{errors} errors, ")
    assert out.rstrip().endswith("fix the errors before you grade.")
    # what check refuses is not graded either
    assert run("grade", "deep-harbour", "--season", small_season)[0] == 1


def test_remarks_alone_end_with_0(answer, small_season, folder):
    """A team that occurs once and a name like another are worth a look and may be right."""
    add(folder / "checklist.csv", "Base,base,005,Hal Moss,Fog Town Gulls,,,,,,,\n")
    add(folder / "checklist.csv", "Base,base,006,Ida Reed,Brindle Quay Oters,,,,,,,\n")
    add(folder / "checklist.csv", "Base,base,007,Ada Fimch,Brindle Quay Otters,,,,,,,\n")
    got = answer("check", "deep-harbour", "--season", small_season)
    assert brief(got) == {
        ("team-once", "remark", "checklist.csv"),
        ("team-misspelt", "remark", "checklist.csv"),
        ("subject-misspelt", "remark", "checklist.csv"),
        ("overruled-beyond-doubt", "remark", "scores.toml"),  # building is 55, and computed far lower
    }


DEEP = "x = " + "[" * 5000 + "]" * 5000
BAD_SCORES = {
    "101": ("[me.design]\nscore = 101\nreason = 'So.'\n", "bad-value"),
    "7.5": ("[me.design]\nscore = 7.5\nreason = 'So.'\n", "bad-value"),
    "minus": ("[me.design]\nscore = -1\nreason = 'So.'\n", "bad-value"),
    "yes": ("[me.design]\nscore = true\nreason = 'So.'\n", "bad-value"),
    "text": ("[me.design]\nscore = '70'\nreason = 'So.'\n", "bad-value"),
    "NaN": ("[me.design]\nscore = nan\nreason = 'So.'\n", "bad-value"),
    "no score": ("[me.design]\nreason = 'So.'\n", "missing-value"),
    "no reason": ("[me.design]\nscore = 70\n", "score-without-reason"),
    "blank reason": ('[me.design]\nscore = 70\nreason = " \\t "\n', "score-without-reason"),
    "hidden mark": ('[me.design]\nscore = 70\nreason = "So\\u202E."\n', None),
    "criterion": ("[me.smell]\nscore = 70\nreason = 'So.'\n", "unknown-criterion"),
    "rater": ("[zoe.design]\nscore = 70\nreason = 'So.'\n", "unknown-rater"),
    "key": ("[me.design]\nscore = 70\nreason = 'So.'\nmood = 3\n", None),
    "both": ("[me.design]\nscore = 70\nreason = 'So.'\ndoes_not_apply = 'No.'\n", None),
    "no table": ("me = 3\n", None),
    "twice": ("[me.design]\nscore = 70\nscore = 71\nreason = 'So.'\n", None),
    "broken": ("[me.design\n", None),
    "deep": (f"{DEEP}\n", None),
    "newer": (None, None),
}


@pytest.mark.parametrize("name", BAD_SCORES)
def test_bad_scores_are_told_and_nothing_is_graded(run, answer, small_season, folder, name):
    """One clear problem with the file, and what it says is refused by `grade` too."""
    text, code = BAD_SCORES[name]
    whole = "format = 2\n" if text is None else f"format = 1\n{text}"
    (folder / "scores.toml").write_text(whole, encoding="utf-8")
    got = answer("check", "deep-harbour", "--season", small_season, code=1)
    errors = [one for one in got["problems"] if one["severity"] == "error"]
    assert {one["file"] for one in errors} == {"releases/deep-harbour/scores.toml"}
    if code is not None:
        assert [one["code"] for one in errors] == [code]
    assert all(one["what"] and one["fix"] for one in errors)
    assert "\u202e" not in run("check", "deep-harbour", "--season", small_season)[1]
    got, out, err = run("grade", "deep-harbour", "--record", "--season", small_season)
    assert (got, out) == (1, "")
    assert err.startswith("error: ")
    assert not (small_season / "ledger.db").exists()


def no_text(path):
    path.write_bytes(b"")


def no_utf8(path):
    path.write_bytes("Öre,é\n".encode("latin-1"))


def zeros(path):
    path.write_bytes(b"\0\0\0\0")


def is_folder(path):
    path.unlink()
    path.mkdir()


@pytest.mark.parametrize("damage", [no_text, no_utf8, zeros, is_folder])
@pytest.mark.parametrize("name", ["release.toml", "scores.toml", "checklist.csv", "prices.csv"])
def test_a_file_that_cannot_be_read_is_named(run, answer, small_season, folder, damage, name):
    """Empty, in another encoding, binary, a folder: its own problem, never a fault of ours."""
    damage(folder / name)
    if damage is no_text and name == "scores.toml":
        return  # an empty file has no scores, which is no error
    got = answer("check", "deep-harbour", "--season", small_season, code=1)
    assert {one["file"].rsplit("/", 1)[-1] for one in got["problems"] if one["severity"] == "error"} == {name}
    assert run("grade", "deep-harbour", "--season", small_season)[0] == 1


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("subset,kind\nBase,base\n", "number"),
        (HEADER + 'Base,base,1,"Ada\n', "checklist.csv"),
        (HEADER + "Base,base,1,Ada,,,,,,,,,,,,\n", "checklist.csv"),
        (HEADER.replace("note", "kind") + "Base,base,1,Ada,,,,,,,,\n", "kind"),
        (HEADER + "Base,base,1,A / B,T / U / V,,,,,,,\n", "2 subjects but 3 teams"),
        (HEADER + "Base,base,1,Ada,,maybe,,,,,,\n", "maybe"),
        (HEADER + "Base,base,1,Ada,,,0,,,,,\n", "print_run"),
        (HEADER + "Base,base,1,Ada,,,1.5,,,,,\n", "1.5"),
        (HEADER + "Base,base,,Ada,,,,,,,,\n", "number"),
        (HEADER + "Base,base,1,Ada\u202e,,,,,,,,\n", "U+202E"),
    ],
)
def test_a_broken_checklist_is_told_with_its_row(run, small_season, folder, text, told):
    """A missing column, an open quote, cells too many, a value that is none."""
    (folder / "checklist.csv").write_text(text, encoding="utf-8")
    code, out, _ = run("check", "deep-harbour", "--season", small_season)
    assert code == 1
    assert told in out
    assert "checklist.csv" in out


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('currency = "USD"', 'currency = "dollars"', "currency"),
        ('currency = "USD"', "", "currency"),
        ('time_zone = "UTC"', 'time_zone = "Moon/Base"', "time_zone"),
        ("earlier = []", 'earlier = ["../other"]', "earlier"),
        ("below = 250", "below = 25", "classes"),
        ('key = "kit"', 'key = "me"', "'me' is used twice"),
        ('name = "Tarn End Foxes"', 'name = "Gull Point Herons"', "Gull Point Herons"),
        ("format = 1", "format = 2", "format"),
        ("format = 1", "format = 1\nformat = 1", "season.toml"),
        ("fee = 0", "fee = nan", "fee"),
        ("fee = 0", "fee = 1.2", "fee"),
        ("fee = 0", "fee = 1", "fee"),
        ("[buying]", "[buyin]", "buyin"),
        ("today = 2031-05-01", 'today = "soon"', "today"),
    ],
)
def test_a_season_that_cannot_be_opened_says_why(refused, small_season, old, new, told):
    """Every command refuses with the line of season.toml."""
    swap(small_season / "season.toml", old, new)
    for words in (("check",), ("standings",), ("grade", "deep-harbour")):
        err = refused(*words, "--season", small_season)
        assert told in err
        assert "season.toml" in err


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("points = 13", "points = 13.25", "points"),
        ("points = 13", "points = -1", "points"),
        ("points = [[0.15, 0]", "points = [[1.2, 0]", "rise"),
        ('group = "hits"', 'group = "misses"', "group"),
        ("from = 0\n", "from = 10\n", "from"),
        ('kind = "linear"', 'kind = "curly"', "kind"),
    ],
)
def test_a_rubric_that_decides_nothing_is_told(run, small_season, old, new, told):
    """By `check` among the other problems, by `grade` as a refusal."""
    swap(small_season / "rubric.toml", old, new)
    code, out, _ = run("check", "--season", small_season)
    assert (code, "rubric.toml" in out, told in out) == (1, True, True)
    code, _, err = run("grade", "deep-harbour", "--season", small_season)
    assert (code, "rubric.toml" in err) == (1, True)


def test_the_whole_season_is_checked_without_a_name(answer, small_season):
    """Titles that are the same, folders that are no release, rookies twice, and a broken release beside."""
    swap(small_season / "releases" / "high-water" / "release.toml", "2031 High Water", "2031  deep harbour")
    (small_season / "releases" / "Old Stuff").mkdir()
    add(small_season / "rookies.csv", "Ada Finch,,\n")
    (small_season / "releases" / "low-water" / "release.toml").write_text("title = \n", encoding="utf-8")
    got = answer("check", "--season", small_season, code=1)
    assert {one["code"] for one in got["problems"]} >= {"same-title", "strange-folder", "duplicate-rookie"}
    files = {one["file"] for one in got["problems"] if one["severity"] == "error"}
    assert files == {
        "releases/high-water/release.toml", "releases/low-water/release.toml", "rookies.csv",
    }  # fmt: skip


def test_two_releases_of_one_title_are_not_ranked(refused, run, small_season):
    """Nobody could tell them apart in the standings."""
    assert run("grade", "deep-harbour", "--record", "--season", small_season)[0] == 0
    swap(small_season / "releases" / "high-water" / "release.toml", "2031 High Water", "2031 Deep Harbour")
    assert "have the same title" in refused("standings", "--season", small_season)


def test_an_unknown_release_is_refused_with_those_there_are(refused, small_season):
    """And how to add it."""
    err = refused("check", "fog-bank", "--season", small_season)
    assert "deep-harbour" in err
    assert "boxwright add fog-bank" in err


def test_repair_needs_a_release_and_says_where_there_is_nothing(run, refused, small_season):
    """It never looks at more than was asked for."""
    assert "--repair needs a release" in refused("check", "--repair", "--season", small_season)
    code, _, err = run("check", "deep-harbour", "--repair", "--season", small_season)
    assert (code, err) == (0, "nothing to repair\n")


def test_zeros_lost_are_put_back_with_everything_else_kept(run, answer, small_season, folder):
    """A spreadsheet program made 001 into 1; what was recorded says how it was."""
    assert run("grade", "deep-harbour", "--record", "--season", small_season)[0] == 0
    path = folder / "checklist.csv"
    before = path.read_text(encoding="utf-8")
    path.write_text(before.replace("Base,base,00", "Base,base,"), encoding="utf-8")
    got = answer("check", "deep-harbour", "--season", small_season, code=1)
    assert [(one["code"], one["row"]) for one in got["problems"]] == [("zeros-lost", 2)]
    assert "--repair" in got["problems"][0]["fix"]
    code, _, err = run("check", "deep-harbour", "--repair", "--season", small_season)
    assert (code, err) == (0, "Base: 4 numbers written with 3 digits again\n")
    assert path.read_text(encoding="utf-8") == before
