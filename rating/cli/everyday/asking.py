"""Asking a person for scores at the terminal, with the evidence in view; answers go into scores.toml."""

from __future__ import annotations

from typing import TYPE_CHECKING

import typer

from rating.cli.shared import printing, refusing

if TYPE_CHECKING:
    from rating.raters import Judgement
    from rating.registry import Module
    from rating.season.season import Season


def ask(season: Season, release: str, *, rater: str, stage: str) -> None:
    """Go through what cannot be computed, by design or not yet, and write each answer at once.

    A blank answer leaves a criterion as it is; `-` says that it does not apply; `q` ends the round.
    """
    from rating.errors import RatingError
    from rating.season import folder
    from rating.season.scoring import scores

    keys = season.config.rater_keys
    who = rater or keys[0]
    refusing.hold_to(keys, who, "rater", where="--rater")
    if not printing.is_terminal():
        raise RatingError(
            "--ask needs a terminal",
            where="standard input",
            fix=f"write the scores into {folder.RELEASES}/{release}/scores.toml instead",
        )
    path = folder.release_folder(season.path, release) / "scores.toml"
    facts = season.facts(release)
    given = {(one.rater, one.criterion): one for one in season.files.judgements(release)}
    without = season.grade(release, stage=stage, judgements=()).graded
    open_keys = {one.criterion for one in without.unknown}
    asked = [
        module
        for one in season.rubric.criteria
        if one.key in open_keys and (module := season.files.modules.get(one.key)) is not None
    ]
    _evidence(facts)
    typer.echo(
        f"\n{len(asked)} questions for {season.config.rater_name(who)}. 50 is what a typical release offers."
    )
    typer.echo("Enter leaves an answer as it is, - says it does not apply, q ends the round.")
    for number, module in enumerate(asked, start=1):
        answer = _one(module, given.get((who, module.criterion.key)), who, f"{number} of {len(asked)}", stage)
        if answer == "end":
            break
        if answer is not None and not isinstance(answer, str):
            scores.write(path, answer)
            typer.echo("  written.")
    typer.echo("")


def _evidence(facts: object) -> None:
    from rating.facts import sections
    from rating.facts.facts import Facts

    if not isinstance(facts, Facts):
        raise TypeError("the evidence is made from facts")
    printing.say(facts.title)
    for one in sections.SECTIONS:
        printing.paragraph(f"{one.key}: {one.told(facts)}")


def _one(
    module: Module, before: Judgement | None, who: str, place: str, stage: str
) -> Judgement | str | None:
    from rating.criterion import GUIDE
    from rating.raters import Judgement

    one = module.criterion
    printing.heading(f"{one.key}, {place}")
    printing.paragraph(one.question)
    for score, words in zip(GUIDE, one.guidance, strict=True):
        printing.say(f"  {score:>3}  {words}")
    if one.provisional_until and stage not in {"in-hand", "settled"}:
        printing.say(f"  (a first impression until the release is {one.provisional_until})")
    if before is not None:
        shown = before.score if before.score is not None else "does not apply"
        printing.paragraph(f"Now: {shown}. {before.reason}", indent="  ")
    while True:
        written = _read("  score 0 to 100: ")
        if written == "":
            return None
        if written == "q":
            return "end"
        if written == "-":
            reason = _reason("  why does it not apply? ", "")
            if reason is None:
                return "end"
            return Judgement(rater=who, criterion=one.key, score=None, reason=reason)
        if written.isascii() and written.isdigit() and int(written) <= 100:
            break
        typer.echo("  a whole number from 0 to 100, please")
    reason = _reason("  reason: ", before.reason if before and before.score is not None else "")
    if reason is None:
        return "end"
    return Judgement(
        rater=who,
        criterion=one.key,
        score=int(written),
        reason=reason,
        spread=before.spread if before else None,
    )


def _reason(prompt: str, before: str) -> str | None:
    """A reason that can be kept, None where the round ends: half an answer is not written."""
    from rating import text
    from rating.criterion import REASON_LIMIT

    while True:
        written = text.tidy(_read(prompt))
        if written == "q":
            return None
        if not written and before:
            return before
        if mark := text.bad_marks(written):
            typer.echo(f"  it holds the invisible mark {mark}; type it anew")
        elif len(written) > REASON_LIMIT:
            typer.echo(f"  that is {len(written)} characters; at most {REASON_LIMIT}")
        elif written:
            return written
        else:
            typer.echo("  no score stands without a reason: one sentence you could read aloud")


def _read(prompt: str) -> str:
    try:
        return input(prompt).strip()
    except EOFError:
        typer.echo("")
        return "q"
