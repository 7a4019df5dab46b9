"""The frozen values that facts are made of, and their plain form for storing and for JSON."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from rating import tenths, text
from rating.facts.collation import Collation
from rating.facts.house import HouseRules, SlotRules
from rating.facts.lines import Line
from rating.release.checklist import Card, Odds, Parallel


@dataclass(frozen=True, slots=True)
class Unknown:
    """Something that cannot be computed, and why, in words."""

    why: str


NOT_ASKED = Unknown("it was not asked for")
# of a field that is not part of the plain form
WORKING = {"working": True}
# from this demand on a subject counts as wanted: one deviation above the mean where sales say it
WANTED_FROM = Decimal(84)


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceClass:
    """A band of headline box prices, up to but not including `below`; typical amounts are declared."""

    name: str
    below: Decimal | None
    typical_box: Decimal | None = None
    typical_card: Decimal | None = None
    typical_hit: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Rookie:
    """A member of the season's rookie class, from a day on."""

    subject: str
    team: str
    since: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Buying:
    """What is added to a price until the box is on the table: shares 0 to 1, shipping per order."""

    tax: Decimal = Decimal(0)
    shipping: Decimal = Decimal(0)
    duty: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Selling:
    """What selling a card costs: fee as a share of price and postage, a fixed charge, postage, bulk floor."""

    fee: Decimal = Decimal(0)
    fixed: Decimal = Decimal(0)
    postage: Decimal = Decimal(0)
    bulk_floor: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """How much collectors want a subject, 0 to 100.

    `basis` says where it comes from: sales, nudge (the host's own word) or both; `why` says it in words.
    """

    subject: str
    demand: Decimal
    basis: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Edition:
    """An earlier edition of a line: what it listed for, the last street price seen, and its last grade."""

    season: str
    release: str
    title: str
    list_price: Decimal | None
    street_price: Decimal | None
    grade: int | None
    scores: Mapping[str, int]

    @property
    def held(self) -> Decimal | None:
        """The last street price over the list price, six digits; None where either is not known."""
        if not self.list_price or self.street_price is None:
            return None
        return tenths.six_digits(self.street_price / self.list_price)


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What earlier seasons know of a line, newest first; `since` is the year the maker says it began."""

    line: str
    since: int | None
    editions: tuple[Edition, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SeasonContext:
    """What the facts of a release need to know of its season.

    rookies
        None where there is no rookies.csv
    aliases
        every spelling of every team, as compared, to the compared form of its name
    demand
        how much subjects are wanted, by their names as compared; None where nobody knows
    demand_elsewhere
        the same without the release's own sales, where these are among what `demand` rests on
        (`has_own_sales`): a model of its prices has seen them already
    """

    name: str
    currency: str
    teams: tuple[str, ...]
    rookies: tuple[Rookie, ...] | None
    classes: tuple[PriceClass, ...]
    buying: Buying
    aliases: Mapping[str, str]
    selling: Selling = Selling()
    demand: Mapping[str, Demand] | None = None
    demand_elsewhere: Mapping[str, Demand] | None = None
    has_own_sales: bool = False
    house: HouseRules = field(default_factory=HouseRules)
    slots: SlotRules = field(default_factory=SlotRules)

    @property
    def demand_of_others(self) -> Mapping[str, Demand] | None:
        """The demand that rests on other releases and the host, not on the release's own sales."""
        return self.demand_elsewhere if self.has_own_sales else self.demand

    @property
    def is_demand_its_own(self) -> bool:
        """Whether nothing but the release's own sales says who is wanted: whoever was sold in it is in it."""
        return self.has_own_sales and not self.demand_of_others

    def team_names(self) -> dict[str, str]:
        """Every spelling of every team, as compared, to its name as the season writes it."""
        shown = {text.key(team): team for team in self.teams}
        return {spelling: shown[name] for spelling, name in self.aliases.items() if name in shown} | shown


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """One dated price and what follows from it; amounts in half-up cents, None where unknown."""

    day: date
    unit: str
    kind: str
    price: Decimal
    box: Decimal | None
    per_pack: Decimal | None
    per_card: Decimal | None
    per_hit: Decimal | None
    per_numbered: Decimal | None
    landed_box: Decimal | None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatEconomics:
    """What one way to buy costs. Counts are per box; `box_price` is the price that the grade goes by.

    `case_price` is the last of a case, of whatever kind; a landed case is shipped once.
    """

    name: str
    cards_per_pack: Decimal | None
    packs_per_box: int | None
    boxes_per_case: int | None
    cards_per_box: Decimal | None
    autographs_per_box: Decimal | None
    relics_per_box: Decimal | None
    hits_per_box: Decimal | None
    numbered_per_box: Decimal | None
    counts_from: str
    box_price: Decimal | None
    price_kind: str
    price_day: date | None
    landed_box: Decimal | None
    per_pack: Decimal | None
    per_card: Decimal | None
    per_hit: Decimal | None
    per_numbered: Decimal | None
    list_price: Decimal | None
    street_price: Decimal | None
    case_price: Decimal | None
    case_discount: Decimal | None
    restocks: int
    sources: int
    prices: tuple[PriceLine, ...]
    case_kind: str = ""
    landed_case: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Economics:
    """Prices of every format, the class the release falls in, and promises that do not fit each other."""

    headline: str
    formats: Mapping[str, FormatEconomics]
    price_class: str
    class_price: Decimal | None
    left_out: tuple[str, ...]

    @property
    def main(self) -> FormatEconomics:
        """The headline format."""
        return self.formats[self.headline]


@dataclass(frozen=True, slots=True, kw_only=True)
class SubsetContent:
    """One subset: how many cards, of which kind, their print runs, rookies and parallels.

    `digits` is the width of its plain numbers where they are padded with zeros (3 for 001), else 0.
    """

    subset: str
    kind: str
    cards: int
    rookies: int
    lowest_run: int | None
    highest_run: int | None
    parallels: int
    first_number: str
    last_number: str
    digits: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TeamContent:
    """One team: how many cards of each kind name it. A card with two teams counts for both."""

    team: str
    cards: int
    base: int
    rookies: int
    inserts: int
    autographs: int
    relics: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Tier:
    """Numbered versions with print runs from `low` to `high`, and the copies they sum to."""

    name: str
    low: int
    high: int | None
    versions: int
    copies: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """What the checklist holds, counted."""

    cards: int
    kinds: Mapping[str, int]
    subsets: tuple[SubsetContent, ...]
    teams: tuple[TeamContent, ...]
    without_team: int
    rookies: int
    variations: int
    redemptions: int
    subjects: int
    tiers: tuple[Tier, ...]
    signed_on_card: int
    signed_on_stickers: int
    signed_unknown: int
    signers: int
    relics_by: Mapping[str, int]
    has_signatures: bool
    has_relics: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A subject that collectors want, and what the release holds of it.

    cards
        those that name it, each once, whatever its parallels; `signatures` of them are signed
    per_box, p_box
        copies to expect in a box of the headline format, parallels among them, and the chance of at least
        one; None where nothing says how often any of its cards falls
    at_least
        that more of them may fall, of which nothing says how often
    """

    subject: str
    team: str
    demand: Decimal
    basis: str
    why: str
    cards: int
    signatures: int
    relics: int
    rookie: bool
    subsets: tuple[str, ...]
    per_box: Decimal | None
    p_box: Decimal | None
    at_least: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class People:
    """Who is in it: the season's teams, the rookie class as of the release date, and those who are wanted.

    rookies_only_signing
        those of whom every card is signed; `rookies_only_base` have base cards and no others
    wanted
        subjects with a demand of `wanted_from` or more and a card, most wanted first
    wanted_missing
        those of the same demand without one
    signer_demand
        mean demand of those who sign, card by card; who has no demand of their own counts as typical, 50
    """

    teams_served: tuple[str, ...]
    teams_missing: tuple[str, ...]
    rookie_class: int | None
    rookies_carded: tuple[str, ...]
    rookies_in_base: tuple[str, ...]
    rookies_signing: tuple[str, ...]
    rookies_missing: tuple[str, ...]
    rookies_only_signing: tuple[str, ...] = ()
    rookies_only_base: tuple[str, ...] = ()
    wanted: tuple[Wanted, ...] | Unknown = NOT_ASKED
    wanted_missing: tuple[Demand, ...] = ()
    wanted_from: Decimal = WANTED_FROM
    signer_demand: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A whole number that is known within limits; None where there is none on that side.

    `error` is the standard error of the estimate, where one can be given.
    """

    low: int | None
    high: int | None
    estimate: int | None
    error: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatPacks:
    """How many packs of a format exist, and the boxes and cases that the estimate fills."""

    packs: Span
    boxes: Decimal | None
    cases: Decimal | None
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OddsAside:
    """Odds that do not fit the others: X of 1:X as stated, as the others imply, and its limits."""

    subset: str
    parallel: str
    format: str
    stated: Decimal
    implied: Decimal | None
    low: Decimal | None
    high: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineCopies:
    """Copies of a subset in one version, all its cards together, and where the number comes from.

    `basis` is print run, odds, packing (what the rest of a pack leaves) or unknown.
    """

    subset: str
    parallel: str
    kind: str
    cards: int
    basis: str
    copies: Span
    per_card: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseCheck:
    """A promise a box beside what odds or copies imply, with the limits that their rounding leaves."""

    format: str
    promise: str
    against: str
    stated: Decimal
    implied: Decimal
    low: Decimal
    high: Decimal | None
    agrees: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Scarcity:
    """How many packs and copies exist.

    `set_aside` are the odds left out in the best fit; `alternatives` every equally small set, all of which
    the ranges span. `all_listed` is False where there are more such sets than are listed.
    """

    formats: Mapping[str, FormatPacks]
    total: Span
    consistent: bool
    set_aside: tuple[OddsAside, ...]
    alternatives: tuple[tuple[OddsAside, ...], ...]
    all_listed: bool
    lines_used: int
    lines: tuple[LineCopies, ...]
    promises: tuple[PromiseCheck, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chance:
    """How often cards of a set fall in a format: expected copies, and chances of at least one.

    `packs` are the fewest for an even chance, or for the one that was asked for; None where no number would
    do. `at_least` says that more of them may fall, of which nothing says how often.
    """

    what: str
    expected_box: Decimal
    expected_case: Decimal | None
    p_pack: Decimal
    p_box: Decimal
    p_case: Decimal | None
    packs: int | None
    at_least: bool
    model: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatChances:
    """The chances in one format, by kind of card and by line.

    `open_lines` are those of which nothing says how often they fall; `overfull` is by how many cards a box
    would be too small for what is stated.
    """

    name: str
    packs_per_box: int
    boxes_per_case: int | None
    kinds: tuple[Chance, ...]
    lines: tuple[Chance, ...]
    open_lines: tuple[str, ...]
    overfull: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedLine:
    """One line in boxes really opened: hits in packs, against X of its stated odds 1:X.

    `p` is two-sided and adjusted for the number of lines; `low` and `high` are the ends of the exact interval
    of hits a pack, `wilson` those of the score interval, None where a line can fall more than once a pack.
    """

    format: str
    subset: str
    parallel: str
    packs: int
    hits: int
    expected: Decimal
    stated: Decimal
    p: Decimal
    low: Decimal
    high: Decimal
    wilson: tuple[Decimal, Decimal] | None
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """Boxes really opened, by format, and the lines that could be held against stated odds."""

    boxes: Mapping[str, int]
    lines: tuple[OpenedLine, ...]
    left_out: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chances:
    """How often cards fall, by format, and whether boxes really opened bear it out."""

    formats: Mapping[str, FormatChances | Unknown]
    opened: Opened | Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Wait:
    """How many packs or boxes something takes: on average, in half of all tries, and in nine of ten."""

    mean: Decimal
    q50: int
    q90: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAfter:
    """Different base cards and duplicates to expect after some boxes."""

    boxes: int
    distinct: Decimal
    duplicates: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetBoxes:
    """Completing a base set box by box, under one model of how boxes are filled.

    `duplicates` are those in hand when it is complete; after `nine_tenths` boxes nine of ten of its cards are
    there on average. `after` is one box, and one case where its size is known.
    """

    model: str
    boxes: Wait
    duplicates: Decimal
    nine_tenths: Decimal
    after: tuple[SetAfter, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetRow:
    """Open so many boxes and buy the rest as singles: cards missing on average, chance of none, and money."""

    boxes: int
    missing: Decimal
    complete: Decimal
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetCost:
    """What a complete base set costs, independent packs assumed; nothing is counted for a box's other cards.

    `single` is what one base card costs, posted, and `single_from` where that comes from. `rows` is one for
    each number of boxes from 0 up, `until_done` the cost of boxes until the set is complete, `complete_set`
    that of buying one, None without a price. `boxes` and `cost` are those of the best row.
    """

    box_price: Decimal
    price_kind: str
    single: Decimal
    single_from: str
    boxes: int
    cost: Decimal
    until_done: Decimal
    complete_set: Decimal | None
    cheapest: str
    rows: tuple[SetRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatCompleting:
    """Completing the base set from one format.

    `short_prints` are base cards that fall less often than the others. `no_duplicates` is the model of a box
    without a base card twice, None where it says the same as independent packs.
    """

    cards: int
    short_prints: int
    base_per_pack: Decimal
    packs: Wait
    independent: SetBoxes
    no_duplicates: SetBoxes | None
    best_boxes_then_singles: SetCost | Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Completing:
    """What it takes to complete the base set, by format."""

    formats: Mapping[str, FormatCompleting | Unknown]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatOpening:
    """How a box of one format feels, pack by pack; shares and chances are 0 to 1.

    packs
        packs in a box
    with_something
        share of packs with anything other than base cards
    beyond_the_usual
        share of packs with something other than base and than what is `in_every_pack` anyhow
    longest_dry
        packs of base only in a row, the longest run in a box on average; nine of ten boxes have none longer
        than `longest_dry_q90`
    hits
        chances of 0, 1, 2 … hits in a box; what is rarer than one box in a million is left out
    expected_hits
        hits in a box, on average
    surprise
        chance that a box holds something numbered to 25 or less
    not_counted
        lines that can be in a box, but of which nothing says how often
    """

    packs: int
    with_something: Decimal
    beyond_the_usual: Decimal
    in_every_pack: tuple[str, ...]
    longest_dry: Decimal
    longest_dry_q90: int
    hits: tuple[Decimal, ...]
    expected_hits: Decimal
    surprise: Decimal
    not_counted: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """How a box feels, pack by pack, by format."""

    formats: Mapping[str, FormatOpening | Unknown]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatChange:
    """How a format is packed now and was before, in words; blank where it is not there."""

    format: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceChange:
    """The price of a headline box of some kind, and by which share it changed; None where not known."""

    kind: str
    was: Decimal | None
    now: Decimal | None
    change: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PromiseChange:
    """What a headline box holds of a kind by its promises, else its odds; None where nothing says."""

    what: str
    was: Decimal | None
    now: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SubsetChange:
    """A subset by its name: how many cards it had and has, None where there was or is none of that name."""

    subset: str
    kind: str
    was: int | None
    now: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class RungChange:
    """A parallel of a subset that both editions have, or with a blank name the cards themselves.

    `change` is added, dropped or run; the print runs are None where it is not numbered, or not there.
    """

    subset: str
    parallel: str
    change: str
    was: int | None
    now: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """The parallels of subsets that both editions have, counted, and those that changed."""

    was: int
    now: int
    kept: int
    changes: tuple[RungChange, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnover:
    """The subjects of two checklists: those who stayed, came in and went; `new` is the share that came in."""

    was: int
    now: int
    stayed: tuple[str, ...]
    came: tuple[str, ...]
    went: tuple[str, ...]
    new: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """A release against the edition before it, named by season and title."""

    season: str
    title: str
    formats: tuple[FormatChange, ...]
    prices: tuple[PriceChange, ...] | Unknown
    promises: tuple[PromiseChange, ...]
    subsets: tuple[SubsetChange, ...] | Unknown
    ladder: Ladder | Unknown
    subjects: Turnover | Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Payout:
    """What a box or case returns at a price, in money: mean, quantiles, chances, and the loss.

    p_return
        the chance that it returns the price or more
    loss_given_loss
        what is missing on average where it returns less; None where it never does
    even_price
        the highest price that is returned by every other one
    p_low, p_high
        `p_return` where all cards are worth less, or more, by the factor of the format's returns; None where
        there is no price, or nothing says how far off all may be
    """

    price: Decimal | None
    mean: Decimal
    sd: Decimal
    median: Decimal
    q05: Decimal
    q25: Decimal
    q75: Decimal
    q95: Decimal
    p_return: Decimal | None
    loss_given_loss: Decimal | None
    even_price: Decimal
    p_low: Decimal | None = None
    p_high: Decimal | None = None


# while less of a run is opened, a chance differs by less than 2e-4 from that of draws which are put back
NOTICED_SHARE = Decimal("0.01")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatReturns:
    """What a box and, where the packing says so, a case of a format return.

    `left_out` names lines that can be in it and of which nothing says how often: they count as nothing.
    `grid` is the step of money, `grid_error` what steps add to the standard deviation of a box, and
    `cut_off` the chance that was not looked at. `box_share` and `case_share` are the shares of the format's
    run that they open, None where the run is not known; `finite` names those of box and case whose promised
    cards are drawn without replacement. All others are drawn as if what is opened did not change the run.
    Nine times in ten what all cards are worth together is at most `factor` times more or less than it is
    taken for.
    """

    name: str
    box: Payout
    case: Payout | None
    left_out: tuple[str, ...]
    grid: Decimal
    grid_error: Decimal
    cut_off: Decimal
    box_share: Decimal | None = None
    case_share: Decimal | None = None
    finite: tuple[str, ...] = ()
    factor: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Returns:
    """What boxes return, by format; a format of which it is not known says why."""

    formats: Mapping[str, FormatReturns | Unknown]


@dataclass(frozen=True, slots=True, kw_only=True)
class LineValues:
    """What a seller keeps of each card of a line, in the order of the line's cards.

    values
        the median of its own sales, moved to the day by what a week does, or the mean that is expected
    low, high
        nine of ten sales are expected to leave between these
    basis
        sold, modelled, carried over, or bulk where it is worth no more than the season's bulk floor
    """

    subset: str
    parallel: str
    values: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    basis: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What something does to the logarithm of a price, and the standard error; e to the value is a factor."""

    name: str
    value: Decimal
    error: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SubjectEffect:
    """What a subject does to the logarithm of a price against the others, shrunk, and from how many sales."""

    subject: str
    value: Decimal
    error: Decimal
    sales: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Values:
    """What the cards are worth to a seller, net of what selling costs, as of a day.

    sales
        those that could be used; `presales` of them are from before the release and weigh half
    set_aside
        how many sales could not be used, by reason
    wild
        sales so far off what is expected of the card that they weigh little
    sold_share, modelled_share, carried_over, bulk_share
        of the value of all copies that are known of; they sum to 1, or are all 0 where no copies are known
    least
        the price that many sales share and none is below: a card may be worth less than it; None without one
    coverage
        how many of the held-out sales lie in their 90 % intervals, as a share; None where nothing is modelled
    effects
        of week (each since the release), rookie, demand (exponent of 1 + demand, where the season knows it),
    carried_from
        the titles of the releases that prices are carried over from, none where they are not; `carried_on` is
        the day as of which they are
    never_sold
        kinds of which no sale speaks, so that they count as bulk
    level_error
        the standard error of the logarithm of what all cards are worth together: e to 1.645 times this is how
        many times too high or too low they may be as a whole, nine times in ten
    lines
        one for each of the release's lines, in their order
    """

    sales: int
    presales: int
    set_aside: Mapping[str, int]
    wild: int
    sold_share: Decimal
    modelled_share: Decimal
    carried_over: Decimal
    bulk_share: Decimal
    least: Decimal | None
    coverage: Decimal | None
    effects: tuple[Effect, ...]
    carried_from: tuple[str, ...] = ()
    carried_on: date | None = None
    never_sold: tuple[str, ...] = ()
    level_error: Decimal = Decimal(0)
    # the cards themselves are for modules that compute with them, thousands of numbers that nobody reads
    subjects: tuple[SubjectEffect, ...] = field(metadata=WORKING)
    lines: tuple[LineValues, ...] = field(metadata=WORKING)


@dataclass(frozen=True, slots=True, kw_only=True)
class AimAdvice:
    """What a buyer with an aim should do.

    buy
        box, case, slot, singles, complete set, wait, nothing (there is none of it), or not known
    format
        the format that serves the aim best, blank where none does
    of, price, below
        below an amount `of` it (a box, a case, a slot; before shipping, duty and tax) is what to buy, from
        there up it is not; and what it goes for now. None where not known, or where no price would do
    boxes
        how many of them, where that is part of the advice
    why
        the evidence in words, with its numbers
    """

    aim: str
    buy: str
    format: str
    of: str
    boxes: int | None
    price: Decimal | None
    below: Decimal | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceAdvice:
    """The price of a headline box, before shipping, duty and tax, below which it is sensible; in words too.

    `below` is None where no price is low enough.
    """

    format: str
    price: Decimal | None
    below: Decimal | None
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to buy, aim by aim, and the price that goes with the verdict."""

    aims: tuple[AimAdvice, ...]
    price: PriceAdvice | Unknown


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """All that is known of a release, one section each; a section that cannot be computed says why.

    `cards`, `parallels` and `odds` are the tables themselves, for modules that count for themselves; `lines`
    are the subsets by version, and `collations` how the cards of each format fall.
    """

    release: str
    title: str
    maker: str
    line: str
    released_on: date | None
    headline: str
    season: SeasonContext
    economics: Economics | Unknown
    content: Content | Unknown
    people: People | Unknown
    history: History
    cards: tuple[Card, ...] | None
    parallels: tuple[Parallel, ...] | None
    odds: tuple[Odds, ...] | None
    lines: tuple[Line, ...] = ()
    collations: Mapping[str, Collation] = field(default_factory=dict)
    scarcity: Scarcity | Unknown = NOT_ASKED
    chances: Chances | Unknown = NOT_ASKED
    completing: Completing | Unknown = NOT_ASKED
    opening: Opening | Unknown = NOT_ASKED
    earlier: Earlier | Unknown = NOT_ASKED
    values: Values | Unknown = NOT_ASKED
    returns: Returns | Unknown = NOT_ASKED
    advice: Advice | Unknown = NOT_ASKED


SECTIONS = (
    "economics",
    "content",
    "people",
    "scarcity",
    "chances",
    "completing",
    "opening",
    "values",
    "returns",
    "advice",
    "history",
    "earlier",
)


def as_text_values(value: Any) -> Any:
    """A fact as text, whole numbers, lists and objects: decimals become decimal text, dates ISO text."""
    return _plain(value, tenths.plain)


def as_json_values(value: Any) -> Any:
    """A fact for a JSON answer: decimals become numbers."""
    return _plain(value, lambda number: int(number) if number == int(number) else float(number))


def stored(facts: Facts) -> dict[str, Any]:
    """The facts that a review keeps: every section and the demand, without the tables they come from."""
    kept = {name: as_text_values(getattr(facts, name)) for name in SECTIONS}
    season = facts.season
    kept["demand"] = _kept_demand(season.demand)
    if season.has_own_sales:
        kept["demand_elsewhere"] = _kept_demand(season.demand_elsewhere)
    for name in ("release", "title", "maker", "line", "released_on", "headline"):
        kept[name] = as_text_values(getattr(facts, name))
    kept["format"] = 1
    return kept


def _kept_demand(demand: Mapping[str, Demand] | None) -> Any:
    return None if demand is None else as_text_values(tuple(demand.values()))


def demand_of(kept: list[dict[str, str]] | None) -> dict[str, Demand] | None:
    """The demand that a review kept, see `stored`."""
    if kept is None:
        return None
    found = [Demand(**one | {"demand": Decimal(one["demand"])}) for one in kept]  # type: ignore[arg-type]  # its only number
    return {text.key(one.subject): one for one in found}


def _plain(value: Any, decimal: Callable[[Decimal], Any]) -> Any:
    if isinstance(value, Decimal):
        return decimal(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Unknown):
        return {"unknown": value.why}
    if is_dataclass(value):
        told = (one.name for one in fields(value) if one.metadata != WORKING)
        return {name: _plain(getattr(value, name), decimal) for name in told}
    if isinstance(value, Mapping):
        return {str(name): _plain(one, decimal) for name, one in value.items()}
    if isinstance(value, tuple | list):
        return [_plain(one, decimal) for one in value]
    return value
