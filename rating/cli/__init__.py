"""The command line: one thin module a command, listed in `commands`; `program` puts them together.

What must answer before a person has noticed, completion and the version, is done without loading either.
"""

from __future__ import annotations

import sys

from rating.cli import commands


def main(argv: list[str] | None = None) -> int:
    """Run one command; gives its exit code, see `rating.cli.program`."""
    words = list(sys.argv[1:] if argv is None else argv)
    if words[:1] == [commands.COMPLETE]:
        from rating.cli import completing

        return completing.answer(words[1:])
    if words == ["--version"]:
        from rating.cli import completing

        sys.stdout.write(f"{completing.version()}\n")
        return 0
    from rating.cli import program

    return program.main(words)


def run() -> None:
    """The command `boxwright`. Ctrl-C while its first modules load is as quiet as later."""
    try:
        sys.exit(main())
    except KeyboardInterrupt:
        sys.exit(130)
