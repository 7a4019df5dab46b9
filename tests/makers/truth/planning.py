"""How a release comes about: names, formats, subsets, ladders, and odds that its promises fit."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from makers.dice import Dice
from makers.truth.league import League, draw_league
from makers.truth.people import Person
from makers.truth.release import (
    AUTOGRAPHS,
    RELICS,
    Card,
    Format,
    Odds,
    Price,
    Promise,
    Release,
    Rung,
    Subset,
    per_box,
    promised_per_box,
)

_MAKERS = (
    "Tolliver & Daughters", "Ninepin", "Gable Street", "Oxbow Press", "Candlewick", "Harrow Lane",
    "Blue Door",
    "Pasteboard Guild", "Quayside Print", "Rookery", "Sixpence", "Thimble", "Upland", "Velvet Hammer",
    "Westering", "Yellow Brick Cards", "Zinnia", "Coalhouse", "Maison Perle", "Druckhaus Linde",
    "Fábrica Sol",
)  # fmt: skip
_LINES = (
    "Crosswind", "Millrace", "Lanternlight", "Groundswell", "Copperplate", "Overture", "Northlight",
    "Palisade",
    "Rosewood", "Sundial", "Touchline", "Underpass", "Viaduct", "Watermark", "Heirloom", "Ironworks",
    "Kaleido", "Longbow", "Meridian Club", "Old Oak", "Parlour", "Quartet", "Saltbox", "Turnstile",
)  # fmt: skip
_FORMATS = (
    ("Hobby", "Retail", "Jumbo"), ("Hobby", "Blaster", "Mega"), ("Collector", "Gift", "Value"),
    ("Clubhouse", "Kiosk", "Tin"), ("Cabinet", "Corner Shop", "Pocket"), ("Hobby", "Hanger", "Retail"),
    ("Premier", "Standard", "Starter"), ("Display", "Multipack", "Duo"), ("Box Office", "Matinee", "Encore"),
)  # fmt: skip
_INSERTS = (
    "Long Shadows", "Second Wind", "Far Corners", "Paper Moon", "Loud Hours", "Standing Tall", "Open Road",
    "Bright Sparks", "Close Quarters", "Fast Company", "Top Shelf", "Wall Maps", "True Bearings",
    "Storm Season", "Home Crowd", "Late Edition", "Small Gods", "Nine Lives", "Postcards", "Clockwork",
    "Weather Report", "Big Numbers", "Quiet Giants", "Hall of Mirrors", "Town Criers", "Slow Motion",
)  # fmt: skip
_TRAPS = ("Signature Moves", "Patchwork Heroes", "Material Witness", "Autograph Hunters")
_FLAVOURS = (
    "Harvest", "Captain's", "Grandstand", "Workshop", "Midsummer", "Gallery", "Opening Day", "Century",
    "Parade",
    "Dockside", "Rafter", "Homecoming", "Festival", "Trophy Room",
)  # fmt: skip
_TELLING = {
    "autograph": ("{} Autographs", "{} Signatures", "Signed {}", "{} Autos", "Autographed {}"),
    "relic": ("{} Relics", "{} Memorabilia", "{} Relic Cards"),
    "autograph relic": ("{} Autograph Relics", "Signed {} Relics", "{} Relic Autographs"),
    "dual": ("{} Dual Autographs", "{} Dual Signatures"),
}
_SILENT = {
    "autograph": (
        "By My Hand",
        "Steady Hands",
        "Fountain Club",
        "Blue Black",
        "Personal Notes",
        "Yours Truly",
    ),
    "relic": ("Cut From It", "Loose Ends", "Wardrobe", "Locker Room", "Worn Smooth", "Off the Peg"),
    "autograph relic": ("Twice Blessed", "The Whole Cloth", "Belt and Braces", "Full Dress"),
    "dual": ("Two of Us", "Handshakes", "Better Half"),
}
_VARIATIONS = ("{} Variations", "{} Photo Variations", "{} Image Variations")
_BASES = ("Base", "Base Set", "Base Cards", "Base", "Base Set", "Main Set", "Foundation")
_COLOURS = (
    "Brass", "Plum", "Rust", "Hoar", "Cobalt", "Moss", "Copper", "Ivory", "Crimson", "Teal", "Ochre", "Lilac",
    "Granite", "Saffron", "Jade", "Onyx", "Peach", "Navy", "Cherry", "Pewter", "Cracked Glass", "Gold Leaf",
    "Blue Wave", "Green Check", "Black Tie", "Orange Peel", "Sepia", "Mirror", "Stardust", "Linen",
)  # fmt: skip
_RUNS = (499, 399, 299, 249, 199, 150, 125, 99, 75, 60, 50, 35, 25, 20, 15, 10, 5, 3, 1)
_COUNTS = tuple(
    map(Decimal, ("0.25", "0.5", "1", "2", "3", "4", "5", "6", "8", "10", "12", "15", "18", "20"))
)


@dataclass(frozen=True, slots=True)
class Style:
    """How one maker numbers cards and names hits."""

    numbers: str
    base_numbers: str
    silent: bool
    traps: bool


def plan(seed: object, style: Style) -> Release:
    """The release of a seed; the style, which is a matter of layout, is drawn elsewhere."""
    league = draw_league(seed)
    dice = Dice(seed, "release")
    year = dice.whole(2028, 2034)
    formats = _formats(dice)
    subsets = _subsets(dice, league, formats, style)
    as_hits = dice.chance(0.55) and any(one.kind == "relic" for one in subsets)
    odds = _fit(dice, formats, subsets, _odds(dice, formats, subsets), as_hits=as_hits)
    lines = dice.some(_LINES, 3)
    release = Release(
        maker=dice.pick(_MAKERS),
        line=lines[0],
        year=year,
        since=year - dice.whole(1, 14),
        day=date(year, 1, 1) + timedelta(days=dice.whole(20, 320)),
        league=league,
        formats=formats,
        subsets=subsets,
        odds=odds,
        promises=(),
        prices=_prices(dice, formats),
        siblings=tuple(lines[1:]),
    )
    return replace(release, promises=_promises(dice, release, as_hits=as_hits))


def _formats(dice: Dice) -> tuple[Format, ...]:
    names = dice.pick(_FORMATS)[: dice.weigh({1: 0.15, 2: 0.5, 3: 0.35})]
    packings = dice.some([(4, 10), (5, 12), (6, 20), (8, 12), (8, 18), (10, 8), (12, 6), (5, 24), (15, 4)], 3)
    boxes = dice.some([6, 8, 10, 12, 14, 16, 20], 3)
    return tuple(
        Format("-".join(name.lower().split()), name, *packing, count)
        for name, packing, count in zip(names, packings, boxes, strict=False)
    )


def _subsets(dice: Dice, league: League, formats: Sequence[Format], style: Style) -> tuple[Subset, ...]:
    base_people, sections = _base_people(dice, league)
    silent = {kind: dice.shuffle(names) for kind, names in _SILENT.items()}
    flavours = dice.shuffle(_FLAVOURS)
    inserts = dice.shuffle(_INSERTS)
    colours = dice.shuffle(_COLOURS)
    plans = [(dice.pick(_BASES), "base", len(base_people), True)]
    if dice.chance(0.35):
        plans.append((dice.pick(_VARIATIONS).format(plans[0][0].removesuffix(" Set")), "variation", 8, True))
    if style.traps:
        plans.append((dice.pick(_TRAPS), "insert", dice.whole(8, 12), False))
    plans += [(inserts.pop(), "insert", dice.whole(8, 18), True) for _ in range(dice.whole(1, 3))]
    wanted = ["autograph"] * dice.whole(1, 3) + ["relic"] * dice.whole(0, 2)
    wanted += ["autograph relic"] * dice.chance(0.45) + ["dual"] * dice.chance(0.75)
    for kind in wanted:
        told = not style.silent or not silent[kind]
        name = dice.pick(_TELLING[kind]).format(flavours.pop()) if told else silent[kind].pop()
        plans.append((name, kind, dice.whole(4, 8) if kind == "dual" else dice.whole(8, 22), told))

    if dice.chance(0.3):
        name = dice.pick(_TELLING["autograph"]).format("Rookie")
        plans.append((name, "autograph", dice.whole(8, 16), True))

    subsets: list[Subset] = []
    prefixes: list[str] = []
    first = rungs = 0
    for name, kind, size, told in plans:
        plain = [card.number for card in subsets[0].cards] if subsets else []
        subset = _subset(dice, league, base_people, (name, kind, size), style, prefixes, first, plain)
        subset = replace(subset, index=len(subsets), telling=told, sections=() if subsets else sections)
        ladder = _ladder(dice, subset, kind, colours, formats, rungs)
        subsets.append(replace(subset, rungs=ladder))
        first, rungs = first + len(subset.cards), rungs + len(ladder)
    return tuple(subsets)


def _base_people(dice: Dice, league: League) -> tuple[list[Person], tuple[tuple[int, str], ...]]:
    people = dice.some(league.people, dice.pick((40, 50, 55, 60, 66, 72, 80, 90, 100)))
    if not dice.chance(0.45):
        return people, ()
    people = sorted(people, key=lambda one: one.rookie)
    old = sum(not one.rookie for one in people)
    titles = dice.pick((("Veterans", "Rookies"), ("Established", "New Faces"), ("Regulars", "Rookies")))
    legends = dice.whole(5, 9) if dice.chance(0.5) else 0
    sections = [(0, titles[0]), (old, titles[1])]
    if legends:
        sections.insert(1, (old - legends, dice.pick(("Legends", "Retired Greats", "Old Masters"))))
    return people, tuple(sections)


def _subset(
    dice: Dice,
    league: League,
    base_people: Sequence[Person],
    what: tuple[str, str, int],
    style: Style,
    prefixes: list[str],
    first: int,
    base_numbers: Sequence[str],
) -> Subset:
    name, kind, size = what
    prefix = _prefix(name, prefixes)
    groups = _groups(dice, league, base_people, kind, size)
    if name.split()[0] == "Rookie" or " Rookie " in name:
        rookies = [one for one in league.people if one.rookie]
        groups = [(one,) for one in dice.some(rookies, max(size, 5))]
    numbers = _numbers(style, kind, prefix, groups, first)
    if kind == "variation":  # the numbers of the base set
        numbers = [base_numbers[base_people.index(people[0])] for people in groups]
    tidy = {"dual": "autograph", "variation": "base"}.get(kind, kind)
    is_hit = tidy not in {"base", "insert"}
    run = dice.pick((25, 49, 75, 99, 149, 199)) if is_hit and dice.chance(0.35) else None
    signed = dice.pick(("card", "card", "sticker")) if tidy in AUTOGRAPHS else ""
    relic = ""
    if tidy in {"relic", "autograph relic"}:
        relic = dice.pick(("game-worn", "player-worn", "event-worn", "unattributed"))
    cards = [
        Card(first + place, number, people, run, signed != "" and dice.chance(0.08))
        for place, (number, people) in enumerate(zip(numbers, groups, strict=True))
    ]
    short: list[Card] = []
    if kind == "base" and dice.chance(0.35):
        short_run = dice.pick((49, 99, 150))
        places = sorted(dice.some(range(len(cards)), dice.whole(3, 6)))
        for place in places:
            cards[place] = replace(cards[place], run=short_run)
        short = [cards[place] for place in places]
    return Subset(
        index=0,
        name=name,
        kind=tidy,
        prefix=prefix,
        cards=tuple(cards),
        telling=True,
        run=run,
        signed=signed,
        relic=relic,
        variation=kind == "variation",
        short_prints=tuple(short),
    )


def _groups(
    dice: Dice, league: League, base_people: Sequence[Person], kind: str, size: int
) -> list[tuple[Person, ...]]:
    if kind == "base":
        return [(one,) for one in base_people]
    if kind == "variation":
        places = sorted(dice.some(range(len(base_people)), size))
        return [(base_people[place],) for place in places]
    known = {one.index for one in base_people}
    others = [one for one in league.people if one.index not in known]
    pool = dice.shuffle(list(base_people))[: size * 2] + dice.some(others, 2)
    people = dice.shuffle(pool)
    if kind == "dual":
        return [(people[2 * place], people[2 * place + 1]) for place in range(size)]
    return [(one,) for one in people[:size]]


def _numbers(
    style: Style, kind: str, prefix: str, groups: Sequence[tuple[Person, ...]], first: int
) -> list[str]:
    places = range(1, len(groups) + 1)
    if kind == "base":
        form = {"plain": "{}", "padded": "{:03d}", "prefixed": "B{}"}[style.base_numbers]
        return [form.format(place) for place in places]
    numbers = style.numbers
    if numbers == "initials" and any(one.script != "latin" for group in groups for one in group):
        numbers = "dash"
    if numbers == "initials":
        taken: list[str] = []
        for group in groups:
            letters = prefix + "-" + "".join(_initial(one.given) + _initial(one.family) for one in group)
            taken.append(
                next(one for one in (letters, *(f"{letters}{n}" for n in range(2, 40))) if one not in taken)
            )
        return taken
    if numbers == "continued":
        return [str(first + place) for place in places]
    form = {"dash": "{p}-{n}", "tight": "{p}{n}", "padded": "{p}-{n:02d}", "restart": "{n}"}[numbers]
    return [form.format(p=prefix, n=place) for place in places]


def _initial(name: str) -> str:
    plain = "".join(
        one for one in unicodedata.normalize("NFKD", name).upper() if one.isascii() and one.isalpha()
    )
    return plain[:1] or "X"


def _prefix(name: str, taken: list[str]) -> str:
    words = [word for word in name.replace("'", "").split() if word[0].isupper()]
    first = "".join(word[0] for word in words)
    if len(first) < 2:
        first = name[:2].upper()
    tries = (first, first + name[-1].upper(), first + "X", first + "Z", first + "Q", first + "K")
    found = next(one for one in tries if one not in taken)
    taken.append(found)
    return found


def _ladder(
    dice: Dice, subset: Subset, kind: str, colours: Sequence[str], formats: Sequence[Format], first: int
) -> tuple[Rung, ...]:
    """Rungs from common to scarce; a base version's run is above every run of its ladder."""
    count = {"base": dice.whole(3, 6), "variation": 0, "insert": dice.whole(0, 3)}.get(kind, dice.whole(0, 3))
    if kind == "dual":
        count = dice.whole(0, 1)
    top = subset.run or (499 if kind == "base" else 150)
    runs: list[int | None] = sorted(dice.some([one for one in _RUNS if one < top], count), reverse=True)
    unnumbered = dice.whole(0, 2) if kind == "base" else int(kind == "insert" and dice.chance(0.3))
    runs[: min(unnumbered, count)] = [None] * min(unnumbered, count)
    names = sorted(dice.some(range(9), count))
    rungs = []
    for place, (name, run) in enumerate(zip(names, runs, strict=True)):
        only = (dice.pick(formats).key,) if len(formats) > 1 and dice.chance(0.15) else ()
        rungs.append(Rung(first + place, colours[name], run, only))
    return tuple(rungs)


def _odds(dice: Dice, formats: Sequence[Format], subsets: Sequence[Subset]) -> list[Odds]:
    """Odds of every line but the base set's own cards, which are what is left of a pack.

    Numbered lines of a format all follow from the packs there are of it; a hit may be missing in a format.
    """
    copies = [rung.run * len(one.cards) for one in subsets for rung in one.rungs if rung.run]
    shares = [1.0] + [dice.share(0.15, 0.6) for _ in formats[1:]]
    cases = max(120, -(-max(copies, default=0) * 3 // (formats[0].packs * formats[0].boxes)))
    packs = [one.packs * one.boxes * int(cases * dice.share(1.0, 1.8)) for one in formats]
    whole = sum(pack * share for pack, share in zip(packs, shares, strict=True))
    lines = [(subset, rung) for subset in subsets for rung in (None, *subset.rungs)]
    found: list[Odds] = []
    for subset, rung in lines[1:]:
        run = rung.run if rung else subset.run
        usual = _usual(dice, formats[0], subset, rung)
        for one, share in zip(formats, shares, strict=True):
            missing = one is not formats[0] and subset.kind not in {"base", "insert"} and dice.chance(0.3)
            if missing or (rung and rung.formats and one.key not in rung.formats):
                continue
            packs_a_copy = whole / (share * run * len(subset.cards)) if run else usual / share
            found.append(Odds(len(found), subset, rung, one, _round(dice, packs_a_copy)))
    return found


def _usual(dice: Dice, headline: Format, subset: Subset, rung: Rung | None) -> float:
    """Packs of the headline format to a copy of a line without a run."""
    if rung is not None:
        return float(dice.pick((1, 2, 3, 4, 6, 8))) if subset.index == 0 else float(dice.whole(10, 40))
    a_box = {"base": 0.3, "insert": dice.pick((1.0, 2.0, 3.0)), "relic": dice.pick((0.5, 1.0))}
    return headline.packs / a_box.get(subset.kind, dice.pick((0.4, 0.7, 1.0)))


def _round(dice: Dice, packs: float) -> Decimal:
    if packs < 10 and dice.chance(0.3):
        return max(Decimal(1), Decimal(int(packs * 10 + 0.5)) / 10)
    return max(Decimal(1), Decimal(int(packs + 0.5)))


def _fit(
    dice: Dice, formats: Sequence[Format], subsets: Sequence[Subset], odds: list[Odds], *, as_hits: bool
) -> tuple[Odds, ...]:
    """The odds, with those of one subset a kind set so that a box holds a round number of that kind.

    Autographs and relics make up a round number together where they are promised as hits. Now and then the
    last relics fall once a case.
    """
    head = formats[0]
    signed = [(*AUTOGRAPHS, "relic")] if as_hits else [AUTOGRAPHS, ("relic",)]
    for kinds in (*signed, ("insert",)):
        _fit_kinds(odds, head, kinds, above=Decimal(as_hits))
    rare = [one for one in subsets if one.kind in RELICS and not (one.run or one.rungs)]
    if rare and dice.chance(0.5):
        last = next(one for one in odds if one.format is head and one.subset is rare[-1])
        odds[last.index] = replace(last, packs=Decimal(head.packs * head.boxes))
    return tuple(odds)


def _fit_kinds(odds: list[Odds], head: Format, kinds: Sequence[str], *, above: Decimal) -> None:
    """Set the most frequent line without a run so that all of these kinds come to a round number a box."""
    group = [one for one in odds if one.format is head and one.subset.kind in kinds]
    loose = [one for one in group if one.subset.kind == kinds[0] and not (one.rung or one.subset.run)]
    if loose:
        biggest = min(loose, key=lambda one: one.packs)
        rest = sum((head.packs / one.packs for one in group if one is not biggest), Decimal(0))
        odds[biggest.index] = replace(biggest, packs=_rounded(biggest, rest, above=above))


def _rounded(one: Odds, rest: Decimal, *, above: Decimal) -> Decimal:
    """Packs to a copy at which a line and the rest of its kind come to a round number a box."""
    packs = one.format.packs
    targets = [count for count in _COUNTS if count - rest >= Decimal("0.2") and count > above]
    target = min(targets, key=lambda count: abs(count - rest - packs / one.packs))
    exact = packs / (target - rest)
    return max(Decimal(1), exact.quantize(Decimal(1) if exact >= 10 else Decimal("0.1"))).normalize() + 0


def _promises(dice: Dice, release: Release, *, as_hits: bool) -> tuple[Promise, ...]:
    head = release.formats[0]
    wanted: list[tuple[Format, str, Subset | None]] = []
    wanted += [(head, "hit", None)] if as_hits else [(head, "autograph", None), (head, "relic", None)]
    wanted += [(head, "insert", None), (head, "numbered", release.base if dice.chance(0.5) else None)]
    wanted += [
        (head, one.kind, one)
        for one in release.subsets
        if one.kind in {"autograph relic", "relic"} and not one.variation
    ]
    for other in release.formats[1:]:
        wanted += [(other, "insert", None), (other, "autograph", None)]
    found: list[Promise] = []
    for one, what, subset in wanted:
        promise = _promise(dice, release, (one, what, subset), len(found))
        if promise is not None:
            found.append(promise)
    for rung in release.base.rungs:
        packs = [one.packs for one in release.odds if one.rung is rung and one.format is head]
        if rung.run is None and packs and head.packs % packs[0] == 0 and len(found) < 7:
            count, per = (Decimal(1), "pack") if packs[0] == 1 else (head.packs / packs[0], "box")
            promise = Promise(len(found), head, "parallel", count, per, True, None, rung.name)
            if _is_kept(release, promise):  # other subsets may have a parallel of that name
                found.append(promise)
    return tuple(found)


def _promise(
    dice: Dice, release: Release, what: tuple[Format, str, Subset | None], index: int
) -> Promise | None:
    """A promise of a round number that the odds keep within a twelfth, None where none is near."""
    one, noun, subset = what
    probe = Promise(index, one, noun, Decimal(1), "box", dice.chance(0.5), subset)
    expected = per_box(release, probe)
    if not expected:
        return None
    choices = [replace(probe, count=count) for count in _COUNTS if count >= 1 or noun != "numbered"]
    if expected * one.boxes < 8:
        choices += [replace(probe, count=Decimal(count), per="case") for count in (1, 2, 3, 4, 5)]
    if noun == "numbered":
        choices += [replace(probe, count=Decimal(count)) for count in range(7, 20)]
    best = min(choices, key=lambda choice: abs(promised_per_box(choice) - expected))
    if not _is_kept(release, best):
        return None
    if noun == "hit" and best.count >= 2 and best.per == "box":
        signed = per_box(release, replace(probe, what="autograph"))
        best = replace(best, minimum=max(1, int(signed)) if signed * 5 > 4 and signed < best.count else 0)
    return best


def _is_kept(release: Release, promise: Promise) -> bool:
    """Whether the odds keep a promise within a twelfth."""
    expected = per_box(release, promise)
    return abs(promised_per_box(promise) - expected) * 12 <= expected


def contradict(release: Release) -> Release:
    """The release with its first promise three times as large as its odds allow."""
    if not release.promises:
        return release
    first, *rest = release.promises
    bent = replace(first, count=first.count * 3, minimum=0, contradicts=True)
    return replace(release, promises=(bent, *rest))


def _prices(dice: Dice, formats: Sequence[Format]) -> tuple[Price, ...]:
    found: list[Price] = []
    for place, one in enumerate(formats):
        if place and dice.chance(0.15):
            continue  # a maker that names no price for it
        box = Decimal(dice.whole(25, 320)) - Decimal(dice.pick(("0.01", "0.05", "0.50", "1", "0")))
        box = box if not place else (box / 3 + 5).quantize(Decimal("0.01"))
        amounts = {
            "pack": (box / one.packs).quantize(Decimal("0.01")),
            "box": box.quantize(Decimal("0.01")),
            "case": (box * one.boxes * Decimal("0.95")).quantize(Decimal("0.01")),
        }
        units = dice.pick((("box",), ("box", "case"), ("pack", "box"), ("pack", "box", "case"), ("pack",)))
        found += [Price(len(found) + n, one, unit, amounts[unit]) for n, unit in enumerate(units)]
    return tuple(found)
