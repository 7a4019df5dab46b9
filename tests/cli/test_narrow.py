"""Bad input for eyes: 40 columns, no terminal, a C locale, other money, a release without anything."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

SALES = "date,subset,parallel,number,price,postage,currency,how,condition,title,source,match\n" + "".join(
    f"2031-04-{day:02d},Ink,,INK-1,{1200 + day},,,auction,raw,a,s,sure\n" for day in range(1, 29)
)
COMMANDS = [
    ("facts", "deep-harbour"),
    ("facts", "deep-harbour", "--all"),
    ("facts", "deep-harbour", "--of", "kind=autograph"),
    ("slots", "deep-harbour"),
    ("slots", "deep-harbour", "--cards", "--by", "pair"),
    ("find", "ada finch", "--cards"),
    ("check",),
    ("facts", "bare"),
    ("check", "bare"),
    ("grade", "deep-harbour", "--evidence"),
    ("grade", "bare"),
    ("price", "deep-harbour", "hobby", "1690"),
    ("opened", "deep-harbour", "--nothing"),
    ("tonight", "--days", "200"),
    ("tonight", "--whole"),
    ("doctor",),
]


@pytest.fixture
def season(small_season):
    """With odds and sales, and a release of which nothing is said."""
    folder = small_season / "releases" / "deep-harbour"
    odds = "subset,parallel,format,packs_per_copy,note\nInk,,hobby,7,\nTides,,hobby,4,\n"
    (folder / "odds.csv").write_text(odds, encoding="utf-8")
    (folder / "sales.csv").write_text(SALES, encoding="utf-8")
    bare = small_season / "releases" / "bare"
    bare.mkdir()
    (bare / "release.toml").write_text(
        'format = 1\ntitle = "Bare"\nmaker = "M"\nline = "B"\n', encoding="utf-8"
    )
    return small_season


@pytest.mark.parametrize("columns", [40, 80])
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_nothing_is_wider_than_the_screen(run, season, monkeypatch, words, columns):
    """But a path that is longer itself, which is never broken."""
    monkeypatch.setenv("COLUMNS", str(columns))
    code, out, err = run(*words, "--season", season)
    assert code in {0, 1}
    assert out
    for line in (*out.splitlines(), *err.splitlines()):
        assert len(line) <= columns or len(line.split()) == 1 or str(season) in line, line


@pytest.mark.parametrize("columns", [40, 80])
def test_what_writes_files_tells_it_on_a_narrow_screen(run, season, monkeypatch, columns):
    """A release laid out, its list read and asked about, a grade recorded, exports handed out."""
    monkeypatch.setenv("COLUMNS", str(columns))
    sheet = season.parent / "list.csv"
    rows = "Card No,Set,Player,Team,Odds on what\n1,Base,Ada Finch,Otters,\n2,Base,Bo Quill,Herons,?\n"
    sheet.write_text(rows, encoding="utf-8")
    for words in (
        ("grade", "deep-harbour", "--record"),
        ("export", "tables", "--format", "md"),
        ("export", "workbook", "--to", "a co-host of a rather long name"),
        ("scoresheet", "deep-harbour", "--rater", "kit"),
        ("add", "fog-bank", "--title", "Marlow 2031 Fog Bank of a rather long name"),
        ("intake", "fog-bank", sheet, "--yes"),
        ("intake", "fog-bank", sheet, "--explain"),
        ("intake", "fog-bank", sheet.with_name("missing.csv")),
    ):
        code, out, err = run(*words, "--season", season)
        assert code == (1 if "missing.csv" in str(words[-1]) else 0), (words, err)
        assert out or err
        for line in (*out.splitlines(), *err.splitlines()):
            assert len(line) <= columns or len(line.split()) == 1 or str(season.parent) in line, line


@pytest.mark.parametrize(
    ("currency", "box", "other"), [("JPY", "¥200", "¥160"), ("SEK", "200,00\u00a0kr", "160,00\u00a0kr")]
)
def test_other_money_is_written_in_its_own_habit(run, answer, season, monkeypatch, currency, box, other):
    """In sentences and tables; a blank in an amount never ends a line. What scripts get stays a number."""
    path = season / "season.toml"
    text = path.read_text(encoding="utf-8")
    assert 'currency = "USD"' in text
    path.write_text(text.replace('currency = "USD"', f'currency = "{currency}"'), encoding="utf-8")
    monkeypatch.setenv("COLUMNS", "80")
    out = run("facts", "deep-harbour", "--section", "economics", "--season", season)[1]
    assert f"A Hobby box sells for {box}: " in out
    assert out.count(other) >= 2
    assert "$" not in out
    for words in (
        ("facts", "deep-harbour", "--all"),
        ("slots", "deep-harbour"),
        ("find", "ada finch", "--cards"),
        ("grade", "deep-harbour", "--evidence"),
        ("tonight",),
    ):
        code, out, _ = run(*words, "--season", season)
        assert code == 0
        assert "$" not in out
        assert max(map(len, out.splitlines())) <= 80
    got = answer("facts", "deep-harbour", "--season", season)["economics"]["hobby"]
    assert (got["box_price"], got["list_price"]) == (200, 160)


@pytest.mark.parametrize("command", ["facts bare", "facts deep-harbour --all", "check bare", "slots bare"])
def test_no_terminal_and_a_c_locale(season, command):
    """Whatever is told, there is no traceback and no fault of ours, with letters that ASCII lacks too."""
    sheet = season / "releases" / "bare" / "release.toml"
    sheet.write_text(sheet.read_text(encoding="utf-8").replace("Bare", "Bår é \u65e5"), encoding="utf-8")
    wanted = {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"}
    environment = {
        name: value for name, value in os.environ.items() if name not in {"COLUMNS", "PYTHONIOENCODING"}
    }
    done = subprocess.run(
        [sys.executable, "-m", "rating", *command.split(), "--season", str(season)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        env=environment | wanted,
        timeout=60,
        check=False,
    )
    assert done.returncode in {0, 1}
    assert done.stdout or done.stderr
    assert b"Traceback" not in done.stdout + done.stderr
