"""The section on chances: how often cards fall by format, and boxes really opened against the stated odds."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from rating import tenths, text
from rating.facts.chances.value import Chance, Chances, FormatChances, Opened, OpenedLine
from rating.facts.falling.collation import Collation
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import Printing, open_part, outlook, packs_for, shares_of_each
from rating.facts.plain import NO_FORMAT, Unknown
from rating.numerics.chances import compare_opened
from rating.release.market import OpenedRow
from rating.release.sheet import Format

EVEN = 0.5
_KINDS: tuple[tuple[str, Callable[[Printing], bool]], ...] = (
    ("autograph", lambda one: one.card.has_signature),
    ("relic", lambda one: "relic" in one.card.kind),
    ("autograph relic", lambda one: one.card.kind == "autograph relic"),
    ("insert", lambda one: one.card.kind == "insert"),
    ("numbered", lambda one: one.run is not None),
    ("one of one", lambda one: one.run == 1),
    ("rookie", lambda one: one.card.rookie),
    ("rookie autograph", lambda one: one.card.rookie and one.card.has_signature),
)


def chances(
    formats: Sequence[Format],
    lines: Sequence[CardLine],
    collations: Mapping[str, Collation],
    opened: Sequence[OpenedRow] | None,
    *,
    has_odds: bool,
) -> Chances | Unknown:
    """The section, from how the cards of each format fall."""
    if not lines:
        why = "there is no checklist yet, so "
        return Unknown(
            why + ("odds say nothing of cards" if has_odds else "nothing says which cards are in the packs")
        )
    if not formats:
        return NO_FORMAT
    wanted = shares_of_each(lines, dict(_KINDS))
    by_format: dict[str, FormatChances | Unknown] = {}
    for one in formats:
        collation = collations.get(one.key)
        by_format[one.key] = (
            Unknown(f"{one.name}: cards per pack or packs per box are missing")
            if collation is None
            else _format(one, lines, collation, wanted)
        )
    return Chances(formats=by_format, opened=against_odds(formats, lines, opened))


def _format(
    packed: Format, lines: Sequence[CardLine], collation: Collation, wanted: Mapping[str, Mapping[int, float]]
) -> FormatChances | Unknown:
    if all(draw.source == "rest" for draw in collation.draws):
        why = f"{packed.name}: neither odds nor promises say how often a card falls"
        return Unknown(why) if collation.open_lines else Unknown(f"{packed.name}: it holds base cards only")
    kinds = [
        one for name, part in wanted.items() if part and (one := chance(name, part, collation)) is not None
    ]
    own = [
        one
        for place, line in enumerate(lines)
        if packed.key in line.formats
        and not line.is_base
        and (one := chance(line.name, {place: 1.0}, collation)) is not None
    ]
    return FormatChances(
        name=packed.name,
        packs_per_box=collation.packs_per_box,
        boxes_per_case=collation.boxes_per_case,
        kinds=tuple(kinds),
        lines=tuple(own),
        open_lines=tuple(lines[place].name for place in collation.open_lines),
        overfull=tenths.six_digits(collation.overfull),
    )


def chance(
    what: str,
    wanted: Mapping[int, float],
    collation: Collation,
    *,
    likely: float = EVEN,
) -> Chance | None:
    """How often cards of a set fall in a format; None where nothing says how often any of them does.

    Parameters
    ----------
    wanted : the wanted share of lines, by their places
    likely : the chance that `packs` is worked out for
    """
    unsaid = open_part(collation, wanted)
    one = outlook(collation, wanted, 1)
    if unsaid and not one.expected:
        return None
    box = outlook(collation, wanted, collation.packs_per_box)
    case = None
    if collation.boxes_per_case:
        case = outlook(collation, wanted, collation.packs_per_box * collation.boxes_per_case)
    low, high = collation.between(wanted)
    return Chance(
        what=what,
        expected_box=tenths.six_digits(box.expected),
        expected_case=None if case is None else tenths.six_digits(case.expected),
        p_pack=one.p,
        p_box=box.p,
        p_case=None if case is None else case.p,
        packs=packs_for(collation, wanted, likely),
        at_least=bool(unsaid),
        model=box.model,
        low_box=tenths.six_digits(low),
        high_box=None if high is None else tenths.six_digits(high),
    )


def against_odds(
    formats: Sequence[Format], lines: Sequence[CardLine], opened: Sequence[OpenedRow] | None
) -> Opened | Unknown:
    """Boxes really opened against the stated odds, line by line.

    A line that has a row in opened.csv was looked for in every box of its format that is in there; a line
    without any row was not counted. All lines are tested together (Holm).
    """
    if opened is None:
        return Unknown("no box was opened yet, there is no opened.csv")
    boxes: dict[str, dict[object, int]] = {}
    for row in opened:
        boxes.setdefault(row.format, {})[row.day] = row.boxes
    by_name = {(text.key(line.subset), text.key(line.parallel)): line for line in lines}
    hits: dict[tuple[str, str, str], int] = {}
    for row in opened:
        if row.subset:
            place = (row.format, text.key(row.subset), text.key(row.parallel))
            hits[place] = hits.get(place, 0) + row.found
    packs_per_box = {one.key: one.packs_per_box for one in formats}
    triples, found, left_out = [], [], []
    for (key, subset, parallel), count in hits.items():
        line, per_box = by_name.get((subset, parallel)), packs_per_box.get(key)
        name = line.name if line else f"{subset} {parallel}".strip()
        if line is None or not per_box or key not in line.odds:
            why = (
                "it is not in the checklist"
                if line is None
                else "no odds are stated"
                if per_box
                else "packs per box are missing"
            )
            left_out.append(f"{name} in {key}: {why}")
            continue
        triples.append((count, sum(boxes[key].values()) * per_box, float(line.odds[key])))
        found.append((key, line))
    tested = compare_opened(triples) if triples else []
    return Opened(
        boxes={key: sum(days.values()) for key, days in boxes.items()},
        lines=tuple(
            OpenedLine(
                format=key,
                subset=line.subset,
                parallel=line.parallel,
                packs=one.packs,
                hits=one.hits,
                expected=tenths.six_digits(one.expected),
                stated=line.odds[key],
                p=tenths.six_digits(one.adjusted),
                low=tenths.six_digits(one.exact[0]),
                high=tenths.six_digits(one.exact[1]),
                wilson=None
                if one.wilson is None
                else (tenths.six_digits(one.wilson[0]), tenths.six_digits(one.wilson[1])),
                verdict=one.verdict,
            )
            for (key, line), one in zip(found, tested, strict=True)
        ),
        left_out=tuple(left_out),
    )
