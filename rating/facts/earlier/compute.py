"""A release against the edition before it: packing, prices, promises, subsets, ladder, and who came and went.

Subsets, parallels and subjects are matched by name; what was renamed counts as dropped and added.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction

from rating import tenths, text
from rating.facts.context import Before
from rating.facts.earlier.value import (
    Earlier,
    FormatChange,
    Ladder,
    PriceChange,
    PromiseChange,
    RungChange,
    SubsetChange,
    Turnover,
)
from rating.facts.economics.compute import economics
from rating.facts.economics.value import Economics, FormatEconomics
from rating.facts.plain import Unknown
from rating.release.checklist import Card, Parallel
from rating.release.release import Release
from rating.release.sheet import Format, Sheet

PROMISED = ("autographs", "relics", "hits", "numbered")
# a subset and one of its parallels, blank for the cards themselves; and the print run of each
Rung = tuple[str, str]
Rungs = Mapping[Rung, int | None]


def earlier(
    release: Release, costs: Economics | Unknown, before: Before | None, *, currency: str
) -> Earlier | Unknown:
    """The section; unknown where there is no edition before, and in parts where one has no checklist.

    Parameters
    ----------
    costs : the economics of the release
    before : the edition before; all prices that its own season knows count
    """
    if before is None:
        return Unknown("no earlier edition is on file")
    old, new = before.release, release
    old_costs = economics(old, before.season, as_of=date.max)
    return Earlier(
        season=before.season.name,
        title=old.sheet.title,
        formats=_formats(old.sheet, new.sheet),
        prices=_prices(before, old_costs, new.sheet, costs, currency),
        # by what each maker says, since how cards fall is not worked out for the edition before
        promises=_promises(old_costs, economics(new, before.season, as_of=date.max)),
        subsets=_both(old.cards, new.cards) or _subsets(old.cards or (), new.cards or ()),
        ladder=_both(old.cards, new.cards) or _ladder(old, new),
        subjects=_both(old.cards, new.cards) or _turnover(old.cards or (), new.cards or ()),
    )


def _both(old: Sequence[Card] | None, new: Sequence[Card] | None) -> Unknown | None:
    """Why two checklists cannot be compared, None where they can."""
    if not new:
        return Unknown("there is no checklist yet")
    return None if old else Unknown("the edition before has no checklist.csv")


def _formats(old: Sheet, new: Sheet) -> tuple[FormatChange, ...]:
    """Every format of either, those of now first; matched by key."""
    was, now = ({one.key: one for one in sheet.formats} for sheet in (old, new))
    return tuple(
        FormatChange(
            format=(now.get(key) or was[key]).name,
            was=_packing(was[key]) if key in was else "",
            now=_packing(now[key]) if key in now else "",
        )
        for key in dict.fromkeys((*now, *was))
    )


def _packing(one: Format) -> str:
    """'14 packs of 8, 10 boxes a case', as far as it is known."""
    words = []
    if one.packs_per_box is not None:
        words.append(text.count(one.packs_per_box, "pack"))
    if one.cards_per_pack is not None:
        words.append(f"of {tenths.plain(one.cards_per_pack)}" if words else f"packs of {one.cards_per_pack}")
    packs = " ".join(words) or "packing not known"
    if one.boxes_per_case is None:
        return packs
    return f"{packs}, {text.count(one.boxes_per_case, 'box', 'boxes')} a case"


def _prices(
    before: Before, old_costs: Economics | Unknown, new: Sheet, costs: Economics | Unknown, currency: str
) -> tuple[PriceChange, ...] | Unknown:
    """What the headline boxes listed for, went for at launch, and went for when last seen."""
    if isinstance(costs, Unknown):
        return costs
    if isinstance(old_costs, Unknown):
        return old_costs
    if before.season.currency != currency:
        return Unknown(f"the edition before was priced in {before.season.currency}, this one in {currency}")
    was, now, then = old_costs.main, costs.main, before.release.sheet.released_on
    pairs = (
        ("list", was.list_price, now.list_price),
        ("street at launch", _launched(was, then), _launched(now, new.released_on)),
        ("street last seen", was.street_price, now.street_price),
    )
    found = [_price(kind, a, b) for kind, a, b in pairs if a is not None or b is not None]
    return tuple(found) or Unknown("neither edition has a list or street price")


def _launched(main: FormatEconomics, released_on: date | None) -> Decimal | None:
    """The first street price from the release date on."""
    seen = (one.box for one in main.prices if one.kind == "street" and _is_out(one.day, released_on))
    return next((box for box in seen if box is not None), None)


def _is_out(day: date, released_on: date | None) -> bool:
    return released_on is not None and day >= released_on


def _price(kind: str, was: Decimal | None, now: Decimal | None) -> PriceChange:
    change = tenths.six_digits(Fraction(now - was) / Fraction(was)) if was and now is not None else None
    return PriceChange(kind=kind, was=was, now=now, change=change)


def _promises(old: Economics | Unknown, new: Economics | Unknown) -> tuple[PromiseChange, ...]:
    """Autographs, relics, hits and numbered cards in the headline box, where either says how many."""
    was, now = (_held(one) for one in (old, new))
    return tuple(
        PromiseChange(what=what, was=was.get(what), now=now.get(what))
        for what in PROMISED
        if what in was or what in now
    )


def _held(economics: Economics | Unknown) -> Mapping[str, Decimal]:
    if isinstance(economics, Unknown):
        return {}
    main = economics.main
    counts = (main.autographs_per_box, main.relics_per_box, main.hits_per_box, main.numbered_per_box)
    return {what: count for what, count in zip(PROMISED, counts, strict=True) if count is not None}


def _by_subset(cards: Iterable[Card]) -> dict[str, list[Card]]:
    found: dict[str, list[Card]] = {}
    for card in cards:
        found.setdefault(text.key(card.subset), []).append(card)
    return found


def _subsets(old: Sequence[Card], new: Sequence[Card]) -> tuple[SubsetChange, ...]:
    """Every subset of either, in the order of this checklist and then of the one before."""
    was, now = _by_subset(old), _by_subset(new)
    return tuple(
        SubsetChange(
            subset=(now.get(key) or was[key])[0].subset,
            kind=(now.get(key) or was[key])[0].kind,
            was=len(was[key]) if key in was else None,
            now=len(now[key]) if key in now else None,
        )
        for key in dict.fromkeys((*now, *was))
    )


def _ladder(old: Release, new: Release) -> Ladder | Unknown:
    if old.parallels is None or new.parallels is None:
        which = "the edition before has" if old.parallels is None else "this edition has"
        return Unknown(f"{which} no list of parallels")
    names: dict[Rung, Rung] = {}
    was, now = (_rungs(one.cards or (), one.parallels or (), names) for one in (old, new))
    both = _bare(was) & _bare(now)
    places = [place for place in dict.fromkeys((*now, *was)) if place[0] in both]
    rungs = [place for place in places if place[1]]
    return Ladder(
        was=sum(place in was for place in rungs),
        now=sum(place in now for place in rungs),
        kept=sum(place in was and place in now for place in rungs),
        changes=tuple(
            _change(place, names[place], was, now) for place in places if _differs(place, was, now)
        ),
    )


def _bare(rungs: Rungs) -> set[str]:
    """The subsets that an edition has."""
    return {subset for subset, parallel in rungs if not parallel}


def _differs(place: Rung, was: Rungs, now: Rungs) -> bool:
    return place not in was or place not in now or was[place] != now[place]


def _change(place: Rung, name: Rung, was: Rungs, now: Rungs) -> RungChange:
    subset, parallel = name
    change = "added" if place not in was else "dropped" if place not in now else "run"
    return RungChange(subset=subset, parallel=parallel, change=change, was=was.get(place), now=now.get(place))


def _rungs(
    cards: Sequence[Card], parallels: Iterable[Parallel], names: dict[Rung, Rung]
) -> dict[Rung, int | None]:
    """The print run of each subset, where all its cards share one, and of each of its parallels.

    What they are called is added to `names`, where the first spelling stays.
    """
    found: dict[Rung, int | None] = {}
    for key, own in _by_subset(cards).items():
        runs = {card.print_run for card in own}
        found[key, ""] = runs.pop() if len(runs) == 1 else None
        names.setdefault((key, ""), (own[0].subset, ""))
    for one in parallels:
        place = (text.key(one.subset), text.key(one.parallel))
        found[place] = one.print_run
        names.setdefault(place, (one.subset, one.parallel))
    return found


def _turnover(old: Iterable[Card], new: Iterable[Card]) -> Turnover:
    was, now = _subjects(old), _subjects(new)
    came = tuple(now[key] for key in now if key not in was)
    return Turnover(
        was=len(was),
        now=len(now),
        stayed=tuple(now[key] for key in now if key in was),
        came=came,
        went=tuple(was[key] for key in was if key not in now),
        new=tenths.six_digits(Fraction(len(came), len(now))),
    )


def _subjects(cards: Iterable[Card]) -> dict[str, str]:
    """The subjects of a checklist by name, each under its first spelling, in that order of names."""
    found: dict[str, str] = {}
    for card in cards:
        for name in card.subjects:
            found.setdefault(text.key(name), name)
    return dict(sorted(found.items()))
