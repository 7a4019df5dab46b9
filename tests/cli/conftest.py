"""What the tests of the commands share."""

from __future__ import annotations

import json

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
