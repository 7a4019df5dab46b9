"""The sample season: laying it out in a folder and recording its history, step by step.

The history is in history.toml: on which day which release was graded, at which stage, with which scores as
they were then. Recording times are set from those days, so that the sample is the same wherever it is built.

Recordings are stamped at 20:00 UTC of their day.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from importlib import resources
from pathlib import Path

from rating import tomlfile
from rating.errors import RatingError
from rating.raters import Judgement
from rating.season.season import Season
from rating.tomlfile import TomlTable

PACKAGE = "sample_ratings"
HISTORY = "history.toml"
EARLIER = "earlier/2030"
MARKER = "boxwright-sample"
# recorded in the evening of the day it was published
_HOUR = time(20, 0, tzinfo=UTC)
_LEFT_OUT = {"__init__.py", "__pycache__", HISTORY}


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One recording: `left` are criteria not answered then, `judgements` scores that were others then.

    `refresh_demand`: who is wanted was taken from that day, not from when the release was first recorded.
    """

    on: date
    release: str
    stage: str
    withdraw: str
    reason_for_change: str
    left: tuple[str, ...]
    judgements: tuple[Judgement, ...]
    refresh_demand: bool


def build(target: Path, *, progress: Callable[[str], None] = lambda _: None) -> Season:
    """Lay out the sample season in a folder and record its history; gives the season.

    A folder that holds an earlier build is made anew; anything else in it is refused.

    Raises
    ------
    RatingError
        if something else is in the folder, or it cannot be written
    """
    source = Path(str(resources.files(PACKAGE).joinpath("season.toml"))).parent
    try:
        _clear(target)
        target.mkdir(parents=True, exist_ok=True)
        (target / f".{MARKER}").write_text(
            "made by 'boxwright demo'; made anew each time\n", encoding="utf-8"
        )
        shutil.copytree(
            source,
            target,
            dirs_exist_ok=True,
            ignore=lambda _, names: [name for name in names if name in _LEFT_OUT or name.endswith(".pyc")],
        )
    except OSError as fault:
        raise RatingError(
            f"the sample cannot be written: {fault.strerror}",
            where=str(target),
            fix="make room, or name another folder with --into",
        ) from fault
    for inner in (EARLIER, ""):
        season = Season.open(target / inner)
        steps = read_history(source / inner / HISTORY, rater=season.config.rater_keys[0])
        progress(f"recording {len(steps)} reviews of {season.config.name}")
        for step in steps:
            _record(season, step)
    return Season.open(target)


def _clear(target: Path) -> None:
    if not target.exists():
        return
    if not target.is_dir() or (any(target.iterdir()) and not (target / f".{MARKER}").is_file()):
        raise RatingError(
            "something else is in that place", where=str(target), fix="name another folder with --into DIR"
        )
    shutil.rmtree(target)


def read_history(path: Path, *, rater: str) -> list[Step]:
    """The steps of a history.toml, in the order of their days."""
    table = tomlfile.read(path)
    steps = [_step(inner, rater) for inner in table.tables("steps")]
    table.finish()
    tomlfile.finish(table)
    return sorted(steps, key=lambda step: step.on)


def _step(table: TomlTable, rater: str) -> Step:
    judgements = []
    for key, inner in table.named_tables("scores"):
        judgements.append(
            Judgement(
                rater=rater,
                criterion=key,
                score=inner.whole("score", high=100, required=True),
                reason=inner.text("reason", required=True, limit=1000) or "",
                spread=inner.whole("spread", high=50),
            )
        )
        inner.finish()
    step = Step(
        on=table.day("on", required=True) or date.min,
        release=table.text("release", required=True) or "",
        stage=table.text("stage") or "",
        withdraw=table.text("withdraw", limit=500) or "",
        reason_for_change=table.text("reason_for_change", limit=500) or "",
        left=table.texts("leave"),
        judgements=tuple(judgements),
        refresh_demand=table.flag("refresh_demand"),
    )
    table.finish()
    return step


def moment(day: date) -> datetime:
    """The hour of a day at which the sample's reviewer works."""
    return datetime.combine(day, _HOUR)


def _record(season: Season, step: Step) -> None:
    now = moment(step.on)
    if step.withdraw:
        season.withdraw(step.release, reason=step.withdraw, on=step.on, now=now)
        return
    rater = season.config.rater_keys[0]
    was_other = {*step.left, *(judgement.criterion for judgement in step.judgements)}
    given = [
        judgement
        for judgement in season.files.judgements(step.release)
        if judgement.rater != rater or judgement.criterion not in was_other
    ]
    draft = season.grade(
        step.release,
        stage=step.stage,
        on=step.on,
        judgements=[*given, *step.judgements],
        reason_for_change=step.reason_for_change,
        refresh_demand=step.refresh_demand,
    )
    if season.record(draft, now=now) is None:
        raise RatingError(
            f"the step of {step.on.isoformat()} changes nothing for {step.release}",
            where=HISTORY,
            fix="take the step out, or say what was different then",
        )
