"""The command line: one thin module a command, and the one place where errors become text and a code."""

from __future__ import annotations

import os
import sys
import traceback

import typer

from rating import text
from rating.cli.criteria import listing, show, try_out
from rating.cli.everyday import (
    check,
    facts,
    find,
    grade,
    intake,
    slots,
    stability,
    standings,
    weights,
    what_if,
    why,
)
from rating.cli.export import tables, workbook
from rating.cli.ledger import history, verify, withdraw
from rating.cli.season import add, demo, start
from rating.cli.shared import options, screen
from rating.errors import RatingError

FAULT_OF_OURS = 70

app = typer.Typer(
    name="boxwright",
    help="Turn a trading-card release into facts, a reasoned grade and a place in its season.",
    epilog="Start with: boxwright demo. Any command takes --help, and --debug to show where a fault arose.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
app.command("demo")(demo.demo)
app.command("start")(start.start)
app.command("add")(add.add)
app.command("intake")(intake.intake)
app.command("check")(check.check)
app.command("facts")(facts.facts)
app.command("find")(find.find)
app.command("slots")(slots.slots)
app.command("grade")(grade.grade)
app.command("standings")(standings.standings)
app.command("stability")(stability.stability)
app.command("weights")(weights.weights)
app.command("what-if")(what_if.what_if)
app.command("why")(why.why)
_export = options.group("Write the season for others: a workbook that recomputes, or plain tables.")
_export.command("workbook")(workbook.workbook)
_export.command("tables")(tables.tables)
app.add_typer(_export, name="export")

_ledger = options.group("History, withdrawal and proof of the recorded reviews.")
_ledger.command("history")(history.history)
_ledger.command("withdraw")(withdraw.withdraw)
_ledger.command("verify")(verify.verify)
app.add_typer(_ledger, name="ledger")

_criteria = options.group("List, show and test the criteria.")
_criteria.command("list")(listing.list_)
_criteria.command("show")(show.show)
_criteria.command("test")(try_out.try_out)
app.add_typer(_criteria, name="criteria")


def main(argv: list[str] | None = None) -> int:
    """Run one command; gives its exit code.

    0 done, 1 the input was refused, 2 wrong call, 70 a fault of ours, 130 interrupted.
    """
    screen.speak_its_alphabet()
    words = list(sys.argv[1:] if argv is None else argv)
    debug = "--debug" in words
    if debug:
        words.remove("--debug")
    try:
        app(args=words, prog_name="boxwright")
        sys.stdout.flush()
    except SystemExit as end:
        if isinstance(end.__context__, BrokenPipeError):
            return _quiet()
        return _flushed(end.code if isinstance(end.code, int) else 0)
    except RatingError as fault:
        if debug:
            traceback.print_exc()
        typer.echo(str(fault), err=True)
        return fault.exit_code
    except KeyboardInterrupt:
        typer.echo("interrupted; nothing half-written was left", err=True)
        return 130
    except BrokenPipeError:
        return _quiet()
    except OSError as fault:  # what the disk refuses is no fault of ours
        if debug:
            traceback.print_exc()
        place = text.printable(str(fault.filename or ""))
        refusal = RatingError(
            f"the disk refuses: {fault.strerror or fault}",
            where=place,
            fix="look at the place and its rights",
        )
        typer.echo(str(refusal), err=True)
        return refusal.exit_code
    except Exception as fault:  # noqa: BLE001  (whatever was not foreseen ends in one line and a log)
        if debug:
            traceback.print_exc()
        typer.echo(f"error: a fault of this program: {type(fault).__name__}; {_log()}", err=True)
        return FAULT_OF_OURS
    return 0


def _flushed(code: int) -> int:
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        return _quiet()
    if code == 130:
        typer.echo("interrupted; nothing half-written was left", err=True)
    return code


def _quiet() -> int:
    """Somebody closed the pipe, as `head` does: no message, and none at exit either."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    return 0


def _log() -> str:
    """Write the traceback to a log file of its own, and say where it is."""
    import tempfile

    try:
        with tempfile.NamedTemporaryFile(
            "w", prefix="boxwright-", suffix=".log", delete=False, encoding="utf-8"
        ) as file:
            file.write(traceback.format_exc())
    except OSError:
        return "no log could be written; run it again with --debug"
    return f"the log is {file.name}"


def run() -> None:
    """The command `boxwright`."""
    sys.exit(main())
