"""How often any set of cards falls, in any number of packs, boxes or cases: a question put to the facts."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from rating import tenths, text
from rating.errors import RatingError
from rating.facts.falling.collation import Collation
from rating.facts.falling.filters import card_set
from rating.facts.falling.outlook import MOST_PACKS, open_part, outlook, packs_for
from rating.facts.plain import Unknown
from rating.facts.section import Source
from rating.release.sheet import PER

_OPENING = re.compile(r"(\d{1,9})\s*(pack|box|case)(?:s|es)?\Z", re.ASCII)
_CHANCE = re.compile(r"0?\.\d{1,9}\Z", re.ASCII)


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """Expected copies and the chance of at least one in an amount, such as a box."""

    what: str
    packs: int
    expected: Decimal
    p: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FormatAnswer:
    """The answer for one format. `packs` are the fewest for the wanted chance, None where none would do.

    `open_lines` are wanted lines whose odds are not stated: then it is at least so much.
    """

    amounts: tuple[Amount, ...]
    packs: int | None
    open_lines: tuple[str, ...]
    model: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was asked for, how many cards it is in how many versions, and the answer by format."""

    of: str
    cards: int
    versions: int
    likely: Decimal
    remark: str
    formats: Mapping[str, FormatAnswer | Unknown]


def ask(facts: Source, of: Sequence[str], *, opening: str = "", likely: str = "0.5") -> Answer:
    """How often the cards that some words name fall, by format.

    Parameters
    ----------
    of : words such as 'team=Kelderby Rooks', see `rating.facts.falling.filters.card_set`
    opening : how much is opened, such as '3 boxes'; else a pack, a box and a case
    likely : the chance that packs are worked out for, between 0 and 1

    Raises
    ------
    rating.errors.RatingError
        where there is no checklist, or words, opening or chance are none
    """
    if not facts.lines:
        raise RatingError(
            "there is no checklist yet, so nothing says which cards are in the packs",
            where=f"releases/{facts.release}",
            fix="take the checklist in with 'boxwright intake', or save it there as checklist.csv",
        )
    if not _CHANCE.match(likely) or not Decimal(likely):
        raise RatingError(
            f"{text.printable(likely)!r} is not a chance", where="--chance", fix="write a share such as 0.9"
        )
    wanted = card_set(of, facts.lines, teams=facts.season.teams, aliases=facts.season.aliases)
    keys = dict.fromkeys(key for line in facts.lines for key in line.formats)
    found: dict[str, FormatAnswer | Unknown] = {}
    for key in keys:
        collation = facts.collations.get(key)
        if collation is None:
            found[key] = Unknown("cards per pack or packs per box are missing")
            continue
        unsaid = open_part(collation, wanted.shares)
        one = [
            (what, packs, outlook(collation, wanted.shares, packs))
            for what, packs in _amounts(opening, collation)
        ]
        if unsaid and not any(part.expected for _, _, part in one):
            names = ", ".join(facts.lines[place].name for place in unsaid)
            found[key] = Unknown(f"neither odds nor promises say how often they fall: {names}")
            continue
        found[key] = FormatAnswer(
            amounts=tuple(
                Amount(
                    what=what,
                    packs=packs,
                    expected=tenths.six_digits(part.expected),
                    p=part.p,
                )
                for what, packs, part in one
            ),
            packs=packs_for(collation, wanted.shares, float(likely)),
            open_lines=tuple(facts.lines[place].name for place in unsaid),
            model=one[0][2].model if one else "",
        )
    return Answer(
        of=wanted.name,
        cards=wanted.cards,
        versions=wanted.versions,
        likely=Decimal(likely),
        remark=wanted.remark,
        formats=found,
    )


def _amounts(opening: str, collation: Collation) -> list[tuple[str, int]]:
    """What is opened in a format, in words and in packs; a case is left out where its size is not known."""
    sizes = {"pack": 1, "box": collation.packs_per_box}
    if collation.boxes_per_case:
        sizes["case"] = collation.packs_per_box * collation.boxes_per_case
    if not opening:
        return [(f"a {what}", size) for what, size in sizes.items()]
    match = _OPENING.match(opening.strip())
    if match is None or not 0 < int(match[1]) * sizes.get(match[2], 1) <= MOST_PACKS:
        raise RatingError(
            f"{text.printable(opening)!r} is nothing to open",
            where="--open",
            fix=f"write a number with one of {', '.join(PER)}, such as '3 boxes'",
        )
    if match[2] not in sizes:
        return []
    return [(opening.strip(), int(match[1]) * sizes[match[2]])]
