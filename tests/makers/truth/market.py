"""What the market says of a release: sold titles with the card they are of, and prices of slots."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from makers.dice import Dice
from makers.truth.people import Person
from makers.truth.release import AUTOGRAPHS, RELICS, Card, Format, Release, Rung, Subset

_SHOUTS = ("LOOK", "nice", "mint", "L@@K", "free ship", "🔥", "!!", "PC", "wow", "low start", "from my break")
_SLABS = (
    "NGX 9",
    "slab 9.5",
    "Graded 10",
    "VKS 8.5",
    "graded NGX 10",
    "slabbed 9",
    "TCA 9",
    "Gem Mint 10 OPG",
)
_HOW = ("auction", "fixed", "offer")


@dataclass(frozen=True, slots=True)
class Sale:
    """A listing. `card` None is junk; `certain` is whether the title tells card and parallel for sure."""

    index: int
    title: str
    day: date
    price: Decimal
    postage: Decimal | None
    how: str
    slabbed: bool
    subset: Subset | None
    card: Card | None
    rung: Rung | None
    certain: bool
    traits: frozenset[str]
    sold: bool = True


@dataclass(frozen=True, slots=True)
class Slot:
    """What a slot of a break cost; no teams is a random break."""

    index: int
    teams: tuple[int, ...]
    price: Decimal


@dataclass(frozen=True, slots=True)
class Break:
    """A host's list of slots."""

    format: Format
    day: date
    how: str
    cases: Decimal
    slots: tuple[Slot, ...]


@dataclass(frozen=True, slots=True)
class Market:
    """All that was sold."""

    sales: tuple[Sale, ...]
    breaks: tuple[Break, ...]


def draw_market(seed: object, release: Release, *, initials: bool) -> Market:
    """The market of a seed; where the checklist has initials, titles cannot tell brothers apart."""
    dice = Dice(seed, "market")
    teller = _Teller(dice, release, initials=initials)
    sales: list[Sale] = []
    seen: set[tuple[str, date, Decimal]] = set()
    for _ in range(dice.whole(25, 90)):
        sale = teller.sale(len(sales))
        if (sale.title, sale.day, sale.price) not in seen:
            seen.add((sale.title, sale.day, sale.price))
            sales.append(sale)
    return Market(tuple(sales), _breaks(dice, release))


class _Teller:
    """Writes titles as sellers would; each has habits that differ."""

    def __init__(self, dice: Dice, release: Release, *, initials: bool) -> None:
        self.dice = dice
        self.initials = initials
        self.release = release
        self.lines = [
            (subset, rung) for subset in release.subsets for rung in (None, *subset.rungs) if subset.cards
        ]
        self.versions: dict[str, list[tuple[Subset, Card, Rung | None]]] = {}
        for subset in release.subsets:
            for card in subset.cards:
                for name in {one.family for one in card.persons}:
                    found = self.versions.setdefault(name, [])
                    found += [(subset, card, rung) for rung in (None, *subset.rungs)]
        self.junk_share = dice.pick((0.0, 0.08, 0.15, 0.25))
        self.strangers = dice.chance(0.6)
        habits = {"slab": 0.12, "surname": 0.25, "doubt": 0.07, "short": 0.7}
        self.share = {habit: share if dice.chance(0.55) else 0.0 for habit, share in habits.items()}

    def sale(self, index: int) -> Sale:
        """One sale, or junk."""
        dice = self.dice
        junk = dice.chance(self.junk_share)
        subset, rung = dice.pick(self.lines[:8]) if dice.chance(0.5) else dice.pick(self.lines)
        card = dice.pick(subset.cards)
        if junk:
            title, traits = self.junk(subset, card, rung)
            certain, slabbed = True, False
        else:
            title, certain, slabbed, traits = self.title(subset, card, rung)
        price = Decimal(int(100 * (0.99 + 3 * 2.718 ** (dice.normal())))) / 100
        return Sale(
            index=index,
            title=title,
            day=self.release.day + timedelta(days=dice.whole(0, 55)),
            price=price.quantize(Decimal("0.01")),
            postage=dice.pick((None, Decimal("0.00"), Decimal("1.25"), Decimal("4.99"), Decimal("3.50"))),
            how=dice.pick(_HOW),
            slabbed=slabbed,
            subset=None if junk else subset,
            card=None if junk else card,
            rung=None if junk else rung,
            certain=certain,
            traits=frozenset(traits),
            sold="unsold" not in traits,
        )

    def title(self, subset: Subset, card: Card, rung: Rung | None) -> tuple[str, bool, bool, set[str]]:
        """A title, whether it tells the card for sure, whether it is in a slab, and what is odd about it."""
        dice, release, share = self.dice, self.release, self.share
        surnames = dice.chance(share["surname"]) and all(one.turns for one in card.persons)
        doubtful, slabbed = dice.chance(share["doubt"]), dice.chance(share["slab"])
        said = self.told(subset, card, rung, surnames=surnames)
        short = said.subset is not None and subset.telling and dice.chance(share["short"])
        written = _shortened(subset.name) if short else subset.name
        parts = (
            f"{release.year}",
            release.maker if dice.chance(0.4) else "",
            release.line,
            self.name_text(card, surnames=surnames),
            written if said.subset else "",
            _number_text(dice, said.number),
            f"{said.rung}{dice.pick(('', '', ' Parallel'))}" if rung else "",
            self.serial_text(said.run, doubtful=doubtful),
            said.hit,
            *self.extras(card),
            dice.pick(_SLABS) if slabbed else "",
            dice.pick(_SHOUTS) if dice.chance(0.15) else "",
        )
        traits = {
            "surnames only": surnames,
            "serials that fit no card": doubtful,
            "slabs": slabbed,
            "subsets cut short in titles": written != subset.name,
        }
        certain = not doubtful and said.certain(self.versions[card.persons[0].family])
        odd = {trait for trait, so in traits.items() if so}
        return " ".join(part for part in parts if part), certain, slabbed, odd

    def told(self, subset: Subset, card: Card, rung: Rung | None, *, surnames: bool) -> _Told:
        """What a title is to tell of the card."""
        dice = self.dice
        run = rung.run if rung else card.run
        said = _Told(
            subset=subset if subset.index > 0 and not dice.chance(0.2) else None,
            number=card.number if dice.chance(0.45) else "",
            names=tuple(self.known(one, surname_only=surnames) for one in card.persons),
            known=lambda one: self.known(one, surname_only=surnames),
            hit=self.hit_words(subset),
            rung=rung.name if rung else "",
            run=run if dice.chance(0.6) else None,
        )
        return replace(said, hit="") if said.subset and dice.chance(0.25) else said

    def name_text(self, card: Card, *, surnames: bool) -> str:
        """The persons of a card in a title, in any order, now and then in capitals."""
        dice = self.dice
        sign = dice.pick((" ", " / ", " & ")) if len(card.persons) > 1 else ""
        text = sign.join(one.family if surnames else one.name for one in _order(dice, card.persons))
        return (
            text.upper() if dice.chance(0.15) and all(one.script == "latin" for one in card.persons) else text
        )

    def serial_text(self, run: int | None, *, doubtful: bool) -> str:
        """A serial number, or one that no version has."""
        if doubtful:
            return _serial(self.dice, self.dice.pick((77, 888, 40, 333)))
        return _serial(self.dice, run) if run is not None else ""

    def extras(self, card: Card) -> list[str]:
        """Words that tell nothing of which card it is."""
        dice = self.dice
        rookie = any(one.rookie for one in card.persons) and dice.chance(0.5)
        team = self.release.league.team_of(card.persons[0]).nick
        return [
            dice.pick(("RC", "Rookie", "rookie card")) if rookie else "",
            team if dice.chance(0.3) else "",
        ]

    def known(self, person: Person, *, surname_only: bool) -> str:
        """What of a name in a title can be compared with the checklist."""
        if surname_only:
            return person.family
        return f"{person.given[0]}. {person.family}" if self.initials and person.turns else person.name

    def hit_words(self, subset: Subset) -> str:
        """Words for a hit's kind."""
        signed, relic = subset.kind in AUTOGRAPHS, subset.kind in RELICS
        if signed and relic:
            return self.dice.pick(("Auto Relic", "signed relic", "Relic Auto"))
        return (
            self.dice.pick(("Auto", "autograph", "AUTO", "signed")) if signed else ("Relic" if relic else "")
        )

    def junk(self, subset: Subset, card: Card, rung: Rung | None) -> tuple[str, set[str]]:
        """The title of something that is no card of the release."""
        dice, release = self.dice, self.release
        person = card.persons[0]
        team = release.league.team_of(person)
        front = f"{release.year} {release.maker} {release.line}"
        colour = f" {rung.name}" if rung else ""
        junk = {
            "lot": f"{front} lot of {dice.whole(5, 60)} cards {team.nick}",
            "sealed": f"{front} {dice.pick(release.formats).name} box factory sealed",
            "set": f"{front} complete base set {dice.whole(20, 400)} cards no chase cards",
            "pick": f"{front} pick your card complete your set 1-{len(release.base.cards)}",
            "slot": f"{front} {dice.pick(release.formats).name} case break #{dice.whole(2, 400)} {team.name}",
            "wrapper": f"{front} empty {dice.pick(release.formats).name} box and wrappers, no cards",
            "copy": f"{person.name} {release.line} custom art card reprint not original",
            "removed": f"{release.year} {release.line} {person.name}{colour} - listing removed",
        }
        if self.strangers and dice.chance(0.6):
            stranger = {
                "year": f"{release.year - dice.whole(1, 3)} {release.line} {person.name}{colour}",
                "line": f"{release.year} {dice.pick(release.siblings)} {person.name}{colour} #{card.number}",
                "sport": f"{release.year} Rookie Showcase {release.league.sport} {person.name} {subset.name}",
            }
            return dice.pick(list(stranger.values())), {"cards of other releases"}
        if dice.chance(0.15):
            return f"{front} {person.name}{colour} {subset.name} #{card.number}", {"unsold"}
        return dice.pick(list(junk.values())), {"junk"}


@dataclass(frozen=True, slots=True)
class _Told:
    """What a title tells of a card, apart from words that anybody might add."""

    subset: Subset | None
    number: str
    names: tuple[str, ...]
    known: Callable[[Person], str]
    hit: str
    rung: str
    run: int | None

    def certain(self, versions: Sequence[tuple[Subset, Card, Rung | None]]) -> bool:
        """Whether one card in one version fits, however one reads what is left out."""
        return sum(self._fits(*one) for one in versions) == 1

    def _fits(self, subset: Subset, card: Card, rung: Rung | None) -> bool:
        if self.subset is not None and subset is not self.subset:
            return False
        if self.hit and subset.kind in {"base", "insert"}:
            return False
        names = [self.known(one) for one in card.persons]
        if not all(name in names for name in self.names):
            return False
        if self.number and card.number != self.number:
            return False
        if self.rung:
            if rung is None or rung.name != self.rung:
                return False
        elif rung is not None and (self.run is None or rung.run != self.run):
            return False
        return self.run is None or self.run == (rung.run if rung else card.run)


def _order(dice: Dice, persons: Sequence[Person]) -> list[Person]:
    return list(reversed(persons)) if dice.chance(0.3) else list(persons)


def _shortened(name: str) -> str:
    return name.replace("Autographs", "Autos").replace("Signatures", "Sigs")


def _number_text(dice: Dice, number: str) -> str:
    if not number:
        return ""
    return dice.pick(("#{}", "#{}", "No. {}", "#{}" if number.isdigit() else "{}")).format(number)


def _serial(dice: Dice, run: int) -> str:
    if run == 1:
        return "1/1"
    copy = dice.whole(1, run)
    return dice.pick(
        (f"{copy}/{run}", f"{copy}/{run}", f"/{run}", f"#{copy:0{len(str(run))}d}/{run}", f"#'d /{run}")
    )


def _breaks(dice: Dice, release: Release) -> tuple[Break, ...]:
    found: list[Break] = []
    first = 0
    for _ in range(dice.weigh({1: 0.7, 2: 0.3})):
        one = dice.pick(release.formats[:2])
        random = dice.chance(0.2)
        slots = [Slot(first, (), Decimal(dice.whole(12, 60)))] if random else _slots(dice, release, first)
        first += len(slots)
        how = "random" if random else dice.pick(("auction", "fixed"))
        day = release.day + timedelta(days=dice.whole(1, 40))
        found.append(Break(one, day, how, Decimal(dice.pick(("0.5", "1", "2", "1"))), tuple(slots)))
    return tuple(found)


def _slots(dice: Dice, release: Release, first: int) -> list[Slot]:
    teams = dice.shuffle(range(len(release.league.teams)))
    groups: list[tuple[int, ...]] = [(team,) for team in teams]
    if dice.chance(0.25):
        groups = [*groups[4:], (teams[0], teams[1]), (teams[2], teams[3])]
    cents = dice.pick((Decimal(0), Decimal("0.50"), Decimal("0.99")))
    return [Slot(first + n, group, Decimal(dice.whole(8, 190)) + cents) for n, group in enumerate(groups)]
