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

from rating import fence, text
from rating.criterion import Answer, Criterion, checked
from rating.errors import Problem, RatingError, Severity
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

    def ask_of(self, facts: Facts, *, limit_s: float = fence.LIMIT_S) -> tuple[Answer | None, Problem | None]:
        """The module's answer; one that fails becomes unknown, with a problem that names it.

        Where it gives an answer and strays beside, by printing or by what it changes of the process, the
        answer stands and the problem is a remark.
        """
        ended = fence.run(lambda: self._answer(facts), limit_s=limit_s)
        if ended.failed:
            return Unknown(f"its module {ended.failed}"), self._problem(ended.failed, facts)
        if ended.strayed:
            what = f"{text.listed(list(ended.strayed))}; it was put back"
            return ended.value, self._problem(what, facts, severity="remark")
        return ended.value, None

    def _answer(self, facts: Facts) -> Answer | None:
        answer = self.criterion.ask_of(facts)
        return None if answer is None and self.criterion.find is None else checked(answer)

    def _problem(self, what: str, facts: Facts, *, severity: Severity = "error") -> Problem:
        return Problem(
            code="broken-criterion",
            what=f"the criterion module {self.origin} {what}",
            file=facts.release,
            fix="tell its author, or take its criterion out of rubric.toml",
            severity=severity,
        )


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
    ended = fence.run(lambda: _module(importlib.import_module(name), shown))
    module, failed = ended.value, ended.failed.removeprefix("failed: ")
    if module is not None and module.criterion.key in modules:
        other = modules[module.criterion.key].origin
        failed = f"ValueError: its key {module.criterion.key!r} is taken by {other}"
    if module is None or failed:
        what = f"the criterion module {shown} cannot be used: {failed}"
        fix = "fix or uninstall it; the other modules work"
        problems.append(Problem(code="broken-criterion", what=what, fix=fix))
        return
    modules[module.criterion.key] = module


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
        ended = fence.run(lambda: _loaded(path, name))
    finally:
        sys.modules.pop(name, None)
    if ended.value is None:
        raise RatingError(
            f"the module breaks the contract: {ended.failed.removeprefix('failed: ')}",
            where=str(path),
            fix="run 'boxwright criteria show outlay' and read that module as an example",
        )
    return ended.value


def _loaded(path: Path, name: str) -> Module:
    spec = importlib.util.spec_from_file_location(name, path)
    if spec is None or spec.loader is None:
        raise TypeError("it is not a Python file")
    loaded = importlib.util.module_from_spec(spec)
    sys.modules[name] = loaded
    spec.loader.exec_module(loaded)
    return _module(loaded, path.name)
