"""The sample season's screens, kept as text: whoever changes one looks at the difference."""

from __future__ import annotations

import contextlib
import difflib
import io
import re
import shlex
from pathlib import Path

import pytest

from rating.cli import main
from rating.season.season import Season

HERE = Path(__file__).parent
WIDTHS = (80, 120)
COMMANDS = [
    line for line in (HERE / "screens.txt").read_text(encoding="utf-8").splitlines() if line[:1] != "#"
]


@pytest.fixture(scope="module")
def screens(sample_season, tmp_path_factory):
    """What each command of the list shows at each width, answers and remarks together, by its file's path.

    One Season serves them all, so that facts are worked out once; a command here changes no file.
    """
    season, shown = Season.open(sample_season), {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Season, "open", lambda *_, **__: season)
        patch.setenv("BOXWRIGHT_CACHE", str(tmp_path_factory.mktemp("screens")))
        patch.setenv("BOXWRIGHT_SEASON", str(sample_season))
        for line in COMMANDS:
            for width in WIDTHS:
                patch.setenv("COLUMNS", str(width))
                seen = io.StringIO()
                with contextlib.redirect_stdout(seen), contextlib.redirect_stderr(seen):
                    main(shlex.split(line))
                text = f"$ boxwright {line}\n{seen.getvalue()}".replace(str(sample_season), "SEASON")
                shown[kept(line, width)] = text
    return shown


def kept(line, width):
    """Where a screen is kept."""
    return HERE / str(width) / f"{re.sub('[^a-z0-9.]+', '-', line.lower()).strip('-')}.txt"


def test_each_screen_is_the_one_that_was_looked_at(screens, request):
    """Else look at what changed, and keep it: `pytest -n 0 tests/screens --renew`."""
    assert len(screens) == len(COMMANDS) * len(WIDTHS)
    stored = {path: path.read_text(encoding="utf-8") for path in HERE.glob("*/*.txt")}
    if request.config.getoption("--renew"):
        for path in stored.keys() - screens.keys():
            path.unlink()
        for path, text in screens.items():
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
        return
    changed = []
    for path in sorted(stored.keys() | screens.keys()):
        was, now = (one.get(path, "").splitlines() for one in (stored, screens))
        changed += difflib.unified_diff(was, now, f"kept {path.parent.name}/{path.name}", "now", lineterm="")
    assert not changed, "\n".join(["screens changed; --renew keeps them", *changed])
