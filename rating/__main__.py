"""`python -m rating` is the command `boxwright`."""

from rating.cli import run

run()
