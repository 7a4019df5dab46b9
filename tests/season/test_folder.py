"""The folder of a season: finding it, laying it out, and staying inside it."""

from __future__ import annotations

import os
import tomllib
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rating import text
from rating.errors import RatingError, Refused
from rating.release import swap
from rating.season import check, folder
from rating.season.season import Season


@pytest.fixture
def season(tmp_path):
    """A new season."""
    path = tmp_path / "mine"
    folder.start(path, name="Mine")
    return path


def files(path):
    """Every file and folder below a folder."""
    return sorted(one.relative_to(path).as_posix() for one in path.rglob("*"))


# finding it --------------------------------------------------------------------------------------------


def test_the_season_given_goes_before_the_variable_and_both_before_this_folder(tmp_path):
    """In this order, and from a folder below it as well."""
    for name in ("given", "told", "here"):
        folder.start(tmp_path / name, name=name)
    here = tmp_path / "here" / "releases"
    told = {folder.VARIABLE: str(tmp_path / "told")}
    assert folder.find(tmp_path / "given", here=here, environment=told) == tmp_path / "given"
    assert folder.find(None, here=here, environment=told) == tmp_path / "told"
    assert folder.find(None, here=here, environment={}) == tmp_path / "here"
    assert folder.find(None, here=here, environment={folder.VARIABLE: ""}) == tmp_path / "here"


@pytest.mark.parametrize("given", [True, False])
def test_a_folder_without_a_season_is_refused(tmp_path, given):
    """Named or told: it is not searched for elsewhere, since that would be another season."""
    environment = {} if given else {folder.VARIABLE: str(tmp_path)}
    with pytest.raises(RatingError, match=r"there is no season\.toml in it") as caught:
        folder.find(tmp_path if given else None, here=tmp_path, environment=environment)
    assert caught.value.where == str(tmp_path)
    with pytest.raises(RatingError, match="no season here"):
        folder.find(None, here=tmp_path, environment={})


# names -------------------------------------------------------------------------------------------------

BAD_NAMES = [
    "",
    ".",
    "..",
    "../x",
    "../../etc",
    "/etc/passwd",
    "x/y",
    "x\\y",
    "c:x",
    "~",
    "a" * 61,
    "a" * 300,
    "con",
    "nul",
    "com1",
    "Halyard",
    "hal yard",
    "höhe",
    "hal\u202eyard",
    "hal\x00yard",
    "hal\nyard",
    "-x",
    ".hidden",
    "x.",
]


@pytest.mark.parametrize("name", BAD_NAMES)
def test_a_name_that_is_no_slug_is_refused_everywhere(season, tmp_path, name):
    """Reading, adding and naming; nothing is made, inside the season or outside it."""
    before = files(tmp_path)
    calls = (
        lambda: folder.release_folder(season, name),
        lambda: folder.add(season, name, title="Title"),
        lambda: folder.read_sheet(season, name),
        lambda: folder.read_release(season, name),
    )
    for call in calls:
        with pytest.raises(RatingError, match="not a name for a release") as caught:
            call()
        assert text.bad_marks(caught.value.what) == ""
    assert files(tmp_path) == before


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=70) | st.text("./\\a-", max_size=12))
def test_a_release_folder_lies_in_the_releases_or_is_refused(season, name):
    """Whatever the name."""
    try:
        found = folder.release_folder(season, name)
    except RatingError:
        found = season / folder.RELEASES / "refused"
    assert found.resolve().parent == (season / folder.RELEASES).resolve()


def test_a_link_out_of_the_season_is_refused(season, tmp_path):
    """Also one that leads nowhere yet, where adding would follow it; a link within the season is fine."""
    outside = tmp_path / "outside"
    outside.mkdir()
    for name, target in (("away", outside), ("nowhere", tmp_path / "new"), ("up", season)):
        (season / "releases" / name).symlink_to(target)
        with pytest.raises(RatingError, match="a link that leaves the season"):
            folder.add(season, name, title="T")
        with pytest.raises(RatingError, match="a link that leaves the season"):
            folder.read_release(season, name)
    assert files(outside) == []
    assert not (tmp_path / "new").exists()
    folder.add(season, "real", title="T")
    (season / "releases" / "also").symlink_to(season / "releases" / "real")
    assert folder.read_sheet(season, "also")[0].slug == "also"


def test_the_releases_may_lie_elsewhere_as_a_whole(season, tmp_path):
    """A person who keeps them on another disk links the folder itself."""
    (season / "releases").rmdir()
    (tmp_path / "disk").mkdir()
    (season / "releases").symlink_to(tmp_path / "disk")
    folder.add(season, "halyard", title="T")
    assert (tmp_path / "disk" / "halyard" / "release.toml").is_file()


def test_folders_that_are_no_releases_are_passed_over_and_told(season):
    """Hidden ones in silence, files too."""
    for name in ("halyard", "Halyard 2", "nul", ".cache", "a--b"):
        (season / "releases" / name).mkdir()
    (season / "releases" / "notes.txt").touch()
    assert folder.slugs(season) == ["halyard"]
    assert folder.strange_folders(season) == ["Halyard 2", "a--b", "nul"]
    (season / "releases" / "halyard").rmdir()
    assert folder.slugs(season / "releases") == []
    assert folder.strange_folders(season / "releases") == []


# laying it out -----------------------------------------------------------------------------------------


def test_a_new_season_can_be_opened(season):
    """Three files and a folder for the releases."""
    assert files(season) == ["help_lines.toml", "releases", "rubric.toml", "season.toml"]
    opened = Season.open(season)
    assert (opened.config.name, opened.rubric.total, opened.files.slugs) == ("Mine", 1000, ())


@pytest.mark.parametrize(
    "name", ['A "b" \\ c', "Núñez' № 7 — 漢字", "a = 1 # [x]", "@name@", "  two   blanks "]
)
def test_any_name_is_kept_as_text(tmp_path, name):
    """Marks that mean something in the file are only letters in a name."""
    folder.start(tmp_path / "s", name=name)
    assert Season.open(tmp_path / "s").config.name == text.tidy(name)
    folder.add(tmp_path / "s", "halyard", title=name)
    content = (tmp_path / "s/releases/halyard/release.toml").read_text(encoding="utf-8")
    assert tomllib.loads(content)["title"] == text.tidy(name)


@pytest.mark.parametrize(
    ("name", "what"),
    [
        ("Hal\u202eyard", "invisible mark U+202E"),
        ("a\x07", "U+0007"),
        ("two\nlines", "U+000A"),
        ("  ", "blank"),
        ("", "blank"),
        ("x" * 201, "201 characters"),
    ],
)
def test_a_name_that_could_not_be_read_back_is_refused(season, tmp_path, name, what):
    """Before anything is written."""
    with pytest.raises(RatingError, match=text.printable(what).replace("+", r"\+")):
        folder.start(tmp_path / "other", name=name)
    with pytest.raises(RatingError, match=text.printable(what).replace("+", r"\+")):
        folder.add(season, "halyard", title=name)
    assert not (tmp_path / "other").exists()
    assert files(season / "releases") == []


def test_a_place_that_holds_something_is_left_alone(season, tmp_path):
    """A season is not laid out over another, nor a release."""
    before = {path: path.read_bytes() for path in season.rglob("*") if path.is_file()}
    (tmp_path / "file").touch()
    for place in (season, tmp_path / "file"):
        with pytest.raises(RatingError, match="something in that place"):
            folder.start(place, name="Again")
    folder.add(season, "halyard", title="T")
    with pytest.raises(RatingError, match="there already"):
        folder.add(season, "halyard", title="Other")
    assert all(path.read_bytes() == content for path, content in before.items())


def test_a_new_release_reads_without_an_error(season):
    """Its templates hold nothing wrong; only what is not known yet is remarked."""
    written = folder.add(season, "halyard", title="Wickfield 2031 Halyard")
    assert files(season / "releases/halyard") == ["prices.csv", "release.toml", "scores.toml"]
    assert folder.shown_paths(written, season) == [
        "releases/halyard/release.toml",
        "releases/halyard/scores.toml",
        "releases/halyard/prices.csv",
    ]
    assert folder.shown_paths(written, season / "elsewhere") == [str(path) for path in written]


@pytest.mark.parametrize("step", [0, 1, 2])
@pytest.mark.parametrize("stop", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_release_is_laid_out_whole_or_not_at_all(season, monkeypatch, step, stop):
    """A full disk or Ctrl-C at any of its files leaves no folder in the way of the next try."""
    count = iter(range(100))
    real = os.fsync

    def failing(handle):
        if next(count) == step:
            raise stop
        real(handle)

    monkeypatch.setattr(swap.os, "fsync", failing)
    with pytest.raises((RatingError, KeyboardInterrupt)):
        folder.add(season, "halyard", title="T")
    monkeypatch.undo()
    assert files(season / "releases") == []
    assert len(folder.add(season, "halyard", title="T")) == 3


def test_a_season_is_laid_out_whole_or_not_at_all(tmp_path, monkeypatch):
    """The same for its two files."""
    count = iter(range(100))
    real = os.fsync

    def failing(handle):
        if next(count) == 1:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(swap.os, "fsync", failing)
    with pytest.raises(RatingError, match="No space left"):
        folder.start(tmp_path / "s", name="S")
    monkeypatch.undo()
    assert not (tmp_path / "s").exists()
    folder.start(tmp_path / "s", name="S")


# reading a release -------------------------------------------------------------------------------------


def test_tables_that_are_not_there_are_none_and_empty_ones_are_empty(small_season):
    """Not known yet and known to be nothing are two things."""
    found, problems = folder.read_release(small_season, "low-water")
    assert (found.cards, found.parallels, found.odds, found.sales, found.prices) == (
        None,
        None,
        None,
        None,
        (),
    )
    assert problems == []


def test_a_table_that_is_no_csv_does_not_hide_the_others(small_season):
    """Each becomes a problem with its file and row."""
    here = small_season / "releases/deep-harbour"
    (here / "checklist.csv").write_text("name\nx\n", encoding="utf-8")
    (here / "odds.csv").write_bytes("subset,format,packs_per_copy\nNúñez,hobby,3\n".encode("cp1252"))
    (here / "sales.csv").write_text('date,price,title\n2031-04-01,4,"open\n', encoding="utf-8")
    (here / "parallels.csv").mkdir()
    (here / "prices.csv").write_text(
        "date,format,unit,kind,price\n2031-03-01,hobby,box,list,free\n", encoding="utf-8"
    )
    _, problems = folder.read_release(small_season, "deep-harbour")
    assert [(one.code, one.file.rsplit("/", 1)[1], one.row) for one in problems] == [
        ("unreadable-table", "checklist.csv", 1),
        ("unreadable-table", "parallels.csv", None),
        ("unreadable-table", "odds.csv", 2),
        ("bad-value", "prices.csv", 2),
        ("unreadable-table", "sales.csv", 2),
    ]
    with pytest.raises(Refused) as caught:
        folder.sound_release(small_season, "deep-harbour")
    assert len(caught.value.problems) == 5


def rewrite(path, old, new):
    """Another text in a file."""
    content = path.read_text(encoding="utf-8")
    assert old in content
    path.write_text(content.replace(old, new), encoding="utf-8")


def test_a_format_graded_for_itself_shares_a_checklist(small_season):
    """Cards and parallels are those of the other release, prices its own."""
    sheet = small_season / "releases/low-water/release.toml"
    rewrite(sheet, "[disclosure]", 'checklist_of = "deep-harbour"\n[disclosure]')
    own, _ = folder.read_release(small_season, "low-water")
    other, _ = folder.read_release(small_season, "deep-harbour")
    assert own.cards == other.cards
    assert own.prices == ()


def test_a_shared_checklist_of_no_release_is_told(small_season):
    """It is not taken for a release without a checklist."""
    sheet = small_season / "releases/low-water/release.toml"
    rewrite(sheet, "[disclosure]", 'checklist_of = "deep-harbor"\n[disclosure]')
    _, problems = folder.read_release(small_season, "low-water")
    assert [one.code for one in problems] == ["unknown-release"]
    with pytest.raises(RatingError, match="names deep-harbor, and there is no such release"):
        folder.sound_release(small_season, "low-water")


def test_a_release_that_is_not_there_is_told_with_those_that_are(small_season):
    """The nearest, or where none is near all of them, under ten."""
    with pytest.raises(RatingError, match="no release named 'deep-harbor'") as caught:
        folder.read_sheet(small_season, "deep-harbor")
    assert caught.value.fix == "did you mean deep-harbour? Or add it with 'boxwright add deep-harbor'"
    with pytest.raises(RatingError) as caught:
        folder.read_sheet(small_season, "oxbow")
    assert "deep-harbour, high-water, low-water or spring-tide" in caught.value.fix


def test_rookies_are_read_with_their_days(tmp_path):
    """Blank is from the beginning; a name that stands twice, in any form, is told."""
    path = tmp_path / "rookies.csv"
    path.write_text(
        "subject,team,since\nAda,Otters,2031-03-01\nBo,,\nADA,,\nCy,,2031-W10-1\n,Rooks,\n", encoding="utf-8"
    )
    found, problems = folder.read_rookies(path)
    assert [(one.subject, one.since) for one in found] == [
        ("Ada", date(2031, 3, 1)),
        ("Bo", None),
        ("ADA", None),
        ("Cy", None),
    ]
    assert sorted((one.code, one.row) for one in problems) == [
        ("bad-value", 5),
        ("duplicate-rookie", 4),
        ("missing-value", 6),
    ]


# putting zeros back ------------------------------------------------------------------------------------

NUMBERS = "subset,kind,number,subjects\nInk,autograph,{},Ada\nInk,autograph,{},Bo\n"
SALES = "date,subset,number,price,title\n2031-04-01,Ink,{},5,t\n"


def laid(path, numbers, sale):
    """A checklist and one sale in a release."""
    (path / "checklist.csv").write_text(NUMBERS.format(*numbers), encoding="utf-8")
    (path / "sales.csv").write_text(SALES.format(sale), encoding="utf-8")


def test_zeros_are_put_back_as_the_sales_have_them(small_season):
    """All numbers of the subset, to one width; nothing else is touched."""
    here = small_season / "releases/deep-harbour"
    laid(here, ("1", "20"), "001")
    assert check.repair(Season.open(small_season), "deep-harbour") == [
        "Ink: 2 numbers written with 3 digits again"
    ]
    found, _ = folder.read_release(small_season, "deep-harbour")
    assert [card.number for card in found.cards] == ["001", "020"]
    assert check.repair(Season.open(small_season), "deep-harbour") == []


def test_zeros_lost_in_the_sales_leave_the_checklist_alone(small_season):
    """It was right; the sales are the person's to mend."""
    here = small_season / "releases/deep-harbour"
    laid(here, ("001", "020"), "1")
    before = (here / "checklist.csv").read_bytes()
    assert check.repair(Season.open(small_season), "deep-harbour") == []
    assert (here / "checklist.csv").read_bytes() == before
    told = [one for one in check.check(Season.open(small_season), "deep-harbour") if one.code == "zeros-lost"]
    assert [one.file.rsplit("/", 1)[1] for one in told] == ["sales.csv"]


def test_a_checklist_that_is_not_read_whole_is_not_written_again(small_season):
    """A row that could not be read would be gone."""
    here = small_season / "releases/deep-harbour"
    laid(here, ("1", "20"), "001")
    with (here / "checklist.csv").open("a", encoding="utf-8") as file:
        file.write("Ink,autograph,3,Cy,too many\n")
    before = (here / "checklist.csv").read_bytes()
    with pytest.raises(Refused, match="5 cells"):
        check.repair(Season.open(small_season), "deep-harbour")
    assert (here / "checklist.csv").read_bytes() == before


def test_zeros_of_a_shared_checklist_are_put_back_where_it_lies(small_season):
    """No second checklist comes into being."""
    here = small_season / "releases/deep-harbour"
    other = small_season / "releases/low-water"
    laid(here, ("1", "20"), "001")
    (here / "sales.csv").rename(other / "sales.csv")
    rewrite(other / "release.toml", "[disclosure]", 'checklist_of = "deep-harbour"\n[disclosure]')
    check.repair(Season.open(small_season), "low-water")
    assert not (other / "checklist.csv").exists()
    found, _ = folder.read_release(small_season, "deep-harbour")
    assert [card.number for card in found.cards] == ["001", "020"]
