"""`criteria`: listing, showing and trying them out."""

from __future__ import annotations

import pytest

from rating import registry, tomlfile
from rating.rubric import rubric

SHARES = {
    "money": 22, "set": 5, "object": 15, "rarity": 15, "people": 20, "hits": 18, "maker": 5,
}  # fmt: skip
GOOD = """
from rating.criterion import Criterion, Facts, Finding, scale


def find(facts: Facts) -> Finding:
    return Finding(measure=len(facts.title), reason=f"The title has {len(facts.title)} letters.")


CRITERION = Criterion(
    key="brevity",
    group="object",
    question="How short is the title?",
    scale=scale("linear", "letters", (0, 100), (100, 0)),
    guidance=("a poem", "a sentence", "some words", "two words", "one word"),
    find=find,
)
"""


def test_list_answers_the_rubric_in_order(answer, small_season):
    """Fourteen criteria with group, points, question, and whether they are computed or asked."""
    got = answer("criteria", "list", "--season", small_season)
    assert [one["criterion"] for one in got["criteria"]] == [
        "outlay", "access", "returns", "building", "opening", "design", "finish", "chase", "scarcity",
        "roster", "rookies", "signatures", "relics", "record",
    ]  # fmt: skip
    points = {}
    for one in got["criteria"]:
        points[one["group"]] = points.get(one["group"], 0) + one["points"]
    assert points == SHARES
    assert [one["criterion"] for one in got["criteria"] if one["basis"] == "computed"] == [
        "outlay", "access", "returns", "building", "opening", "chase", "scarcity", "roster",
        "rookies", "signatures", "relics", "record",
    ]  # fmt: skip
    assert got["not_in_rubric"] == []


def test_list_shows_each_groups_share(run, small_season):
    """Points sum to 100, so the share is the points."""
    out = run("criteria", "list", "--weights", "--season", small_season)[1]
    shown = {line.split()[0]: line.split()[1:3] for line in out.splitlines() if line.split()[:1] and
             line.split()[0] in SHARES}  # fmt: skip
    assert shown == {group: [str(points), f"{points}.0"] for group, points in SHARES.items()}
    assert "Money weighs most." in out


def test_a_criterion_without_a_module_is_shown_as_missing(run, answer, small_season):
    """And the other way round: a module without points is told."""
    path = small_season / "rubric.toml"
    text = path.read_text(encoding="utf-8").replace("[criteria.design]", "[criteria.smell]")
    path.write_text(text, encoding="utf-8")
    got = answer("criteria", "list", "--season", small_season)
    assert [one["criterion"] for one in got["criteria"] if one["basis"] == "missing"] == ["smell"]
    assert got["not_in_rubric"] == ["design"]
    assert "not in the rubric: design" in run("criteria", "list", "--season", small_season)[1]


@pytest.mark.parametrize("key", sorted(registry.find_modules()[0]))
def test_show_prints_a_scale_that_can_be_copied(run, answer, key):
    """What stands there is TOML that a rubric reads as the module's own scale; no season is needed."""
    got = answer("criteria", "show", key)
    out = run("criteria", "show", key)[1]
    one = registry.find_modules()[0][key].criterion
    assert list(got["guidance"]) == ["0", "25", "50", "75", "100"]
    told = " ".join(out.split())
    for words in got["guidance"].values():
        assert words in told
    if one.scale is None:
        assert got["scale"] is None
        assert "You are asked" in out
        return
    start = out.index(f"[criteria.{key}.scale]")
    copied = out[start : out.index("\n\n", start)]
    whole = (
        'format = 1\nname = "Trial"\n[groups]\na = "A"\n[[verdicts]]\nfrom = 0\nwords = "So"\n'
        f'[criteria.{key}]\ngroup = "a"\npoints = 1\n{copied}\n'
    )
    assert rubric.read(tomlfile.parse(whole, file="rubric.toml")).criteria[0].scale == one.scale


def test_test_tries_a_module_on_every_release(run, answer, small_season, tmp_path):
    """Four releases; a breach is exit code 1 and stands in the answer."""
    path = tmp_path / "brevity.py"
    path.write_text(GOOD, encoding="utf-8")
    got = answer("criteria", "test", path, "--season", small_season)
    assert (got["criterion"], got["failed"]) == ("brevity", [])
    assert any("4 releases" in line for line in got["passed"])
    path.write_text(GOOD.replace("measure=len(facts.title)", "measure=float('nan')"), encoding="utf-8")
    got = answer("criteria", "test", path, "--season", small_season, code=1)
    assert len([line for line in got["failed"] if "finite" in line]) >= 4
    path.write_text(GOOD.replace("return Finding", "Finding"), encoding="utf-8")
    code, out, _ = run("criteria", "test", path, "--season", small_season)
    folded = " ".join(out.split())
    assert (
        code,
        "broken: deep-harbour: the criterion module brevity.py failed: TypeError: gave NoneType" in folded,
    ) == (1, True)


def test_test_works_without_a_season(run, tmp_path, monkeypatch):
    """It says that there was nothing to try it on."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "brevity.py").write_text(GOOD, encoding="utf-8")
    code, out, err = run("criteria", "test", "brevity.py")
    assert (code, "0 broken" in out) == (0, True)
    assert "no season to try it on" in err


@pytest.mark.parametrize(
    ("code", "told"),
    [
        (None, "FileNotFoundError"),
        ("def (", "SyntaxError"),
        ("raise SystemExit(0)", "SystemExit"),
        ("import no_such_module_anywhere", "ModuleNotFoundError"),
        ("CRITERION = 3", "CRITERION"),
        (GOOD.replace('"brevity"', '"Brev ity"'), "not a key for a criterion"),
    ],
)
def test_a_file_that_is_no_module_is_refused(refused, small_season, tmp_path, code, told):
    """With what went wrong; a module that would end the program does not."""
    path = tmp_path / "mine.py"
    if code is not None:
        path.write_text(code, encoding="utf-8")
    assert told in " ".join(refused("criteria", "test", path, "--season", small_season).split())


def test_an_unknown_criterion_is_told_with_those_there_are(refused):
    """All fourteen."""
    assert "access, building, chase" in refused("criteria", "show", "smell")
