"""Every JSON answer keeps its schema, and its schema tells all of it."""

from __future__ import annotations

import io
import itertools
import json
import shlex
import shutil
import sqlite3
import tomllib
from contextlib import closing, redirect_stderr, redirect_stdout

import openpyxl
import pytest
from jsonschema import Draft202012Validator, FormatChecker

from rating.answers import schemas
from rating.cli import main
from rating.cli.commands import COMMANDS

ORDER = (
    "roster rookies signatures relics chase scarcity outlay access returns building opening design finish "
    "record"
)
# what is called of each command, on a copy of the sample; DIR is a folder of its own, a call may end with 1
CALLS = [
    "check",
    "check halyard",
    "facts halyard",
    "facts halyard-late-watch",
    "facts undertow-bellbuoy",
    "facts halyard --section advice",
    'facts halyard --of kind=autograph --open "3 boxes"',
    "find rhosyn",
    "find quenby halyard",
    "slots halyard",
    "slots vellum-night --by box",
    "grade halyard",
    "grade halyard-late-watch",
    "grade undertow-bellbuoy",
    "standings",
    "standings --audit",
    "standings --ranges --draws 50",
    "standings --landing halyard --draws 50",
    "standings --between 2031-04-01 2031-06-01",
    "stability --draws 50",
    "stability halyard --lift 2 --drivers --draws 50",
    "weights",
    "weights --compare",
    "weights --profiles",
    "weights --from DIR/order.csv",
    "weights --from DIR/pairs.csv",
    "what-if --weight design=12 --drop relics",
    "what-if --score halyard.finish=80 --rule geometric",
    "why halyard vellum-night",
    "completion bash",
    "explain",
    "explain price line",
    "doctor",
    "tonight --days 60",
    "price halyard hobby 169 --from DIR",
    "price halyard-late-watch hobby 99",
    "opened halyard --card MV-12 --noting hits",
    "opened rinkside-almanac --nothing",
    "scoresheet halyard --rater wren --into DIR/out",
    "take-in DIR/filled.xlsx --dry-run",
    "export workbook --into DIR/out",
    "export tables --into DIR/out",
    "standings --restate",
    "ledger note halyard --because later",
    "ledger history halyard",
    "ledger due --quick",
    "ledger errata WRONG --says wrong",
    "ledger withdraw halyard --reason because",
    "ledger verify",
    "ledger prove vellum-night --into DIR/out",
    "ledger prove --verifier",
    "ledger check DIR/halyard-proof.json",
    "ledger backup",
    "ledger export DIR/ledger.jsonl",
    "ledger merge DIR/ledger.jsonl",
    "ledger restore DIR/copy.db --even-if-lost",  # a call before it has withdrawn a release
    "ledger import DIR/ledger.jsonl --season DIR/empty",
    "criteria list",
    "criteria show outlay",
    "criteria show design",
    "criteria test DIR/mine.py",
    "intake halyard-late-watch DIR/checklist.csv DIR/odds.txt",
    "add fog-bank",
    "start DIR/new",
]
WITHOUT_SEASON = ("start", "completion", "explain", "criteria show", "ledger import")


def strict(schema):
    """A schema that forbids whatever it does not tell of, so that a key without its line fails."""
    if isinstance(schema, list):
        return [strict(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    found = {key: strict(value) for key, value in schema.items()}
    if isinstance(found.get("properties"), dict) and isinstance(found.get("required"), list):
        found.setdefault("additionalProperties", False)
    return found


def faults(name, answer):
    """What an answer breaks of its schema, with its place."""
    judge = Draft202012Validator(strict(schemas.of(name)), format_checker=FormatChecker())
    return [f"{one.json_path}: {deepest(one).message}" for one in judge.iter_errors(answer)]


def deepest(fault):
    """Where several forms would do, the fault of the one that it keeps furthest."""
    return (
        max(map(deepest, fault.context), key=lambda one: len(one.absolute_path)) if fault.context else fault
    )


@pytest.fixture(scope="module")
def place(sample_season, tmp_path_factory):
    """A copy of the sample, and beside it the files that calls name."""
    folder = tmp_path_factory.mktemp("schemas")
    shutil.copytree(sample_season, folder / "season")
    rows = "\n".join(f"{key},{rank}" for rank, key in enumerate(ORDER.split(), start=1))
    (folder / "order.csv").write_text(f"criterion,rank\n{rows}\n", encoding="utf-8")
    (folder / "pairs.csv").write_text(pairs(folder / "season"), encoding="utf-8")
    (folder / "checklist.csv").write_text(
        "Subset,No.,Player,Team\nBase,1,Ada Finch,Kelderby Rooks\nBase,2,Bo Larkin,Kelderby Rooks\n"
        "Quay Lights,Q1,Ada Finch,Kelderby Rooks\n",
        encoding="utf-8",
    )
    (folder / "odds.txt").write_text("Quay Lights 1:4 hobby\nNobody's Subset 1:9 hobby\n", encoding="utf-8")
    ledger = folder / "season" / "ledger.db"
    shutil.copy(ledger, folder / "copy.db")
    with closing(sqlite3.connect(ledger)) as db:  # a review that another one has superseded
        (wrong,) = db.execute("SELECT superseded FROM superseded ORDER BY review DESC LIMIT 1").fetchone()
    (folder / "wrong").write_text(wrong[:12], encoding="utf-8")
    shutil.copytree(
        folder / "season", folder / "empty", ignore=shutil.ignore_patterns("ledger.*", "releases")
    )
    with redirect_stdout(io.StringIO()):
        assert (
            main(["ledger", "export", str(folder / "ledger.jsonl"), "--season", str(folder / "season")]) == 0
        )
        words = ["ledger", "prove", "halyard", "--into", str(folder)]
        assert main([*words, "--season", str(folder / "season")]) == 0
    with redirect_stdout(io.StringIO()):
        words = ["scoresheet", "halyard", "--rater", "wren", "--into", str(folder)]
        assert main([*words, "--season", str(folder / "season")]) == 0
    book = openpyxl.load_workbook(folder / "halyard-wren.xlsx")
    for row, score in ((5, 70), (10, "-")):
        book.active.cell(row, 8).value, book.active.cell(row, 9).value = score, "I saw it."
    book.save(folder / "filled.xlsx")
    source = schemas.__file__.replace("rating/answers/schemas/__init__.py", "criteria/outlay.py")
    shutil.copy(source, folder / "mine.py")
    return folder


def pairs(season):
    """Comparisons that join all groups, and all criteria of each; three of them contradict each other."""
    rubric = tomllib.loads((season / "rubric.toml").read_text(encoding="utf-8"))
    names = {"": list(rubric["groups"])}
    for key, one in rubric["criteria"].items():
        names.setdefault(one["group"], []).append(key)
    lines = [f"{within},{a},{b},2" for within, keys in names.items() for a, b in itertools.pairwise(keys)]
    first, _, third = names[""][:3]
    return "\n".join(["within,first,second,times", *lines, f",{third},{first},3"]) + "\n"


@pytest.mark.parametrize("call", CALLS)
def test_an_answer_keeps_its_schema_and_has_no_key_beyond_it(call, place):
    """On the sample season, with and without options that change what is answered."""
    wrong = (place / "wrong").read_text(encoding="utf-8")
    words = [word.replace("DIR", str(place)).replace("WRONG", wrong) for word in shlex.split(call)]
    name = next(one for one in COMMANDS if call.startswith(f"{one} ") or call == one)
    season = [] if name in WITHOUT_SEASON else ["--season", str(place / "season")]
    out = io.StringIO()
    with redirect_stdout(out), redirect_stderr(io.StringIO()):
        assert main([*words, "--json", *season]) in {0, 1}
    answer = json.loads(out.getvalue())
    assert next(iter(answer)) == "format"
    assert faults(name, answer) == []


def test_every_command_is_called_but_the_demo():
    """Which takes a minute; its answer is held below."""
    called = {name for name in COMMANDS if any(f"{call} ".startswith(f"{name} ") for call in CALLS)}
    assert called == set(COMMANDS) - {"demo"}


def test_the_demo_answers_as_standings_do(sample_season, capsys):
    """It says the same of the same season."""
    assert main(["standings", "--json", "--season", str(sample_season)]) == 0
    assert faults("demo", json.loads(capsys.readouterr().out)) == []


@pytest.mark.parametrize("name", COMMANDS)
def test_a_schema_is_printed_and_is_one(name, capsys):
    """It is a schema of the draft it names, whole in itself, without a season and whatever is missing."""
    assert main([*name.split(), "--json-schema"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert told["title"] == f"boxwright {name} --json"
    Draft202012Validator.check_schema(told)
    names = set(schemas._NAMED.findall(json.dumps(told)))
    assert names == set(told["$defs"])


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"rank": "4"}, "'4' is not of type"),
        ({"grade": 101}, "101 is greater than the maximum"),
        ({"stage": "later"}, "'later' is not one of"),
        ({"moved": 1}, "'moved' was unexpected"),
        ({"as_of": "12.3.2031"}, "'12.3.2031' is not a 'date'"),
        ({"verdict": ...}, "'verdict' is a required property"),
    ],
)
def test_what_is_wrong_in_an_answer_is_found(change, told, sample_season, capsys):
    """Otherwise the tests above could not fail."""
    assert main(["standings", "--json", "--season", str(sample_season)]) == 0
    answer = json.loads(capsys.readouterr().out)
    row = answer if "as_of" in change else answer["standings"][0]
    for key, value in change.items():
        if value is ...:
            del row[key]
        else:
            row[key] = value
    branch = strict({**schemas.of("standings"), "anyOf": schemas.of("standings")["anyOf"][:1]})
    judge = Draft202012Validator(branch, format_checker=FormatChecker())
    assert any(told in deepest(one).message for one in judge.iter_errors(answer))
