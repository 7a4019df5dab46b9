"""How much room there is, and how tables and sentences are fitted to it."""

from __future__ import annotations

import fcntl
import json
import os
import pty
import struct
import subprocess
import sys
import termios

import pytest

from rating.cli.shared import printing, screen, tables

HEADERS = ("slot", "hits", "tier", "why")
ROWS = [
    ("Brindle Quay Otters", "12", "first", "four signers of the six that the season's collectors ask for"),
    ("Gull Point Herons", "7", "second", "one rookie"),
]


def at_terminal(columns, code, **environment):
    """What a program prints at a terminal of so many columns."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    inherited = {name: value for name, value in os.environ.items() if name != "COLUMNS"}
    subprocess.run(
        [sys.executable, "-c", code], stdout=slave, check=True, env=inherited | environment, timeout=30
    )
    os.close(slave)
    seen = os.read(master, 65536).decode()
    os.close(master)
    return seen.replace("\r\n", "\n").strip()


@pytest.mark.parametrize(
    ("terminal", "said", "columns"),
    [
        (120, {}, "120 100"),
        (80, {}, "80 80"),
        (30, {}, "40 40"),
        (0, {}, "80 80"),
        (120, {"COLUMNS": "90"}, "90 90"),
    ],
)
def test_columns_are_what_is_said_or_the_terminals(terminal, said, columns):
    """COLUMNS goes before the terminal; sentences stop at 100; nothing is fitted to less than 40."""
    code = "from rating.cli.shared import screen; print(screen.columns(), screen.page())"
    assert at_terminal(terminal, code, **said) == columns


@pytest.mark.parametrize("said", ["", "0", "wide", "-5", "8٠"])
def test_a_pipe_has_no_end(capsys, monkeypatch, said):
    """COLUMNS that says nothing is as if not set."""
    monkeypatch.setenv("COLUMNS", said)
    assert screen.columns() is None
    assert screen.page() == 100


def test_a_pipe_shows_a_table_whole(capsys, monkeypatch):
    """No column is left out, no cell cut or wrapped."""
    monkeypatch.delenv("COLUMNS", raising=False)
    tables.table(HEADERS, ROWS, right="hits", spare=("tier",))
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 4
    assert lines[2].endswith(f"12  first   {ROWS[0][3]}")


def test_a_narrow_screen_wraps_words_and_leaves_out_what_is_spare(capsys, monkeypatch):
    """Every word is still there, and what is left out is named."""
    monkeypatch.setenv("COLUMNS", "60")
    tables.table(HEADERS, ROWS, right="hits", spare=("tier",))
    out = capsys.readouterr().out
    assert max(map(len, out.splitlines())) <= 60
    assert set(" ".join(row[3] for row in ROWS).split()) <= set(out.split())
    assert "first" not in out
    assert out.endswith("A wider window also shows: tier.\n")


def test_what_no_table_can_hold_is_written_as_lines(capsys, monkeypatch):
    """Ten columns of numbers at 40 columns: each row by its first cell, then headings and cells."""
    monkeypatch.setenv("COLUMNS", "40")
    headers = ("slot", *(f"count {n}" for n in range(1, 10)))
    tables.table(
        headers, [("Gull Point Herons", *("1,234.5" for _ in range(8)), None)], right="|".join(headers[1:])
    )
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "Gull Point Herons"
    assert max(map(len, lines)) <= 40
    assert " ".join(line.strip() for line in lines[1:]) == ", ".join(
        f"count {n} 1,234.5" for n in range(1, 9)
    )


def test_lines_are_fitted_only_where_there_is_an_end(capsys, monkeypatch):
    """A path is never broken, so that it can be copied; a pipe gets each line as it is."""
    line = "  wrote a-season/exports/2031-07-15/a-rather-long-name-of-a-file.csv and three more beside it"
    monkeypatch.setenv("COLUMNS", "50")
    printing.say(line)
    assert capsys.readouterr().out.splitlines() == [
        "  wrote",
        "      a-season/exports/2031-07-15/a-rather-long-name-of-a-file.csv",
        "      and three more beside it",
    ]
    monkeypatch.delenv("COLUMNS")
    printing.say(line)
    assert capsys.readouterr().out == f"{line}\n"


def test_an_output_without_our_letters():
    """What the encoding lacks is written in the letters it has; JSON loses nothing."""
    code = (
        "from rating.cli.shared import printing, screen; screen.speak_its_alphabet();"
        "printing.say('\u0141ód\u017a … \u2588 \u20ac5 \u65e5');"
        "printing.data({'name': '\u0141ód\u017a \u65e5'})"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        check=True,
        env=os.environ | {"PYTHONIOENCODING": "latin-1"},
    )
    said, answer = done.stdout.decode("latin-1").split("\n", 1)
    assert said == "L\u00f3dz ... # EUR 5 ?"
    assert json.loads(answer) == {"format": 1, "name": "\u0141ód\u017a \u65e5"}
