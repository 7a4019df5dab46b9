"""What the tests of the commands share."""

from __future__ import annotations

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time

import pytest

from rating.cli import main


@pytest.fixture
def run(capsys, monkeypatch):
    """Run one command; gives exit code, standard output and standard error."""
    monkeypatch.delenv("BOXWRIGHT_SEASON", raising=False)
    monkeypatch.delenv("BOXWRIGHT_TODAY", raising=False)

    def call(*words):
        code = main([str(word) for word in words])
        out = capsys.readouterr()
        assert "Traceback" not in out.out + out.err
        return code, out.out, out.err

    return call


@pytest.fixture
def answer(run):
    """The JSON answer of a command that must be done well; nothing else stands on standard output."""

    def call(*words, code=0):
        got, out, _ = run(*words, "--json")
        assert got == code
        return json.loads(out)

    return call


@pytest.fixture
def refused(run):
    """The message of a command that must refuse: exit code 1, one error with its place, no data."""

    def call(*words):
        code, out, err = run(*words)
        assert code == 1
        assert out == ""
        assert err.startswith("error: ")
        return err

    return call


class Terminal:
    """A person at a terminal: waits for words, then types."""

    def __init__(self, words):
        self.master, slave = pty.openpty()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "rating", *map(str, words)],
            stdin=slave,
            stdout=slave,
            stderr=slave,
            start_new_session=True,
            close_fds=True,
        )
        os.close(slave)
        self.seen = self.passed = ""

    def wait_for(self, words):
        end = time.monotonic() + 30
        while words not in self.seen:
            ready, _, _ = select.select([self.master], [], [], 0.2)
            try:
                if ready:
                    self.seen += os.read(self.master, 65536).decode(errors="replace")
            except OSError:
                break
            if time.monotonic() > end:
                break
        assert words in self.seen, self.seen
        self.passed, self.seen = self.seen.split(words, 1)

    def answer(self, prompt, line):
        self.wait_for(prompt)
        os.write(self.master, f"{line}\n".encode())

    def interrupt(self):
        """Press Ctrl-C; once more where it fell between the prompt and the reading, which never sees it."""
        for _ in range(5):
            os.killpg(self.process.pid, signal.SIGINT)
            try:
                self.process.wait(timeout=2)
            except subprocess.TimeoutExpired:
                continue
            return

    def ended(self):
        try:
            while select.select([self.master], [], [], 30)[0] and (more := os.read(self.master, 65536)):
                self.seen += more.decode(errors="replace")
        except OSError:
            pass  # the other end is closed
        code = self.process.wait(timeout=30)
        os.close(self.master)
        return code


@pytest.fixture
def terminal():
    """Starts a command at a real pseudo-terminal: `terminal(words)` gives a person who waits and types."""
    return Terminal
