"""What a package says is public is there, is told in its docstring, and is all that others use of it."""

from __future__ import annotations

import ast
import doctest
import importlib
import re
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGES = (
    "answers", "core", "doubt", "export", "facts", "facts.breaks", "facts.falling", "facts.worth", "ledger",
    "numerics", "rubric", "season", "season.context", "season.lookup", "season.scoring", "season.settings",
    "sensitivity",
)  # fmt: skip


def folder_of(package):
    return (ROOT / "rating").joinpath(*package.split("."))


def modules_of(package):
    """The modules of a package, a folder of modules as one."""
    modules = {path.stem for path in folder_of(package).glob("*.py")} - {"__init__"}
    return modules | {path.parent.name for path in folder_of(package).glob("*/__init__.py")}


@cache
def imports(path):
    """Where a file imports names from, with the names."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [
        (node.module or "", [alias.name for alias in node.names])
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom)
    ]


def used_by_others(package):
    """The modules of a package that files of the program outside it import."""
    used = set()
    for path in (path for folder in ("rating", "criteria") for path in (ROOT / folder).rglob("*.py")):
        if path.is_relative_to(folder_of(package)):
            continue
        for module, names in imports(path):
            if module == f"rating.{package}":
                used |= set(names)
            elif module.startswith(f"rating.{package}."):
                used.add(module.removeprefix(f"rating.{package}.").split(".")[0])
    return used


@pytest.mark.parametrize("package", PACKAGES)
def test_others_use_only_what_a_package_gives(package):
    """A module that is not in `__all__` is imported inside its own room alone."""
    public = set(importlib.import_module(f"rating.{package}").__all__)
    assert public <= modules_of(package)
    assert used_by_others(package) <= public


@pytest.mark.parametrize("package", PACKAGES)
def test_a_docstring_names_every_module_and_only_what_is_there(package):
    """Public modules head a line or follow the word; private ones follow `Private:`."""
    loaded = importlib.import_module(f"rating.{package}")
    told, _, kept_back = loaded.__doc__.partition("Private:")
    private = modules_of(package) - set(loaded.__all__)
    assert set(loaded.__all__) <= set(re.findall(r"`(\w+)`", told))
    assert private <= set(re.findall(r"`(\w+)`", kept_back))
    names = set(loaded.__all__) | {package.split(".")[-1]}
    for module in loaded.__all__:
        names |= set(vars(importlib.import_module(f"rating.{package}.{module}")))
    assert set(re.findall(r"`(\w+)`", told)) <= names


@pytest.mark.parametrize("package", PACKAGES)
def test_the_examples_of_a_docstring_say_what_comes_out(package):
    """They are worked by hand, and run."""
    assert doctest.testmod(importlib.import_module(f"rating.{package}")).failed == 0


@pytest.mark.parametrize("package", ["core", "sensitivity", "numerics"])
def test_kernels_are_shown_at_work(package):
    """A package of numbers has an example, so that the test above holds something."""
    assert doctest.testmod(importlib.import_module(f"rating.{package}")).attempted > 1
