"""Finding criterion modules: built-in ones, packages from outside, and broken ones that stop nobody."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from rating import registry
from rating.cli import main
from rating.errors import RatingError

GOOD = """
from rating.criterion import Content, Criterion, Facts, Finding, Unknown, scale


def find(facts: Facts) -> Finding | Unknown:
    content = facts.content
    return Finding(measure=content.redemptions, reason=f"{content.redemptions} cards come by post.", spread=2)


CRITERION = Criterion(
    key="waiting",
    group="object",
    question="How many cards come by post, later?",
    scale=scale("linear", "redemptions", (0, 100), (10, 50), (40, 0)),
    guidance=("dozens", "many", "some", "a few", "none"),
    needs=("content",),
    find=find,
)
"""
RAISES = GOOD.replace("content = facts.content", "content = facts.weather").replace('"waiting"', '"storm"')


def package(folder, name, modules):
    """A plug-in package, built as a wheel and installed into a folder of its own; nothing is fetched."""
    source = folder / name
    (source / name).mkdir(parents=True)
    (source / name / "__init__.py").write_text("", encoding="utf-8")
    points = ""
    for module, code in modules.items():
        (source / name / f"{module}.py").write_text(code, encoding="utf-8")
        points += f'{module} = "{name}.{module}"\n'
    (source / "pyproject.toml").write_text(
        f"""[build-system]
requires = ["setuptools"]
build-backend = "setuptools.build_meta"
[project]
name = "{name}"
version = "1.0"
[project.entry-points."boxwright.criteria"]
{points}""",
        encoding="utf-8",
    )
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet"]
    wheels = folder / "wheels"
    subprocess.run(
        [*pip, "wheel", "--no-build-isolation", "--no-deps", "--no-index", "-w", wheels, source], check=True
    )
    target = folder / "installed"
    wheel = next(wheels.glob(f"{name}*.whl"))
    subprocess.run([*pip, "install", "--no-deps", "--no-index", "--target", target, wheel], check=True)
    return target


def run(target, *words):
    return subprocess.run(
        [sys.executable, "-m", "rating", *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(target)},
    )


def test_a_package_from_outside_is_built_installed_and_used(tmp_path, own_season, capsys):
    """It is listed, counts once it is in the rubric, and its version and code hash are kept."""
    target = package(tmp_path, "postal", {"waiting": GOOD})
    listed = json.loads(run(target, "criteria", "list", "--season", own_season, "--json").stdout)
    assert listed["not_in_rubric"] == ["waiting"]
    with (own_season / "rubric.toml").open("a", encoding="utf-8") as file:
        file.write(
            '\n[criteria.waiting]\ngroup = "object"\npoints = 5\n[criteria.waiting.scale]\nkind = "linear"\n'
            'unit = "redemptions"\npoints = [[0, 100], [10, 50], [40, 0]]\n'
        )
    done = run(target, "grade", "halyard", "--season", own_season, "--json")
    assert done.returncode == 0
    found = {one["criterion"]: one for one in json.loads(done.stdout)["scores"]}
    # Halyard has two redemptions, TL-4 and MV-11: 100 - 2 x 5 = 90
    assert found["waiting"]["score"] == 90
    assert found["waiting"]["reason"] == "2 cards come by post."
    assert main(["grade", "halyard", "--season", str(own_season), "--json"]) == 0
    unknown = {one["criterion"]: one["why"] for one in json.loads(capsys.readouterr().out)["unknown"]}
    assert unknown == {"waiting": "no module of this name is installed"}


def test_broken_modules_are_told_by_name_and_the_rest_go_on(tmp_path, own_season):
    """One that cannot be imported, one without CRITERION, one that takes a key, one that raises."""
    target = package(
        tmp_path,
        "broken",
        {
            "syntax": "def (",
            "empty": "",
            "taken": GOOD.replace('"waiting"', '"outlay"'),
            "storm": RAISES,
        },
    )
    done = run(target, "criteria", "list", "--season", own_season)
    assert done.returncode == 0
    for name in ("syntax", "empty", "taken"):
        assert f"broken.{name}" in done.stderr
    assert "roster" in done.stdout
    with (own_season / "rubric.toml").open("a", encoding="utf-8") as file:
        file.write(
            '\n[criteria.storm]\ngroup = "object"\npoints = 5\n[criteria.storm.scale]\nkind = "linear"\n'
            'unit = "redemptions"\npoints = [[0, 100], [40, 0]]\n'
        )
    done = run(target, "grade", "halyard", "--season", own_season, "--json")
    assert done.returncode == 0
    answer = json.loads(done.stdout)
    assert "weather" in {one["criterion"]: one["why"] for one in answer["unknown"]}["storm"]
    assert "broken.storm" in done.stderr
    assert len(answer["scores"]) == 14


def test_the_fourteen_of_the_standard_rubric_are_there():
    """Each with the group and points of the standard rubric; points sum to 100."""
    modules, problems = registry.find_modules()
    assert problems == []
    assert {key: one.criterion.group for key, one in modules.items()} == {
        "roster": "people", "rookies": "people", "signatures": "hits", "relics": "hits", "chase": "rarity",
        "scarcity": "rarity", "outlay": "money", "access": "money", "returns": "money", "building": "set",
        "opening": "object", "design": "object", "finish": "object", "record": "maker",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("code", "told"),
    [
        ("", "CRITERION"),
        (GOOD.replace('"dozens", ', ""), "five texts"),
        (GOOD.replace("later?", "later"), "question mark"),
        (GOOD.replace('needs=("content",)', 'needs=("weather",)'), "no section weather"),
        (GOOD.replace("    find=find,\n", ""), "both a function and a scale"),
        (GOOD.replace("(0, 100), (10, 50)", "(10, 100), (10, 50)"), "goalposts must rise"),
        (GOOD.replace("    key=", "    api=2,\n    key="), "api 2"),
    ],
)
def test_a_module_that_breaks_the_contract_is_refused_with_the_reason(tmp_path, code, told):
    """At loading, not at first use."""
    path = tmp_path / "mine.py"
    path.write_text(code, encoding="utf-8")
    with pytest.raises(RatingError, match=told):
        registry.load_file(path)


def test_criteria_test_holds_a_module_to_its_contract(tmp_path, sample_season, small_season, capsys):
    """A good one keeps it on every release; one that raises, or ends without a full stop, does not."""
    path = tmp_path / "mine.py"
    path.write_text(GOOD, encoding="utf-8")
    assert main(["criteria", "test", str(path), "--season", str(sample_season)]) == 0
    assert "0 broken" in capsys.readouterr().out
    for bad in (RAISES, GOOD.replace("by post.", "by post")):
        path.write_text(bad, encoding="utf-8")
        assert main(["criteria", "test", str(path), "--season", str(small_season)]) == 1
        assert "broken:" in capsys.readouterr().out
