"""Small facts, written out, that the criteria are tried on."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from rating.facts.completing.compute import base_set
from rating.facts.content.value import Content
from rating.facts.context import Buying, PriceClass, SeasonContext
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.facts import Facts
from rating.facts.falling.collation import collations
from rating.facts.falling.lines import CardLine
from rating.facts.falling.packs import packs_of
from rating.facts.history.value import Edition, History
from rating.facts.opening.compute import opening
from rating.facts.people.value import People
from rating.facts.plain import Unknown
from rating.facts.scarcity.compute import scarcity
from rating.release.checklist import Card, Odds
from rating.release.sheet import Format

TEAMS = tuple(f"Team {letter}" for letter in "ABCDEFGH")

HOBBY = FormatEconomics(
    name="Hobby",
    cards_per_pack=Decimal(8),
    packs_per_box=15,
    boxes_per_case=10,
    cards_per_box=Decimal(120),
    autographs_per_box=Decimal(3),
    relics_per_box=Decimal(2),
    hits_per_box=Decimal(3),
    numbered_per_box=None,
    counts_from="guarantees",
    box_price=Decimal("160.00"),
    price_kind="street",
    price_day=date(2031, 3, 12),
    landed_box=Decimal("180.00"),
    per_pack=None,
    per_card=None,
    per_hit=None,
    per_numbered=None,
    list_price=Decimal("128.00"),
    street_price=Decimal("160.00"),
    case_price=None,
    case_discount=None,
    restocks=0,
    sources=2,
    prices=(),
)
CONTENT = Content(
    cards=100,
    kinds={"base": 50, "autograph": 40, "relic": 10},
    subsets=(),
    teams=(),
    without_team=0,
    rookies=8,
    variations=0,
    redemptions=0,
    subjects=50,
    tiers=(),
    signed_on_card=30,
    signed_on_stickers=10,
    signed_unknown=0,
    signers=25,
    relics_by={"game-worn": 4, "unattributed": 6},
    has_signatures=True,
    has_relics=True,
)
PEOPLE = People(
    teams_served=TEAMS[:7],
    teams_missing=TEAMS[7:],
    rookie_class=10,
    rookies_carded=tuple("abcdefgh"),
    rookies_in_base=tuple("abcdef"),
    rookies_signing=tuple("abc"),
    rookies_missing=("i", "j"),
)


@pytest.fixture
def edition():
    """Make an earlier edition from its season, street price at launch, last street price."""

    def make(season, launched, street):
        return Edition(
            season=season,
            release="deep-harbour",
            title=f"Deep Harbour {season}",
            list_price=Decimal("99.95"),
            launch_price=None if launched is None else Decimal(launched),
            street_price=None if street is None else Decimal(street),
            grade=None,
            scores={},
        )

    return make


@pytest.fixture
def facts():
    """Make facts; keywords change one section's fields, or put another value in its place."""

    def changed(section, value):
        return replace(section, **value) if isinstance(value, dict) else value

    def make(*, main=None, economics=None, content=None, people=None, history=None, season=None, **more):
        whole = Economics(
            headline="hobby",
            formats={"hobby": replace(HOBBY, **(main or {}))},
            price_class="middle",
            class_price=Decimal("160.00"),
            left_out=(),
        )
        context = SeasonContext(
            name="Trial 2031",
            currency="USD",
            teams=TEAMS,
            rookies=None,
            classes=(
                PriceClass(name="everyday", below=Decimal(60)),
                PriceClass(
                    name="middle",
                    below=None,
                    typical_box=Decimal(150),
                    typical_card=Decimal("1.50"),
                    typical_hit=Decimal(40),
                ),
            ),
            buying=Buying(),
            aliases={},
        )
        return Facts(
            **{
                "release": "deep-harbour",
                "title": "Marlow 2031 Deep Harbour",
                "maker": "Marlow",
                "line": "Deep Harbour",
                "released_on": date(2031, 3, 12),
                "headline": "hobby",
                "season": changed(context, season or {}),
                "economics": changed(whole, economics or {}),
                "content": changed(CONTENT, content or {}),
                "people": changed(PEOPLE, people or {}),
                "history": changed(History(line="Deep Harbour", since=None, editions=()), history or {}),
                "odds": None,
                "lines": (),
                "collations": {},
                **more,
            }
        )

    return make


@pytest.fixture
def scored():
    """The score that a finding gets by its module's own scale."""

    def score(criterion, finding):
        assert finding.kept is not None
        return criterion.scale.place(finding.kept)

    return score


@pytest.fixture
def boxed(facts):
    """Make facts of a box of ten packs of five: lines are (subset, parallel, kind, cards, run, X of 1:X)."""

    def make(*given, guarantees=(), packs=10, **more):
        hobby = Format(
            key="hobby",
            name="Hobby",
            cards_per_pack=Decimal(5),
            packs_per_box=packs,
            boxes_per_case=6,
            guarantees=guarantees,
        )
        lines = tuple(
            CardLine(
                subset=subset,
                parallel=parallel,
                kind=kind,
                cards=tuple(
                    Card(subset, kind, str(i), (f"P{i}",), (), False, None, "", "", False, False, "", i)
                    for i in range(cards)
                ),
                runs=(run,) * cards,
                odds={} if x is None else {"hobby": Decimal(x)},
                formats=("hobby",),
            )
            for subset, parallel, kind, cards, run, x in given
        )
        has_odds = any(one.odds for one in lines)
        packs = packs_of((hobby,), lines) if has_odds else None
        falling = collations((hobby,), lines, packs)
        stated = tuple(
            Odds(one.subset, one.parallel, "hobby", x, "", 2) for one in lines for x in one.odds.values()
        )
        return facts(
            **{
                "lines": lines,
                "collations": falling,
                "odds": stated,
                "scarcity": scarcity((hobby,), lines, packs, falling, has_odds=has_odds),
                "completing": base_set(
                    (hobby,), lines, falling, Unknown("not asked"), Unknown("not asked"), Buying()
                ),
                "opening": opening((hobby,), lines, falling),
                **more,
            }
        )

    return make
