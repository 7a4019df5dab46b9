"""Every export carries the cautions, the help lines and the disclosure, and holds back what is embargoed."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
from decimal import Decimal

import openpyxl
import pytest

from rating.cli import main
from rating.cli.commands import COMMANDS
from rating.facts import cautions
from rating.facts.stored import loaded
from rating.ledger import merkle
from rating.season.season import Season

# every way to call every export; a new command without an entry is called as it is
CALLS = {"tables": [("--format", form) for form in ("csv", "json", "md")]}
EXPORTS = [
    (command, *more)
    for group, _, command in (name.partition(" ") for name in COMMANDS)
    if group == "export"
    for more in CALLS.get(command, [()])
]


@pytest.fixture(scope="module")
def path(module_season):
    """A sample season of this module's own."""
    return module_season


def parts(path):
    """The texts of an exported file that may be looked at alone, each in the order in which it is read."""
    if path.suffix == ".xlsx":
        book = openpyxl.load_workbook(path, data_only=True)
        sheets = [
            [str(cell.value) for row in sheet.iter_rows() for cell in row if cell.value] for sheet in book
        ]
        return ["\n".join(cells) for cells in sheets]
    content = path.read_text(encoding="utf-8")
    if path.suffix == ".csv":
        return ["\n".join(row) for row in list(csv.reader(io.StringIO(content)))[1:]]
    if path.suffix == ".json":
        return [json.dumps(json.loads(content), ensure_ascii=False)]
    assert path.suffix in {".md", ".html", ".txt"}, "say here how this kind of file is read"
    return [content.replace("\\", "")]


def exported(season, words, into, *more):
    """The files of one export with the texts of each."""
    assert main(["export", *words, "--into", str(into), "--season", str(season), *more]) == 0
    found = {one: parts(one) for one in sorted(into.iterdir()) if one.is_file()}
    assert found
    return found


@pytest.mark.parametrize("words", EXPORTS)
def test_every_export_carries_cautions_and_help_lines_after_the_disclosure(path, tmp_path, words):
    """Each file; and what of it may be looked at alone, a sheet or a row, has the disclosure first."""
    season = Season.open(path)
    contacts = [line.contact for line in season.files.help_lines.lines]
    reviews = [season.recorded.ledger.review(one.review) for one in season.rank()]
    reasons = {score.reason for review in reviews for score in review.scores}
    for file, texts in exported(path, words, tmp_path).items():
        whole = "\n".join(texts)
        losses = cautions.LOSSES.removesuffix(".")
        for said in (cautions.ESTIMATES, cautions.PAST, losses, cautions.LAW, "2031-06-30", *contacts):
            assert said in whole, file
        assert all(review.disclosure.sentence in whole for review in reviews)
        for text in texts:
            told = min(text.find(mark) % (len(text) + 1) for mark in ("How the reviewer", "how_obtained"))
            assert told < len(text), (file, text[:200])
            if cautions.ESTIMATES in text:
                assert told < text.index(cautions.ESTIMATES)
            if file.suffix != ".csv":  # a row has its disclosure in a column of its own
                assert not any(reason in text[:told] for reason in reasons)


@pytest.mark.parametrize("words", EXPORTS)
def test_every_export_prints_the_head(path, tmp_path, words):
    """Each file, and each row of a CSV: the head over all reviews, as a proof made that day has it."""
    season = Season.open(path)
    ids = [entry.id for entry in season.recorded.entries]
    head = merkle.head(season.config.season_id, ids)
    for file, texts in exported(path, words, tmp_path).items():
        assert head in "\n".join(texts), file
        if file.suffix == ".csv":
            assert all(head in text for text in texts)


def losing_by_names(season):
    """How many of a hundred headline boxes lose by each current review that knows it, by slug and title."""
    losing = {}
    for slug, one in season.recorded.current.items():
        kept = json.loads(season.recorded.ledger.facts(one.facts))
        box = (kept.get("returns") or {}).get("formats", {}).get(kept["headline"], {}).get("box")
        if box:
            share = 100 * (1 - Decimal(box["p_return"]))
            losing[slug, kept["title"]] = int(share.to_integral_value("ROUND_HALF_UP"))
    return losing


@pytest.mark.parametrize("words", EXPORTS)
def test_what_is_said_of_one_release_carries_its_own_share(path, tmp_path, words):
    """As the recorded review knew it: what is left of its chance to return the price, in whole hundredths."""
    losing = losing_by_names(Season.open(path))
    halyard = next(names for names in losing if "halyard" in names)
    assert 1 < losing[halyard] < 99
    own = f"{losing[halyard]} % of this release's boxes return less than they cost, if packs"
    alike = [name for names, share in losing.items() if share == losing[halyard] for name in names]
    for texts in exported(path, words, tmp_path).values():
        those = [text for text in texts if own in text]
        assert any(name in text for text in those for name in halyard)
        assert all(any(name in text for name in alike) for text in those)


def test_the_share_is_that_of_the_review_not_of_the_files(path, tmp_path):
    """Prices that doubled since change nothing of what is published before it is graded anew."""
    copy = tmp_path / "season"
    shutil.copytree(path, copy)
    prices = copy / "releases" / "halyard" / "prices.csv"
    prices.write_text(
        prices.read_text(encoding="utf-8") + "2031-07-14,hobby,box,street,9000.00,,a shop\n", encoding="utf-8"
    )
    season = Season.open(path)
    kept = json.loads(season.recorded.ledger.facts(season.recorded.current["halyard"].facts))
    losing = 100 * (1 - Decimal(kept["returns"]["formats"]["hobby"]["box"]["p_return"]))
    for texts in exported(copy, ("tables", "--format", "md"), tmp_path / "out").values():
        assert any(f"{losing:.0f} % of this release's boxes return less" in text for text in texts)


@pytest.mark.parametrize("facts", [{}, {"returns": {"unknown": "no sales"}}, {"returns": None}])
def test_without_returns_the_general_words_stay(facts):
    """A review of before returns were known, and one that could not know them."""
    assert cautions.of_release(loaded({"headline": "hobby"} | facts, None)) == cautions.CAUTIONS


@pytest.mark.parametrize("words", EXPORTS)
@pytest.mark.parametrize("by_season", [False, True])
def test_what_is_under_embargo_is_in_no_file(path, tmp_path, words, by_season):
    """On the day before nothing names it, by its own embargo or by the season's; on the day it is there."""
    copy = tmp_path / "season"
    shutil.copytree(path, copy)
    sheet, settings = copy / "releases" / "foghorn" / "release.toml", copy / "season.toml"
    text = re.sub(r"(?m)^date = .*$", "date = 2031-07-14", sheet.read_text(encoding="utf-8"), count=1)
    if by_season:
        old = settings.read_text(encoding="utf-8")
        settings.write_text(old.replace('embargo = "none"', 'embargo = "release date"'), encoding="utf-8")
    else:
        text = re.sub(r"(?m)^date = .*$", "date = 2031-03-01\nembargo = 2031-07-14", text, count=1)
    sheet.write_text(text, encoding="utf-8")
    season = Season.open(copy)
    title, review = season.files.sheet("foghorn").title, season.recorded.current["foghorn"].id
    before = exported(copy, words, tmp_path / "before", "--today", "2031-07-13")
    after = exported(copy, words, tmp_path / "after", "--today", "2031-07-14")
    assert [one.name for one in before] == [one.name for one in after]
    for texts in before.values():
        for said in ("foghorn", "Foghorn", title, review):
            assert said not in "\n".join(texts)
    for texts in after.values():
        assert "foghorn" in "\n".join(texts)
