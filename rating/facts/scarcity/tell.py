"""What a host would say of scarcity."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from rating import tenths
from rating.facts import economics
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import FormatPacks, OddsAside, PromiseCheck, Scarcity
from rating.facts.section import Kept


def told(scarcity: Scarcity, facts: Kept) -> str:
    """How many packs and boxes exist, and the odds that do not fit."""
    costs = facts.of(economics.SECTION)
    names = {} if isinstance(costs, Unknown) else {key: one.name for key, one in costs.formats.items()}
    sentence = f"Print runs and odds make it {'; '.join(_made(scarcity.formats, names))}."
    against = "".join(f" {_promise(one, names)}" for one in scarcity.promises if not one.agrees)
    if not scarcity.set_aside:
        return f"{sentence} All odds of numbered cards agree.{against}"
    others = (
        f" ({len(scarcity.alternatives)} ways to mend it are equally short)"
        if len(scarcity.alternatives) > 1
        else ""
    )
    misfits = "; ".join(map(_misfit, scarcity.set_aside))
    return f"{sentence} {misfits}: that does not fit, and is left out{others}.{against}"


def _promise(one: PromiseCheck, names: Mapping[str, str]) -> str:
    """A promise that odds or copies contradict, with both numbers."""
    verb = "come" if one.against in {"odds", "copies"} else "comes"
    return (
        f"The maker promises {one.promise} in {names.get(one.format, one.format)}, but the {one.against} "
        f"{verb} to {tenths.fixed(one.implied, 1)} a box."
    )


def _made(formats: Mapping[str, FormatPacks], names: Mapping[str, str]) -> list[str]:
    """The packs of each format of which it is known."""
    told = []
    for key, one in formats.items():
        packs = one.packs
        if packs.estimate is None:
            continue
        words = f"about {packs.estimate:,} {names.get(key, key)} packs"
        if packs.low is not None and packs.high is not None and packs.low != packs.high:
            words += f" ({packs.low:,} to {packs.high:,})"
        if one.boxes is not None:
            words += f", that is {tenths.half_up(Fraction(one.boxes)):,} boxes"
        told.append(words)
    return told


def _misfit(one: OddsAside) -> str:
    words = f"{one.subset} {one.parallel}".strip() + f" at 1:{tenths.plain(one.stated)}"
    if not one.implied:
        return words
    return f"{words}, where the others imply 1:{tenths.half_up(Fraction(one.implied)):,}"
