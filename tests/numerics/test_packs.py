"""Packs and copies from odds: ranges, contradictions, formats, and what follows from them."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import linprog

from rating.numerics import packs as scarcity
from rating.numerics import programmes

# The invented Halyard release, as its maker prints it: name, copies of all cards, odds by format.
# It was made with 86,800 hobby and 144,000 retail packs, and the Pearl of Deck Signatures is a misprint.
HALYARD = [
    ("Base Fathom Green", 220 * 199, {"hobby": 3, "retail": 11}),
    ("Base Driftwood", 220 * 299, {"retail": 2}),
    ("Base Amber", 220 * 75, {"hobby": 6, "retail": 58}),
    ("Base Slate", 220 * 35, {"hobby": 11}),
    ("Base Pearl", 220 * 12, {"hobby": 33}),
    ("Base Beacon", 220, {"hobby": 395}),
    ("Night Watch Amber", 18 * 75, {"hobby": 64}),
    ("Night Watch Beacon", 18, {"hobby": 4822}),
    ("First Tide Amber", 12 * 75, {"hobby": 96}),
    ("First Tide Beacon", 12, {"hobby": 7233}),
    ("Maiden Voyage Amber", 38 * 75, {"hobby": 32, "retail": 1011}),
    ("Maiden Voyage Slate", 38 * 35, {"hobby": 65}),
    ("Maiden Voyage Pearl", 38 * 12, {"hobby": 190}),
    ("Maiden Voyage Beacon", 38, {"hobby": 2284}),
    ("Deck Signatures", 48 * 120 + 4 * 60, {"hobby": 16, "retail": 300}),
    ("Deck Signatures Slate", 52 * 35, {"hobby": 48}),
    ("Deck Signatures Pearl", 52 * 12, {"hobby": 250}),
    ("Deck Signatures Beacon", 52, {"hobby": 1669}),
    ("Twin Lanterns", 8 * 18, {"hobby": 603}),
    ("Twin Lanterns Beacon", 8, {"hobby": 10850}),
    ("Canvas Cut Patch", 40 * 25, {"hobby": 87}),
    ("Canvas Cut Beacon", 40, {"hobby": 2170}),
    ("Signed Canvas", 26 * 106, {"hobby": 31}),
    ("Signed Canvas Pearl", 26 * 12, {"hobby": 278}),
    ("Signed Canvas Beacon", 26, {"hobby": 3338}),
]
PEARL = [name for name, _, _ in HALYARD].index("Deck Signatures Pearl")


@pytest.fixture
def halyard():
    """The packs of the Halyard release, from all of its numbered lines."""
    return scarcity.packs_by_format([(copies, odds) for _, copies, odds in HALYARD], ["hobby", "retail"])


def test_the_packs_of_both_formats_lie_in_their_ranges(halyard):
    """The numbers that the release was made with are inside, also in total, and the estimates are near."""
    hobby, retail = halyard.packs["hobby"], halyard.packs["retail"]
    assert hobby.low <= 86_800 <= hobby.high
    assert retail.low <= 144_000 <= retail.high
    assert halyard.total.low <= 230_800 <= halyard.total.high
    assert abs(hobby.estimate - 86_800) < 3 * hobby.error
    assert abs(retail.estimate - 144_000) < 3 * retail.error


def test_a_misprint_is_named_with_stated_and_implied_odds(halyard):
    """Only the Pearl of Deck Signatures is set aside: stated 1:250, the others imply 86,800/624 = 1:139."""
    assert halyard.set_aside == [(PEARL,)]
    assert not halyard.consistent
    [alternative] = halyard.alternatives
    [implied] = alternative.implied
    assert (implied.line, implied.format, implied.stated) == (PEARL, "hobby", 250)
    assert implied.low <= 86_800 / 624 <= implied.high
    assert implied.implied == pytest.approx(86_800 / 624, abs=0.02)


def of_one_format(lines, **rounding):
    """The packs of a single format, from pairs (X of 1:X, copies)."""
    return scarcity.packs_by_format([(copies, {"a": x}) for x, copies in lines], ["a"], **rounding)


def test_the_lines_of_hobby_alone_find_the_same_misprint():
    """With one format, the programmes give what intersecting the intervals of the lines kept gives.

    Least squares on the odds with one variance, 1/12, for each: P = sum(X/c) / sum(1/c^2).
    """
    lines = [(odds["hobby"], copies) for _, copies, odds in HALYARD if list(odds) == ["hobby"]]
    names = [name for name, _, odds in HALYARD if list(odds) == ["hobby"]]
    packs = of_one_format(lines)
    assert [[names[j] for j in aside] for aside in packs.set_aside] == [["Deck Signatures Pearl"]]
    found = packs.packs["a"]
    assert found.low <= 86_800 <= found.high
    kept = [line for line, name in zip(lines, names, strict=True) if name != "Deck Signatures Pearl"]
    low, high = max((x - 0.5) * c for x, c in kept), min((x + 0.5) * c for x, c in kept)
    weight = math.fsum(1 / c**2 for _, c in kept)
    estimate = min(max(math.fsum(x / c for x, c in kept) / weight, low), high)
    assert (found.low, found.high, found.estimate, found.error) == pytest.approx(
        (low, high, estimate, 1 / math.sqrt(12 * weight)), rel=1e-9
    )


def test_two_lines_that_disagree_can_both_be_wrong():
    """Neither is believed: both sets are listed, and the range spans both lines."""
    packs = of_one_format([(10, 100), (40, 100)])
    assert packs.set_aside == [(0,), (1,)]
    assert (packs.total.low, packs.total.high) == pytest.approx((950, 4050), rel=1e-9)
    ranges = [end for a in packs.alternatives for end in (a.total.low, a.total.high)]
    assert ranges == pytest.approx([3950, 4050, 950, 1050], rel=1e-9)
    assert [a.implied[0].implied for a in packs.alternatives] == pytest.approx([40, 10], rel=1e-9)


def test_two_formats_list_every_equally_small_set():
    """A clash of two lines in each of two formats leaves four ways to believe one of each."""
    lines = [
        (100, {"hobby": 10}),
        (100, {"hobby": 40}),
        (100, {"retail": 20}),
        (100, {"retail": 90}),
    ]
    packs = scarcity.packs_by_format(lines, ["hobby", "retail"])
    assert packs.set_aside == [(0, 2), (0, 3), (1, 2), (1, 3)]
    assert packs.all_listed
    assert (packs.packs["hobby"].low, packs.packs["hobby"].high) == pytest.approx((950, 4050))
    assert (packs.packs["retail"].low, packs.packs["retail"].high) == pytest.approx((1950, 9050))
    fewer = scarcity.packs_by_format(lines, ["hobby", "retail"], most=3)
    assert len(fewer.set_aside) == 3
    assert not fewer.all_listed


def test_touching_intervals_agree():
    """1:10 of 105 copies ends at 1,102.5, where 1:11 of 105 begins."""
    by_format = scarcity.packs_by_format([(105, {"a": 10}), (105, {"a": 11})], ["a"])
    assert by_format.consistent
    assert (by_format.packs["a"].low, by_format.packs["a"].high) == pytest.approx((1102.5, 1102.5), rel=1e-8)


def made_up(rng, *, lines, misprints, formats=("hobby", "retail", "blaster"), factors=(0.3, 0.5, 2, 3)):
    """Lines that odds rounded from known packs give, some of them then misprinted by a factor."""
    packs = {name: float(rng.integers(50_000, 400_000)) for name in formats}
    made = []
    while len(made) < lines:
        chosen = [name for name in formats if rng.random() < 0.5] or [formats[int(rng.integers(3))]]
        copies = int(rng.choice([1, 5, 10, 25, 50, 99, 199]) * rng.integers(5, 221))
        shares = rng.dirichlet(np.ones(len(chosen)))
        odds = {
            name: float(round(packs[name] / (copies * share)))
            for name, share in zip(chosen, shares, strict=True)
        }
        if min(odds.values()) >= 1:
            made.append((copies, odds))
    wrong = sorted(int(j) for j in rng.choice(lines, misprints, replace=False))
    for j in wrong:
        name = next(iter(made[j][1]))
        made[j][1][name] = float(max(1, round(made[j][1][name] * rng.choice(factors))))
    return packs, made, wrong


def plain_programme(lines, formats, cost):
    """The constraints of the method written out line by line, minimised by scipy; None if they clash."""
    rows, ends = [], []
    for copies, odds in lines:
        rows.append([1 / (odds[f] + 0.5) if f in odds else 0 for f in formats])
        ends.append(copies)
        rows.append([-1 / (odds[f] - 0.5) if f in odds else 0 for f in formats])
        ends.append(-copies)
    scaled = np.array(rows) * 1e5 / np.abs(ends)[:, None]
    done = linprog(cost, A_ub=scaled, b_ub=np.sign(ends), method="highs")
    return done.fun * 1e5 if done.status == 0 else None


@pytest.mark.parametrize("seed", range(6))
def test_smallest_sets_and_ranges_match_an_exhaustive_search(seed):
    """Every subset of nine lines in three formats is tried with a plain linear programme."""
    rng = np.random.default_rng(seed)
    formats = ["hobby", "retail", "blaster"]
    _, lines, _ = made_up(rng, lines=9, misprints=seed % 4)
    found = scarcity.packs_by_format(lines, formats)
    for size in range(9):
        sets = [
            aside
            for aside in combinations(range(9), size)
            if plain_programme([x for j, x in enumerate(lines) if j not in aside], formats, [0, 0, 0])
            is not None
        ]
        if sets:
            break
    assert (found.set_aside or [()]) == sets
    for alternative in found.alternatives:
        kept = [x for j, x in enumerate(lines) if j not in alternative.set_aside]
        for f, name in enumerate(formats):
            if not any(name in odds for _, odds in kept):
                assert (alternative.packs[name].low, alternative.packs[name].high) == (0, math.inf)
                continue
            low = plain_programme(kept, formats, np.eye(3)[f])
            high = -plain_programme(kept, formats, -np.eye(3)[f])
            assert (alternative.packs[name].low, alternative.packs[name].high) == pytest.approx(
                (low, high), rel=1e-5, abs=1e-2
            )
            assert alternative.packs[name].low <= alternative.packs[name].estimate <= high * (1 + 1e-5)


@pytest.mark.parametrize("misprints", [0, 1, 3, 5])
def test_sixty_lines_in_three_formats_need_few_programmes(misprints, monkeypatch):
    """Fewer than 50, counted at the solver, find exactly the misprints and leave the true packs inside."""
    calls = []
    for solver in ("least", "fewest"):
        plain = getattr(programmes, solver)
        monkeypatch.setattr(
            programmes, solver, lambda *a, plain=plain, **k: calls.append(1) or plain(*a, **k)
        )
    packs, lines, wrong = made_up(np.random.default_rng(11 + misprints), lines=60, misprints=misprints)
    found = scarcity.packs_by_format(lines, list(packs))
    assert found.set_aside == ([tuple(wrong)] if wrong else [])
    for name, true in packs.items():
        assert found.packs[name].low <= true * (1 + 1e-9)
        assert true <= found.packs[name].high * (1 + 1e-9)
    assert len(calls) == found.programmes < 50


@pytest.mark.parametrize("seed", range(4))
def test_slight_misprints_need_fewer_than_fifty_linear_programmes(seed, monkeypatch):
    """Odds off by a tenth or a third clash in threes and fours, which only programmes can find."""
    calls, plain = [], programmes.least
    monkeypatch.setattr(programmes, "least", lambda *a, **k: calls.append(1) or plain(*a, **k))
    packs, lines, wrong = made_up(
        np.random.default_rng(seed), lines=60, misprints=5, factors=(0.7, 0.9, 1.1, 1.3)
    )
    found = scarcity.packs_by_format(lines, list(packs))
    assert len(calls) < 50
    # The misprints are one way to reconcile the lines, so no smallest set is larger.
    assert all(len(aside) <= len(wrong) for aside in found.set_aside)
    for alternative in found.alternatives:
        if set(wrong) <= set(alternative.set_aside):
            for name, true in packs.items():
                assert alternative.packs[name].low <= true * (1 + 1e-9)
                assert true <= alternative.packs[name].high * (1 + 1e-9)


def test_three_lines_can_clash_where_no_two_do():
    """Hobby and retail are each pinned, and a line over both then asks for more than they give."""
    lines = [(100, {"hobby": 10}), (100, {"retail": 10}), (100, {"hobby": 10, "retail": 10})]
    packs = scarcity.packs_by_format(lines, ["hobby", "retail"])
    assert packs.set_aside == [(0,), (1,), (2,)]
    last = packs.alternatives[2]
    # 1,000 hobby packs at 1:10 take all 100 copies, so none is left for retail.
    assert [(i.format, i.stated) for i in last.implied] == [("hobby", 10), ("retail", 10)]
    assert last.implied[0].high == math.inf


def test_an_estimate_is_held_inside_its_range():
    """1:1000 twice and 1:1000.8 leave 1,000.3 to 1,000.5; their mean of 1,000.27 is moved to the near end."""
    lines = [(1000, 1), (1000, 1), (1000.8, 1)]
    packs = of_one_format(lines).packs["a"]
    assert (packs.low, packs.high, packs.estimate) == pytest.approx((1000.3, 1000.5, 1000.3), rel=1e-9)


def test_a_direction_that_the_lines_leave_open_is_taken_in_the_middle():
    """One line over two formats does not say how they share its copies: the sum is known, not the parts."""
    packs = scarcity.packs_by_format([(100, {"a": 10, "b": 10})], ["a", "b"])
    assert (packs.total.low, packs.total.high) == pytest.approx((950, 1050))
    assert (packs.packs["a"].low, packs.packs["a"].high) == pytest.approx((0, 1050))
    assert packs.total.estimate == pytest.approx(1000, rel=1e-6)
    assert packs.packs["a"].estimate == pytest.approx(packs.packs["b"].estimate, rel=1e-6)


def test_no_last_bit_moves_the_middle_of_what_is_left_open():
    """Two formats of the same odds where the sum is held at an end: the middle, however odds are scaled."""
    lines = [(1000, 1), (1000, 1), (1000.8, 1)]
    for scale in (1, 3, 7, 11, 13):
        given = [(copies * scale, {"a": x, "b": x}) for x, copies in lines]
        packs = scarcity.packs_by_format(given, ["a", "b"])
        assert packs.total.estimate == pytest.approx(scale * 1000.3, rel=1e-9)
        assert packs.packs["a"].estimate == pytest.approx(scale * 500.15, rel=1e-9)
        assert packs.packs["b"].estimate == pytest.approx(scale * 500.15, rel=1e-9)


def test_a_format_without_numbered_lines_stays_unknown():
    """Nothing is invented for it: no upper end, no estimate, and its name is given."""
    packs = scarcity.packs_by_format([(100, {"hobby": 10})], ["hobby", "retail"])
    assert packs.unknown == ("retail",)
    assert packs.packs["retail"].estimate is None
    assert (packs.packs["retail"].low, packs.packs["retail"].high) == (0, math.inf)
    assert packs.packs["hobby"].estimate == pytest.approx(1000)
    assert packs.total.estimate is None


def test_the_order_of_lines_does_not_matter(halyard):
    """Backwards, the same ranges and the same misprint come out."""
    lines = [(copies, odds) for _, copies, odds in reversed(HALYARD)]
    backwards = scarcity.packs_by_format(lines, ["retail", "hobby"])
    assert backwards.set_aside == [(len(HALYARD) - 1 - PEARL,)]
    for name in ("hobby", "retail"):
        there, here = backwards.packs[name], halyard.packs[name]
        assert (there.low, there.high, there.estimate) == pytest.approx(
            (here.low, here.high, here.estimate), rel=1e-7
        )


@pytest.mark.parametrize(("rounding", "shift"), [("floor", 0.5), ("ceiling", -0.5)])
def test_other_roundings_shift_the_estimate_by_half(rounding, shift):
    """X cut off is half too small on average, X rounded up half too large, and it says so."""
    packs = of_one_format([(24, 9900)], rounding=rounding).packs["a"]
    assert packs.estimate == pytest.approx((24 + shift) * 9900)
    middle = (24 + shift) * 9900
    assert (packs.low, packs.high) == pytest.approx((middle - 4950, middle + 4950))


def test_copies_of_an_unnumbered_line_are_an_interval(halyard):
    """Photo Variations at 1:29 hobby and 1:190 retail: the true packs give a number inside."""
    copies = scarcity.copies_of_line({"hobby": 29, "retail": 190}, halyard.packs)
    assert copies.low <= 86_800 / 29 + 144_000 / 190 <= copies.high
    hobby, retail = halyard.packs["hobby"], halyard.packs["retail"]
    assert copies.low == pytest.approx(hobby.low / 29.5 + retail.low / 190.5)
    assert copies.high == pytest.approx(hobby.high / 28.5 + retail.high / 189.5)
    assert copies.estimate == pytest.approx(hobby.estimate / 29 + retail.estimate / 190)


def test_odds_so_short_that_they_round_to_nothing_have_no_upper_end():
    """1:0.5 could be 1:0, so any number of copies fits from above; packs then only have an upper end."""
    copies = scarcity.copies_of_line({"a": 0.5}, of_one_format([(100, 10)]).packs)
    assert (copies.low, copies.high) == pytest.approx((995, math.inf), rel=1e-9)
    loose = scarcity.packs_by_format([(10, {"a": 0.5})], ["a"])
    assert (loose.packs["a"].low, loose.packs["a"].high) == pytest.approx((0, 10))


def test_packs_that_do_not_fill_boxes_are_a_remark():
    """100 packs are 4.17 boxes of 24."""
    boxes = scarcity.boxes_from_packs(100, 24, 10)
    assert boxes.remark == "100 packs do not fill boxes of 24: 4.17 boxes"


def test_several_odds_add_up_to_a_guarantee():
    """Two lines at 1:24 are two hits in a box of 24; their rounding allows 48/24.5 to 48/23.5."""
    against = scarcity.guarantee_against_odds(2, [24, 24], 24)
    assert (against.implied, against.agrees) == (2, True)
    assert (against.low, against.high) == pytest.approx((48 / 24.5, 48 / 23.5))


@pytest.mark.parametrize(("copies", "agrees"), [(2000, True), (1500, False), ((900, 2500), True)])
def test_a_guarantee_needs_enough_copies(copies, agrees):
    """Two a box in 990 to 1,010 boxes need about 2,000 copies."""
    assert scarcity.guarantee_against_copies(2, (990, 1010), copies).agrees is agrees


BAD_LINES = [
    ([], "no lines"),
    ([(0, 100)], "odds 1:X need an X that must be above 0, got 0"),
    ([(-3, 100)], "above 0, got -3"),
    ([("1:24", 100)], "must be a number, got '1:24'"),
    ([(math.nan, 100)], "finite number, got nan"),
    ([(math.inf, 100)], "finite number, got inf"),
    ([(True, 100)], "must be a number, got True"),
    ([(24, 0)], "copies of line 0 must be at least 1, got 0"),
    ([(24, 2.5)], "copies of line 0 must be a whole number, got 2.5"),
    ([(24, "99")], "copies of line 0 must be a number, got '99'"),
    ([(24, 10**12)], "line 0 has 1000000000000 copies, more than any release can hold"),
]


@pytest.mark.parametrize(("lines", "match"), BAD_LINES)
def test_lines_that_cannot_be_are_refused(lines, match):
    """Odds of 0, text, NaN, missing lines and impossible runs each have their sentence."""
    with pytest.raises(ValueError, match=match):
        of_one_format(lines)


@pytest.mark.parametrize(
    ("call", "match"),
    [
        (lambda: of_one_format([(24, 99)], rounding="up"), "rounding is one of nearest, floor"),
        (lambda: scarcity.packs_by_format([(1, {"a": 2})], []), "formats must be named"),
        (lambda: scarcity.packs_by_format([(1, {"a": 2})], ["a", "a"]), "each once"),
        (lambda: scarcity.packs_by_format([(1, {"b": 2})], ["a"]), "odds in 'b', which is none of a"),
        (lambda: scarcity.packs_by_format([(1, {})], ["a"]), "line 0 has no odds"),
        (lambda: scarcity.copies_of_line({}, {}), "no odds"),
        (lambda: scarcity.copies_of_line({"a": 3}, {}), "packs of 'a' are not known; known are none"),
        (lambda: scarcity.guarantee_against_odds(1, [], 24), "no odds"),
        (lambda: scarcity.guarantee_against_copies(1, (10, 5), 10), "wrong way round"),
        (lambda: scarcity.boxes_from_packs(0, 24, 10), "packs must be above 0"),
        (lambda: scarcity.boxes_from_packs(10, 2.5, 10), "packs per box must be a whole number"),
    ],
)
def test_wrong_calls_are_refused_with_a_sentence(call, match):
    """Each wrong call raises ValueError and names what was seen."""
    with pytest.raises(ValueError, match=match):
        call()
