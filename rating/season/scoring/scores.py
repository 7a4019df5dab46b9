"""scores.toml: what the raters say of a release; read with every problem, edited with comments kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rating import tomlfile
from rating.criterion import REASON_LIMIT
from rating.errors import RatingError
from rating.raters import Judgement
from rating.season.scoring import editing
from rating.text import listed
from rating.tomlfile import TomlTable

if TYPE_CHECKING:
    import tomlkit


def read(table: TomlTable, *, raters: Sequence[str], criteria: Sequence[str]) -> tuple[Judgement, ...]:
    """The judgements that a parsed scores.toml holds; problems are left in the table for the caller."""
    judgements = []
    for rater in [key for key in table.values if key != "format"]:
        own = table.table(rater)
        if own is None:
            continue
        if rater not in raters:
            known = ", ".join(raters) or "nobody yet"
            table.complain(rater, "is not a rater", f"season.toml knows {known}", "unknown-rater")
            continue
        for criterion in list(own.values):
            inner = own.table(criterion)
            if inner is None:
                continue
            if criterion not in criteria:
                own.complain(
                    criterion,
                    "is not a criterion of the rubric",
                    f"use one of {', '.join(criteria)}",
                    "unknown-criterion",
                )
                continue
            judgement = _judgement(rater, criterion, inner)
            if judgement is not None:
                judgements.append(judgement)
    return tuple(judgements)


def _judgement(rater: str, criterion: str, table: TomlTable) -> Judgement | None:
    absent = table.text("does_not_apply", limit=REASON_LIMIT)
    if absent is not None:
        for name in ("score", "reason"):
            if table.values.get(name) is not None:
                table.complain(name, "stands beside does_not_apply", "keep one of the two")
        table.raw("score")
        table.raw("reason")
        table.text("note", limit=2000)
        table.finish()
        return Judgement(rater=rater, criterion=criterion, score=None, reason=absent)
    score = table.whole("score", high=100, required=True)
    spread = table.whole("spread", high=50)
    before = len(table.problems)
    reason = table.text(
        "reason",
        required=True,
        limit=REASON_LIMIT,
        fix="write why, in a sentence that can be read aloud: no score stands without a reason",
    )
    if reason is None and [problem.code for problem in table.problems[before:]] == ["missing-value"]:
        problem = table.problems.pop()
        table.complain("reason", "is missing or blank", problem.fix, "score-without-reason")
    table.text("note", limit=2000)
    table.finish()
    if score is None or reason is None:
        return None
    return Judgement(rater=rater, criterion=criterion, score=score, reason=reason, spread=spread)


def write(path: Path, *judgements: Judgement) -> None:
    """Put answers into scores.toml, all or none; comments, order and all other answers stay as they are.

    Raises
    ------
    RatingError
        if the file is no TOML, or cannot be written
    """
    content = tomlfile.read_text(path) if path.exists() else "format = 1\n"
    document = editing.parsed(path, content)
    expected = editing.values(content)
    for judgement in judgements:
        _enter(document, path, judgement)
        _put(expected.setdefault(judgement.rater, {}).setdefault(judgement.criterion, {}), judgement)
    names = [f"{one.rater}.{one.criterion}" for one in judgements]
    editing.write(
        path,
        document,
        expected,
        what=f"an answer to {listed(names)} cannot be put into this file without disturbing others",
        fix=f"write it by hand under the line [{names[0]}], and give other answers such lines too",
    )


def _enter(document: tomlkit.TOMLDocument, path: Path, judgement: Judgement) -> None:
    """Put one answer into a document, in tables of its own where there are none yet."""
    import tomlkit  # loaded for an edit only
    from tomlkit.items import InlineTable

    own = document.get(judgement.rater)
    if own is None:
        own = tomlkit.table(is_super_table=True)
        document[judgement.rater] = own
        own = document[judgement.rater]
    _hold_table(own, path, judgement.rater)
    entry = own.get(judgement.criterion)
    if entry is None:
        entry = tomlkit.inline_table() if isinstance(own, InlineTable) else tomlkit.table()
        own[judgement.criterion] = entry
        entry = own[judgement.criterion]
    _hold_table(entry, path, f"{judgement.rater}.{judgement.criterion}")
    _put(entry, judgement)


def _put(entry: Any, judgement: Judgement) -> None:
    """Put an answer into its table; what it does not say is taken out."""
    said = {"score": judgement.score, "reason": judgement.reason, "spread": judgement.spread}
    if judgement.score is None:
        said = {"does_not_apply": judgement.reason}
    for name in ("score", "reason", "spread", "does_not_apply"):
        value = said.get(name)
        if value is None:
            entry.pop(name, None)
        else:
            entry[name] = value


def _hold_table(value: object, path: Path, name: str) -> None:
    """Refuse to write into what is no table."""
    if not isinstance(value, dict):
        raise RatingError(
            f"{name} is not a table", where=path.name, fix=f"begin it with the line [{name}], or take it out"
        )
