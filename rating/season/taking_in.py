"""Taking in a score sheet that came back: held against the season, compared with what stands, written."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from rating.errors import Problem, refuse_if_any
from rating.raters import Judgement
from rating.season import folder
from rating.season.files import SeasonFiles
from rating.season.scoring import scores, sheet
from rating.season.scoring.sheet import Marks, Returned


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What a rater says of a criterion now; `before` is None where nothing was said yet."""

    before: Judgement | None
    after: Judgement


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenIn:
    """A score sheet beside what the rater said before.

    changes : what is new or other than before
    same : the criteria of which the sheet says what stands already
    open : those left blank; what stands of them stays
    file : where the scores are kept, inside the season
    """

    marks: Marks
    title: str
    changes: tuple[Change, ...]
    same: tuple[str, ...]
    open: tuple[str, ...]
    file: str

    @property
    def replaced(self) -> tuple[Change, ...]:
        """The changes that put something else in the place of what was said."""
        return tuple(one for one in self.changes if one.before is not None)


def marks_of(files: SeasonFiles, release: str, rater: str) -> Marks:
    """What marks a score sheet of the season as it is now."""
    season_id, rubric = files.config.season_id or "", files.rubric.hash
    return Marks(season_id=season_id, release=release, rubric=rubric, rater=rater)


def compare(files: SeasonFiles, path: Path) -> TakenIn:
    """A score sheet that came back, beside what its rater said before. Nothing is written.

    Raises
    ------
    rating.errors.RatingError
        if it is no score sheet, or a guard refuses it
    rating.errors.Refused
        with every cell that cannot stand, or everything that it is not about
    """
    returned = sheet.read(path, criteria=tuple(one.key for one in files.rubric.criteria))
    _hold_to_season(files, returned)
    release, rater = returned.marks.release, returned.marks.rater
    stands = {one.criterion: one for one in files.judgements(release) if one.rater == rater}
    changes, same = [], []
    for one in returned.filled:
        before = stands.get(one.criterion)
        spread = before.spread if before is not None and one.score is not None else None
        after = Judgement(
            rater=rater, criterion=one.criterion, score=one.score, reason=one.reason, spread=spread
        )
        if after == before:
            same.append(one.criterion)
        else:
            changes.append(Change(before=before, after=after))
    return TakenIn(
        marks=returned.marks,
        title=files.sheet(release).title,
        changes=tuple(changes),
        same=tuple(same),
        open=returned.open,
        file=f"{folder.RELEASES}/{release}/scores.toml",
    )


def store(files: SeasonFiles, taken: TakenIn) -> None:
    """Write what changed, all of it or nothing.

    Raises
    ------
    rating.errors.RatingError
        if the scores cannot be written
    """
    if taken.changes:
        scores.write(files.path / taken.file, *(one.after for one in taken.changes))


def _hold_to_season(files: SeasonFiles, returned: Returned) -> None:
    """Refuse a sheet of another season, release, rubric or rater, with everything that is other."""
    marks, now = returned.marks, files.config
    told = []
    if marks.season_id != (now.season_id or ""):
        told.append(("it belongs to another season", f"take it in there; this one is {now.name}"))
    if marks.release not in files.slugs:
        told.append(
            (f"it scores {marks.release!r}, and this season has no such release", "see 'boxwright check'")
        )
    if marks.rubric != files.rubric.hash:
        told.append(
            (
                "it was written for another rubric: points or scales have changed since",
                "write a new one with 'boxwright scoresheet', and copy the scores that still hold",
            )
        )
    if marks.rater not in now.rater_keys:
        known = ", ".join(now.rater_keys)
        told.append((f"{marks.rater!r} is not a rater of this season", f"season.toml knows {known}"))
    refuse_if_any(
        Problem(code="other-sheet", file=returned.file, sheet=sheet.ABOUT, what=what, fix=fix)
        for what, fix in told
    )
