"""Markets that are drawn in memory by known laws, on the checklist of the sample's Halyard.

Its own law is told with its answers: a price is floor of the kind x scarcity x (demand of its subjects)^0.95
/ 12 x 1.45 for rookies x 0.94 a week x an error. Which cards are sold and when is taken from its own sales,
anew for each market and with replacement, so that who is wanted sells more, and a sale that is asked about
may be of anything that could have been known: where nearly all were known, none would be new. Card and day
are drawn apart, as the law has them: on any two weeks only some sixty sales fall, and whom these happen to be
of would be tried over and over as if it were the law.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from statistics import NormalDist

import numpy as np

from rating.facts import scarcity
from rating.facts.falling.lines import share_weights
from rating.facts.gather import lasting
from rating.facts.values.compute import valuation
from rating.facts.worth.card_model import Seen, Traits
from rating.facts.worth.matching import copies_by_card, sorted_out
from rating.season.season import Season

ROOT = Path(__file__).resolve().parents[2]
ANSWERS = ROOT / "tests" / "release" / "intake" / "data" / "halyard" / "answers.json"
AS_OF = date(2031, 7, 15)
NOISE, KNEE, ROOKIE = 0.42, 300, 1.45
BELOW, ABOVE, WEEK = -0.45, -0.7, math.log(0.94)


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """What sets a market apart: a least price, wild sales, the fall by week, how many people were sold.

    `first` is the week up to which sales are known, and later ones are asked about; None for all at once.
    """

    name: str
    least: float = 0.01
    wild: float = 0.0
    week: float = WEEK
    people: int | None = None
    first: float | None = None


PLAIN = Law(name="the law of Halyard")
LAWS = (
    Law(name="with a least price of 0.99", least=0.99),
    Law(name="with 1 sale in 100 wild, x 12", wild=0.01),
    Law(name="without a fall by week", week=0.0),
    Law(name="with twelve people sold", people=12),
    Law(name="asked of the two weeks after", first=5.0),
)


class Market:
    """The checklist of Halyard with the true logarithm of every card's price in the week of its release."""

    def __init__(self) -> None:
        season = Season.open(ROOT / "sample_ratings")
        self.release = season.files.release("halyard")
        self.context = season.files.context
        self.facts = lasting(self.release, {})
        self.lines = self.facts.lines
        self.scarcity = self.facts.of(scarcity.SECTION)
        self.released = self.release.sheet.released_on
        self.copies = [[float(one or 0) for one in own] for own in copies_by_card(self.lines, self.scarcity)]
        used, _ = sorted_out(self.release.sales or (), self.lines, "USD", AS_OF)
        starts = np.cumsum([0, *(len(line.cards) for line in self.lines)])
        self.cards = [(i, j) for i, line in enumerate(self.lines) for j in range(len(line.cards))]
        self.place = np.array([starts[one.line] + one.card for one in used])
        self.weeks = np.array([max(0.0, (one.sale.day - self.released).days / 7) for one in used])
        self.pattern = used[0].sale
        # markets end in a few weeks, so that values in these are worked out once
        self.true = {}

    @cached_property
    def base(self):
        """The true logarithm of each card's middle price, shape (cards,)."""
        told = json.loads(ANSWERS.read_text(encoding="utf-8"))["market"]
        found = []
        for i, j in self.cards:
            card, copies = self.lines[i].cards[j], self.copies[i][j] or KNEE
            rare = math.log(copies / KNEE)
            price = math.log(told["floor"][card.kind]) + (BELOW if rare < 0 else ABOVE) * rare
            price += 0.95 * math.log(sum(told["demand"][name] for name in card.subjects)) - math.log(12)
            found.append(price + (math.log(ROOKIE) if card.rookie else 0.0))
        return np.array(found)

    @cached_property
    def traits(self):
        """What the model may know of each card."""
        return [
            Traits(
                kind=self.lines[i].cards[j].kind,
                copies=self.copies[i][j] or None,
                rookie=self.lines[i].cards[j].rookie,
                subjects=tuple(name.casefold() for name in self.lines[i].cards[j].subjects),
            )
            for i, j in self.cards
        ]

    def draw(self, rng, law, sales, *, later=False, people=None):
        """Places, weeks and prices of some sales, and the people that sales are of where these are few."""
        of, weeks = np.arange(len(self.place)), self.weeks
        if law.people:
            named = sorted({name for card in set(self.place.tolist()) for name in self.traits[card].subjects})
            people = set(rng.choice(named, law.people, replace=False)) if people is None else people
            of = np.array([i for i in of if people.issuperset(self.traits[self.place[i]].subjects)])
        if law.first is not None:
            weeks = weeks[(weeks > law.first) & (weeks <= law.first + 2) if later else weeks <= law.first]
        place, week = self.place[rng.choice(of, sales)], rng.choice(weeks, sales)
        wild = np.where(rng.random(sales) < law.wild, math.log(12), 0.0)
        latent = self.base[place] + law.week * week + rng.normal(0, NOISE, sales) + wild
        return place, week, latent, people

    def seen(self, law, place, week, latent):
        """The sales as the model takes them."""
        prices = np.maximum(np.exp(latent), law.least)
        return tuple(
            Seen(self.traits[card], float(price), float(when), presale=False)
            for card, price, when in zip(place.tolist(), prices, week, strict=True)
        )

    def valued(self, law, place, week, latent):
        """The whole section from these sales."""
        sales = []
        for at, when, price in zip(place.tolist(), week, np.maximum(np.exp(latent), law.least), strict=True):
            line, card = self.lines[self.cards[at][0]], self.cards[at][1]
            sales.append(
                self.pattern._replace(
                    day=self.released + timedelta(days=round(7 * when)),
                    subset=line.subset,
                    parallel=line.parallel,
                    number=line.cards[card].number,
                    price=max(Decimal(f"{price:.2f}"), Decimal("0.01")),
                    postage=None,
                )
            )
        return valuation(
            sales, self.lines, self.scarcity, self.context, released_on=self.released, as_of=AS_OF
        )

    def left(self, prices):
        """What selling leaves of prices, never below the bulk floor."""
        of = self.context.selling
        kept = (prices + float(of.postage)) * float(1 - of.fee) - float(of.postage + of.fixed)
        return np.maximum(kept, float(of.bulk_floor))

    def true_values(self, law, week):
        """What each card leaves on average in a week; what leaves no more than the floor is bulk."""
        known = (law.week, law.least, week)
        if known not in self.true:
            self.true[known] = self._true_values(law, week)
        return self.true[known]

    def _true_values(self, law, week):
        errors = np.array([NormalDist(0, NOISE).inv_cdf((i + 0.5) / 400) for i in range(400)])
        middle = self.base + law.week * week
        goes_for = np.maximum(np.exp(middle[:, None] + errors), law.least)
        floor = float(self.context.selling.bulk_floor)
        return np.where(self.left(np.exp(middle)) > floor, self.left(goes_for).mean(axis=1), floor)

    def in_box(self, key):
        """Copies of each card that a box of a format holds on average."""
        expected = self.facts.collations[key].expected(len(self.lines))
        found = []
        for copies, line in zip(expected, self.lines, strict=True):
            weights = np.array(share_weights(line.runs), dtype=float)
            found.append(copies * weights / weights.sum())
        return np.concatenate(found)
