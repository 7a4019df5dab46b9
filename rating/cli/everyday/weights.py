"""boxwright weights: choosing the points of the rubric, and what they move."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from rating.cli.shared import opening, options, printing, refusing

if TYPE_CHECKING:
    from rating.rubric.choosing import Answers, Proposal
    from rating.season.season import Season


def weights(
    method: Annotated[
        str, typer.Option("--method", metavar="METHOD", help="Ask by points, rank, swing or pairwise.")
    ] = "",
    rule: Annotated[
        str, typer.Option("--rule", metavar="RULE", help="For a rank order: centroid, sum or reciprocal.")
    ] = "",
    source: Annotated[
        Path | None, typer.Option("--from", metavar="FILE", help="Take the answers from a CSV file.")
    ] = None,
    keep: Annotated[
        Path | None, typer.Option("--keep", metavar="FILE", help="Keep the answers in a file for --from.")
    ] = None,
    compare: Annotated[
        bool, typer.Option("--compare", help="Show beside them what the recorded scores alone would give.")
    ] = False,
    profiles: Annotated[
        bool, typer.Option("--profiles", help="The place of each release for each kind of buyer.")
    ] = False,
    write: Annotated[
        bool, typer.Option("--write", help="Write the points into rubric.toml, with method and date.")
    ] = False,
    season_folder: options.SeasonFolder = None,
    as_json: options.AsJson = False,
    today: options.Today = None,
) -> None:
    """The rubric's points: choose them by points, rank order, swings or pairs, and see at once what moves.

    Example: boxwright weights --method swing --keep my-swings.csv
    """
    chooses = bool(method or source)
    _hold_options(method, rule, chooses=chooses, alone=profiles and bool(chooses or compare))
    _hold_choice(keep=keep, write=write, chooses=chooses)
    season = opening.opened(season_folder, today)
    if profiles:
        _profiles(season, as_json=as_json)
        return
    proposal = _proposal(season, method, rule, source, keep, as_json=as_json) if chooses else None
    if proposal and write:
        _write(season, proposal)
    _print(season, proposal, compare=compare, written=write, as_json=as_json)


def _write(season: Season, proposal: Proposal) -> None:
    from rating.season import folder
    from rating.season.scoring import weights as files

    path = season.path / folder.RUBRIC_FILE
    files.write(path, proposal.points, method=proposal.method, on=season.today)


def _print(season: Season, proposal: Proposal | None, *, compare: bool, written: bool, as_json: bool) -> None:
    from rating.answers import weights as answers
    from rating.cli.shown import weights as shown
    from rating.doubt import points

    table = season.table() if season.recorded.ledger.exists else None
    beside = points.from_scores(table) if compare and table else {}
    moved = points.moves(table, proposal.points) if proposal and table else None
    rubric, name = season.rubric, season.config.name
    if as_json:
        printing.data(
            answers.weights(
                rubric, season=name, proposal=proposal, beside=beside, moved=moved, written=written
            )
        )
        return
    shown.points(rubric, proposal, beside, season=name)
    if compare:
        shown.compared(beside)
    if proposal:
        shown.proposed(rubric, proposal, table, moved, written=written)


def _profiles(season: Season, *, as_json: bool) -> None:
    """Print the place of each release for each kind of buyer that season.toml names."""
    from rating.answers import weights as answers
    from rating.cli.shown import weights as shown
    from rating.doubt import points
    from rating.errors import RatingError

    wanted = season.files.profiles
    if not wanted:
        raise RatingError(
            "there are no profiles",
            where="season.toml",
            fix="add [profiles.NAME] with why and points for some criteria, such as design = 20",
        )
    opening.need_ledger(season)
    table, published = season.table(), season.rank()
    # who has no place among the published ones has none for a kind of buyer either
    table = table.only(table.ranked)
    tables = {name: points.under(table, weighed) for name, weighed in wanted.items()}
    profiles, name = season.config.profiles, season.config.name
    if as_json:
        places = {name: weighed.places() for name, weighed in tables.items()}
        printing.data(
            answers.profiles(
                profiles,
                season=name,
                as_of=season.today,
                points=wanted,
                published=published,
                places=places,
            )
        )
        return
    shown.profiles(profiles, tables, published, season=name, day=season.today)


def _hold_options(method: str, rule: str, *, chooses: bool, alone: bool) -> None:
    from rating.errors import RatingError
    from rating.rubric.choosing import METHODS, RULES

    if method:
        refusing.hold_to(METHODS, method, "method", where="--method")
    if rule:
        refusing.hold_to(tuple(RULES), rule, "rule", where="--rule")
        if method not in {"", "rank"} or not chooses:
            raise RatingError("a rule is for a rank order", where="--rule", fix="add --method rank")
    if alone:
        raise RatingError(
            "the profiles are shown alone", where="--profiles", fix="leave the other options out"
        )


def _hold_choice(*, keep: Path | None, write: bool, chooses: bool) -> None:
    from rating.errors import RatingError

    if (keep or write) and not chooses:
        raise RatingError(
            "no points are chosen",
            where="--write" if write else "--keep",
            fix="say how with --method, or take the answers from a file with --from",
        )
    if keep and keep.exists():
        raise RatingError("there is such a file already", where=str(keep), fix="name another one")


def _proposal(
    season: Season, method: str, rule: str, source: Path | None, keep: Path | None, *, as_json: bool
) -> Proposal:
    from rating.errors import RatingError
    from rating.release.swap import write_whole
    from rating.rubric import choosing
    from rating.season.scoring import weights as files

    if source:
        answers = files.read(source, season.rubric)
        if method not in {"", answers.method}:
            raise RatingError(
                f"the file holds answers by {answers.method}, not by {method}",
                where=source.name,
                fix="leave --method out, or name another file",
            )
    else:
        answers = _asked(season, method, as_json=as_json)
    if rule and answers.method != "rank":
        raise RatingError("a rule is for a rank order", where="--rule", fix="leave it out")
    proposal = choosing.propose(season.rubric, answers, rule=rule or "centroid")
    if keep:
        write_whole(keep, files.answers_text(answers).encode())
        printing.remark(f"wrote {keep}")
    return proposal


def _asked(season: Season, method: str, *, as_json: bool) -> Answers:
    """What a person answers at the terminal; nothing is written before the end."""
    from rating.errors import RatingError
    from rating.rubric import dialogue

    if as_json or not printing.is_terminal():
        raise RatingError(
            "a dialogue needs a terminal, and prints no JSON" if as_json else "a dialogue needs a terminal",
            where="--method",
            fix="write the answers into a file and pass it with --from",
        )

    def ask(prompt: str) -> str:
        try:
            return input(prompt)
        except EOFError:  # a dialogue that is broken off is none: nothing may come of half the answers
            raise KeyboardInterrupt from None

    from rating import money

    currency = season.config.currency
    questions = {
        key: money.in_currency(module.criterion.question, currency)
        for key, module in season.files.modules.items()
    }
    return dialogue.answers(season.rubric, method, questions=questions, ask=ask, say=printing.wrapped)
