"""Finding the criterion modules: the files of `criteria`, and packages that announce themselves.

A module that fails to load becomes a problem that names it, and the rest go on. A season folder never names
code to run.
"""

from __future__ import annotations

import hashlib
import importlib
import importlib.metadata
import importlib.util
import pkgutil
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

from rating.criterion import Answer, Criterion, Finding
from rating.errors import Problem, RatingError
from rating.facts.facts import Facts
from rating.facts.plain import Unknown

GROUP = "boxwright.criteria"
BUILT_IN = "criteria"


@dataclass(frozen=True, slots=True, kw_only=True)
class Module:
    """A criterion with the place it came from and the hash of its code."""

    criterion: Criterion
    origin: str
    code_hash: str

    @property
    def name(self) -> str:
        """Where it came from with its version: 'criteria.outlay 1'."""
        return f"{self.origin} {self.criterion.version}"

    def ask_of(self, facts: Facts) -> tuple[Answer | None, Problem | None]:
        """The module's answer; one that raises becomes unknown, with a problem that names it."""
        try:
            answer = self.criterion.ask_of(facts)
            if isinstance(answer, Finding):
                _ = answer.kept  # a measure that is no number is the module's fault, and told as such
            if isinstance(answer, Answer) or self.criterion.find is None:
                return answer, None
            what = f"gave {type(answer).__name__}, which is no answer"
        except (Exception, SystemExit) as fault:  # noqa: BLE001  (plug-in code may raise anything; it must not stop the rest)
            what = f"failed: {type(fault).__name__}: {fault}"
        problem = Problem(
            code="broken-criterion",
            what=f"the criterion module {self.origin} {what}",
            file=facts.release,
            fix="tell its author, or take its criterion out of rubric.toml",
        )
        return Unknown(f"its module {what}"), problem


def find_modules() -> tuple[Mapping[str, Module], list[Problem]]:
    """All criterion modules by their keys, built-in ones first, with a problem for each broken one."""
    modules: dict[str, Module] = {}
    problems: list[Problem] = []
    package = importlib.import_module(BUILT_IN)
    for info in sorted(pkgutil.iter_modules(package.__path__), key=lambda info: info.name):
        _take(modules, problems, f"{BUILT_IN}.{info.name}", f"{BUILT_IN}.{info.name}")
    points = importlib.metadata.entry_points(group=GROUP)
    for point in sorted(points, key=lambda point: (point.name, point.value)):
        _take(modules, problems, point.module, f"{point.name} ({point.value})")
    return modules, problems


def _take(modules: dict[str, Module], problems: list[Problem], name: str, shown: str) -> None:
    try:
        module = _module(importlib.import_module(name), shown)
        if module.criterion.key in modules:
            other = modules[module.criterion.key].origin
            raise ValueError(f"its key {module.criterion.key!r} is taken by {other}")  # noqa: TRY301  (told like any other breach)
        modules[module.criterion.key] = module
    except (Exception, SystemExit) as fault:  # noqa: BLE001  (importing plug-in code may raise anything)
        what = f"the criterion module {shown} cannot be used: {type(fault).__name__}: {fault}"
        fix = "mend or uninstall it; the other modules work"
        problems.append(Problem(code="broken-criterion", what=what, fix=fix))


def _module(loaded: ModuleType, shown: str) -> Module:
    criterion = getattr(loaded, "CRITERION", None)
    if not isinstance(criterion, Criterion):
        raise TypeError("it has no value CRITERION made by rating.criterion.Criterion")
    file = Path(loaded.__file__ or "")
    return Module(criterion=criterion, origin=shown, code_hash=hashlib.sha256(file.read_bytes()).hexdigest())


def load_file(path: Path) -> Module:
    """The module in a file, for testing it before it is installed.

    Raises
    ------
    RatingError
        if the file is missing or does not keep the contract
    """
    name = f"criterion_under_test_{hashlib.sha256(str(path).encode()).hexdigest()[:12]}"
    try:
        spec = importlib.util.spec_from_file_location(name, path)
        if spec is None or spec.loader is None:
            raise TypeError("it is no Python file")  # noqa: TRY301  (told like any other breach)
        loaded = importlib.util.module_from_spec(spec)
        sys.modules[name] = loaded
        spec.loader.exec_module(loaded)
        return _module(loaded, path.name)
    except (Exception, SystemExit) as fault:
        raise RatingError(
            f"the module does not keep the contract: {type(fault).__name__}: {fault}",
            where=str(path),
            fix="run 'boxwright criteria show outlay' and read that module as an example",
        ) from fault
    finally:
        sys.modules.pop(name, None)
