"""The sample season's files: as their generator makes them, without a problem, and varied."""

from __future__ import annotations

import importlib.util
import itertools
import statistics
import sys
from collections import Counter
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from rapidfuzz import fuzz, process
from scipy.stats import spearmanr

from rating import tomlfile
from rating.grading import is_apart
from rating.season import check, folder, sample
from rating.season.beside import computed_scores
from rating.season.context.editions import history
from rating.season.scoring import scores
from rating.season.season import Season
from rating.standings import audit

HOME = Path(__file__).resolve().parents[2] / "sample_ratings"
SEASONS = {"2031": HOME, "2030": HOME / "earlier/2030"}
ASKED = {"design", "finish"}
LEFT_OPEN = {"cordage", "oakum-reserve"}  # one partial, one ranked apart
LEAST = {"halyard": Decimal("1.09"), "market-waltz": Decimal("0.99"), "rinkside-almanac": Decimal("0.99")}
# a score of these two is overruled by more than both doubts, one up and one down
OVERRULED_BEYOND_DOUBT = {"vellum-night", "undertow"}
WITHDRAWN = "gatehouse-winter"
TO_COME = {"halyard-late-watch", "undertow-bellbuoy"}


@pytest.fixture(scope="module")
def generated():
    """What the generator makes, by path."""
    path = Path(__file__).with_name("make_sample.py")
    spec = importlib.util.spec_from_file_location("make_sample", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_sample"] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    yield module.generate()
    del sys.modules["make_sample"]


@pytest.fixture(scope="module")
def season(sample_season):
    """The sample season, laid out and recorded."""
    return Season.open(sample_season)


def judgements(home):
    """Every judgement of a season's scores.toml files, as (slug, judgement)."""
    opened = Season.open(home)
    return [(slug, one) for slug in opened.files.slugs for one in opened.files.judgements(slug)]


def steps(home):
    """The steps of a season's history."""
    return sample.read_history(home / "history.toml", rater="mo")


def test_generating_again_gives_the_files_that_are_there(generated):
    """The generator and its files do not drift apart."""
    changed = [path for path, content in generated.items() if (HOME / path).read_bytes() != content.encode()]
    assert changed == []


def test_every_table_of_a_release_is_generated_but_halyards(generated):
    """No checklist, parallels or odds lies about that nothing makes."""
    there = {
        path.relative_to(HOME).as_posix()
        for name in ("checklist.csv", "parallels.csv", "odds.csv")
        for path in HOME.rglob(name)
    }
    by_hand = {f"releases/halyard/{name}.csv" for name in ("checklist", "parallels", "odds")}
    assert there - set(generated) == by_hand


@pytest.mark.parametrize("year", SEASONS)
def test_every_file_reads_without_a_problem(year):
    """Sheets, tables, scores and rookies have nothing to complain of."""
    home = SEASONS[year]
    opened = Season.open(home)
    found = list(folder.read_rookies(home / "rookies.csv")[1])
    for slug in opened.files.slugs:
        found += folder.read_release(home, slug)[1]
        path = home / "releases" / slug / "scores.toml"
        if path.exists():
            table = tomlfile.read(path)
            keys = tuple(one.key for one in opened.rubric.criteria)
            scores.read(table, raters=opened.config.rater_keys, criteria=keys)
            found += table.problems
    assert found == []


@pytest.mark.parametrize("year", SEASONS)
def test_checking_the_season_finds_no_error(year):
    """`check` has at most remarks of two people whose names differ in a letter, of odds and of scores."""
    found = check.check(Season.open(SEASONS[year]))
    assert [one for one in found if one.severity == "error"] == []
    codes = Counter(one.code for one in found)
    assert set(codes) <= {"subject-misspelt", "overruled-beyond-doubt", "odds-misfit"}
    assert year == "2030" or codes == {
        "subject-misspelt": 1,
        "overruled-beyond-doubt": 2,
        "odds-misfit": 1,
    }


@pytest.mark.parametrize("year", SEASONS)
def test_no_two_reasons_are_alike_or_nearly_so(year):
    """Every reason of a season, then and now, says something of its own (under 85 of 100 in common)."""
    home = SEASONS[year]
    reasons = [one.reason for _, one in judgements(home)]
    reasons += [one.reason for step in steps(home) for one in step.judgements]
    reasons += [step.reason_for_change or step.withdraw for step in steps(home)]
    reasons = [reason for reason in reasons if reason]
    likeness = process.cdist(reasons, reasons, scorer=fuzz.ratio, score_cutoff=85)
    alike = [
        (reasons[i], reasons[j]) for i, j in itertools.combinations(range(len(reasons)), 2) if likeness[i, j]
    ]
    assert alike == []


def test_every_release_answers_the_asked_questions_but_those_left_open(season):
    """A person answers what no module computes or can know, and overrules a computed score a few times."""
    given: dict[str, set[str]] = {}
    for slug, one in judgements(HOME):
        if one.rater == "mo":
            given.setdefault(slug, set()).add(one.criterion)
    assert set(given) == set(Season.open(HOME).files.slugs) - TO_COME
    assert {slug for slug, keys in given.items() if keys & ASKED != ASKED} == LEFT_OPEN
    graded = {slug: season.grade(slug).graded for slug in given}
    bases = Counter(line.score.basis for one in graded.values() for line in one.contributions)
    assert 8 <= bases["overruled"] <= 15
    by_key = Counter(
        line.score.criterion
        for one in graded.values()
        for line in one.contributions
        if line.score.basis == "overruled"
    )
    # the host opens boxes, and trusts no carried-over prices; those for one are too unsure to compute
    assert by_key["returns"] == 5
    computed = [
        line for one in graded.values() for line in one.contributions if line.score.basis == "computed"
    ]
    assert sum(line.score.criterion == "returns" for line in computed) >= 12
    assert bases["computed"] > 2 * bases["judged"]
    without_base_set = [
        slug for slug, one in graded.items() if "building" in {n.criterion for n in one.not_applicable}
    ]
    assert without_base_set == ["kittiwake"]


def test_returns_are_overruled_in_both_directions(season):
    """Nobody talks a grade up: of the scores that a person put beside a computed one, many are lower."""
    lines = [line.score for row in season.rank() for line in season.grade(row.release).graded.contributions]
    changes = [one.score - one.computed_score for one in lines if one.basis == "overruled"]
    assert min(sum(change < 0 for change in changes), sum(change > 0 for change in changes)) >= 3
    told = season.beside(season.rank())
    assert {slug for slug, one in told.items() if one.as_computed is not None} == OVERRULED_BEYOND_DOUBT


def test_the_second_rater_scores_three_releases_in_full():
    """There is enough to compare two raters by."""
    theirs: dict[str, set[str]] = {}
    for slug, one in judgements(HOME):
        if one.rater == "wren":
            theirs.setdefault(slug, set()).add(one.criterion)
    assert all(keys >= ASKED for keys in theirs.values())
    assert len(theirs) == 3


def test_scores_use_the_range_of_the_scale():
    """The host is neither kind nor cruel to everything."""
    given = [one.score for _, one in judgements(HOME) if one.rater == "mo" and one.score is not None]
    assert min(given) <= 10
    assert max(given) >= 90
    assert 45 <= statistics.mean(given) <= 60


def test_the_history_steps_through_the_whole_season():
    """There are over forty steps, in order, and a release's last one takes its scores as they stand."""
    found = steps(HOME)
    assert len(found) >= 40
    assert [one.on for one in found] == sorted(one.on for one in found)
    last = {one.release: one for one in found}
    for slug, step in last.items():
        assert not step.left, slug
        assert not step.judgements, slug
    assert [slug for slug, step in last.items() if step.withdraw] == [WITHDRAWN]


def test_the_last_step_of_a_release_lies_after_its_last_price():
    """Nothing that is on file now was unknown at the last review."""
    opened = Season.open(HOME)
    for slug, step in {one.release: one for one in steps(HOME)}.items():
        assert step.on >= max(one.day for one in opened.files.release(slug).prices), slug
        assert step.on <= date(2031, 7, 15)


def test_settled_reviews_come_sixty_days_after_release_at_the_least():
    """`settled` means sixty days of sales."""
    for home in SEASONS.values():
        opened = Season.open(home)
        settled = [one for one in steps(home) if one.stage == "settled"]
        assert len(settled) >= 8
        for one in settled:
            assert one.on - opened.files.sheet(one.release).released_on >= timedelta(days=60), one.release


def test_nothing_is_reviewed_before_its_embargo_ends():
    """One embargo lies in the past, one in the future, and the history keeps both."""
    opened = Season.open(HOME)
    days = {
        slug: opened.files.sheet(slug).embargo
        for slug in opened.files.slugs
        if opened.files.sheet(slug).embargo
    }
    assert sorted(day > opened.today for day in days.values()) == [False, True]
    for one in steps(HOME):
        assert one.on >= days.get(one.release, date.min)


def test_the_standings_hold_what_the_season_is_for(season):
    """17 ranked, one apart, one more partial, a tie, one withdrawn, two to come; in several stages."""
    rows = season.rank()
    ranked = [one for one in rows if one.rank is not None]
    assert len(season.files.slugs) == 21
    assert (len(rows), len(ranked)) == (18, 17)
    assert [one.release for one in rows if one.ranked_apart] == ["oakum-reserve"]
    assert [one.release for one in ranked if one.partial] == ["cordage"]
    assert sum(one.tied for one in ranked) >= 2
    assert {slug for slug, _ in season.to_come()} == TO_COME
    assert season.not_reviewed() == ()
    assert Counter(one.stage for one in ranked)["settled"] >= 8
    assert {one.stage for one in rows} == {"settled", "in-hand", "launch", "preview"}
    assert {one.price_class for one in ranked} == {band.name for band in season.config.classes}


def test_releases_of_every_class_have_sales_of_their_own(season):
    """Two with a least price, one with too few to go by, one with sales from before its release alone."""
    sold = {slug: season.files.release(slug).sales or () for slug in season.files.slugs}
    classes = {row.release: row.price_class for row in season.rank()}
    enough = {slug for slug, sales in sold.items() if len(sales) >= 50}
    assert Counter(classes[slug] for slug in enough) == {"everyday": 4, "middle": 5, "premium": 3}
    prices = {slug: [one.price for one in sales] for slug, sales in sold.items() if sales}
    at_least = {slug: min(given) for slug, given in prices.items() if given.count(min(given)) >= 10}
    # the lowest that any sale is drawn at is no least price of a market
    assert {slug: least for slug, least in at_least.items() if least > Decimal("0.25")} == LEAST
    assert {slug for slug, sales in sold.items() if 0 < len(sales) < 20} == {"ropewalk-second-coil"}
    early = {
        slug
        for slug, sales in sold.items()
        if sales and all(one.day < season.files.sheet(slug).released_on for one in sales)
    }
    assert early == {"oakum-reserve"}
    assert [slug for slug in sold if season.files.release(slug).opened] == ["rinkside-almanac"]
    assert [slug for slug in sold if season.files.release(slug).slots] == ["gatehouse", "halyard"]


def test_the_odds_contradict_a_promise(season):
    """Causeway's two inserts in a retail box of six packs: 6 / 12 + 6 / 60 = 0.6 by the odds."""
    promises = season.facts("causeway").scarcity.promises
    (broken,) = [one for one in promises if not one.agrees]
    assert (broken.format, broken.against, broken.stated) == ("retail", "odds", 2)
    assert broken.implied == Decimal("0.6")


def test_boxes_return_from_a_fifth_to_nearly_all_of_their_price(season):
    """By sales of their own."""
    shares = {}
    for row in season.rank():
        facts = season.facts(row.release)
        box = facts.returns.formats[facts.headline].box
        if not facts.values.carried_from:
            shares[row.release] = float(box.mean / box.price)
    assert len(shares) >= 12
    assert min(shares.values()) < 0.25
    assert sum(share > 0.75 for share in shares.values()) >= 2
    assert sum(0.25 < share < 0.75 for share in shares.values()) >= 5


def test_no_two_computed_criteria_ask_the_same_but_what_counts_for_money(season):
    """Above 0.85 go only two that both count what 100 spent brings, which the audit says."""
    rows = season.rank()
    found = audit(
        rows, season.recorded.ledger.scores([row.seq for row in rows]), computed_scores(season.recorded, rows)
    )
    assert [(first, second) for first, second, _ in found.alike] == [("chase", "relics")]


def test_exactly_one_line_is_new(season):
    """One release is judged without a past; another claims one that nobody has on file."""
    new = [
        one.release
        for one in season.rank()
        if (own := history(season.files, one.release)).since is None and not own.editions
    ]
    assert new == ["kittiwake"]
    claimed = history(season.files, "cordage")
    assert (claimed.editions, claimed.since) == ((), 2022)


def test_grades_spread_and_do_not_follow_the_price(season):
    """The best is over 69, the worst under 40, and the rank correlation with price stays under 0.4."""
    ranked = [one for one in season.rank() if one.rank is not None]
    grades = [one.grade / 10 for one in ranked]
    assert statistics.stdev(grades) >= 8
    assert min(grades) < 40
    assert max(grades) > 69
    prices = [float(Decimal(one.log_price)) for one in ranked]
    assert abs(spearmanr(grades, prices).statistic) < 0.4


def test_street_prices_part_from_list_in_both_directions_whatever_the_price(season):
    """Street over list runs from 0.7 to 1.9 and does not follow the list price."""
    listed, ratios = [], []
    for row in season.rank():
        main = season.facts(row.release).economics.main
        if main.street_price:
            listed.append(float(main.list_price))
            ratios.append(float(main.street_price / main.list_price))
    assert min(listed) < 25
    assert max(listed) > 800
    assert 0.7 <= min(ratios) < 0.8
    assert 1.8 < max(ratios) <= 1.9
    assert abs(spearmanr(listed, ratios).statistic) < 0.4


def test_grading_again_says_what_was_recorded(season):
    """No release's files say something else than its last review."""
    assert [slug for slug in season.files.slugs if season.grade(slug).differs] == []


def test_the_ranked_apart_release_lacks_more_than_a_quarter(season):
    """Its share of unknown points is what sets it apart."""
    rubric = {one.key: one.points for one in season.rubric.criteria}
    graded = season.grade("oakum-reserve").graded
    unknown = sum(rubric[one.criterion] for one in graded.unknown)
    assert is_apart(unknown, unknown + sum(line.points for line in graded.contributions))


def test_no_two_checklists_are_built_alike(season):
    """Each release has its own subsets in its own sizes; one has no base set, some no hits of a kind."""
    built = {}
    for slug in season.files.slugs:
        cards = season.files.release(slug).cards
        if cards:
            built[slug] = tuple(Counter(card.subset for card in cards).items())
    assert len(set(built.values())) == len(built) == 19
    contents = {slug: season.facts(slug).content for slug in built}
    assert [slug for slug, one in contents.items() if "base" not in one.kinds] == ["kittiwake"]
    assert [slug for slug, one in contents.items() if not one.has_signatures] == ["ropewalk"]
    assert sum(not one.has_relics for one in contents.values()) >= 3
    assert set(contents["tidewrack"].relics_by) == {"unattributed"}
    assert (contents["vellum-night"].signed_on_stickers, contents["vellum-night"].signed_unknown) == (0, 0)
    assert (contents["undertow"].signed_on_card, contents["undertow"].signed_unknown) == (0, 0)
    assert all(40 <= one.cards <= 430 for one in contents.values())


def test_halyard_holds_what_its_sell_sheet_says(season):
    """220 base cards, 36 rookies among them, and the promises of a hobby box."""
    cards = [card for card in season.files.release("halyard").cards if card.subset == "Base"]
    assert (len(cards), sum(card.rookie for card in cards)) == (220, 36)
    main = season.facts("halyard").economics.main
    assert (main.cards_per_box, main.list_price) == (Decimal(112), Decimal("164.95"))
    assert main.autographs_per_box == Decimal("3.5")
    assert main.case_price == Decimal("1590.00")


def test_odds_agree_with_print_runs(season):
    """Where there is one format, all numbered lines imply one number of packs, up to half a pack."""
    looked_at = 0
    for slug in season.files.slugs:
        release = season.files.release(slug)
        if not release.odds or len(release.sheet.formats) != 1:
            continue
        sizes = Counter(card.subset for card in release.cards)
        runs = {(one.subset, one.parallel): one.print_run for one in release.parallels}
        runs |= {(card.subset, ""): card.print_run for card in release.cards}
        low, high = [], []
        for line in release.odds:
            run = runs[line.subset, line.parallel]
            if run is not None:
                copies = run * sizes[line.subset]
                low.append((Fraction(line.packs_per_copy) - Fraction(1, 2)) * copies)
                high.append((Fraction(line.packs_per_copy) + Fraction(1, 2)) * copies)
        if low:
            assert max(low) <= min(high), slug
            looked_at += 1
    assert looked_at >= 8


def test_recording_leaves_a_ledger_that_verifies(season):
    """Every recorded review is one step of the history, and its stored facts read as JSON."""
    assert len(season.recorded.entries) == len(steps(HOME))
    assert all(season.recorded.facts(one)["format"] == 1 for one in season.recorded.entries)
