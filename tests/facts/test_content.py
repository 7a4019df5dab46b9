"""What a checklist holds: counted by hand, and against pandas on a whole one."""

from __future__ import annotations

import random
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rating.facts.content.compute import content
from rating.facts.content.value import Tier
from rating.facts.context import Buying, Rookie, SeasonContext
from rating.facts.people.compute import people
from rating.facts.plain import Unknown
from rating.release import CHECKLIST, PARALLELS
from rating.release.checklist import KINDS, Card, Parallel

HALYARD = Path(__file__).resolve().parents[1] / "data/halyard"


def card(number="1", subset="Base", kind="base", subjects=("Ada",), teams=("Otters",), **more):
    """A card."""
    values = {"rookie": False, "print_run": None, "signed": "", "relic": "", "variation": False}
    values |= {"redemption": False, "note": "", "row": 2} | more
    return Card(subset=subset, kind=kind, number=number, subjects=subjects, teams=teams, **values)


@pytest.fixture(scope="module")
def halyard():
    """Cards, parallels, and the same files as pandas reads them."""
    cards, _ = CHECKLIST.read(HALYARD / "checklist.csv")
    parallels, _ = PARALLELS.read(HALYARD / "parallels.csv")
    frame = pd.read_csv(HALYARD / "checklist.csv", dtype=str, keep_default_na=False)
    ladder = pd.read_csv(HALYARD / "parallels.csv", dtype=str, keep_default_na=False)
    return cards, parallels, frame, ladder


def names(column: pd.Series) -> pd.Series:
    """Each name of a column of names parted by strokes, with the row it stands in."""
    return column.str.split(" / ").explode()[lambda found: found != ""]


def test_the_counts_of_halyard_are_those_of_pandas(halyard):
    """Kinds, flags and people, by groupby and value_counts."""
    cards, parallels, frame, _ = halyard
    found = content(cards, parallels)
    kinds = frame["kind"].value_counts()
    assert found.cards == len(frame) == 423
    assert found.kinds == {kind: kinds[kind] for kind in KINDS if kind in kinds}
    for name, count in (
        ("rookie", found.rookies),
        ("variation", found.variations),
        ("redemption", found.redemptions),
    ):
        assert count == (frame[name] == "yes").sum()
    assert found.without_team == (frame["teams"] == "").sum()
    assert found.subjects == names(frame["subjects"]).str.casefold().nunique()
    signed = frame[frame["kind"].str.contains("autograph")]
    assert found.signers == names(signed["subjects"]).str.casefold().nunique()
    told = [found.signed_on_card, found.signed_on_stickers, found.signed_unknown]
    assert told == [(signed["signed"] == word).sum() for word in ("card", "sticker", "")]
    relics = frame[frame["kind"].str.contains("relic")]["relic"].replace("", "not said").value_counts()
    assert found.relics_by == relics.to_dict()
    assert found.has_signatures
    assert found.has_relics


def test_the_subsets_of_halyard_are_those_of_pandas(halyard):
    """Size, rookies, print runs, ends and length of the ladder of each, in the order of the file."""
    cards, parallels, frame, ladder = halyard
    found = content(cards, parallels).subsets
    groups = frame.groupby("subset", sort=False)
    assert [one.subset for one in found] == list(groups.groups)
    runs = pd.to_numeric(frame["print_run"]).groupby(frame["subset"], sort=False)
    rungs = ladder.groupby("subset").size()
    for one, (subset, group) in zip(found, groups, strict=True):
        low, high = runs.min()[subset], runs.max()[subset]
        assert one.cards == len(group)
        assert one.rookies == (group["rookie"] == "yes").sum()
        assert (one.lowest_run, one.highest_run) == (
            None if pd.isna(low) else low,
            None if pd.isna(high) else high,
        )
        assert one.parallels == rungs.get(subset, 0)
        assert (one.first_number, one.last_number) == (group["number"].iloc[0], group["number"].iloc[-1])
        assert {one.kind} == set(group["kind"])
    widths = {one.subset: one.digits for one in found}
    assert widths["Base"] == 3  # 001 to 220
    assert widths["Maiden Voyage Signatures"] == 0  # MV-1


def test_the_teams_of_halyard_are_those_of_pandas(halyard):
    """Cards of each kind by team, most cards first; a card with two teams counts for both."""
    cards, parallels, frame, _ = halyard
    found = content(cards, parallels).teams
    exploded = frame.assign(team=frame["teams"].str.split(" / ")).explode("team")
    exploded = exploded[exploded["team"] != ""].drop_duplicates(["subset", "number", "kind", "team"])
    table = pd.DataFrame(
        {
            "cards": exploded.groupby("team").size(),
            "base": (exploded["kind"] == "base").groupby(exploded["team"]).sum(),
            "rookies": (exploded["rookie"] == "yes").groupby(exploded["team"]).sum(),
            "inserts": (exploded["kind"] == "insert").groupby(exploded["team"]).sum(),
            "autographs": exploded["kind"].str.contains("autograph").groupby(exploded["team"]).sum(),
            "relics": exploded["kind"].str.contains("relic").groupby(exploded["team"]).sum(),
        }
    )
    assert len(found) == len(table) == 16
    for one in found:
        assert {name: getattr(one, name) for name in table.columns} == table.loc[one.team].to_dict()
    assert [one.cards for one in found] == sorted(table["cards"], reverse=True)


def test_the_tiers_of_halyard_are_those_of_pandas(halyard):
    """Cards numbered themselves, and each numbered parallel once a card of its subset."""
    cards, parallels, frame, ladder = halyard
    own = pd.to_numeric(frame["print_run"]).dropna()
    sizes = frame.groupby("subset").size()
    rungs = ladder.assign(run=pd.to_numeric(ladder["print_run"])).dropna(subset=["run"])
    runs = pd.concat([own, rungs["run"].repeat(rungs["subset"].map(sizes))])
    found = content(cards, parallels).tiers
    assert sum(one.versions for one in found) == len(runs)
    assert sum(one.copies for one in found) == runs.sum()
    for one in found:
        here = runs[(runs >= one.low) & (runs <= (one.high or 10**9))]
        assert (one.versions, one.copies) == (len(here), here.sum())


def test_a_card_of_two_people_counts_for_each_of_its_teams():
    """Once for each team, also where both are of one; without a team it is counted apart."""
    found = content(
        [
            card("1", subjects=("Ada", "Bo"), teams=("Otters", "Herons")),
            card("2", subjects=("Cy", "Di"), teams=("Otters", "Otters")),
            card("3", teams=()),
        ],
        None,
    )
    assert {one.team: one.cards for one in found.teams} == {"Otters": 2, "Herons": 1}
    assert (found.without_team, found.subjects) == (1, 4)  # Ada is there twice


def test_an_autograph_relic_counts_in_both():
    """For its team, among the signers and among the relics."""
    found = content([card(kind="autograph relic", signed="sticker", relic="player-worn")], ())
    (team,) = found.teams
    assert (team.autographs, team.relics, team.base, team.inserts) == (1, 1, 0, 0)
    assert (found.signers, found.signed_on_stickers, found.relics_by) == (1, 1, {"player-worn": 1})


def test_names_that_differ_in_form_only_are_one():
    """A team takes its commonest spelling, a subset its first."""
    found = content(
        [
            card("1", teams=("OTTERS",)),
            card("2", teams=("Otters",), subset="BASE"),
            card("3", teams=("Otters",), subjects=("ADA",)),
        ],
        (Parallel("bAsE", "Amber", 5, (), 2),),
    )
    assert [one.team for one in found.teams] == ["Otters"]
    assert [(one.subset, one.cards, one.parallels) for one in found.subsets] == [("Base", 3, 1)]
    assert found.subjects == 1


TIERS = {
    "one of one": (1,),
    "2 to 10": (2, 10),
    "11 to 25": (11, 25),
    "26 to 50": (26, 50),
    "51 to 100": (51, 100),
    "101 to 250": (101, 250),
    "251 to 500": (251, 500),
    "over 500": (501, 9999),
}


@pytest.mark.parametrize(("run", "tier"), [(run, tier) for tier, runs in TIERS.items() for run in runs])
def test_a_print_run_falls_in_its_tier(run, tier):
    """The ends belong to the tier that names them."""
    (found,) = content([card(print_run=run)], None).tiers
    assert (found.name, found.versions, found.copies) == (tier, 1, run)


def test_a_parallel_is_numbered_once_a_card_of_its_subset():
    """Three cards with an Amber of 75 are three versions and 225 copies; one without cards is none."""
    parallels = (
        Parallel("Base", "Amber", 75, (), 2),
        Parallel("Base", "Mist", None, (), 3),
        Parallel("Bass", "Red", 1, (), 4),
    )
    found = content([card(number) for number in "123"], parallels)
    assert found.tiers == (Tier(name="51 to 100", low=51, high=100, versions=3, copies=225),)


PADDED = [(["001", "002", "220"], 3), (["01", "10"], 2), (["001", "MV-1"], 3)]
PLAIN = [["1", "2"], ["10", "11"], ["001", "10"], ["MV-1"], []]


@pytest.mark.parametrize(("numbers", "digits"), [*PADDED, *((numbers, 0) for numbers in PLAIN)])
def test_padded_numbers_are_known_by_their_width(numbers, digits):
    """All of one width, and at least one that begins with a nought; letters do not count."""
    cards = [card(number) for number in numbers] or [card("A")]
    assert content(cards, None).subsets[0].digits == digits


@pytest.mark.parametrize("cards", [None, ()])
def test_without_a_checklist_nothing_is_counted(cards):
    """It says why, and does not say nought."""
    expected = Unknown("there is no checklist yet")
    assert content(cards, None) == expected
    assert people(cards, season(), released_on=None, as_of=date(2031, 7, 15)) == expected


def test_the_order_of_rows_is_irrelevant_to_every_count(halyard):
    """What depends on it is the order of subsets and their ends alone."""
    cards, parallels, _, _ = halyard
    expected = content(cards, parallels)
    for seed in range(3):
        mixed = random.Random(seed)
        found = content(mixed.sample(cards, len(cards)), mixed.sample(parallels, len(parallels)))
        for name in (
            "cards",
            "kinds",
            "teams",
            "rookies",
            "subjects",
            "tiers",
            "signers",
            "relics_by",
            "without_team",
        ):
            assert getattr(found, name) == getattr(expected, name)
        sizes = {
            one.subset: (one.cards, one.lowest_run, one.highest_run, one.parallels) for one in found.subsets
        }
        assert sizes == {
            one.subset: (one.cards, one.lowest_run, one.highest_run, one.parallels)
            for one in expected.subsets
        }


# the season's people -----------------------------------------------------------------------------------


def season(rookies=()):
    """A season of three teams with a rookie class, None for none on file."""
    members = None
    if rookies is not None:
        members = tuple(Rookie(subject=name, team="", since=since) for name, since in rookies)
    return SeasonContext(
        name="2031",
        currency="USD",
        teams=("Brindle Otters", "Herons", "Rooks"),
        rookies=members,
        classes=(),
        buying=Buying(),
        aliases={
            "brindle otters": "brindle otters",
            "otters": "brindle otters",
            "herons": "herons",
            "rooks": "rooks",
        },
    )


CLASS = (
    ("Ada Núñez", None),
    ("Bo", date(2031, 3, 12)),
    ("Cy", date(2031, 3, 13)),
    ("Di", None),
    ("Eve", None),
)
CARDS = (
    card("1", subjects=("ADA  NU\u0301N\u0303EZ",), teams=("otters",)),
    card("2", "Ink", "autograph", ("Ada Núñez", "Bo"), ("HERONS", "Herons")),
    card("3", "Ink", "insert", ("Eve", "Cy"), ("Foxes",)),
)


def test_teams_are_served_under_any_of_their_names():
    """An alias counts for its team; a team of no season counts for none."""
    found = people(CARDS, season(), released_on=None, as_of=date(2031, 7, 15))
    assert found.teams_served == ("Brindle Otters", "Herons")
    assert found.teams_missing == ("Rooks",)


def test_the_rookie_class_is_that_of_the_release_date():
    """Cy joins a day later. In the base set, signing, on any card, missing: by name in any form."""
    found = people(CARDS, season(CLASS), released_on=date(2031, 3, 12), as_of=date(2031, 7, 15))
    assert found.rookie_class == 4
    assert found.rookies_in_base == ("Ada Núñez",)
    assert found.rookies_signing == ("Ada Núñez", "Bo")
    assert found.rookies_carded == ("Ada Núñez", "Bo", "Eve")
    assert found.rookies_missing == ("Di",)
    later = people(CARDS, season(CLASS), released_on=None, as_of=date(2031, 7, 15))
    assert (later.rookie_class, later.rookies_carded[-2:]) == (5, ("Cy", "Eve"))


def test_a_class_that_is_not_on_file_is_not_empty():
    """No rookies.csv is unknown; an empty one is a class of nobody."""
    assert people(CARDS, season(None), released_on=None, as_of=date(2031, 7, 15)).rookie_class is None
    assert people(CARDS, season(()), released_on=None, as_of=date(2031, 7, 15)).rookie_class == 0


@given(st.lists(st.sampled_from(CARDS), min_size=1, max_size=8))
def test_every_team_and_rookie_is_on_one_side(cards):
    """Served or missing, carded or missing: nobody twice, nobody lost."""
    found = people(cards, season(CLASS), released_on=None, as_of=date(2031, 7, 15))
    assert sorted((*found.teams_served, *found.teams_missing)) == sorted(season().teams)
    assert sorted((*found.rookies_carded, *found.rookies_missing)) == sorted(name for name, _ in CLASS)
    assert set(found.rookies_in_base) | set(found.rookies_signing) <= set(found.rookies_carded)
