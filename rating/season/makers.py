"""What a season knows of a maker's documents, in makers/<maker>.toml: answers given once, words for columns.

    format = 1

    [answers]                       # by the question's id, as an intake prints it
    "kind: steady hands" = "autograph"

    [columns]                       # the words that this maker writes over a column
    subject = ["Skater", "Signed by"]

    [[layouts]]                     # what the columns of a checklist were sure to hold, by its headings
    headings = ["Card", "Skater", "Zq"]
    columns = ["number", "subject", ""]  # blank is read anew each time, "nothing" leaves a column out

A person may edit it. A release without a maker in its release.toml has a file named after the release.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from rating import text, tomlfile
from rating.errors import RatingError
from rating.release import swap
from rating.release.intake import roles
from rating.release.intake.described import columns_from

FOLDER = "makers"
_FIX = 'write it as "kind: steady hands" = "autograph", under [answers]'


@dataclass(frozen=True, slots=True, kw_only=True)
class MakerWords:
    """Answers by the question's id, and words by the column that they stand over."""

    answers: Mapping[str, str] = field(default_factory=dict)
    columns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    layouts: Mapping[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict)


def path_of(season: Path, maker: str, release: str) -> Path:
    """The file of a maker, or of a release whose maker is not said."""
    name = text.slug_of(maker)
    return season / FOLDER / f"{release if text.why_no_slug(name) else name}.toml"


def read(path: Path) -> MakerWords:
    """What the file says; nothing where there is none.

    Raises
    ------
    RatingError
        if it is no TOML, of a newer format, or says something that is no answer and no column
    """
    if not path.exists():
        return MakerWords()
    name = f"{FOLDER}/{path.name}"
    table = tomlfile.read(path, file=name)
    answers = table.values.get("answers", {})
    if not isinstance(answers, dict) or not all(isinstance(one, str) for one in answers.values()):
        raise RatingError("answers is not a table of texts", where=name, fix=_FIX)
    return MakerWords(
        answers=answers,
        columns=columns_from(table.values.get("columns"), file=name),
        layouts=roles.layouts_from(table.values.get("layouts"), file=name),
    )


def keep(
    path: Path, answers: Mapping[str, str], layouts: Sequence[tuple[Sequence[str], Sequence[str]]] = ()
) -> bool:
    """Add answers and layouts to the file, comments and order kept; whether there was something new.

    A layout that is known stays as it stands there, which may be by a person's hand.

    Raises
    ------
    RatingError
        if the file is damaged or cannot be written
    """
    known = read(path)
    new = {name: choice for name, choice in answers.items() if known.answers.get(name) != choice}
    fresh = {
        roles.fingerprint(one[0]): one for one in layouts if roles.fingerprint(one[0]) not in known.layouts
    }
    if not new and not fresh:
        return False
    import tomlkit  # loaded for an edit only

    content = path.read_text(encoding="utf-8") if path.exists() else f"format = {tomlfile.FORMAT}\n"
    document = tomlkit.parse(content)
    if new and "answers" not in document:
        document["answers"] = tomlkit.table()
    for name, choice in sorted(new.items()):
        document["answers"][name] = choice
    for headings, columns in fresh.values():
        table = tomlkit.table()
        table["headings"], table["columns"] = list(headings), list(columns)
        document.setdefault("layouts", tomlkit.aot()).append(table)
    swap.write_whole(path, tomlkit.dumps(document).encode())
    return True
