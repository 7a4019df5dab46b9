"""Taking files in for a release of a season, and what that does to its recorded review."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from rating import tenths, text, tomlfile
from rating.errors import RatingError
from rating.ledger.ledger import Entry
from rating.release import CHECKLIST
from rating.release.intake import Answers, IntakeResult, SeasonWords, TeamWords, forget, roles, take_in
from rating.release.intake.described import columns_from, joined_columns
from rating.release.intake.record import read_record
from rating.release.intake.values import TeamShown
from rating.season import folder, makers, teams
from rating.season.recording import Draft
from rating.season.season import Season


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What new tables do to a release with a recorded review: the grades and the criteria that move."""

    recorded_on: str
    recorded: int | None
    before: int | None
    after: int | None
    scores: tuple[tuple[str, int | None, int | None], ...]
    facts_moved: bool
    told: str


def words_of(season: Season, slug: str) -> SeasonWords:
    """What the season knows and an intake needs."""
    others = [one for one in season.files.slugs if one != slug]
    subjects: dict[str, None] = dict.fromkeys(one.subject for one in season.files.rookies or ())
    for other in others:
        path = folder.release_folder(season.path, other) / CHECKLIST.file
        if path.exists():
            try:
                cards, _ = CHECKLIST.read(path)
            except RatingError:
                continue  # a damaged checklist of another release is for `check` to report
            subjects.update(dict.fromkeys(name for card in cards for name in card.subjects))
    own, lines = "", set()
    for key in season.files.slugs:
        try:
            line = folder.read_sheet(season.path, key)[0].line
        except RatingError:
            continue
        if key == slug:
            own = line
        elif line:
            lines.add(line)
    table = tomlfile.read(season.path / folder.SEASON_FILE)
    known = makers.read(makers_file(season, slug))
    columns = columns_from(table.values.get("columns"), file=folder.SEASON_FILE)
    return SeasonWords(
        teams=tuple(
            TeamWords(name=one.name, code=one.code, aliases=one.aliases) for one in season.config.teams
        ),
        currency=season.config.currency,
        date_order=season.config.date_order,
        decimal_mark=season.config.decimal_mark,
        columns=joined_columns(columns, known.columns),
        answers=known.answers,
        layouts=known.layouts,
        subjects=tuple(subjects),
        other_lines=tuple(sorted(line for line in lines if text.key(line) != text.key(own))),
    )


def makers_file(season: Season, slug: str) -> Path:
    """Where answers about the documents of this release's maker are kept."""
    return makers.path_of(season.path, folder.read_sheet(season.path, slug)[0].maker, slug)


def take_in_for(
    season: Season,
    slug: str,
    files: Sequence[Path],
    *,
    replace: bool = False,
    yes: bool = False,
    corrections: Mapping[str, tuple[str, str, str]] | None = None,
    answers: Mapping[str, str] | None = None,
    instead_of: str = "",
) -> tuple[IntakeResult, Effect | None]:
    """Take files in for a release; with what that does to its recorded review, where it has one.

    `corrections` are cards by doubtful title, `answers` choices by the id of a question; those that settled
    one are kept for the maker's next release, in its file under makers/. `instead_of` names a file that was
    taken in before and whose place the one file takes.

    Raises
    ------
    RatingError
        if there is no such release, or a file is refused
    """
    folder.read_sheet(season.path, slug)  # refuses a release that is not there
    words = words_of(season, slug)
    given = dict(answers or {})
    known = Answers({**words.answers, **given})

    def run(path: Path) -> IntakeResult:
        return take_in(
            path,
            files,
            season=dataclasses.replace(words, answers=known),
            today=season.today,
            replace=replace,
            yes=yes,
            corrections=corrections,
            instead_of=instead_of,
        )

    result, effect = _with_effect(season, slug, run)
    return _kept(result, given, known, makers_file(season, slug)), effect


def forget_for(season: Season, slug: str, file: str) -> tuple[IntakeResult, Effect | None]:
    """Take back what a file brought into a release; with what that does to its recorded review.

    Raises
    ------
    RatingError
        if there is no such release, or no file of that name was taken in
    """
    folder.read_sheet(season.path, slug)  # refuses a release that is not there
    words = words_of(season, slug)
    return _with_effect(season, slug, lambda path: forget(path, file, season=words, today=season.today))


def add_teams(season: Season, shown: Sequence[TeamShown]) -> Season:
    """The season with teams added to its season.toml.

    Raises
    ------
    RatingError
        if season.toml is damaged or cannot be written
    """
    teams.add(season.path, shown)
    return Season.open(season.path, today=season.today)


def _with_effect(
    season: Season, slug: str, run: Callable[[Path], IntakeResult]
) -> tuple[IntakeResult, Effect | None]:
    path = folder.release_folder(season.path, slug)
    before = _grading(season, slug)
    lists = [one for one in read_record(path).sources if "checklist" in one.read_as or "odds" in one.read_as]
    result = run(path)
    if before is None or not result.changes:
        return result, None
    after = _grading(Season.open(season.path, today=season.today), slug)
    if after is None or after.recorded is None:
        return result, None
    return result, _effect(before, after, after.recorded, result, lists[-1].taken_on if lists else "")


def _kept(result: IntakeResult, given: Mapping[str, str], known: Answers, path: Path) -> IntakeResult:
    """The result with what became of the answers; those that settled a question, and layouts, are kept."""
    asked = {one.id for one in result.questions}
    settled = {name: choice for name, choice in given.items() if name in known.used and name not in asked}
    notes = []
    misread = {(one.file, one.sheet) for one in result.questions if one.topic == "list"}
    layouts = [
        layout
        for one in result.readings
        if one.read_as == "checklist"
        and (one.file, one.sheet) not in misread
        and any(layout := roles.to_keep(one))
    ]
    file = f"{makers.FOLDER}/{path.name}"
    if makers.keep(path, settled):
        notes.append(f"{text.count(len(settled), 'answer')} kept in {file}")
    if makers.keep(path, {}, layouts):
        notes.append(
            f"how the checklist's columns were read is kept in {file}, for this maker's next release"
        )
    for name in sorted(given.keys() - settled.keys()):
        why = (
            "is not a choice of its question" if name in asked else "belongs to no question about these files"
        )
        notes.append(f"the answer to {name!r} {why}; it was not used")
    return dataclasses.replace(result, notes=(*result.notes, *notes))


def _grading(season: Season, slug: str) -> Draft | None:
    """The grading from the files as they are; None without a recorded review, or where it is impossible."""
    if slug not in season.recorded.current:
        return None
    try:
        return season.grade(slug)
    except RatingError:
        return None  # what is wrong with the files is told by `check`; the intake may well mend it


def _effect(before: Draft, after: Draft, recorded: Entry, result: IntakeResult, list_of: str) -> Effect:
    then = {line.score.criterion: line.score.score for line in before.graded.contributions}
    now = {line.score.criterion: line.score.score for line in after.graded.contributions}
    moved = tuple(
        (key, then.get(key), now.get(key))
        for key in dict.fromkeys((*then, *now))
        if then.get(key) != now.get(key)
    )
    changed = result.changed
    cards = sum(one.table == CHECKLIST.file for one in result.changes)
    shown = text.count(cards, "card") if cards else text.count(sum(changed.values()), "row")
    since = f"used the list of {list_of}" if list_of else f"is of {recorded.published_on}"
    old, new = recorded.grade, after.graded.grade
    if old == new:
        what = f"the grade would stay at {_shown(new)}"
    else:
        what = f"the grade would go from {_shown(old)} to {_shown(new)}"
    told = f"Your recorded review {since}; {shown} changed; {what}."
    if moved:
        told += " " + text.listed([f"{key} {_score(a)} to {_score(b)}" for key, a, b in moved]) + "."
    if before.review.facts != after.review.facts and not moved:
        told += " The facts behind it have changed."
    if old != new or moved:
        told += " 'boxwright grade RELEASE --record --because TEXT' would put that into the ledger."
    return Effect(
        recorded_on=recorded.published_on,
        recorded=recorded.grade,
        before=old,
        after=new,
        scores=moved,
        facts_moved=before.review.facts != after.review.facts,
        told=told,
    )


def _shown(grade: int | None) -> str:
    return "no grade" if grade is None else tenths.show(grade)


def _score(score: int | None) -> str:
    return "open" if score is None else str(score)
