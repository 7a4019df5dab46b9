"""What all tests share."""

from __future__ import annotations

import os
import re
import shutil
import signal
from dataclasses import dataclass

# Our tables have some hundred rows: further threads for the linear algebra only wait for each other, and made
# the tests take three times the CPU. The limit is read where numpy is loaded, so it is set before anything
# loads it; the processes that tests start inherit it, and what somebody has set is left alone.
THREADS = ("OPENBLAS_NUM_THREADS", "GOTO_NUM_THREADS", "OMP_NUM_THREADS")
if not any(name in os.environ for name in THREADS):
    os.environ[THREADS[0]] = "1"

# a job in the background of a shell ignores Ctrl-C, and so would a process that a test starts to interrupt it
if signal.getsignal(signal.SIGINT) == signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

import pytest  # noqa: E402  (after the limit is set)
from hypothesis import settings  # noqa: E402

# a busy machine must not fail a property; the number of examples bounds the time
settings.register_profile("boxwright", deadline=None, max_examples=25)
settings.register_profile("trials", deadline=None, max_examples=500)
settings.load_profile("boxwright")


def pytest_addoption(parser):
    parser.addoption("--trials", action="store_true", help="run trials, at their full size, and nothing else")
    parser.addoption("--renew", action="store_true", help="keep the screens of tests/screens as they are now")


def pytest_collection_modifyitems(config, items):
    """Trials alone where they are asked for, else all tests but those trials that are always long."""
    only = config.getoption("--trials")

    def is_left(item):
        mark = item.get_closest_marker("trial")
        return mark is None if only else mark is not None and not mark.kwargs["few"]

    left = [item for item in items if is_left(item)]
    if left:
        config.hook.pytest_deselected(items=left)
        items[:] = [item for item in items if not is_left(item)]


def pytest_terminal_summary(terminalreporter, config):
    """What was tried, from which seed, how often, and what came of it."""
    if not config.getoption("--trials"):
        return
    terminalreporter.section("trials")
    for result in ("passed", "failed", "error"):
        for report in terminalreporter.getreports(result):
            for size in (text for name, text in report.user_properties if name == "trial"):
                took = f"{report.duration:.1f} s"
                terminalreporter.write_line(f"{result}  {report.nodeid}  {size}, {took}")


@dataclass(frozen=True)
class Trial:
    """Where a trial draws from, and how often it repeats itself."""

    seed: int
    count: int


@pytest.fixture
def trial(request):
    """The seed of a trial and its number of repetitions, as its marker has them for this run."""
    mark = request.node.get_closest_marker("trial").kwargs
    count = mark["full" if request.config.getoption("--trials") else "few"]
    request.node.user_properties.append(("trial", f"seed {mark['seed']}, {count} repetitions"))
    return Trial(seed=mark["seed"], count=count)


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config):
    """Two processes for the whole of the tests, none for a part of them: each has to build the sample anew.

    A part runs in the process that was started, where a debugger works; `-n 2` and `-n 0` say otherwise.
    """
    return 2 if config.args_source is pytest.Config.ArgsSource.TESTPATHS else 0


@pytest.fixture(autouse=True, scope="session")
def _own_place(tmp_path_factory):
    """What commands keep for the next time stays away from the user's own, and no season or day is set."""
    os.environ["BOXWRIGHT_CACHE"] = str(tmp_path_factory.mktemp("cache"))
    for name in ("BOXWRIGHT_SEASON", "BOXWRIGHT_TODAY"):
        os.environ.pop(name, None)


@pytest.fixture(scope="session")
def demo_season(tmp_path_factory):
    """What `boxwright demo` makes, run once by its command in a folder of its own; nobody changes it."""
    from rating.cli import main

    place = tmp_path_factory.mktemp("demo")
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(place)
        patch.delenv("BOXWRIGHT_TODAY", raising=False)
        assert main(["demo"]) == 0
    return place / "demo-season"


@pytest.fixture(scope="session")
def sample_season(demo_season, tmp_path_factory):
    """The sample season, recorded and not exported; tests that change it copy it first."""
    path = tmp_path_factory.mktemp("sample") / "season"
    shutil.copytree(demo_season, path, ignore=shutil.ignore_patterns("exports"))
    return path


@pytest.fixture(scope="module")
def module_season(sample_season, tmp_path_factory):
    """A copy of the sample season that the tests of one module write their exports into."""
    path = tmp_path_factory.mktemp("module") / "season"
    shutil.copytree(sample_season, path)
    return path


@pytest.fixture
def own_season(sample_season, tmp_path):
    """A copy of the sample season that a test may change."""
    path = tmp_path / "season"
    shutil.copytree(sample_season, path)
    return path


TEAMS = ("Brindle Quay Otters", "Gull Point Herons", "Saltmarsh Lanterns", "Tarn End Foxes")
JUDGED = {
    "chase": (60, "Three rungs, and one of them in every box."),
    "scarcity": (40, "Nothing under 50 copies outside the autographs."),
    "returns": (45, "A usual box loses a third."),
    "building": (55, "Two boxes and a few singles do it."),
    "opening": (70, "Something in every other pack."),
    "design": (80, "The fronts breathe."),
    "finish": (65, "Firm stock, well cut."),
}


def _scores(**changes):
    given = JUDGED | changes
    return "format = 1\n" + "".join(
        f'[me.{key}]\nscore = {score}\nreason = "{reason}"\n' for key, (score, reason) in given.items()
    )


def _sheet(title, line, day, disclosed=True):
    told = 'how_obtained = ["bought"]\nsentence = "I bought a box."\n'
    return f"""format = 1
title = "{title}"
maker = "Marlow"
line = "{line}"
date = {day}
headline = "hobby"
[disclosure]
{told if disclosed else ""}
[formats.hobby]
name = "Hobby"
cards_per_pack = 8
packs_per_box = 14
boxes_per_case = 10
[[formats.hobby.guarantees]]
what = "autograph"
count = 3
per = "box"
certainty = "average"
"""


CHECKLIST = """subset,kind,number,subjects,teams,rookie,print_run,signed,relic,variation,redemption,note
Base,base,001,Ada Finch,Brindle Quay Otters,yes,,,,,,
Base,base,002,Bo Larkin,Gull Point Herons,yes,,,,,,
Base,base,003,Cy Thorn,Saltmarsh Lanterns,,,,,,,
Base,base,004,Di Marsh,Brindle Quay Otters,,,,,,,
Ink,autograph,INK-1,Ada Finch,Brindle Quay Otters,yes,99,card,,,,
Ink,autograph,INK-2,Di Marsh,Brindle Quay Otters,,99,sticker,,,,
Tides,insert,T-1,Eve Holm,Gull Point Herons,yes,,,,,,
"""
PRICES = """date,format,unit,kind,price,currency,source
2031-03-01,hobby,box,list,160.00,,maker's sheet
2031-03-14,hobby,box,street,200.00,,two shops
"""


@pytest.fixture(scope="session")
def laid_out(tmp_path_factory):
    """A season of four releases, laid out by the commands; tests that change it copy it first."""
    from rating.cli import main

    path = tmp_path_factory.mktemp("small") / "mine"
    assert main(["start", str(path), "--name", "Mine 2031"]) == 0
    settings_file = path / "season.toml"
    text = settings_file.read_text(encoding="utf-8")
    text = text.replace("# today = 2031-07-15", "today = 2031-05-01")
    text = text.replace('name = "Me"\n', 'name = "Me"\n\n[[raters]]\nkey = "kit"\nname = "Kit"\n')
    # one class alone says what is typical, so that it is the same at every price
    text = re.sub(r"typical_\w+ = .*\n", "", text)
    usual = "typical_box = 100\ntypical_card = 1\ntypical_hit = 34.2\n"
    text = text.replace("below = 250\n", f"below = 250\n{usual}")
    text += "".join(f'\n[[teams]]\nname = "{team}"\n' for team in TEAMS)
    settings_file.write_text(text, encoding="utf-8")
    (path / "rookies.csv").write_text(
        "subject,team,since\nAda Finch,Brindle Quay Otters,\nBo Larkin,Gull Point Herons,2030-10-01\n"
        "Eve Holm,Gull Point Herons,\nFay Brook,Tarn End Foxes,\nGil Ash,Tarn End Foxes,2031-04-01\n",
        encoding="utf-8",
    )
    for slug, title, line, day in (
        ("deep-harbour", "Marlow 2031 Deep Harbour", "Deep Harbour", "2031-03-12"),
        ("high-water", "Marlow 2031 High Water", "High Water", "2031-03-13"),
        ("low-water", "Marlow 2031 Low Water", "Low Water", "2031-04-20"),
        ("spring-tide", "Marlow 2031 Spring Tide", "Spring Tide", "2031-09-01"),
    ):
        assert main(["add", slug, "--title", title, "--season", str(path)]) == 0
        folder = path / "releases" / slug
        (folder / "release.toml").write_text(_sheet(title, line, day), encoding="utf-8")
        if slug in {"deep-harbour", "high-water"}:
            (folder / "checklist.csv").write_text(CHECKLIST, encoding="utf-8")
            (folder / "prices.csv").write_text(PRICES, encoding="utf-8")
        if slug != "spring-tide":
            (folder / "scores.toml").write_text(_scores(), encoding="utf-8")
    better = _scores(design=(86, "You would hang it on a wall."))
    (path / "releases" / "high-water" / "scores.toml").write_text(better, encoding="utf-8")
    return path


@pytest.fixture
def small_season(laid_out, tmp_path):
    """A season of four releases, laid out by the commands, that a test may change; nothing is recorded.

    Worked out by hand: deep-harbour has roster 44 (3 of 4 teams: 50 x 0.35 / 0.4 = 43.75), rookies 53 (class
    of 4: (0.2 x 3 + 0.5 x 2 + 0.3 x 1) / 4 = 0.475, 52.5 half-up), signatures 52 (1.5 for 100 at 0.85 =
    1.275), outlay 32 (the cube root of 2 x 1.7857 x 1.9493 is 1.9095: 60 - 30 ln(1.9095) / ln(2)), access 39
    (1.25), record 50 (a new line), no relics, and the judged ones; 4889 / 95 points = 51.5. high-water has 6
    more in design: 4925 / 95 = 51.8. low-water knows neither price nor checklist: roster, rookies,
    signatures, relics, outlay and access are open. spring-tide is still to come. Today is 2031-05-01.
    """
    path = tmp_path / "mine"
    shutil.copytree(laid_out, path)
    return path


@pytest.fixture
def rewrite():
    """Puts a text in the place of another one in a file, which must hold that."""

    def rewritten(path, old, new):
        text = path.read_text(encoding="utf-8")
        assert old in text
        path.write_text(text.replace(old, new), encoding="utf-8")

    return rewritten
