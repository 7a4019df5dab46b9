"""Completion: what a shell is offered, that it knows every option there is, and what it loads for it."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from typer.main import get_command

from rating.cli import completing, program
from rating.cli.commands import COMMANDS

HEAVY = (
    "typer",
    "click",
    "rich",
    "numpy",
    "pandas",
    "sqlite3",
    "rapidfuzz",
    "rating.season.folder",
    "criteria",
)


def offers(*words, season=None, here=None):
    environment = {"BOXWRIGHT_SEASON": str(season)} if season else {}
    return completing.offers(words, here=here or season, environment=environment)


@pytest.mark.parametrize("name", COMMANDS)
def test_what_is_read_from_the_source_is_what_the_command_takes(name):
    """Options with the number of words that follow each, and arguments, as the loaded command has them."""
    found = get_command(program.put_together(name))
    for word in name.split():
        found = found.commands[word]
    options, arguments = {}, []
    for one in found.params:
        if one.param_type_name == "argument":
            arguments.append(one.metavar)
            continue
        number = 0 if one.is_flag else one.nargs
        options |= dict.fromkeys([*one.opts, *one.secondary_opts], number)
    read = completing.parameters(name)
    assert {option: number for option, (number, _) in read.options.items()} == options
    assert list(read.arguments) == arguments


def test_commands_are_offered_by_their_first_word_then_by_their_second(small_season):
    """In the order of the help; a begun word narrows them down."""
    assert offers("gr", here=small_season) == ["grade"]
    assert offers("sta", here=small_season) == ["start", "standings", "stability"]
    assert offers("ledger", "", here=small_season) == [
        "history",
        "note",
        "due",
        "errata",
        "withdraw",
        "verify",
        "prove",
        "check",
        "backup",
        "restore",
        "merge",
        "export",
        "import",
    ]
    assert offers("", here=small_season)[0] == "demo"
    assert offers("dance", "", here=small_season) == []


def test_releases_are_those_of_the_season_however_it_is_named(small_season, tmp_path):
    """By the variable, by a folder below it, by --season; elsewhere there are none."""
    known = ["deep-harbour", "high-water", "low-water", "spring-tide"]
    assert offers("facts", "", season=small_season) == known
    assert offers("facts", "", here=small_season / "releases" / "low-water") == known
    assert offers("facts", "--season", str(small_season), "h", here=tmp_path) == ["high-water"]
    assert offers("why", "high-water", "l", season=small_season) == ["low-water"]
    assert offers("why", "high-water", "low-water", "", season=small_season) == []
    assert offers("standings", "--landing", "", season=small_season) == known
    assert offers("facts", "", here=tmp_path) == []


def test_sections_criteria_groups_and_stages_are_offered_where_they_are_asked_for(small_season, tmp_path):
    """Those of the season's rubric.toml, or of the program where there is no season."""
    from rating.facts import sections

    assert offers("facts", "high-water", "--section", "", season=small_season) == list(sections.all_keys())
    found = offers("criteria", "show", "r", season=small_season)
    assert set(found) == {"roster", "rookies", "relics", "returns", "record"}
    assert offers("criteria", "show", "out", here=tmp_path) == ["outlay"]
    assert offers("what-if", "--weight", "des", season=small_season) == ["design="]
    assert {"relics", "people"} <= set(offers("what-if", "--drop", "", season=small_season))
    assert offers("grade", "high-water", "--stage", "in", season=small_season) == ["in-hand"]


def test_options_are_offered_after_a_hyphen_and_not_where_a_word_is_due(small_season):
    """An option that waits for a word of its own kind is offered nothing else."""
    assert offers("grade", "high-water", "--re", season=small_season) == ["--record", "--refresh-demand"]
    assert "--json-schema" in offers("grade", "--", season=small_season)
    assert offers("grade", "--on", "", season=small_season) == []
    assert offers("standings", "--between", "2031-03-01", "", season=small_season) == []


@pytest.mark.parametrize(
    "words", [("",), ("facts", ""), ("facts", "halyard", "--section", ""), ("what-if", "--drop", "")]
)
def test_it_loads_nothing_heavy_and_answers_by_lines(sample_season, words):
    """Looked at, for a clock would be unsteady: the interpreter's start is most of what it takes."""
    script = (
        "import sys\nfrom rating.cli import main\n"
        f"assert main(['--complete', *{words!r}]) == 0\n"
        f"print('|'.join(one for one in {HEAVY!r} if one in sys.modules), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "BOXWRIGHT_SEASON": str(sample_season)},
    )
    assert done.stderr.strip() == ""
    assert len(done.stdout.splitlines()) > 3


def test_a_season_that_cannot_be_read_offers_nothing(small_season, capsys):
    """No message in the middle of somebody's line."""
    from rating.cli import main

    (small_season / "rubric.toml").write_text("criteria = [", encoding="utf-8")
    assert main(["--complete", "what-if", "--season", str(small_season), "--drop", ""]) == 1
    assert capsys.readouterr() == ("", "")


def test_bash_completes_a_release(small_season, tmp_path, run):
    """The printed script, in a bash of its own, with a boxwright that is this program."""
    code, script, err = run("completion", "bash")
    assert code == 0
    assert "~/.bashrc" in err
    call = f"boxwright() {{ '{sys.executable}' -m rating \"$@\"; }}\n"
    typed = 'COMP_WORDS=(boxwright facts h); COMP_CWORD=2; _boxwright; echo "${COMPREPLY[@]}"'
    done = subprocess.run(
        ["bash", "-c", f"{call}{script}\n{typed}"],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "BOXWRIGHT_SEASON": str(small_season)},
    )
    assert done.stdout.split() == ["high-water"]
