"""House rules that a test can see."""

from __future__ import annotations

import re
import subprocess
import tomllib
from pathlib import Path

import pytest

from rating import registry, tomlfile
from rating.cli import main
from rating.cli.commands import COMMANDS
from rating.rubric import rubric
from rating.season import folder

ROOT = Path(__file__).resolve().parents[1]
TOP_LEVEL = {"README.md", "DEVELOPERS.md", "LICENSE", "pyproject.toml", "exports"}
TOP_LEVEL |= {"rating", "criteria", "tests", "sample_ratings"}


@pytest.mark.parametrize("name", COMMANDS)
def test_every_page_begins_with_an_example_and_every_command_stands_in_the_readme(name, capsys):
    """A person can find out how to call it, and how it ends, without the source."""
    assert main([*name.split(), "-h"]) == 0
    told = capsys.readouterr().out
    assert re.match(rf"Examples?:\n  .*boxwright {name}\b", told)
    assert told.index("Usage: ") > told.index(f"boxwright {name}")
    assert "--json " in told
    assert "--json-schema " in told
    assert "Exit codes: 0 done" in told
    assert max(map(len, told.splitlines())) <= 80
    assert f"boxwright {name}" in (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("group", ["", *sorted({name.split()[0] for name in COMMANDS if " " in name})])
def test_the_pages_of_groups_begin_with_examples_too(group, capsys):
    """Those of the whole program with an evening's calls, a group's with one of each command."""
    assert main([*group.split(), "--help"]) == 0
    examples = capsys.readouterr().out.partition("Usage: ")[0]
    wanted = [name for name in COMMANDS if name.startswith(f"{group} ")] if group else ["demo", "grade"]
    assert examples.startswith("Examples:\n")
    assert all(f"boxwright {name}" in examples for name in wanted)


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
    done = subprocess.run(
        ["git", "-c", "core.quotepath=off", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    )
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
    content = folder.template(name, name='A "b" \\ c', title='A "b" \\ c', season_id="0" * 32)
    assert tomllib.loads(content)["format"] == 1
    assert "@" not in content.replace("@name@", "")


def test_no_word_says_that_something_is_left_to_do():
    """What is not done stands in the change notes, not in the code."""
    word = re.compile("|".join(("TO" + "DO", "FIX" + "ME", "NotImplemented" + "Error")))
    for part in ("rating", "criteria", "tests"):
        for path in (ROOT / part).rglob("*.py"):
            assert not word.search(path.read_text(encoding="utf-8")), path
