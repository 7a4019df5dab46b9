"""Completion in real shells: what each offers once its script is loaded, and what a word costs."""

from __future__ import annotations

import os
import pty
import resource
import select
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

SAMPLE = Path(__file__).resolve().parents[2] / "sample_ratings"
# what is typed, and what it must become: a command, a release, a criterion, a section
TYPED = [
    ("boxwright stand", "boxwright standings"),
    ("boxwright facts halyard-l", "boxwright facts halyard-late-watch"),
    ("boxwright criteria show des", "boxwright criteria show design"),
    ("boxwright facts halyard --section ret", "boxwright facts halyard --section returns"),
    ("boxwright what-if --drop scar", "boxwright what-if --drop scarcity"),
]
# seconds of the processor that one word may cost
MOST = 0.15
# how long a shell is waited for
PATIENCE = 20

pytestmark = pytest.mark.real


def _needs(shell):
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed")


@pytest.fixture
def environment(tmp_path):
    """A bare home, the program at hand, and the sample as the season."""
    (tmp_path / "bin").mkdir()
    program = tmp_path / "bin" / "boxwright"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m rating "$@"\n')
    program.chmod(0o755)
    return {
        "HOME": str(tmp_path),
        "PATH": f"{program.parent}:{os.environ['PATH']}",
        "PYTHONPATH": str(SAMPLE.parent),
        "BOXWRIGHT_SEASON": str(SAMPLE),
        "TERM": "xterm",
        "LANG": "C.UTF-8",
    }


class Terminal:
    """A shell in a terminal of its own, into which one types."""

    def __init__(self, words, environment):
        self.child, self.end = pty.fork()
        if not self.child:
            os.execvpe(words[0], words, environment)  # noqa: S606  (a shell that the test names)

    def type(self, keys):
        """Press keys."""
        os.write(self.end, keys.encode())

    def until(self, wanted):
        """What stands on the screen, as soon as some words are among it."""
        shown, last = "", time.monotonic() + PATIENCE
        while wanted not in shown and time.monotonic() < last:
            if select.select([self.end], [], [], 0.2)[0]:
                shown += os.read(self.end, 4096).decode(errors="replace")
        return shown

    def close(self):
        """End the shell."""
        os.close(self.end)
        os.waitpid(self.child, 0)


@pytest.mark.parametrize(("typed", "become"), TYPED)
@pytest.mark.parametrize(
    ("words", "before"),
    [
        (["bash", "--norc", "--noprofile", "-i"], ""),
        (["zsh", "-f", "-i"], "autoload -Uz compinit; compinit -u -D; "),
    ],
    ids=["bash", "zsh"],
)
def test_a_begun_word_is_completed(words, before, typed, become, environment):
    """By the key for it, in the shell's own way: the rest of the word appears behind what was typed."""
    _needs(words[0])
    shell = Terminal(words, environment)
    try:
        shell.type(f'{before}eval "$(boxwright completion {words[0]} 2>/dev/null)"; echo is "ready"\n')
        assert "is ready" in shell.until("is ready")
        shell.type(f"{typed}\t")
        assert become in shell.until(become)
    finally:
        shell.close()


@pytest.mark.parametrize(("typed", "become"), TYPED)
def test_fish_offers_the_same(typed, become, environment):
    """It says itself what it would offer."""
    _needs("fish")
    told = subprocess.run(
        [
            "fish",
            "--no-config",
            "-c",
            f"boxwright completion fish 2>/dev/null | source; complete -C '{typed}'",
        ],
        capture_output=True,
        text=True,
        check=True,
        env=environment,
    )
    assert told.stdout.split() == [become.split()[-1]]


@pytest.mark.parametrize("typed", [typed for typed, _ in TYPED])
def test_a_word_is_offered_at_once(typed, environment):
    """By what the processor works for it, which other programs on the machine do not lengthen."""
    spent = []
    for _ in range(5):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(
            ["boxwright", "--complete", *typed.split()[1:]], env=environment, check=True, capture_output=True
        )
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spent.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    assert min(spent) < MOST
