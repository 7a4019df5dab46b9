"""Imports point one way; a breach fails here."""

from __future__ import annotations

import ast
import shutil
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
# a room may import the rooms before it in this order, as far as the sets below allow
ORDER = (
    "errors", "tenths", "text", "stage", "money", "tomlfile", "core", "sensitivity", "numerics", "scale",
    "rubric", "review", "ledger", "release", "facts", "criterion", "registry", "contract", "raters",
    "grading", "standings", "doubt", "season", "export", "cli",
)  # fmt: skip
GENERIC = {
    "errors",
    "tenths",
    "text",
    "stage",
    "tomlfile",
    "core",
    "sensitivity",
    "numerics",
    "scale",
    "rubric",
    "review",
    "ledger",
    "standings",
    "doubt",
}


def room_of(module):
    parts = module.split(".")
    return parts[1] if len(parts) > 1 and parts[0] == "rating" else ""


def imports(path):
    """Every module a file imports, inside functions too, but not under `if TYPE_CHECKING`."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    typing_only = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in typing_only:
            continue
        if isinstance(node, ast.Import):
            yield from (one.name for one in node.names)
        elif isinstance(node, ast.ImportFrom) and node.level:
            yield "a relative name"  # which would hide from this test what it reaches for
        elif isinstance(node, ast.ImportFrom) and node.module:
            if node.module in {"rating", "rating.core"}:
                yield from (f"{node.module}.{one.name}" for one in node.names)
            else:
                yield node.module


def breaches(root):
    found = []
    for path in sorted((root / "rating").rglob("*.py")):
        own = path.relative_to(root / "rating").parts[0].removesuffix(".py")
        if own in {"__init__", "__main__"}:
            continue
        for module in imports(path):
            other = room_of(module)
            if module == "a relative name":
                found.append(f"{path.name} imports by {module}")
            if module == "sqlite3" and own != "ledger":
                found.append(f"{own} imports sqlite3, which belongs to ledger")
            if module.split(".")[0] == "criteria":
                found.append(f"{path.name} imports {module}")
            if not other or other == own:
                continue
            if ORDER.index(other) > ORDER.index(own):
                found.append(f"{own} imports {other}, which comes after it")
            if own in GENERIC and other not in GENERIC:  # what knows of cards would bring cards along
                found.append(f"{own} is generic and imports {other}")
            if own == "core":
                found.append(f"core imports {other}")
    for path in sorted((root / "criteria").glob("*.py")):
        found += [
            f"criteria.{path.stem} imports {module}"
            for module in imports(path)
            if module.split(".")[0]
            not in {"rating", "__future__", "collections", "fractions", "itertools", "math"}
            or (module.split(".")[0] == "rating" and module != "rating.criterion")
        ]
    return found


def test_imports_point_one_way():
    """The rooms in the order of DEVELOPERS.md; the generic ones know nothing of cards."""
    assert breaches(ROOT) == []


def test_every_room_has_its_place():
    """A new room must be put into the order before it can be imported."""
    rooms = {
        path.name.removesuffix(".py") for path in (ROOT / "rating").iterdir() if path.suffix in {"", ".py"}
    }
    assert rooms - {"__init__", "__main__", "__pycache__"} == set(ORDER)


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
    for name in ("rating", "criteria"):
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__"))
    path = tmp_path / file
    path.write_text(path.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")
    assert any(told in one for one in breaches(tmp_path))
