"""Random seasons from their files to the workbook: verdict, price line, advice, slots and workbook agree.

Each season holds three releases of the sample with prices of boxes and slots made dearer or cheaper, with or
without sales, odds, a street price, a case price or scores. What is held against each other is what a person
reads, and the arithmetic between it is done anew here, from the amounts that are told.
"""

from __future__ import annotations

import csv
import random
import re
import shutil
from collections import Counter
from datetime import UTC, datetime
from decimal import ROUND_HALF_UP, Decimal

import openpyxl
import pytest

from rating.errors import RatingError
from rating.export.workbook import write_workbook
from rating.facts.plain import Unknown
from rating.price_line import says
from rating.season.season import Season

# 67 seasons are 201 releases
SEASONS = 67
CENT = Decimal("0.01")
NOW = datetime(2031, 7, 15, 12, tzinfo=UTC)
GOOD = ("Outstanding", "Strong", "Decent")
WORDS = {"buy": "priced to buy", "fun": "worth opening for fun", "wait": "wait"}


def rewritten(path, change):
    """A table with its rows changed; a row for which the change gives None is left out."""
    if not path.exists():
        return
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file)
        names, rows = reader.fieldnames, [changed for row in reader if (changed := change(row)) is not None]
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, names)
        writer.writeheader()
        writer.writerows(rows)


def times(factor):
    """A change that makes a price so many times as high, in cents, and never nothing."""

    def change(row):
        price = max(CENT, (Decimal(row["price"]) * factor).quantize(CENT, ROUND_HALF_UP))
        return row | {"price": str(price)}

    return change


def at_random(path, sample, rng):
    """A season of three releases, made from the sample's by chance; gives their names."""
    names = sorted(one.name for one in (sample / "releases").iterdir() if (one / "odds.csv").exists())
    chosen = rng.sample(names, 3)
    shutil.copytree(sample, path, ignore=shutil.ignore_patterns("exports", "releases", "ledger*"))
    for name in chosen:
        folder = path / "releases" / name
        shutil.copytree(sample / "releases" / name, folder)
        factor = Decimal(str(round(rng.choice((0.1, 0.3, 0.6, 1, 1, 2)) * rng.uniform(0.8, 1.25), 3)))
        scaled, without = times(factor), rng.random()

        def priced(row, scaled=scaled, without=without):
            is_left = (without < 0.1) or (without < 0.2 and row["kind"] != "list")
            is_left = is_left or (without < 0.5 and row["unit"] == "case")
            return None if is_left else scaled(row)

        rewritten(folder / "prices.csv", priced)
        rewritten(folder / "slots.csv", times(Decimal(str(round(rng.uniform(0.1, 2), 3)))))
        for table, chance in (("sales.csv", 0.15), ("odds.csv", 0.1), ("scores.toml", 0.1)):
            if rng.random() < chance:
                (folder / table).unlink(missing_ok=True)
    return chosen


def amounts(line):
    """The amounts of a line, in its order."""
    return [Decimal(found.replace(",", "")) for found in re.findall(r"\$([\d,]+(?:\.\d\d)?)", line)]


def hold_line(draft):
    """Verdict and line say the same, and the line is made of the amounts of the facts."""
    line, verdict, facts = draft.beside.price_line, draft.graded.verdict, draft.facts
    told = draft.beside.price_advice
    said = says(told)
    assert line.startswith(f"{verdict or 'Too early for a verdict'}{', ' if said else '.'}"), line
    assert [word for word, words in WORDS.items() if f" {words}: at $" in line] == [said] * bool(said), line
    # a verdict is good or not as a whole: of the standard bands, those that begin at 50.0 or above
    is_good = verdict in GOOD
    if said:
        joined = "but" if is_good == (said == "wait") else "so" if said == "wait" else "and"
        assert re.match(rf"[A-Z][a-z ]+, {joined} {WORDS[said]}: ", line), line
    main = facts.economics.formats[facts.headline]
    if main.box_price is None:
        assert told.price is None
        assert not said
        return said
    buying = facts.season.buying
    landed = (main.box_price + buying.shipping) * (1 + buying.tax) * (1 + buying.duty)
    assert abs(Decimal(told.landed) - landed) <= CENT
    assert amounts(line)[0] == main.box_price
    if said:
        box = facts.returns.formats[facts.headline].box
        assert (said == "buy") == (box.mean >= Decimal(told.landed) and not told.is_carried)
        fair = facts.advice.price.below
        if said == "fun":
            assert main.box_price < fair
        if said == "wait":
            assert fair is None or main.box_price >= fair
    return said


def hold_advice(draft, said):
    """Whoever goes by what comes back is told what the line says; for whom it pays all the same is named."""
    facts, told = draft.facts, draft.beside.price_advice
    if isinstance(facts.advice, Unknown):
        assert not said
        return
    aims = {one.aim: one for one in facts.advice.aims}
    by_returns = [aims["casual opener"], aims["break buyer"]]
    buyers = [one for one in aims.values() if one.buy in {"box", "case"}]
    if said == "wait":
        assert not [one for one in by_returns if one.buy == "box" and one.format == facts.headline]
        assert bool(told.still) == bool(buyers)
    else:
        assert not told.still
    if said in {"buy", "fun"}:
        assert aims["casual opener"].buy in {"box", "case"}
    if said == "buy":
        assert aims["break buyer"].buy != "wait"
    for one in aims.values():
        if one.buy in {"box", "case", "slot", "singles"} and None not in {one.price, one.below}:
            assert one.buy not in {one.of, "slot"} or one.price < one.below, one


def hold_slots(season, draft):
    """Whether slots have worths; no limit is more, and one is advised only where it is worth its price."""
    facts = draft.facts
    if isinstance(facts.advice, Unknown):
        return False
    try:
        cut = season.slots(draft.review.release)
    except RatingError:  # what cannot be cut is refused in words
        return False
    valued = [one for one in cut.slots if one.worth is not None and one.limit is not None]
    for one in valued:
        assert one.limit <= one.worth
        if one.landed is not None:  # whoever pays up to the limit pays no more than it is worth, landed
            assert (one.asked <= one.limit) == (one.landed <= one.worth), one
    best = next(one for one in facts.advice.aims if one.aim == "break buyer")
    if best.buy == "slot":
        offered = [one for one in valued if one.asked is not None]
        if offered:
            assert [one for one in offered if one.worth >= one.landed]
        else:  # no slot is listed: the average one, at its share of the case, is advised
            buying = facts.season.buying
            landed = (best.price + buying.shipping) * (1 + buying.tax) * (1 + buying.duty)
            assert sum(one.worth for one in valued) / len(valued) >= landed
    return bool(valued)


def hold_workbook(season, drafts, path):
    """Each release's sheet and row say what its grade says."""
    write_workbook(season, path)
    book = openpyxl.load_workbook(path, data_only=True)
    sheets = {one["A1"].value: one for one in book}
    beside, rows = season.beside(season.rank()), {row.release: row for row in season.rank()}
    for name, draft in drafts.items():
        assert beside[name] == draft.beside
        assert rows[name].verdict == draft.graded.verdict
        labels = [one.value for one in sheets[draft.review.title]["A"]]
        place = labels.index("at its price")
        assert sheets[draft.review.title].cell(place + 1, 3).value == draft.beside.price_line


@pytest.mark.trial(seed=14, few=2, full=SEASONS)
def test_no_release_of_a_random_season_contradicts_itself(trial, sample_season, tmp_path):
    """From its files to the workbook."""
    seen, cut = Counter(), 0
    for number in range(trial.count):
        rng = random.Random(1000 * trial.seed + number)
        path = tmp_path / str(number)
        chosen = at_random(path, sample_season, rng)
        season = Season.open(path)
        for name in chosen:
            draft = season.grade(name)
            if draft.graded.grade is not None:
                season.record(draft, now=NOW)
        season = Season.open(path)
        drafts = {name: season.grade(name) for name in season.recorded.current}
        for draft in drafts.values():
            said = hold_line(draft)
            hold_advice(draft, said)
            cut += hold_slots(season, draft)
            seen[said] += 1
        hold_workbook(season, drafts, path / "season.xlsx")
        shutil.rmtree(path)
    assert sum(seen.values()) >= 2 * trial.count
    assert trial.count < SEASONS or min(seen[one] for one in ("buy", "fun", "wait", "")) >= 10, seen
    assert cut


def test_no_release_of_the_sample_contradicts_itself(sample_season):
    """The same of each release as it is."""
    season = Season.open(sample_season)
    for name in season.recorded.current:
        draft = season.grade(name)
        hold_advice(draft, hold_line(draft))
        hold_slots(season, draft)
