"""Looking over a release's files: what contradicts itself, is repeated, misspelt, or damaged on the way.

Every check gives problems with a stable code. An error is something that would make a number wrong; a remark
is worth a look and may be right as it is.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import date
from statistics import median
from typing import NamedTuple

from rating import money, text
from rating.errors import Problem
from rating.release.checklist import CHECKLIST, ODDS, PARALLELS, Card
from rating.release.market import OPENED, PRICES, SALES, SLOTS, Price, SlotPrice
from rating.release.promises import against_odds
from rating.release.release import Release
from rating.release.sheet import Format, problems_of_guarantees

_SCIENTIFIC = re.compile(r"\d+(?:[.,]\d+)?E[+-]?\d+\Z", re.IGNORECASE)
_LETTER_E = re.compile(r"\d{1,3}E\d{1,3}\Z", re.IGNORECASE)
_MONTHS = "(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)"
# what is left of 3-4 or MAR-1; a MAR-1 that is still there is a number like others
_LIKE_A_DATE = re.compile(rf"\d{{1,2}}-{_MONTHS}\Z|{_MONTHS}-\d{{2}}\Z")
# how far two spellings may be apart and still look like one name: one slip in a short name, two in a long one
_SHORT, _LONG = 6, 14
# restocks and rushes move a price by less than this many times
_FAR = 5


def look_over(
    release: Release,
    *,
    folder: str,
    teams: Sequence[str],
    aliases: Mapping[str, str],
    currency: str,
    today: date | None = None,
    divisions: Sequence[str] = (),
) -> list[Problem]:
    """Everything that the files of one release say against themselves and against the season.

    Parameters
    ----------
    folder : the release's folder as it is named in messages
    teams, aliases : the season's teams, and every known spelling to the compared form of a team's name
    today : the day after which nothing can have been asked yet; None where that is not looked at
    divisions : names that a slot may have beside those of teams
    """
    found = _guarantees(release, folder)
    found += _promises(release, folder)
    found += _dates(release, folder)
    if release.cards is not None:
        found += _numbers(release.cards, folder)
        found += _damage(release.cards, folder)
        found += _teams(release.cards, folder, teams, aliases)
        found += _subjects(release.cards, folder)
    found += _parallels(release, folder)
    found += _odds(release, folder)
    found += _prices(release, folder, currency)
    found += _sales(release, folder)
    found += _opened(release, folder)
    found += _slots(release, folder, currency, today)
    found += _slot_names(release, folder, teams, {*aliases, *map(text.key, divisions)})
    return found


class Dropped(NamedTuple):
    """A subset whose numbers lost their zeros: a card's row, its number now, and as it should be."""

    subset: str
    row: int
    number: str
    was: str
    what: str


def lost_zeros(cards: Iterable[Card], digits_before: Mapping[str, int], *, folder: str) -> list[Problem]:
    """A problem for each subset whose numbers were padded with zeros before and are not any more."""
    return [_zeros(folder, one) for one in zeros_since(cards, digits_before)]


def zeros_since(cards: Iterable[Card], digits_before: Mapping[str, int]) -> list[Dropped]:
    """The subsets whose numbers were padded with zeros before and are not any more.

    Parameters
    ----------
    digits_before : how many digits the padded numbers of each subset had when the release was last recorded
    """
    found: dict[str, Dropped] = {}
    for card in cards:
        digits = digits_before.get(card.subset, 0)
        if card.subset not in found and card.number.isdigit() and len(card.number) < digits:
            was = card.number.zfill(digits)
            what = f"{card.subset} has the number {card.number}, when it was recorded it was {was}"
            found[card.subset] = Dropped(card.subset, card.row, card.number, was, what)
    return list(found.values())


def zeros_by_sales(release: Release) -> list[Dropped]:
    """The subsets whose sales still write the zeros that the checklist has lost."""
    return _over_sales(release, "")[1]


def padded(cards: Sequence[Card], widths: Mapping[str, int]) -> tuple[Card, ...]:
    """The cards with leading zeros put back: numbers of plain digits, to a width for each subset."""
    return tuple(
        card._replace(number=card.number.zfill(widths[card.subset]))
        if card.subset in widths and card.number.isdigit()
        else card
        for card in cards
    )


def _guarantees(release: Release, folder: str) -> list[Problem]:
    fix = "correct the promise or the packing, whichever the maker did not say"
    found = [
        _error("guarantee-mismatch", f"{folder}/release.toml", None, f"{one.name}: {what}", fix)
        for one, what in problems_of_guarantees(release.sheet)
    ]
    for one in release.sheet.formats:
        if one.cards_per_pack is None or one.packs_per_box is None:
            what = f"{one.name}: cards per pack or packs per box are missing"
            fix = "fill in cards_per_pack and packs_per_box; without them nothing can be counted per card"
            found.append(_remark("packing-missing", f"{folder}/release.toml", None, what, fix))
    return found


def _promises(release: Release, folder: str) -> list[Problem]:
    """Promises that the odds contradict, where they are many: one may be a misprint, which facts tell."""
    held = against_odds(
        release.sheet.formats, release.cards or (), release.parallels or (), release.odds or ()
    )
    fix = "check whether the promises, their formats or the odds were read or typed wrongly"
    return [
        _error("promise-against-odds", f"{folder}/release.toml", None, f"{one.format.name}: {one.what}", fix)
        for one in held.contradictions
        if held.are_many
    ]


def _dates(release: Release, folder: str) -> list[Problem]:
    sheet = release.sheet
    file = f"{folder}/release.toml"
    found = []
    if sheet.released_on is None:
        what = "the release date is not known"
        found.append(
            _remark(
                "date-missing",
                file,
                None,
                what,
                "once the maker names the day, write it like this: date = 2031-03-12",
            )
        )
    if sheet.disclosure is None:
        what = "it does not say how the reviewer came by the product"
        fix = "fill in [disclosure]; without it nothing can be recorded"
        found.append(_remark("disclosure-missing", file, None, what, fix))
    for one in release.sales or ():
        if sheet.released_on is not None and (sheet.released_on - one.day).days > 400:
            what = (
                f"a sale on {one.day.isoformat()}, long before the release on {sheet.released_on.isoformat()}"
            )
            found.append(
                _remark("early-sale", f"{folder}/{SALES.file}", one.row, what, "look at the year of the sale")
            )
    return found


def _numbers(cards: Sequence[Card], folder: str) -> list[Problem]:
    found = []
    for before, card in CHECKLIST.repeated(cards):
        if not card.variation and not before.variation:
            what = f"{card.subset} has the number {card.number} twice, first in line {before.row}"
            fix = "correct one of the numbers; a variation that shares a number is marked variation = yes"
            found.append(_error("duplicate-number", f"{folder}/{CHECKLIST.file}", card.row, what, fix))
    return found


def _damage(cards: Sequence[Card], folder: str) -> list[Problem]:
    """Marks that spreadsheet programs leave when they take a card number for a number or a date."""
    found = []
    letters = Counter(card.subset for card in cards if _LETTER_E.match(card.number))
    sizes = Counter(card.subset for card in cards)
    for card in cards:
        what = ""
        if _SCIENTIFIC.match(card.number) and not _LETTER_E.match(card.number):
            what = f"the number {card.number} looks like 1E5 after a spreadsheet program saved it"
        elif _LIKE_A_DATE.match(card.number):
            what = f"the number {card.number} looks like a card number that was turned into a date"
        elif letters[card.subset] * 2 > sizes[card.subset] and card.number.isdigit() and len(card.number) > 3:
            what = (
                f"the number {card.number} stands among numbers such as 1E4: one like them was multiplied out"
            )
        if what:
            fix = "type the number as it stands on the card, with the column set to text"
            found.append(_error("number-damaged", f"{folder}/{CHECKLIST.file}", card.row, what, fix))
    return found


def _zeros(folder: str, one: Dropped) -> Problem:
    fix = "put the zeros back with 'boxwright check RELEASE --repair'; a spreadsheet program dropped them"
    return _error("zeros-lost", f"{folder}/{CHECKLIST.file}", one.row, one.what, fix)


def _short(file: str, row: int, card: Card, number: str) -> Problem:
    what = f"a sale of {card.subset} {number}, the checklist has {card.number}: its zeros were dropped"
    return _error("zeros-lost", file, row, what, "write the numbers of the sales as the checklist has them")


def _teams(
    cards: Sequence[Card], folder: str, teams: Sequence[str], aliases: Mapping[str, str]
) -> list[Problem]:
    counts: Counter[str] = Counter()
    first: dict[str, Card] = {}
    for card in cards:
        for team in card.teams:
            counts[team] += 1
            first.setdefault(team, card)
    file = f"{folder}/{CHECKLIST.file}"
    found = []
    common = [*teams, *(name for name, number in counts.items() if number > 1)]
    for team, number in counts.items():
        if text.key(team) in aliases:
            continue
        near = _near(team, [one for one in dict.fromkeys(common) if one != team])
        if near and (number == 1 or near in teams):
            what = f"the team {team} looks like a misspelling of {near}"
            found.append(
                _remark("team-misspelt", file, first[team].row, what, f"write {near}, if that is the team")
            )
        elif number == 1:
            what = f"the team {team} occurs once"
            fix = "correct it, or add it to the teams in season.toml"
            found.append(_remark("team-once", file, first[team].row, what, fix))
        elif teams:
            what = (
                f"the team {team}, on {number} cards, is not one of the season's, so they count for no team"
            )
            fix = "write the season's name for it, or add it to season.toml as a team or an alias"
            found.append(_remark("unknown-team", file, first[team].row, what, fix))
    return found


def _subjects(cards: Sequence[Card], folder: str) -> list[Problem]:
    counts: Counter[str] = Counter()
    first: dict[str, Card] = {}
    for card in cards:
        for name in card.subjects:
            counts[name] += 1
            first.setdefault(name, card)
    rare = [name for name, number in counts.items() if number == 1]
    common = [name for name, number in counts.items() if number > 1]
    found = []
    for name, near in _near_pairs(rare, common):
        what = f"the subject {name} occurs once and looks like a misspelling of {near}"
        fix = f"write {near}, if that is who is meant"
        found.append(_remark("subject-misspelt", f"{folder}/{CHECKLIST.file}", first[name].row, what, fix))
    return found


def _near(name: str, others: Sequence[str]) -> str:
    return next((near for _, near in _near_pairs([name], others)), "")


def _near_pairs(names: Sequence[str], others: Sequence[str]) -> list[tuple[str, str]]:
    """For each name the nearest other one within one or two slips of the pen, '' where there is none."""
    if not names or not others:
        return []
    from rapidfuzz import process  # loaded for a check only
    from rapidfuzz.distance import OSA

    keys = {text.key(other): other for other in others}
    found = []
    for name in names:
        key = text.key(name)
        if len(key) < _SHORT or key in keys:
            continue
        slips = 2 if len(key) >= _LONG else 1
        near = process.extractOne(key, keys.keys(), scorer=OSA.distance, score_cutoff=slips)
        if near is not None:
            found.append((name, keys[near[0]]))
    return found


def _versions(release: Release) -> set[tuple[str, ...]]:
    """The parallels that there are, by subset and name as compared."""
    return {PARALLELS.name_of(one) for one in release.parallels or ()}


def _has_cards(release: Release) -> Callable[[str], bool]:
    """Whether a subset has cards; where there is no checklist nobody can say that it has none."""
    subsets = {text.key(card.subset) for card in release.cards or ()}
    return lambda subset: release.cards is None or text.key(subset) in subsets


_NO_CARDS = "correct the subset's name, or add its cards to checklist.csv"


def _parallels(release: Release, folder: str) -> list[Problem]:
    """Parallels against the checklist, the formats and each other."""
    found = []
    file = f"{folder}/{PARALLELS.file}"
    formats = {one.key for one in release.sheet.formats}
    has_cards = _has_cards(release)
    seen: set[tuple[str, ...]] = set()
    for one in release.parallels or ():
        if not has_cards(one.subset):
            what = f"the parallel {one.parallel} belongs to {one.subset}, which has no cards"
            found.append(_error("parallel-without-subset", file, one.row, what, _NO_CARDS))
        found += _unknown_formats(one.formats, formats, file, one.row)
        if PARALLELS.name_of(one) in seen:
            what = f"{one.subset} {one.parallel} stands twice"
            found.append(_error("duplicate-parallel", file, one.row, what, "take one of the rows out"))
        seen.add(PARALLELS.name_of(one))
    return found


def _odds(release: Release, folder: str) -> list[Problem]:
    """Odds against the checklist, the parallels, the formats and each other."""
    found = []
    file = f"{folder}/{ODDS.file}"
    formats = {one.key for one in release.sheet.formats}
    has_cards, versions = _has_cards(release), _versions(release)
    seen: set[tuple[str, ...]] = set()
    for one in release.odds or ():
        if not has_cards(one.subset):
            what = f"odds for {one.subset}, which has no cards"
            found.append(_error("odds-without-subset", file, one.row, what, _NO_CARDS))
        elif one.parallel and (text.key(one.subset), text.key(one.parallel)) not in versions:
            what = f"odds for {one.subset} {one.parallel}, which is not a parallel"
            fix = "correct the parallel's name, or add it to parallels.csv"
            found.append(_error("odds-without-parallel", file, one.row, what, fix))
        found += _unknown_formats((one.format,), formats, file, one.row)
        if ODDS.name_of(one) in seen:
            what = f"two odds for {one.subset} {one.parallel} in {one.format}".replace("  ", " ")
            found.append(_error("duplicate-odds", file, one.row, what, "take one of the rows out"))
        seen.add(ODDS.name_of(one))
    return found


def _unknown_formats(keys: Sequence[str], formats: set[str], file: str, row: int) -> list[Problem]:
    fix = f"write one of {', '.join(sorted(formats))}" if formats else "describe the format in release.toml"
    return [
        _error("unknown-format", file, row, f"there is no format {text.printable(key)!r}", fix)
        for key in keys
        if key not in formats
    ]


def _foreign(what: str, one: Price | SlotPrice, file: str, currency: str) -> list[Problem]:
    """A remark on an amount in money that the season does not count in and has no rate for."""
    if one.currency in {"", currency}:
        return []
    said = f"a {what} in {one.currency}; the season counts in {currency}"
    fix = f"convert it to {currency}, or give a rate under [rates] in season.toml"
    return [_remark("foreign-currency", file, one.row, said, fix)]


def _prices(release: Release, folder: str, currency: str) -> list[Problem]:
    found = []
    file = f"{folder}/{PRICES.file}"
    formats = {one.key for one in release.sheet.formats}
    for one in release.prices or ():
        found += _unknown_formats((one.format,), formats, file, one.row)
        found += _foreign("price", one, file, currency)
    for packed in release.sheet.formats:
        found += _unlikely(packed, [one for one in release.prices or () if one.format == packed.key], file)
    return found


def _unlikely(packed: Format, prices: Sequence[Price], file: str) -> list[Problem]:
    """Prices that say something quite other of a box than most of their format do: often a wrong unit."""
    per_unit = {"pack": packed.packs_per_box, "box": 1, "case": packed.boxes_per_case}
    boxes = []
    for one in prices:
        number = per_unit[one.unit]
        if number:
            boxes.append((one, one.price * number if one.unit == "pack" else one.price / number))
    if len(boxes) < 3:
        return []
    middle = median(box for _, box in boxes)
    return [
        _remark(
            "unlikely-price",
            file,
            one.row,
            f"{one.price} a {one.unit} makes a box {money.show(box)}, "
            f"most {packed.name} prices {money.show(middle)}",
            "see whether unit and price belong together",
        )
        for one, box in boxes
        if not middle / _FAR <= box <= middle * _FAR
    ]


def _sales(release: Release, folder: str) -> list[Problem]:
    found, dropped = _over_sales(release, folder)
    return found + [_zeros(folder, one) for one in dropped]


def _over_sales(release: Release, folder: str) -> tuple[list[Problem], list[Dropped]]:
    """The sales held against the checklist: what is wrong with them, and what they show of its numbers."""
    if release.cards is None:
        return [], []
    numbers = {(text.key(card.subset), text.key(card.number)): card for card in release.cards}
    bare = {
        (text.key(card.subset), card.number.lstrip("0")): card
        for card in release.cards
        if card.number.isdigit()
    }
    versions = _versions(release)
    file = f"{folder}/{SALES.file}"
    found = []
    dropped: dict[str, Dropped] = {}
    short: set[str] = set()
    for one in release.sales or ():
        subset, number = text.key(one.subset), text.key(one.number)
        if not one.subset:
            continue
        if (subset, number) not in numbers:
            card = bare.get((subset, one.number.lstrip("0"))) if one.number.isdigit() else None
            if card is not None and len(card.number) > len(one.number):
                if card.subset not in short:
                    found.append(_short(file, one.row, card, one.number))
                short.add(card.subset)
                continue
            if card is not None:
                what = f"{card.subset} has the number {card.number}, its sales say {one.number}"
                dropped.setdefault(card.subset, Dropped(card.subset, card.row, card.number, one.number, what))
                continue
            what = f"a sale of {one.subset} {one.number}, which is not in the checklist"
            fix = "correct subset and number, or leave both blank"
            found.append(_error("sale-of-unknown-card", file, one.row, what, fix))
        elif one.parallel and (subset, text.key(one.parallel)) not in versions:
            what = f"a sale of {one.subset} {one.parallel}, which is not a parallel"
            fix = "correct the parallel, or add it to parallels.csv"
            found.append(_error("sale-of-unknown-card", file, one.row, what, fix))
    return found, list(dropped.values())


def _opened(release: Release, folder: str) -> list[Problem]:
    """Boxes opened of formats, and cards found in them, that the other files do not know."""
    found = []
    file = f"{folder}/{OPENED.file}"
    formats = {one.key for one in release.sheet.formats}
    cards = {(text.key(card.subset), text.key(card.number)) for card in release.cards or ()}
    versions = _versions(release) | {(subset, "") for subset, _ in cards}
    for one in release.opened or ():
        found += _unknown_formats((one.format,), formats, file, one.row)
        if not one.subset or release.cards is None:
            continue
        subset = text.key(one.subset)
        name = " ".join(part for part in (one.subset, one.parallel, one.number) if part)
        if (subset, text.key(one.parallel)) not in versions or (
            one.number and (subset, text.key(one.number)) not in cards
        ):
            what = f"{name} was opened, which is not in the checklist"
            fix = "correct subset, parallel and number; a blank number is any card of the line"
            found.append(_error("opened-unknown-card", file, one.row, what, fix))
    return found


def _slots(release: Release, folder: str, currency: str, today: date | None) -> list[Problem]:
    """Slot prices of unknown formats, in other money, of days to come, and rows that stand twice."""
    found = []
    file = f"{folder}/{SLOTS.file}"
    formats = {one.key for one in release.sheet.formats}
    first: dict[tuple[object, ...], int] = {}
    for one in release.slots or ():
        found += _unknown_formats((one.format,) if one.format else (), formats, file, one.row)
        found += _foreign("slot price", one, file, currency)
        if today is not None and one.day > today:
            what = f"a slot price of {one.day.isoformat()}, which is after today, {today.isoformat()}"
            found.append(_remark("late-date", file, one.row, what, "check the date, or the clock"))
        said = one._replace(slot=text.key(one.slot), row=0)
        if first.setdefault(said, one.row) != one.row:
            what = f"the same slot at the same price stands in line {first[said]}"
            found.append(_error("duplicate-row", file, one.row, what, "take one of the rows out"))
    return found


def _slot_names(release: Release, folder: str, teams: Sequence[str], known: Collection[str]) -> list[Problem]:
    """Slots whose names are none of the season's teams or divisions, nor of anybody on the checklist."""
    if not teams:
        return []
    file = f"{folder}/{SLOTS.file}"
    subjects = {text.key(name) for card in release.cards or () for name in card.subjects}
    strange: dict[str, int] = {}
    for one in release.slots or ():
        for name in one.slot.split(" + "):
            if text.key(name) not in known and text.key(name) not in subjects and name:
                strange.setdefault(name, one.row)
    near = dict(_near_pairs(list(strange), teams))
    found = []
    for name, row in strange.items():
        if name in near:
            what = f"the slot {name} looks like a misspelling of {near[name]}"
            found.append(
                _remark("slot-misspelt", file, row, what, f"write {near[name]}, if that is what is meant")
            )
        else:
            what = f"the slot {name} is not a team of the season, and nobody on the checklist is called that"
            fix = "write a team as season.toml has it, and a pair as A + B; a division or filter may stay"
            found.append(_remark("unknown-slot", file, row, what, fix))
    return found


def _error(code: str, file: str, row: int | None, what: str, fix: str) -> Problem:
    return Problem(code=code, file=file, row=row, what=what, fix=fix)


def _remark(code: str, file: str, row: int | None, what: str, fix: str) -> Problem:
    return Problem(code=code, file=file, row=row, what=what, fix=fix, severity="remark")
