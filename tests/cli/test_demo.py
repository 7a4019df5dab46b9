"""`demo`: one command from nothing to a ranked and exported season."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from rating.cli import main


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """The demo, run once by its command in a folder of its own."""
    place = tmp_path_factory.mktemp("demo")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(place)
        patch.delenv("BOXWRIGHT_TODAY", raising=False)
        assert main(["demo"]) == 0
    return place / "demo-season"


def test_it_makes_the_season_with_the_earlier_one_inside(built):
    """In ./demo-season, with ledgers for both years and a folder of exports."""
    assert (built / "season.toml").is_file()
    assert (built / "ledger.db").is_file()
    assert (built / "earlier" / "2030" / "ledger.db").is_file()
    assert sorted(path.name for path in (built / "exports" / "2031-07-15").iterdir()) == sorted(
        ["season.xlsx", *(f"{name}.{form}" for name in ("standings", "scores", "reasons")
                          for form in ("csv", "json", "md"))]
    )  # fmt: skip


def test_every_command_works_in_it(built, run, answer):
    """Checked without an error, verified, ranked, graded, exported."""
    for season in (built, built / "earlier" / "2030"):
        assert run("check", "--season", season)[0] == 0
        assert answer("ledger", "verify", "--season", season) == {"problems": []}
        for one in answer("standings", "--season", season)["standings"]:
            got = answer("grade", one["release"], "--season", season)
            assert (got["grade"], got["differs"]) == (one["grade"], False)


def test_building_it_again_gives_the_same_ledger(built, capsys):
    """The same bytes of every review, and the answer is that of `standings`."""
    before = (built / "ledger.db").read_bytes()
    assert main(["demo", "--into", str(built), "--json"]) == 0
    got = json.loads(capsys.readouterr().out)
    assert (built / "ledger.db").read_bytes() == before
    assert len(got["standings"]) == 18


def test_what_the_readme_quotes_is_what_it_says(built, run):
    """The sentence on prices carried over, to the last digit."""
    readme = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
    [quoted] = re.findall(r'"(At\s+launch,[^"]*)"', readme)
    _, said, _ = run("grade", "halyard", "--season", built)
    assert " ".join(quoted.split()) in " ".join(said.split())
