"""What a card goes for, by its kind, copies, rookie, week and subjects, and how far off that is.

The logarithm of a price is a sum: kind + exponent x log(copies) + rookie + exponent x log(1 + demand) + week
+ the mean of the subjects' effects + error. Who sells more is wanted more: a subject's effect is an exponent
x log(its sales), where none count as one, and its own, which is shrunk towards 0 as far as the sales bid
(empirical Bayes), all else hardly; with less than two sales each they are not told apart. Intervals come
from sales that a fit has not seen, and so does their coverage. Where every card of a rookie is a rookie card,
the effect of rookie is that of rookies as people, apart from the demand that the season knows of.

A price that many sales share and none is below counts as "this or less": taken at face it makes commons dear
and flattens what scarcity does, and leaving such sales out makes them dearer still. Weeks are followed no
further than the last sale. Exponents and weeks have tight priors, and a kind never sold counts as the
nearest: with twenty sales of twenty people the model would explain every error away.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log
from typing import NamedTuple

import numpy as np
import numpy.typing as npt

from rating.numerics import robust_fit
from rating.numerics.robust_fit import Fit, Flags, Floats
from rating.numerics.special import ndtr, ndtri, student_quantile

# print runs end about here: the exponent of copies may change
KNEE = 300
WEEK, ROOKIE, DEMAND = "week", "rookie", "demand"
FEW, MANY = "copies up to 300", "copies above 300"
_NOT_KNOWN, _TOGETHER, _OFTEN = "copies not known", "several subjects", "how often subjects are sold"
_PLAIN = (FEW, MANY, _NOT_KNOWN, ROOKIE, DEMAND, _TOGETHER, _OFTEN, WEEK)
_TYPICAL_DEMAND = 50
# what a kind that was never sold is taken for, where that was
_NEAREST = {
    "insert": "base",
    "base": "insert",
    "autograph relic": "autograph",
    "autograph": "autograph relic",
}
# e to this is a factor of 7, which no effect but a subject's is likely to pass twice over
_PRIOR_DEVIATION = 2.0
# twice the copies hardly ever take more than three quarters of a price, nor a week more than a third
_PRIOR_EXPONENT, _PRIOR_WEEK = 1.0, 0.2
_PRESALE_WEIGHT = 0.5
# with fewer sales for each subject on average, or on the whole, subjects would explain every error away
_SALES_A_SUBJECT, _FEWEST_APART = 2, 40
# fewer people unsold by chance than this share of those sold are hardly any
_HARDLY = 0.05
_FOLDS = 5
# as many folds as keep the sales that are fitted in all of them together near this number
_FITTED = 1500
_SEED = 20310312
_UPPER = 0.95
# errors beyond this many deviations are mistakes or luck, and not what to expect
_WILD = 3.5
_POINTS = (np.arange(99) + 0.5) / 99
_FEWEST_AT_LEAST = 3
# where the season knows who is wanted for more prices than this, that tells people apart
_MOST = 0.5
_SHARE_AT_LEAST = 0.05


class Traits(NamedTuple):
    """A card in one version, as far as its price goes by it; subjects by their names as compared.

    `demand` is that of each subject, 0 to 100, where the season knows it; who has none counts as typical.
    """

    kind: str
    copies: float | None
    rookie: bool
    subjects: tuple[str, ...]
    demand: tuple[float | None, ...] = ()


class Seen(NamedTuple):
    """A price that a version went for, weeks after the release; a presale weighs less."""

    traits: Traits
    price: float
    week: float
    presale: bool


class Contrast(NamedTuple):
    """An effect on the logarithm of a price, with its standard error and the sales that speak of it."""

    name: str
    value: float
    error: float
    sales: int


def _were_on_offer(sales: npt.NDArray[np.int_], unsold: int) -> bool:
    """Whether chance explains why people were never sold, of whom there are so many.

    From those sold once and twice follows how many more would be sold at times (Chao 1984, Scandinavian
    Journal of Statistics 11, 265-270). Where that is hardly any of the unsold, they were not on offer.
    """
    once, twice = int((sales == 1).sum()), int((sales == 2).sum())
    return once * (once - 1) >= _HARDLY * 2 * (twice + 1) * unsold


def _often(sales: npt.NDArray[np.int_], unsold: int) -> Floats:
    """The logarithm of the sales of each subject, and at last of one never sold, against their mean.

    Who was never sold counts as sold once, and as typical where such people were not on offer.
    """
    logs = np.log(np.maximum([*sales, 0], 1))
    found = np.asarray(logs - (logs[:-1].mean() if len(sales) else 0.0))
    if not _were_on_offer(sales, unsold):
        found[-1] = 0.0
    return found


@dataclass(frozen=True, slots=True)
class Columns:
    """The columns of the design: one for all, kinds, plain effects, subjects.

    `sales` are those of each subject by its place, and `unsold` how many people were never sold.
    """

    kinds: tuple[str, ...]
    subjects: dict[str, int]
    sales: tuple[int, ...]
    unsold: int

    @property
    def week(self) -> int:
        """The place of the week."""
        return self.place(WEEK)

    @property
    def first_subject(self) -> int:
        """The place of the first subject."""
        return 1 + len(self.kinds) + len(_PLAIN)

    def place(self, name: str) -> int:
        """The place of a plain effect."""
        return 1 + len(self.kinds) + _PLAIN.index(name)

    def kind_of(self, kind: str) -> str | None:
        """The kind sold that a kind is taken for, None where no sale speaks of it."""
        return next((one for one in (kind, _NEAREST.get(kind)) if one in self.kinds), None)

    def own(self) -> dict[str, dict[int, float]]:
        """What of a price goes by who is on the card, by subject: its own place first."""
        often = self._often()
        return {
            name: {self.first_subject + i: 1.0, self.place(_OFTEN): float(often[i])}
            for name, i in self.subjects.items()
        }

    @property
    def were_on_offer(self) -> bool:
        """Whether chance explains why some people were never sold."""
        return _were_on_offer(np.array(self.sales, dtype=np.intp), self.unsold)

    def _often(self) -> Floats:
        return _often(np.array(self.sales, dtype=np.intp), self.unsold)

    def by_others(self, rows: Rows, kept: Floats, strangers: Floats | float = 0.0) -> Rows:
        """Rows with how often subjects are sold as other sales say, given by their design.

        Parameters
        ----------
        strangers : the part of the people on each row who were never sold
        """
        plain = rows.plain.copy()
        often = _often((kept[:, self.first_subject :] > 0).sum(axis=0), self.unsold)
        plain[:, self.place(_OFTEN)] = (rows.people @ often[:-1])[rows.who] + strangers * often[-1]
        return rows._replace(plain=plain)

    def rows(self, traits: Sequence[Traits], weeks: Sequence[float]) -> Rows:
        """The rows of the design, one for each version."""
        often = self._often().tolist()
        places: dict[tuple[str, ...], int] = {}
        who = np.array([places.setdefault(one.subjects, len(places)) for one in traits], dtype=np.intp)
        people = np.zeros((len(places), len(self.subjects)))
        together, sold = np.zeros(len(places)), np.zeros(len(places))
        for subjects, i in places.items():
            together[i] = log(len(subjects)) if subjects else 0.0
            for subject in subjects:
                place = self.subjects.get(subject, -1)
                sold[i] += often[place] / len(subjects)
                if place >= 0:
                    people[i, place] += 1 / len(subjects)
        plain = np.zeros((len(traits), self.first_subject))
        plain[:, 0] = 1
        kinds = {one.kind: self.kind_of(one.kind) for one in traits}
        at = {kind: 1 + self.kinds.index(own) for kind, own in kinds.items() if own is not None}
        column = np.array([at.get(one.kind, 0) for one in traits], dtype=np.intp)
        plain[np.arange(len(traits)), column] = 1
        # logarithms as every processor takes them, once for each print run
        logs = {one.copies: log(one.copies / KNEE) if one.copies else 0.0 for one in traits}
        demand = {one.demand: _demand(one) for one in traits}
        from_knee = np.array([logs[one.copies] for one in traits], dtype=float)
        plain[:, self.place(FEW)] = np.minimum(from_knee, 0.0)
        plain[:, self.place(MANY)] = np.maximum(from_knee, 0.0)
        plain[:, self.place(_NOT_KNOWN)] = [not one.copies for one in traits]
        plain[:, self.place(ROOKIE)] = [one.rookie for one in traits]
        plain[:, self.place(DEMAND)] = [demand[one.demand] for one in traits]
        plain[:, self.place(_TOGETHER)] = together[who]
        plain[:, self.place(_OFTEN)] = sold[who]
        plain[:, self.place(WEEK)] = weeks
        return Rows(plain, who, people)


class Rows(NamedTuple):
    """The rows (m, p) of a design, with people apart: many versions are of few.

    plain
        (m, q) all columns but those of subjects, which are the last
    who
        (m,) the people on each version, by their row in `people`
    people
        (u, p - q) the columns of subjects of u groups of people
    """

    plain: Floats
    who: npt.NDArray[np.intp]
    people: Floats

    @property
    def design(self) -> Floats:
        """The rows in whole, (m, p)."""
        return np.hstack([self.plain, self.people[self.who]])

    def middle(self, fit: Fit) -> Floats:
        """What is expected of each, (m,), as `Fit.middle`."""
        q = self.plain.shape[1]
        return np.asarray(self.plain @ fit.effects[:q] + (self.people @ fit.effects[q:])[self.who])

    def spread(self, fit: Fit) -> Floats:
        """The standard error of one new value of each, (m,), as `Fit.spread`."""
        q = self.plain.shape[1]
        own, across, others = fit.covariance[:q, :q], fit.covariance[q:, :q], fit.covariance[q:, q:]
        variance = ((self.plain @ own + 2 * (self.people @ across)[self.who]) * self.plain).sum(axis=1)
        variance += ((self.people @ others) * self.people).sum(axis=1)[self.who]
        return np.asarray(np.hypot(fit.scale, np.sqrt(variance)))


class Foretold(NamedTuple):
    """What the model says of m versions in a week.

    rows
        those of the m versions
    middle, spread
        (m,) the logarithm of the middle price, and the standard error of one new price
    noise
        (m,) the deviation of prices of such cards: errors, and what is not known of the people on them
    strangers
        (m,) the part of the people on each who were never sold
    """

    rows: Rows
    middle: Floats
    spread: Floats
    noise: Floats
    strangers: Floats


class Without(NamedTuple):
    """A fit that has not seen a part of the prices, the rows of those it has, and `preferred` by these."""

    fit: Fit
    seen: Floats
    preferred: float


@dataclass(frozen=True, slots=True)
class PriceModel:
    """A fit with what its errors are like, in standard errors of one new price.

    least
        the price that many sales share and none is below, None where there is none
    coverage
        share of held-out prices inside their 90 % intervals
    wild
        prices that are beyond what counts as an error
    people
        who was sold
    without
        the fits without a part of the prices each: how far apart they lie is how far off the fit may be
    preferred
        by how much the logarithm of what sold is above that of cards of anybody, where people are not told
        apart
    persons
        as how many people, each sold as often, those sold count where they are not told apart; else None
    were_on_offer
        whether chance explains why some people were never sold
    """

    columns: Columns
    fit: Fit
    errors: Floats
    ends: tuple[float, float]
    least: float | None
    coverage: float
    wild: int
    seen: Floats
    people: frozenset[str]
    without: tuple[Without, ...]
    preferred: float = 0.0
    persons: float | None = None
    were_on_offer: bool = True

    def foretold(self, traits: Sequence[Traits], week: float | Sequence[float]) -> Foretold:
        """What it says of each version in a week, or in a week of its own."""
        weeks = [week] * len(traits) if isinstance(week, (int, float)) else week
        rows = self.columns.rows(traits, weeks)
        unsold = {one.subjects: len(self.never_sold(one)) for one in traits}
        never = np.array([unsold[one.subjects] for one in traits], dtype=float)
        people = np.array([max(len(one.subjects), 1) for one in traits], dtype=float)
        unknown = self._unlike * never / people**2
        # one by one they may be as far from those sold as people are from each other
        by_few = self.of_few * never / people
        first = self.columns.first_subject
        known = (rows.people**2 @ np.diag(self.fit.covariance)[first:])[rows.who]
        return Foretold(
            rows,
            rows.middle(self.fit),
            np.where(never > 0, self._by_few, 1.0)
            * np.hypot(rows.spread(self.fit), np.sqrt(unknown + by_few)),
            np.sqrt(self.fit.scale**2 + known + unknown),
            never / people,
        )

    def middle(self, traits: Sequence[Traits], week: float) -> tuple[Floats, Floats]:
        """The logarithm of the middle price of each version in a week, and its standard error."""
        found = self.foretold(traits, week)
        return found.middle, found.spread

    def speaks_of(self, kind: str) -> bool:
        """Whether cards of a kind were sold, or of one that is much like it."""
        return self.columns.kind_of(kind) is not None

    def by_parts(self, foretold: Foretold) -> list[tuple[Floats, float]]:
        """The middle logarithm (m,) of cards of anybody by each fit without a part, and how it sees errors.

        The second is by how many times its errors are as large as those of the whole fit.
        """
        found = []
        for fit, seen, preferred in self.without:
            rows = self.columns.by_others(foretold.rows, seen, foretold.strangers)
            found.append((rows.middle(fit) - preferred, fit.scale / self.fit.scale))
        return found

    @property
    def of_strangers(self) -> float:
        """The variance of the mean logarithm of people never sold, where none of them was on offer.

        All of them may then be wanted more or less than those sold by as much as people differ.
        """
        return 0.0 if self.columns.were_on_offer else self._unlike

    @property
    def of_few(self) -> float:
        """The variance that a mean of prices gains where all of an error may be the person's."""
        return self.fit.scale**2 * max(1 / self.persons - 1 / len(self.seen), 0.0) if self.persons else 0.0

    @property
    def _by_few(self) -> float:
        """By how much less is known of somebody never sold as prices are of few people (Student's t)."""
        if not self.persons:
            return 1.0
        people, sales = (max(one - 1, 2) for one in (self.persons, len(self.seen)))
        return student_quantile(_UPPER, people) / student_quantile(_UPPER, sales)

    @property
    def freedom(self) -> float:
        """By how many fits, or people where those of one person may be alike, doubt is known, less one."""
        known = len(self.without)
        return max(min(known, self.persons) - 1 if self.persons else known - 1, 2)

    @property
    def knows_demand(self) -> bool:
        """Whether the season says of most prices who is wanted."""
        return _knows_demand(self.columns, self.seen)

    @property
    def _unlike(self) -> float:
        """The variance of the effect of somebody never sold, 0 where people are not told apart.

        Who was not on offer may sell as often as anybody.
        """
        columns = self.columns
        if not columns.subjects:
            return 0.0
        own = float(self.fit.prior[columns.first_subject])
        if columns.were_on_offer:
            return own
        often = float(np.var(np.log(columns.sales)))
        return own + float(self.fit.effects[columns.place(_OFTEN)]) ** 2 * often

    def never_sold(self, traits: Traits) -> list[str]:
        """Who is on a card and was not sold, though others were."""
        return [name for name in traits.subjects if name not in self.people]

    @property
    def a_week(self) -> float:
        """What a week does to the logarithm of any price."""
        return float(self.fit.effects[self.columns.place(WEEK)])

    def effects(self) -> list[Contrast]:
        """Week, rookie, demand and copies, then each kind sold: at 300 copies on the day of the release.

        That of rookie only where the season knows who is wanted: else how often rookies sell takes a part of
        it, and what is left is no effect of being one.
        """
        plain = (WEEK, ROOKIE, DEMAND, FEW, MANY) if self.knows_demand else (WEEK, FEW, MANY)
        found = [self._contrast(name, {self.columns.place(name): 1}) for name in plain]
        kinds = enumerate(self.columns.kinds, start=1)
        found += [self._contrast(kind, {0: 1, place: 1}, by=place) for place, kind in kinds]
        return [one for one in found if one.sales]

    def subjects(self) -> list[Contrast]:
        """What each subject that was sold does to a price."""
        return [self._contrast(name, places) for name, places in self.columns.own().items()]

    def _contrast(self, name: str, places: dict[int, float], by: int | None = None) -> Contrast:
        return _contrast(self.fit, self.seen, name, places, by)


def _contrast(
    fit: Fit, design: Floats, name: str, places: dict[int, float], by: int | None = None
) -> Contrast:
    vector = np.zeros(len(fit.effects))
    vector[list(places)] = list(places.values())
    sales = int((design[:, next(iter(places)) if by is None else by] != 0).sum())
    error = float(np.sqrt(vector @ fit.covariance @ vector))
    return Contrast(name, float(vector @ fit.effects), error, sales)


class _Whole(NamedTuple):
    """The fit to all prices with what it was made from."""

    columns: Columns
    rows: Rows
    y: Floats
    weights: Floats
    limited: Flags
    prior: Floats
    pooled: Flags | None
    fit: Fit


def wanted(seen: Sequence[Seen]) -> list[Contrast]:
    """What each subject that was sold does to a price as a person, by a single fit.

    What all rookies share belongs to those whose cards are all rookie cards: they go for it.

    Raises
    ------
    ValueError
        for a price of 0 or below
    """
    columns, rows, _, _, _, _, _, fit = _whole(tuple(seen), None)
    design = rows.design
    rookie = columns.place(ROOKIE)
    found = []
    for name, places in columns.own().items():
        is_rookie = bool(design[design[:, next(iter(places))] != 0, rookie].all())
        found.append(_contrast(fit, design, name, {**places, rookie: float(is_rookie)}))
    return found


def price_model(seen: Sequence[Seen], unsold: int | None = None) -> PriceModel:
    """The model of prices above 0, the same for the same prices.

    Parameters
    ----------
    unsold : how many people have cards of which none was sold; as many as were sold, where it is not known

    Raises
    ------
    ValueError
        for a price of 0 or below
    """
    return _fitted(tuple(seen), unsold)


@lru_cache(maxsize=8)
def _fitted(seen: tuple[Seen, ...], unsold: int | None) -> PriceModel:
    """Kept, since a season asks for several days between which nothing was sold."""
    columns, rows, y, weights, limited, prior, pooled, whole = _whole(seen, unsold)
    design = rows.design

    def without(kept: Flags) -> tuple[Fit, Floats]:
        by_others = columns.by_others(rows, design[kept]).design
        found = robust_fit.fit(
            by_others[kept],
            y[kept],
            weights=weights[kept],
            prior=prior,
            pooled=pooled,
            limited=limited[kept],
            spent=True,
            start=whole,
        )
        return found, by_others

    # few sales are held out one by one: a fit to four fifths of them would be much further off than theirs
    number = min(len(y), max(_FOLDS, _FITTED // len(y)))
    folds = np.random.default_rng(_SEED).permutation(len(y)) % number
    middle, doubt, parts = robust_fit.held_out(folds=folds, fitted=without)
    # a wild sale held out leaves the others calm: against their errors it would look wilder than it is
    spread = np.hypot(whole.scale, doubt)
    errors = _errors(y, middle, spread, limited)
    traits = [one.traits for one in seen]
    is_mixed = not columns.subjects and not _knows_demand(columns, design)

    def preferred(fit: Fit, kept: Flags) -> float:
        if not is_mixed:
            return 0.0
        left = [one for one, is_kept in zip(traits, kept, strict=True) if is_kept]
        return _preferred(left, (y - fit.middle(design))[kept], fit.scale)

    counts = np.array(list(Counter(n for one in traits for n in set(one.subjects)).values()), dtype=np.intp)
    inside = np.zeros(len(y), dtype=bool)
    for fold in range(number):
        out = folds == fold
        low, high = _ends(errors[~out])
        ends = middle[out] + low * spread[out], middle[out] + high * spread[out]
        inside[out] = (ends[0] <= y[out]) & (limited[out] | (y[out] <= ends[1]))
    size = max(float(np.median(np.abs(errors))) / float(ndtri(np.array(0.75))), 1e-9)
    usual = np.abs(errors) <= _WILD * size
    return PriceModel(
        columns=columns,
        fit=whole,
        errors=np.quantile(errors[usual], _POINTS),
        ends=_ends(errors),
        least=float(np.exp(y.min())) if limited.any() else None,
        coverage=float(inside.mean()),
        wild=int((~usual).sum()),
        seen=design,
        people=frozenset(name for one in seen for name in one.traits.subjects),
        without=tuple(
            Without(fit, design[folds != fold], preferred(fit, folds != fold))
            for fold, fit in enumerate(parts)
        ),
        preferred=preferred(whole, np.ones(len(y), dtype=bool)),
        persons=_persons(traits) if is_mixed else None,
        were_on_offer=_were_on_offer(counts, len(counts) if unsold is None else unsold),
    )


def _knows_demand(columns: Columns, design: Floats) -> bool:
    return bool((design[:, columns.place(DEMAND)] != 0).mean() > _MOST)


def _persons(traits: Sequence[Traits]) -> float | None:
    """One by the sum of the squared shares of people in sales (Kish 1965, Survey Sampling, chapter 5)."""
    sold: dict[str, float] = {}
    for one in traits:
        for name in one.subjects:
            sold[name] = sold.get(name, 0.0) + 1 / len(one.subjects)
    whole = sum(sold.values())
    return whole**2 / sum(each**2 for each in sold.values()) if whole else None


def _preferred(traits: Sequence[Traits], errors: Floats, scale: float) -> float:
    """By how much what sells is dearer than what anybody's cards would go for.

    Sales say more of the people who sell often. Where how often somebody sells goes with a power b of what
    their cards go for, and the logarithm of that is normal with variance v, sales are b v above the mean of
    all people; and sales weighed by how many other sales there are of the same people are b v above sales.
    That is what is seen, with the errors of the people weighed so. Before it is seen b v may be anything from
    nothing to the variance of all errors: who is twice as dear may sell as often as anybody, or twice as
    often.
    """
    if not any(one.subjects for one in traits):
        return 0.0
    count = Counter(name for one in traits for name in set(one.subjects))
    others = np.array([sum(count[n] - 1 for n in one.subjects) / max(len(one.subjects), 1) for one in traits])
    whole = scale**2
    value, variance = whole / 2, whole**2 / 12
    if others.any():
        bent = np.clip(errors, -_WILD * scale, _WILD * scale)
        seen = float(others @ bent / others.sum() - bent.mean())
        weights: Counter[str] = Counter()
        for one, weight in zip(traits, others.tolist(), strict=True):
            weights[one.subjects[0]] += weight
        shares = np.array(list(weights.values())) / others.sum()
        of_seen = whole * (float(shares @ shares) + 1 / len(errors))
        value = (value * of_seen + seen * variance) / (variance + of_seen)
    return max(value, 0.0)


@lru_cache(maxsize=8)
def _whole(seen: tuple[Seen, ...], unsold: int | None) -> _Whole:
    """Kept, since who is wanted and what cards go for are both asked of it."""
    for one in seen:
        if not one.price > 0:
            raise ValueError(f"a price must be above 0, got {one.price}")
    traits = [one.traits for one in seen]
    named = dict.fromkeys(subject for one in traits for subject in one.subjects)
    if len(seen) < max(_FEWEST_APART, _SALES_A_SUBJECT * len(named)):
        named = {}
    sales = Counter(subject for one in traits for subject in set(one.subjects))
    columns = Columns(
        kinds=tuple(dict.fromkeys(one.kind for one in traits)),
        subjects={subject: i for i, subject in enumerate(named)},
        sales=tuple(sales[subject] for subject in named),
        unsold=len(named) if unsold is None else unsold,
    )
    rows = columns.rows(traits, [one.week for one in seen])
    design = rows.design
    y = np.log([one.price for one in seen])
    weights = np.where([one.presale for one in seen], _PRESALE_WEIGHT, 1.0)
    limited = _limited(y)
    prior = np.full(design.shape[1], _PRIOR_DEVIATION**2)
    prior[0] = np.inf
    prior[[columns.place(FEW), columns.place(MANY)]] = _PRIOR_EXPONENT**2
    prior[columns.place(WEEK)] = _PRIOR_WEEK**2
    pooled = np.arange(design.shape[1]) >= columns.first_subject if named else None
    fit = robust_fit.fit(design, y, weights=weights, prior=prior, pooled=pooled, limited=limited, spent=True)
    return _Whole(columns, rows, y, weights, limited, prior, pooled, fit)


def _demand(traits: Traits) -> float:
    """The mean of the logarithms of 1 + demand, against that of a typical subject."""
    typical = np.log1p(_TYPICAL_DEMAND)
    each = [np.log1p(one) - typical for one in traits.demand if one is not None]
    return float(sum(each)) / len(traits.demand) if each else 0.0


def _limited(y: Floats) -> Flags:
    """The prices at a least one that many share: what the card is worth is that, or less."""
    at_least = y == y.min()
    many = at_least.sum() >= max(_FEWEST_AT_LEAST, _SHARE_AT_LEAST * len(y))
    return at_least if many else np.zeros(len(y), dtype=bool)


def _ends(errors: Floats) -> tuple[float, float]:
    """Between which nine in ten further errors lie, by those of n sales held out.

    They are errors of sales that a fit had not seen (Vovk, Gammerman and Shafer 2005, Algorithmic Learning in
    a Random World), held out in turn (Barber, Candès, Ramdas and Tibshirani 2021, Annals of Statistics 49,
    486-507), and their quantiles are median-unbiased whatever their law (Hyndman and Fan 1996, American
    Statistician 50, 361-365).
    """
    low, high = np.quantile(errors, (1 - _UPPER, _UPPER), method="median_unbiased")
    return float(low), float(high)


def _errors(y: Floats, middle: Floats, spread: Floats, limited: Flags) -> Floats:
    """Errors in standard errors; those hidden below a limit are drawn from what lies below it, seeded."""
    z = (y - middle) / spread
    drawn = np.random.default_rng(_SEED).random(len(y))
    hidden = ndtri(np.maximum(drawn * ndtr(z), 1e-12))
    return np.where(limited, hidden, z)
