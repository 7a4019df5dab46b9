"""Imports point one way, and the tree of DEVELOPERS.md is the one on disk; a breach fails here."""

from __future__ import annotations

import ast
import shutil
from functools import cache
from itertools import takewhile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
# a room may import the rooms before it in this order, as far as the sets below allow
ORDER = (
    "threads", "ctrl_c", "errors", "tenths", "text", "stage", "money", "regular", "tomlfile", "core",
    "sensitivity", "numerics", "scale", "rubric", "review", "overruling", "ledger", "release", "facts",
    "criterion", "fence", "registry", "contract", "raters", "price_line", "foretelling", "grading",
    "standings", "doubt", "season", "answers", "export", "cli",
)  # fmt: skip
GENERIC = {
    "errors",
    "tenths",
    "text",
    "stage",
    "regular",
    "tomlfile",
    "core",
    "sensitivity",
    "numerics",
    "scale",
    "rubric",
    "review",
    "overruling",
    "ledger",
    "standings",
    "doubt",
}


def modules_in(root):
    """Every module of the program by its name, a folder by that of its `__init__`."""
    paths = sorted(path for part in ("rating", "criteria") for path in (root / part).rglob("*.py"))
    return {".".join(path.relative_to(root).with_suffix("").parts): path for path in paths}


@cache
def imports(content):
    """The names that a file imports, dotted; inside functions and under `if TYPE_CHECKING` too."""
    found = []
    for node in ast.walk(ast.parse(content)):
        if isinstance(node, ast.Import):
            found += [one.name for one in node.names]
        elif isinstance(node, ast.ImportFrom) and node.level:
            found.append("a relative name")  # which would hide from this test what it reaches for
        elif isinstance(node, ast.ImportFrom) and node.module:
            found += [f"{node.module}.{one.name}" for one in node.names]
    return found


def module_of(name, modules):
    """The module that an imported name lies in, '' where it is none of ours."""
    parts = name.split(".")
    while parts:
        for found in (".".join(parts), ".".join([*parts, "__init__"])):
            if found in modules:
                return found
        parts.pop()
    return ""


def room_of(module):
    """The room at the top level that a module lies in, '' outside of `rating`."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 and parts[0] == "rating" else ""


def breaches(root):
    modules = modules_in(root)
    found = []
    for own_module, path in modules.items():
        own, is_criterion = room_of(own_module), own_module.startswith("criteria.")
        for name in imports(path.read_text(encoding="utf-8")):
            other = room_of(module_of(name, modules))
            if name == "a relative name":
                found.append(f"{path.name} imports by {name}")
            if is_criterion and not _is_open_to_criteria(name):
                found.append(f"{own_module} imports {name}")
            if own in {"", "__init__", "__main__"}:
                continue
            if name.split(".")[0] == "sqlite3" and own != "ledger":
                found.append(f"{own} imports sqlite3, which belongs to ledger")
            if name.split(".")[0] == "criteria":
                found.append(f"{path.name} imports {name}")
            if other in {"", own}:
                continue
            if other == "__init__" or ORDER.index(other) > ORDER.index(own):
                found.append(f"{own} imports {other}, which comes after it")
            if own in GENERIC and other not in GENERIC:  # what knows of cards would bring cards along
                found.append(f"{own} is generic and imports {other}")
            if own == "core":
                found.append(f"core imports {other}")
    return found


def _is_open_to_criteria(name):
    if name.split(".")[0] in {"__future__", "collections", "fractions", "itertools", "math"}:
        return True
    return name == "rating.criterion" or name.startswith("rating.criterion.")


def arrows(root):
    """Who imports whom inside each room: by the room's name, each part of it with the parts it imports.

    A part is a module or a folder of the room; what two modules deep inside of two folders import of each
    other counts as an arrow from folder to folder, in the room that holds both.
    """
    modules = modules_in(root)
    found = {}
    for own, path in modules.items():
        for name in imports(path.read_text(encoding="utf-8")):
            other = module_of(name, modules)
            if not other or other.split(".")[0] != own.split(".")[0] or other == own:
                continue
            here, there = own.split("."), other.split(".")
            depth = next(
                place for place, pair in enumerate(zip(here, there, strict=False)) if len(set(pair)) > 1
            )
            room = found.setdefault(".".join(here[:depth]), {})
            room.setdefault(here[depth], set()).add(there[depth])
    return found


def circles(root):
    """Each set of parts of a room that import each other in a circle, as 'room: part, part'."""
    found = set()
    for room, arrow in arrows(root).items():
        reached = {part: _reached(part, arrow) for part in arrow}
        for part in arrow:
            circle = {other for other in reached[part] if part in reached.get(other, ())}
            if circle:
                found.add(f"{room}: {', '.join(sorted(circle))}")
    return found


def _reached(part, arrow):
    found, left = set(), [part]
    while left:
        for other in arrow.get(left.pop(), ()):
            if other not in found:
                found.add(other)
                left.append(other)
    return found


def test_imports_point_one_way():
    """The rooms in the order of DEVELOPERS.md; the generic ones know nothing of cards."""
    assert breaches(ROOT) == []


def test_no_room_goes_round_in_a_circle():
    """Neither the rooms, nor what is in one, nor what is in a room of it; whatever an import stands under."""
    assert circles(ROOT) == set()


def test_every_room_has_its_place():
    """A new room must be put into the order before it can be imported."""
    assert top_level(ROOT / "rating") == {*ORDER, "__init__", "__main__"}


def top_level(folder):
    """The modules and folders of modules in a folder, by their names without an ending."""
    found = {path.stem for path in folder.glob("*.py")}
    return found | {path.name for path in folder.iterdir() if any(path.glob("*.py"))}


def told_tree(content):
    """What the block under "## The tree" names: for each folder of the checkout what is told to be in it.

    A name stands at the start of its line, two blanks in for each folder it lies in, and ends with .py or /;
    several of one folder can share a line, parted by blanks. What follows says what they are for.
    """
    block = content.partition("## The tree\n")[2].partition("```\n")[2].partition("```")[0]
    found, inside = {"": []}, []
    for line in block.splitlines():
        depth = (len(line) - len(line.lstrip(" "))) // 2
        words = list(takewhile(lambda word: word.endswith((".py", "/")), line.split()))
        if words and depth <= len(inside):
            inside = [*inside[:depth], words[-1]]
            found.setdefault("".join(inside[:depth]), []).extend(words)
    return found


def test_the_tree_of_developers_md_is_the_one_on_disk():
    """Whatever it names exists, and of `rating` it names every folder and module of the top level, once."""
    told = told_tree((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    for folder, names in told.items():
        assert [name for name in names if not (ROOT / folder / name).exists()] == [], folder
        assert len(set(names)) == len(names), folder
    rooms = {name.removesuffix("/").removesuffix(".py") for name in told["rating/"]}
    assert rooms == top_level(ROOT / "rating") - {"__init__", "__main__"}
    assert set(told[""]) == {"rating/", "criteria/", "sample_ratings/", "exports/", "tests/"}


def copied(target):
    for name in ("rating", "criteria"):
        shutil.copytree(ROOT / name, target / name, ignore=shutil.ignore_patterns("__pycache__"))
    return target


def plant(path, line):
    path.write_text(path.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")


@pytest.mark.parametrize(
    ("file", "line", "told"),
    [
        ("rating/scale.py", "from rating.season import folder", "scale imports season"),
        ("rating/ledger/ledger.py", "from rating import money", "ledger is generic and imports money"),
        ("criteria/outlay.py", "from rating import tenths", "criteria.outlay imports rating.tenths"),
        ("rating/core/rank.py", "from rating import errors", "core imports errors"),
        (
            "rating/standings.py",
            "def f():\n    import rating.criterion",
            "standings is generic and imports criterion",
        ),
        ("rating/standings.py", "import sqlite3", "standings imports sqlite3"),
        ("rating/review.py", "from .season import folder", "review.py imports by a relative name"),
        ("rating/export/tables.py", "from rating.cli import common", "export imports cli"),
        (
            "criteria/outlay.py",
            "def f():\n    from rating.season import folder",
            "criteria.outlay imports rating.season",
        ),
    ],
)
def test_a_planted_breach_is_found(tmp_path, file, line, told):
    """Otherwise the tests above could not fail."""
    plant(copied(tmp_path) / file, line)
    assert any(told in one for one in breaches(tmp_path))


@pytest.mark.parametrize(
    ("file", "line", "told"),
    [
        # among the modules of a room, and of a room inside a room
        (
            "rating/numerics/checked.py",
            "from rating.numerics import packs",
            "rating.numerics: checked, packs",
        ),
        (
            "rating/release/intake/values.py",
            "def f():\n    from rating.release.intake import account",
            "rating.release.intake: account, ",
        ),
        # from a module to a folder beside it, for types only
        (
            "rating/release/market.py",
            "if TYPE_CHECKING:\n    from rating.release.intake.entry import take_in",
            "rating.release: intake, market",
        ),
        # by way of the names that a folder gives away
        (
            "rating/release/intake/values.py",
            "from rating.release.intake import take_in",
            "rating.release.intake: __init__, ",
        ),
        # among the rooms themselves
        ("rating/text.py", "if TYPE_CHECKING:\n    import rating.tomlfile", "rating: text, tomlfile"),
        ("rating/errors.py", "import rating", "rating: __init__, "),
    ],
)
def test_a_planted_circle_is_found(tmp_path, file, line, told):
    """Otherwise the test above could not fail."""
    plant(copied(tmp_path) / file, line)
    assert any(one.startswith(told) for one in circles(tmp_path))
