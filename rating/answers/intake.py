"""The answer of `intake`: what became of every row, and what that does to a recorded review."""

from __future__ import annotations

from typing import Any

from rating.answers import parts
from rating.release.intake.values import (
    Change,
    Doubtful,
    IntakeResult,
    Proposal,
    Question,
    SetAside,
    SheetReading,
    Tally,
)
from rating.season.intake import Effect


def intake(release: str, result: IntakeResult, effect: Effect | None = None) -> dict[str, Any]:
    """What an intake did for a release, with its effect where the release has a recorded review."""
    answer = {"release": release, **taken(result)}
    return answer if effect is None else {**answer, "review": _effect(effect)}


def taken(result: IntakeResult) -> dict[str, Any]:
    """What became of every row, and how the tables changed."""
    return {
        "tables": dict(result.tables),
        "set_aside": [_set_aside(one) for one in result.set_aside],
        "problems": [parts.problem(one) for one in result.problems],
        "repaired": [
            {"file": one.file, "sheet": one.sheet, "row": one.row, "was": one.was, "is": one.now}
            for one in result.repaired
        ],
        "changed": result.changed,
        "changes": [_change(one) for one in result.changes],
        "questions": [_question(one) for one in result.questions],
        "doubtful": [_doubtful(one) for one in result.doubtful],
        "proposals": [_proposal(one) for one in result.proposals],
        "kept": list(result.kept),
        "rows": [_tally(one) for one in result.tallies],
        "readings": [_reading(one) for one in result.readings],
        "matches": dict(result.matches),
        "presales": [{"file": file, "row": row, "title": title} for file, row, title in result.presales],
        "notes": list(result.notes),
        "teams": [{"name": one.name, "code": one.code, "division": one.division} for one in result.teams],
        "written": list(result.written),
    }


def _question(one: Question) -> dict[str, Any]:
    tabled = [{"table": table, "row": row, "column": column} for table, row, column in one.tabled]
    return {
        "file": one.file,
        "sheet": one.sheet,
        "row": one.row,
        "what": one.what,
        "meanwhile": one.meanwhile,
        "id": one.id,
        "about": one.about,
        "choices": list(one.choices),
        "cells": [*(one.cells or ([] if one.row is None else [f"{one.row}"])), *tabled],
        "facts": one.weight,
    }


def _reading(one: SheetReading) -> dict[str, Any]:
    columns = [
        {"heading": column.heading, "role": column.role, "margin": round(column.margin, 2)}
        for column in one.columns
    ]
    return {
        "file": one.file,
        "sheet": one.sheet,
        "read_as": one.read_as,
        "columns": columns,
        "examples": list(one.examples),
    }


def _set_aside(one: SetAside) -> dict[str, Any]:
    shown = {"file": one.file, "sheet": one.sheet, "row": one.row, "text": one.text, "why": one.why}
    return shown if one.rows == 1 else {**shown, "rows": one.rows}


def _change(one: Change) -> dict[str, Any]:
    return {
        "table": one.table,
        "how": one.how,
        "key": list(one.key),
        "before": list(one.before),
        "after": list(one.after),
    }


def _doubtful(one: Doubtful) -> dict[str, Any]:
    return {
        "file": one.file,
        "row": one.row,
        "title": one.title,
        "why": one.why,
        "guesses": [" ".join(part for part in card if part) for card in one.guesses],
    }


def _proposal(one: Proposal) -> dict[str, Any]:
    return {
        "where": one.where,
        "value": one.shown,
        "words": one.words,
        "sure": one.sure,
        "taken": one.taken,
        "there": one.there,
    }


def _tally(one: Tally) -> dict[str, Any]:
    return {
        "file": one.file,
        "sheet": one.sheet,
        "read_as": one.read_as,
        "rows": one.rows,
        "taken": dict(one.taken),
        "set_aside": one.set_aside,
        "problems": one.problems,
    }


def _effect(effect: Effect) -> dict[str, Any]:
    return {
        "recorded_on": effect.recorded_on,
        "grade_before": parts.points(effect.before),
        "grade_after": parts.points(effect.after),
        "scores": [{"criterion": key, "before": a, "after": b} for key, a, b in effect.scores],
        "facts_changed": effect.facts_moved,
        "told": effect.told,
    }
