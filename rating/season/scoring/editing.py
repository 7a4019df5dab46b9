"""Editing a person's TOML file: comments and order are kept, and nothing else in it comes to be changed."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rating import tomlfile
from rating.errors import RatingError
from rating.release.swap import write_whole

if TYPE_CHECKING:
    import tomlkit


def parsed(path: Path, content: str) -> tomlkit.TOMLDocument:
    """The document that a text is, to be edited.

    Raises
    ------
    RatingError
        if it is no TOML
    """
    import tomlkit  # loaded for an edit only
    from tomlkit.exceptions import TOMLKitError

    tomlfile.parse(content, file=path.name)
    try:
        return tomlkit.parse(content)
    except TOMLKitError as fault:
        raise RatingError(f"this is not TOML: {fault}", where=path.name, fix="fix that line first") from fault


def values(content: str) -> dict[str, Any]:
    """What a text holds, numbers with a point as text, to be compared."""
    return tomllib.loads(content, parse_float=str)


def write(
    path: Path, document: tomlkit.TOMLDocument, expected: Mapping[str, Any], *, what: str, fix: str
) -> None:
    """Put an edited document in its file's place.

    Parameters
    ----------
    expected : what must be read from it, as `values` gives it: tomlkit mixes up tables made by dotted keys
    what, fix : said where it would be read as something else

    Raises
    ------
    RatingError
        if it would be, or the file cannot be written; it stays as it was
    """
    written = document.as_string()
    if values(written) != expected:
        raise RatingError(what, where=path.name, fix=fix)
    write_whole(path, written.encode())
