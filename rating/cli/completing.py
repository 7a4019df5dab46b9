"""What a shell may offer while a command is typed: commands, options, and the season's own words.

Loading the commands takes longer than a person waits for a word, so nothing of them is loaded. Which options
a command has is read from its source; `tests/cli/test_completing.py` holds that against the commands.
Whatever goes wrong, a shell is offered nothing: a completion has nowhere to put a message.
"""

from __future__ import annotations

import ast
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NamedTuple

from rating.cli.commands import COMMANDS, GROUPS, place_of

_HERE = Path(__file__).parent
_HELP = ("--help", "-h")
_SCHEMA = "--json-schema"


class Parameters(NamedTuple):
    """What a command takes.

    options
        how many words follow each option, and what they are called
    arguments
        what its arguments are called, in their order
    """

    options: Mapping[str, tuple[int, str]]
    arguments: Sequence[str]


def version() -> str:
    """The version of the program, as it is told."""
    from importlib.metadata import version as installed

    return f"boxwright {installed('boxwright')}"


def answer(words: Sequence[str]) -> int:
    """Print what may stand in the place of the last of some words, a line each; gives the exit code."""
    try:
        found = offers(words, here=Path.cwd(), environment=os.environ)
    except Exception:  # noqa: BLE001  (a shell in the middle of a line has no place for a message)
        return 1
    sys.stdout.write("".join(f"{one}\n" for one in found))
    return 0


def offers(words: Sequence[str], *, here: Path, environment: Mapping[str, str]) -> list[str]:
    """What may stand in the place of the last of some words, which may be blank or begun.

    Parameters
    ----------
    words : what was typed after the name of the program
    here : the current folder
    """
    *before, begun = words or [""]
    return [
        one for one in _candidates(before, begun, _Season(here, environment, before)) if one.startswith(begun)
    ]


def _candidates(before: Sequence[str], begun: str, season: _Season) -> Sequence[str]:
    if not before:
        firsts = list(dict.fromkeys(name.partition(" ")[0] for name in COMMANDS))
        return firsts if not begun.startswith("-") else [*_HELP, "--version"]
    if before[0] in GROUPS and len(before) == 1:
        seconds = [name.partition(" ")[2] for name in COMMANDS if name.startswith(f"{before[0]} ")]
        return seconds if not begun.startswith("-") else _HELP
    length = 2 if before[0] in GROUPS else 1
    name = " ".join(before[:length])
    if name not in COMMANDS:
        return ()
    known = parameters(name)
    place, wanted = _position(before[length:], known)
    if wanted is not None:
        return season.offered(wanted, known.options[wanted][1])
    if begun.startswith("-"):
        return [*known.options, *_HELP]
    arguments = known.arguments
    if not arguments or (place >= len(arguments) and not arguments[-1].endswith("...")):
        return ()
    return season.offered(name, arguments[min(place, len(arguments) - 1)])


def _position(words: Sequence[str], known: Parameters) -> tuple[int, str | None]:
    """How many arguments stand in some words, and the option that still waits for a word."""
    arguments, waiting, left = 0, None, 0
    for word in words:
        if left:
            left -= 1
        elif word in known.options and word.startswith("-"):
            waiting, left = word, known.options[word][0]
        elif not word.startswith("-"):
            arguments += 1
    return arguments, waiting if left else None


# what a command takes ------------------------------------------------------------------------------------


def parameters(name: str) -> Parameters:
    """What a command takes, read from its source."""
    module, function = place_of(name)
    shared = _aliases(ast.parse((_HERE / "shared" / "options.py").read_text(encoding="utf-8")))
    tree = ast.parse((_HERE / f"{module.replace('.', '/')}.py").read_text(encoding="utf-8"))
    found = next(one for one in tree.body if isinstance(one, ast.FunctionDef) and one.name == function)
    options: dict[str, tuple[int, str]] = {}
    arguments: list[str] = []
    for one in (*found.args.args, *found.args.kwonlyargs):
        told = one.annotation
        if isinstance(told, ast.Attribute):
            told = shared[told.attr]
        if not (isinstance(told, ast.Subscript) and isinstance(told.slice, ast.Tuple)):
            continue
        kind, call = told.slice.elts[:2]
        if not (isinstance(call, ast.Call) and isinstance(call.func, ast.Attribute)):
            continue
        metavar = next((_text(more.value) for more in call.keywords if more.arg == "metavar"), "")
        if call.func.attr == "Argument":
            arguments.append(metavar)
            continue
        number = 0 if ast.unparse(kind) == "bool" else 2 if "tuple" in ast.unparse(kind) else 1
        for declared in call.args:
            options |= dict.fromkeys(_text(declared).split("/"), (number, metavar))
        if "--json" in options:
            options.setdefault(_SCHEMA, (0, ""))
    return Parameters(options, arguments)


def _aliases(tree: ast.Module) -> dict[str, ast.expr]:
    """The parameters that several commands take, by their names in `shared.options`."""
    return {
        target.id: one.value
        for one in tree.body
        if isinstance(one, ast.Assign)
        for target in one.targets
        if isinstance(target, ast.Name)
    }


def _text(node: ast.expr) -> str:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else ""


# the season's own words ----------------------------------------------------------------------------------


class _Season:
    """The words of the season that a command line speaks of."""

    def __init__(self, here: Path, environment: Mapping[str, str], before: Sequence[str]) -> None:
        self._here, self._environment, self._before = here, environment, before

    def offered(self, asking: str, called: str) -> Sequence[str]:
        """The words for an option, or an argument of a command, by what it is called."""
        ways: dict[str, Callable[[], Sequence[str]]] = {
            "RELEASE": self._releases,
            "CRITERION": self._criteria,
            "CRITERION=POINTS": lambda: [f"{one}=" for one in self._criteria()],
            "STAGE": _stages,
            "SECTION": _sections,
            "CLASS": lambda: self._named("season.toml", "classes"),
            "KEY": lambda: self._named("season.toml", "raters", "key"),
            "SHELL": lambda: ("bash", "zsh", "fish"),
            "CODE": _words,
            "FORMAT": self._formats,
            "KIND": lambda: ("list", "presale", "street", "restock"),
            "UNIT": lambda: ("pack", "box", "case"),
        }
        if asking == "--drop":
            return [*self._criteria(), *self._groups()]
        if asking == "--section":
            return _sections()
        way = ways.get(called.strip("[].") or "", lambda: ())
        return way()

    def _folder(self) -> Path | None:
        from rating.season import place

        given = next(
            (
                Path(word)
                for flag, word in zip(self._before, self._before[1:], strict=False)
                if flag == "--season"
            ),
            None,
        )
        return place.search(given, here=self._here, environment=self._environment)

    def _releases(self) -> Sequence[str]:
        from rating.season import place

        folder = self._folder()
        return place.slugs(folder) if folder else ()

    def _read(self, file: str) -> Mapping[str, object]:
        import tomllib

        folder = self._folder()
        if folder is None or not (folder / file).is_file():
            return {}
        return tomllib.loads((folder / file).read_text(encoding="utf-8-sig"))

    def _criteria(self) -> Sequence[str]:
        """Those of the season's rubric, or of the program where there is no season."""
        found = self._read("rubric.toml").get("criteria")
        if isinstance(found, dict):
            return list(found)
        return sorted(one.stem for one in (_HERE.parents[1] / "criteria").glob("[a-z]*.py"))

    def _formats(self) -> Sequence[str]:
        """Those of the release that was named."""
        releases = self._releases()
        named = next((word for word in self._before if word in releases), "")
        found = self._read(f"releases/{named}/release.toml").get("formats") if named else None
        return list(found) if isinstance(found, dict) else ()

    def _groups(self) -> Sequence[str]:
        found = self._read("rubric.toml").get("groups")
        return list(found) if isinstance(found, dict) else ()

    def _named(self, file: str, table: str, key: str = "name") -> Sequence[str]:
        found = self._read(file).get(table)
        return [str(one[key]) for one in found if key in one] if isinstance(found, list) else ()


def _words() -> Sequence[str]:
    from rating.cli import words

    return list(words.everything())


def _stages() -> Sequence[str]:
    from rating.stage import STAGES

    return STAGES


def _sections() -> Sequence[str]:
    """The sections of facts, in the order of `rating.facts.sections`."""
    import re

    source = (_HERE.parent / "facts" / "sections.py").read_text(encoding="utf-8")
    return re.findall(r"^    (\w+)\.SECTION,", source, re.MULTILINE)
