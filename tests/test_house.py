"""House rules that a test can see."""

from __future__ import annotations

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

from rating import registry, tomlfile
from rating.cli import app, main
from rating.rubric import rubric
from rating.season import folder

ROOT = Path(__file__).resolve().parents[1]
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "exports"}
TOP_LEVEL |= {"rating", "criteria", "tests", "sample_ratings"}


def commands():
    found = [[one.name] for one in app.registered_commands]
    for group in app.registered_groups:
        found += [[group.name, one.name] for one in group.typer_instance.registered_commands]
    return found


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_every_command_has_help_with_an_example_and_stands_in_the_readme(words, capsys):
    """A person can find out how to call it without the source."""
    assert main([*words, "--help"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    assert f"Example: boxwright {' '.join(words)}" in told
    assert "--json" in told
    assert f"boxwright {' '.join(words)}" in (ROOT / "README.md").read_text(encoding="utf-8")


def test_two_lines_of_the_readme_do_all_the_set_up():
    """Each makes its environment in an ignored folder; one ends with the demo, the other with pytest."""
    lines = (ROOT / "README.md").read_text(encoding="utf-8").splitlines()
    found = [line for line in lines if line.startswith("python3 -m venv")]
    assert len(found) == 2
    assert found[0].endswith("boxwright demo")
    assert "'.[test]'" in found[1]
    assert found[1].endswith("pytest")
    assert ".venv*/" in (ROOT / ".gitignore").read_text(encoding="utf-8").splitlines()


def test_the_top_level_holds_what_it_should():
    """The fixed names, and files that begin with a dot."""
    done = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if done.returncode:
        pytest.skip("this is no checkout")
    names = {line.split("/")[0] for line in done.stdout.splitlines()}
    assert {name for name in names if not name.startswith(".")} <= TOP_LEVEL


def test_every_exception_to_a_rule_has_its_reason_beside_it():
    """`noqa` and `type: ignore` in our code are followed by why."""
    for path in [*(ROOT / "rating").rglob("*.py"), *(ROOT / "criteria").rglob("*.py")]:
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1):
            if "noqa" in line or "type: ignore" in line:
                assert re.search(r"(noqa: [A-Z0-9, ]+ +\(|type: ignore\[[a-z-]+\] +# )\w", line), (
                    f"{path}:{number}"
                )


def test_the_standard_rubric_is_that_of_the_modules():
    """Points sum to 100; each scale is the module's own; every season of the sample begins with it."""
    content = folder.template("rubric.toml")
    read = rubric.read(tomlfile.parse(content, file="rubric.toml"))
    modules, _ = registry.find_modules()
    assert read.total == 1000
    assert {one.key: one.scale for one in read.criteria} == {
        key: module.criterion.scale for key, module in modules.items()
    }
    for place in ("", "earlier/2030"):
        text = (ROOT / "sample_ratings" / place / "rubric.toml").read_text(encoding="utf-8")
        assert rubric.read(tomlfile.parse(text, file="rubric.toml")).hash == read.hash


@pytest.mark.parametrize(
    "name", ["season.toml", "release.toml", "scores.toml", "rubric.toml", "help_lines.toml"]
)
def test_templates_are_toml_whatever_the_name(name):
    """Quotes and strokes in a name or title do not break the file."""
    content = folder.template(name, name='A "b" \\ c', title='A "b" \\ c')
    assert tomllib.loads(content)["format"] == 1
    assert "@" not in content.replace("@name@", "")


def test_no_word_says_that_something_is_left_to_do():
    """What is not done stands in the change notes, not in the code."""
    word = re.compile("|".join(("TO" + "DO", "FIX" + "ME", "NotImplemented" + "Error")))
    for part in ("rating", "criteria", "tests"):
        for path in (ROOT / part).rglob("*.py"):
            assert not word.search(path.read_text(encoding="utf-8")), path
