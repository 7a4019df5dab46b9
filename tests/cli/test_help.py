"""explain and doctor: what words mean, and whether all is well."""

from __future__ import annotations

import ast
import json
import re
import shlex
from pathlib import Path

import pytest

from rating.cli import words
from rating.cli.commands import COMMANDS, called
from rating.release import TABLES
from rating.season import folder
from rating.stage import STAGES

ROOT = Path(__file__).resolve().parents[2]
CODE = re.compile(r"[a-z]+(-[a-z]+)+\Z")
KNOWN = words.everything()


def trees():
    paths = [path for part in ("rating", "criteria") for path in (ROOT / part).rglob("*.py")]
    return [ast.parse(path.read_text(encoding="utf-8")) for path in paths]


def codes():
    """The codes that the program gives to problems, read from its source.

    A code is what stands for a parameter named `code`, by its name or in its place, in a call of a function
    of that name; what a field `code` is where nothing is said; or the last of three texts, as the readers of
    tables keep what is wrong with a cell.
    """
    nodes = [node for tree in trees() for node in ast.walk(tree)]
    places = {}
    for node in nodes:
        if isinstance(node, ast.FunctionDef):
            names = [one.arg for one in node.args.args if one.arg not in {"self", "cls"}]
            if "code" in names:
                places.setdefault(node.name, set()).add(names.index("code"))
    given = []
    for node in nodes:
        if isinstance(node, ast.Call):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            given += [one.value for one in node.keywords if one.arg == "code"]
            given += [node.args[place] for place in places.get(name, ()) if place < len(node.args)]
        elif isinstance(node, ast.AnnAssign) and getattr(node.target, "id", "") == "code" and node.value:
            given.append(node.value)
        elif isinstance(node, ast.Tuple) and len(node.elts) == 3:
            given.append(node.elts[2])
    texts = {part.value for one in given for part in ast.walk(one) if isinstance(part, ast.Constant)}
    return {text for text in texts if isinstance(text, str) and CODE.match(text)}


def test_every_code_of_a_problem_is_explained_and_no_other():
    """One source for codes: what is told of one that is no more would be as wrong as one left out."""
    told = {one.name for one in KNOWN.values() if one.kind == "code"}
    assert len(told) > 60
    assert codes() - told == set()
    assert told - codes() == set()


def test_every_word_of_the_glossary_is_explained():
    """Those of DEVELOPERS.md, the stages, where a score comes from, and what buyers and sellers say."""
    table = (
        (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8").partition("## Words\n")[2].partition("\n## ")[0]
    )
    names = [line.split("|")[1].strip() for line in table.splitlines() if line.startswith("|")][2:]
    wanted = {word.strip().replace(" ", "-") for name in names for word in name.split(",")}
    assert {"grade", "price-line", "ledger"} <= wanted
    assert (wanted | set(STAGES) | {"computed", "judged", "overruled"}) - set(KNOWN) == set()
    # what screens say without saying what it is
    said = {
        "break-even",
        "going-price",
        "maker's-price",
        "most-wanted",
        "single",
        "short-print",
        "slab",
        "bulk",
    }
    assert said - set(KNOWN) == set()


@pytest.mark.parametrize(
    "one", [one for one in KNOWN.values() if one.kind in {"code", "word"}], ids=lambda one: one.name
)
def test_an_explanation_is_a_few_sentences_and_an_example(one):
    """A code takes two to four; a call that is shown is one of a command that there is."""
    sentences = re.findall(r"[^.!?]+[.!?](?= |\Z)", one.means)
    assert (2 if one.kind == "code" else 1) <= len(sentences) <= 4
    assert one.means.endswith(".")
    assert one.example
    for call in re.findall(r"boxwright [^'\n;]+", one.example):
        assert called(shlex.split(call)[1:]) in COMMANDS


def test_explain_finds_a_word_however_it_is_written(run):
    """With blanks or hyphens, in any case; one that is none is told with the nearest."""
    _, out, _ = run("explain", "Price", "Line")
    assert out.startswith("Price line\n")
    assert run("explain", "price-line")[1] == out
    _, out, _ = run("explain", "duplicate-number")
    assert "How a fix looks:" in out
    code, out, err = run("explain", "duplicate-numbr")
    assert (code, out) == (1, "")
    assert "did you mean duplicate-number?" in err
    _, out, _ = run("explain")
    assert all(name in out for name in ("zeros-lost", "carried over", "odds"))


@pytest.mark.parametrize("width", [60, 80])
def test_no_explanation_is_wider_than_the_screen(run, monkeypatch, width):
    """Examples too, as far as they can be folded; a template is to be copied line for line."""
    monkeypatch.setenv("COLUMNS", str(width))
    for name in [name for name in KNOWN if not name.endswith(".toml")]:
        assert max(map(len, run("explain", name)[1].splitlines())) <= width


def states(told):
    return {one["about"]: one["state"] for one in told["findings"]}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.file)
def test_every_table_is_explained_by_its_columns(run, table):
    """In the order of the file, each with what it holds and the words that it may hold."""
    code, out, _ = run("explain", table.file)
    assert code == 0
    told = " ".join(out.split())
    places = [
        told.index(f" {name}: {one.about}") for name, one in zip(table.names, table.columns, strict=True)
    ]
    assert places == sorted(places)
    assert all(word in told for one in table.columns for word in one.cell.choices)


def test_every_file_that_a_person_fills_in_is_explained(run):
    """By the template that `start` and `add` lay out, word for word."""
    files = {path.name for path in (ROOT / "rating" / "season" / "templates").iterdir()}
    assert {one.name for one in KNOWN.values() if one.kind == "file" and one.name.endswith(".toml")} == files
    assert folder.template("release.toml").strip() in run("explain", "release.toml")[1]


def what(told, about):
    return next(one["what"] for one in told["findings"] if one["about"] == about)


def test_doctor_finds_all_well(answer, small_season, monkeypatch):
    """The season and the day, each with why it is that one."""
    monkeypatch.chdir(small_season / "releases")
    told = answer("doctor")
    assert set(states(told).values()) <= {"fine", "look"}
    assert what(told, "season") == f"{small_season}, above the current folder, with 4 releases"
    assert what(told, "today").startswith("2031-05-01, as season.toml says")
    assert "there is none yet" in what(told, "ledger")
    assert "numpy " in what(told, "versions")
    monkeypatch.setenv("BOXWRIGHT_TODAY", "2031-05-02")
    assert what(answer("doctor"), "today") == "2031-05-02, by BOXWRIGHT_TODAY"
    assert what(answer("doctor", "--today", "2031-05-03"), "today") == "2031-05-03, by --today"
    assert "by --season" in what(answer("doctor", "--season", small_season), "season")


def test_doctor_says_that_there_is_no_season(run, tmp_path, monkeypatch):
    """And what to do; exit code 1."""
    monkeypatch.chdir(tmp_path)
    code, out, err = run("doctor")
    assert (code, err) == (1, "")
    assert "WRONG season: there is no season.toml" in out
    assert "boxwright start DIR" in out


def test_doctor_finds_what_lies_about(answer, small_season):
    """Second versions that a synced folder made, and a table that is open somewhere."""
    folder = small_season / "releases" / "low-water"
    for name in ("prices (1).csv", "scores (Mo's conflicted copy 2031-05-01).toml", ".~lock.prices.csv#"):
        (folder / name).write_text("", encoding="utf-8")
    (small_season / "ledger.sync-conflict-20310501-120000-ABCDEFG.db").write_text("", encoding="utf-8")
    told = answer("doctor", "--season", small_season, code=1)
    found = what(told, "conflicted copies")
    assert found.count("conflict") == 2
    assert "releases/low-water/prices (1).csv" in found
    assert states(told)["open files"] == "look"


def test_doctor_finds_a_ledger_that_was_altered(run, answer, small_season):
    """Sound after a recording; not after a byte of a review was changed."""
    words = ("--season", small_season)
    assert run("grade", "high-water", "--record", *words)[0] == 0
    assert what(answer("doctor", *words), "ledger") == "1 review, all unaltered"
    ledger = small_season / "ledger.db"
    content = ledger.read_bytes()
    assert content.count(b"Marlow 2031 High Water")
    ledger.write_bytes(content.replace(b"Marlow 2031 High Water", b"Marlow 2031 High Wader"))
    assert states(answer("doctor", *words, code=1))["ledger"] == "wrong"


def test_doctor_tells_broken_settings(run, small_season):
    """As one finding among others."""
    (small_season / "season.toml").write_text("name = ", encoding="utf-8")
    code, out, _ = run("doctor", "--season", small_season, "--json")
    assert code == 1
    assert states(json.loads(out))["settings"] == "wrong"
