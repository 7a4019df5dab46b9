"""What a command loads before it works: looked at, for a clock would be unsteady."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("numpy", "pandas", "openpyxl", "scipy", "xlsxwriter", "tomlkit", "criteria", "sqlite3", "rapidfuzz")


def loaded(code, modules=HEAVY):
    """Which of some modules are loaded after some code ran in a fresh interpreter."""
    script = (
        f"{code}\nimport sys\nprint('|'.join(m for m in {modules!r} if m in sys.modules), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return {one for one in done.stderr.strip().split("\n")[-1].split("|") if one}


def test_help_loads_nothing_heavy():
    """Neither numbers, tables, spreadsheets nor the plug-ins."""
    assert loaded("from rating.cli import main\nassert main(['--help']) == 0") == set()


def test_standings_load_no_tables(sample_season):
    """The ranking of a ledger is made without pandas, numpy and the plug-ins."""
    code = f"from rating.cli import main\nassert main(['standings', '--season', {str(sample_season)!r}]) == 0"
    assert loaded(code) == {"sqlite3"}


def test_standings_load_no_facts(sample_season):
    """A ranking is made of recorded reviews: what is worked out of releases, and by what, stays unread."""
    code = f"from rating.cli import main\nassert main(['standings', '--season', {str(sample_season)!r}]) == 0"
    facts = (
        "rating.facts.section",
        "rating.facts.facts",
        "rating.grading",
        "rating.criterion",
        "rating.registry",
    )
    assert loaded(code, ("sqlite3", *facts)) == {"sqlite3"}


def test_finding_somebody_loads_no_numbers(sample_season):
    """From a kept catalogue; the ledger's module comes with the season, the names' with a misspelling."""
    code = "from rating.cli import main\nassert main(['find', {!r}, '--season', {!r}]) == 0"
    loaded(code.format("Rhosyn Quenby", str(sample_season)))
    assert loaded(code.format("Rhosyn Quenby", str(sample_season))) <= {"sqlite3"}
    assert loaded(code.format("Rhosin Quenbi", str(sample_season))) <= {"sqlite3", "rapidfuzz"}


def test_what_is_worked_out_loads_no_scipy(sample_season):
    """It takes longer to load than most releases take to reckon, and no programme is solved here by it."""
    for command in ("facts", "grade", "slots"):
        call = [command, "halyard", "--season", str(sample_season)]
        code = f"from rating.cli import main\nassert main({call!r}) == 0"
        assert loaded(code, ("numpy", "scipy", "pandas")) == {"numpy"}
