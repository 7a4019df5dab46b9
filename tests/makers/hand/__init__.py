"""Makers made by hand: a folder each, with the files that were handed over, what was typed, and the truth."""

from __future__ import annotations

import json
from pathlib import Path

from makers.maker import Case, Typed
from makers.truth.facts import from_json

FOLDER = Path(__file__).parent


def hand_cases() -> list[Case]:
    """A case for each folder beside this file."""
    return [hand_case(path.parent) for path in sorted(FOLDER.glob("*/truth.json"))]


def hand_case(folder: Path) -> Case:
    """The case in a folder: every file but truth.json was handed over."""
    content = json.loads((folder / "truth.json").read_text(encoding="utf-8"))
    typed = content["typed"]
    files = {path.name: path.read_bytes() for path in sorted(folder.iterdir()) if path.name != "truth.json"}
    teams = tuple((name, code) for name, code in typed["teams"])
    return Case(
        folder.name, files, Typed(**{**typed, "teams": teams}), from_json(content), frozenset({"by hand"})
    )
