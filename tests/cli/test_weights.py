"""`weights`: files, a person at a real pseudo-terminal, what moves, and kinds of buyers."""

from __future__ import annotations

import os
import tomllib

import pytest

KEYS = ("outlay", "access", "returns", "building", "opening", "design", "finish", "chase", "scarcity")
KEYS += ("roster", "rookies", "signatures", "relics", "record")
SWINGS = "criterion,swing\n" + "".join(f"{key},{100 if key == 'design' else 10}\n" for key in KEYS)
FILES = ("rubric.toml", "season.toml", "ledger.db")


@pytest.fixture
def swings(tmp_path):
    path = tmp_path / "swings.csv"
    path.write_text(SWINGS, encoding="utf-8")
    return path


def contents(season):
    return {file: (season / file).read_bytes() for file in FILES}


def points(season):
    found = tomllib.loads((season / "rubric.toml").read_text(encoding="utf-8"))["criteria"]
    return {key: one["points"] for key, one in found.items()}


def test_without_options_the_points_of_today_are_shown(run, sample_season):
    """And whether anybody noted how they came about."""
    code, out, _ = run("weights", "--season", sample_season)
    assert code == 0
    assert "signatures" in out
    assert "100 points, with no note of how they were chosen." in out


def test_a_proposal_stands_beside_today_and_says_what_moves(answer, sample_season, swings):
    """By hand: 100 of 230 are 434.8 tenths, 10 of 230 are 43.5; the seven tenths left over go to design (.8)
    and to the first six of the others (.5).
    """
    before = contents(sample_season)
    found = answer("weights", "--from", swings, "--season", sample_season)
    proposed = {one["criterion"]: one["proposed"] for one in found["points"]}
    assert proposed.pop("design") == 43.5
    assert list(proposed.values()) == [4.4] * 6 + [4.3] * 7
    proposed["design"] = 43.5
    words = [part for key, one in proposed.items() for part in ("--weight", f"{key}={one}")]
    tried = answer("what-if", *words, "--season", sample_season)["after"]
    assert [(one["release"], one["rank"], one["grade"]) for one in found["moves"]] == [
        (one["release"], one["rank"], one["grade"]) for one in tried
    ]
    assert (found["written"], found["proposed_method"]) == (False, "swing weights")
    assert contents(sample_season) == before


def test_what_moves_is_said(run, sample_season, swings):
    """In a sentence and a table; nothing was written."""
    code, out, _ = run("weights", "--from", swings, "--season", sample_season)
    assert code == 0
    assert "of 17 places would change" in out
    assert "43.5   +37.5" in out
    assert "Nothing was written; --write puts the points into rubric.toml." in out


def test_points_are_written_with_method_and_date(run, answer, own_season, swings):
    """The rubric's comments, scales and verdicts stay; the ledger is not touched."""
    before = contents(own_season)
    code, out, _ = run("weights", "--from", swings, "--write", "--season", own_season)
    assert code == 0
    assert "wrote rubric.toml" in out
    after = contents(own_season)
    assert {key for key in FILES if after[key] != before[key]} == {"rubric.toml"}
    assert points(own_season)["design"] == 43.5
    assert sum(round(10 * one) for one in points(own_season).values()) == 1000
    old = before["rubric.toml"].decode().splitlines()
    new = after["rubric.toml"].decode().splitlines()
    assert [line for line in old if not line.startswith("points")] == [
        line for line in new[: len(old)] if not line.startswith("points")
    ]
    assert new[len(old) :] == ["", "[weights]", 'method = "swing weights"', "on = 2031-07-15"]
    shown = answer("weights", "--season", own_season)
    assert (shown["method"], shown["on"]) == ("swing weights", "2031-07-15")
    assert answer("grade", "halyard", "--season", own_season)["differs"] is True
    _, out, _ = run("weights", "--from", swings, "--season", own_season)
    assert "the standings before are the recorded ones" in " ".join(out.split())


def test_pairs_come_with_their_consistency(run, answer, sample_season, tmp_path):
    """By hand: three groups in a ring, two times each, joined with the others by consistent answers."""
    rows = [",people,hits,2", ",hits,rarity,2", ",rarity,people,2"]
    rows += [f",people,{group},1" for group in ("money", "set", "object", "maker")]
    rows += ["people,roster,rookies,2", "hits,signatures,relics,3", "rarity,chase,scarcity,1"]
    rows += ["money,outlay,access,2", "money,access,returns,2", "money,outlay,returns,4"]
    rows += ["object,opening,design,1", "object,design,finish,1"]
    path = tmp_path / "pairs.csv"
    path.write_text("\n".join(["within,first,second,times", *rows]) + "\n", encoding="utf-8")
    found = answer("weights", "--from", path, "--season", sample_season)
    of = {one["within"]: one for one in found["consistency"]}
    assert of[None]["worst_triple"] == ["rarity", "people", "hits"]
    assert of[None]["inconsistent"] is True
    assert (of["money"]["consistency_ratio"], of["money"]["table"]) == (
        pytest.approx(0, abs=1e-12),
        "Saaty 1980",
    )
    assert of["object"]["missing"] == 1
    proposed = {one["criterion"]: one["proposed"] for one in found["points"]}
    assert proposed["outlay"] == pytest.approx(2 * proposed["access"], abs=0.3)
    code, out, _ = run("weights", "--from", path, "--season", sample_season)
    assert code == 0
    told = " ".join(out.split())
    assert "rarity 2 times people, people 2 times hits and hits 2 times rarity." in told


def test_weights_of_the_scores_stand_beside_for_comparison(run, answer, sample_season):
    """Each column sums to 100; the words say what they are not."""
    found = answer("weights", "--compare", "--season", sample_season)["points"]
    for name in ("entropy", "deviation", "critic"):
        assert sum(round(10 * one[name]) for one in found) == 1000
    _, out, _ = run("weights", "--compare", "--season", sample_season)
    assert "For comparison only." in " ".join(out.split())


def test_a_season_without_a_ledger_has_nothing_that_moves(run, answer, small_season, swings):
    """Nor scores to compare with; points can still be chosen and written."""
    code, out, _ = run("weights", "--from", swings, "--compare", "--write", "--season", small_season)
    assert code == 0
    assert "Nothing is recorded yet, so nothing moves." in out
    assert "There are no scores yet to compare with." in out
    assert answer("weights", "--from", swings, "--season", small_season)["moves"] is None


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--method", "guess"), "no method named 'guess'"),
        (("--method", "rank", "--rule", "guess"), "no rule named 'guess'"),
        (("--rule", "sum"), "a rule is for a rank order"),
        (("--method", "swing", "--rule", "sum"), "a rule is for a rank order"),
        (("--method", "swing"), "a dialogue needs a terminal"),
        (("--method", "swing", "--json"), "prints no JSON"),
        (("--write",), "no points are chosen"),
        (("--keep", "new.csv"), "no points are chosen"),
        (("--profiles", "--compare"), "the profiles are shown alone"),
        (("--from", "no-such.csv"), "cannot be read"),
    ],
)
def test_what_makes_no_sense_is_refused(refused, sample_season, words, told):
    """In a sentence, whatever the terminal."""
    assert told in refused("weights", *words, "--season", sample_season)


def test_a_file_by_another_method_is_refused(refused, sample_season, swings):
    """So is a rule for it, and a file that is there already."""
    where = ("--from", swings, "--season", sample_season)
    assert "the file holds answers by swing, not by rank" in refused("weights", "--method", "rank", *where)
    assert "a rule is for a rank order" in refused("weights", "--rule", "sum", *where)
    assert "there is such a file already" in refused("weights", "--keep", swings, *where)


def test_a_rubric_that_cannot_be_edited_stays(refused, own_season, swings):
    """Every problem is told before anything is written."""
    path = own_season / "rubric.toml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("points = 13", "points = 13.55"), encoding="utf-8"
    )
    before = contents(own_season)
    assert "is 13.55" in refused("weights", "--from", swings, "--write", "--season", own_season)
    assert contents(own_season) == before


# at the terminal -----------------------------------------------------------------------------------------


def test_swings_are_asked_for_and_written(terminal, own_season, tmp_path):
    """The answers are kept in a file too, which gives the same again."""
    kept = tmp_path / "kept.csv"
    person = terminal(["weights", "--method", "swing", "--write", "--keep", kept, "--season", own_season])
    person.wait_for("6  design: ")
    person.answer("first: ", "design")
    for key in KEYS:
        if key != "design":
            person.answer(f"  {key}: ", "10")
    assert person.ended() == 0
    assert "wrote rubric.toml" in person.seen
    assert points(own_season)["design"] == 43.5
    assert sorted(kept.read_text(encoding="utf-8").splitlines()) == sorted(SWINGS.splitlines())


def test_points_are_asked_for(terminal, own_season):
    """Enter keeps: the same points, nothing moves, and nothing is written without being asked for."""
    before = contents(own_season)
    person = terminal(["weights", "--method", "points", "--season", own_season])
    for key in KEYS:
        person.answer(f"  {key} (now ", "")
    person.wait_for("100 in all")
    assert person.ended() == 0
    assert "No place changes." in person.seen
    assert contents(own_season) == before


def test_a_rank_order_is_asked_for(terminal, own_season):
    """By the numbers of the list; by the sum rule fourteen to one over 105: 13.3 points for the first."""
    person = terminal(["weights", "--method", "rank", "--rule", "sum", "--write", "--season", own_season])
    for place in range(1, 14):
        person.answer(f"place {place} of 14: ", str(place))
    assert person.ended() == 0
    found = points(own_season)
    assert found["outlay"] == 13.3
    assert list(found.values()) == sorted(found.values(), reverse=True)


def test_pairs_are_asked_for_on_groups_and_then_within(terminal, own_season):
    """30 questions in the standard rubric: 21 on groups, 9 within; all alike gives each group a seventh."""
    person = terminal(["weights", "--method", "pairwise", "--write", "--season", own_season])
    person.wait_for("Groups: 21 questions")
    for _ in range(30):
        person.answer(" against ", "1")
    assert person.ended() == 0
    found = points(own_season)
    assert {found["building"], found["record"]} <= {14.2, 14.3}
    assert {found["outlay"], found["access"], found["returns"]} <= {4.7, 4.8}
    method = tomllib.loads((own_season / "rubric.toml").read_text(encoding="utf-8"))["weights"]["method"]
    assert method.endswith("consistency ratio 0.00 at most (Saaty 1980)")


@pytest.mark.parametrize("how", ["ctrl-c", "ctrl-d"])
def test_a_dialogue_that_is_broken_off_leaves_everything_as_it_was(terminal, own_season, tmp_path, how):
    """Whether by Ctrl-C or by the end of input; exit code 130."""
    before, kept = contents(own_season), tmp_path / "kept.csv"
    person = terminal(["weights", "--method", "swing", "--write", "--keep", kept, "--season", own_season])
    person.answer("first: ", "design")
    person.wait_for("  outlay: ")
    if how == "ctrl-c":
        person.interrupt()
    else:
        os.write(person.master, b"\x04")
    assert person.ended() == 130
    assert "nothing half-written was left" in person.seen
    assert contents(own_season) == before
    assert not kept.exists()


# kinds of buyers -----------------------------------------------------------------------------------------


def test_profiles_give_a_place_each_and_no_grade(run, answer, sample_season):
    """Places by the grades that what-if finds for the same points, among those that have a place at all."""
    apart = {"oakum-reserve"}
    found = answer("weights", "--profiles", "--season", sample_season)
    assert [one["profile"] for one in found["profiles"]] == ["set-builder", "hit-hunter", "tight-budget"]
    for one in found["profiles"]:
        words = [part for key, number in one["points"].items() for part in ("--weight", f"{key}={number}")]
        tried = answer("what-if", *words, "--season", sample_season)["after"]
        grades = {row["release"]: row["grade"] for row in tried if row["release"] not in apart}
        assert {row["release"]: row["profiles"][one["profile"]] for row in found["places"]} == {
            slug: 1 + sum(other > grade for other in grades.values()) for slug, grade in grades.items()
        } | dict.fromkeys(apart)
    assert "grade" not in str(found)
    code, out, _ = run("weights", "--profiles", "--season", sample_season)
    assert code == 0
    assert "These are places for different buyers, not grades" in out


def with_profiles(season, text):
    path = season / "season.toml"
    before = path.read_text(encoding="utf-8").split("[profiles.set-builder]")
    after = before[1].split("[house_rules]")[1]
    path.write_text(f"{before[0]}{text}\n[house_rules]{after}", encoding="utf-8")


def test_every_problem_of_profiles_is_told(refused, own_season):
    """Those of the file when it is opened."""
    with_profiles(
        own_season, '[profiles.one]\nwhy = " "\n[profiles.two]\nwhy = "so"\ndesign = 1.25\n[profiles." "]\n'
    )
    err = refused("weights", "--profiles", "--season", own_season)
    for told in (
        "profiles.one.why is blank",
        "profiles.one changes no points",
        "profiles.two.design is 1.25",
    ):
        assert told in err
    assert "is not a name for a profile" in err


def test_profiles_are_held_to_the_rubric(refused, run, own_season):
    """A criterion that is none, and a buyer who cares for nothing, with their rows; `check` says the same."""
    nothing = "\n".join(f"{key} = 0" for key in KEYS)
    with_profiles(
        own_season, f'[profiles.one]\nwhy = "so"\nweather = 3\n[profiles.two]\nwhy = "so"\n{nothing}\n'
    )
    err = refused("weights", "--profiles", "--season", own_season)
    assert "profiles.one.weather is not a criterion of the rubric" in err
    assert "profiles.two leaves no points at all" in err
    assert err.count("season.toml, line ") == 2
    _, out, _ = run("check", "--season", own_season)
    assert "profiles.one.weather is not a criterion of the rubric" in out
    assert "profiles.two leaves no points at all" in out


def test_without_profiles_there_is_nothing_to_show(refused, small_season):
    """Say how to write one."""
    assert "there are no profiles" in refused("weights", "--profiles", "--season", small_season)
