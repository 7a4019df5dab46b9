"""What a host would say of scarcity."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from rating import tenths, text
from rating.facts import economics, said
from rating.facts.plain import Unknown
from rating.facts.scarcity.value import FormatPacks, OddsAside, PromiseCheck, Scarcity
from rating.facts.section import Kept


def lead(scarcity: Scarcity, facts: Kept) -> str:
    """How many boxes exist, and whether the odds fit."""
    names = _names(facts)
    known = {key: one for key, one in scarcity.formats.items() if one.packs.estimate is not None}
    boxed = [
        f"{tenths.about(one.boxes)} {names.get(key, key)}"
        for key, one in known.items()
        if one.boxes is not None
    ]
    made = [f"{text.listed(boxed)} boxes"] if boxed else []
    made += [
        f"{tenths.about(one.packs.estimate or 0)} {names.get(key, key)} packs"
        for key, one in known.items()
        if one.boxes is None
    ]
    words = f"About {text.listed(made)} exist." if made else "How many boxes exist is not known."
    against = [one for one in scarcity.promises if not one.agrees]
    if scarcity.set_aside:
        verb = "does" if len(scarcity.set_aside) == 1 else "do"
        words += f" {len(scarcity.set_aside)} of the stated odds {verb} not fit the others."
    elif against:
        words += f" {text.count(len(against), 'promise does', 'promises do')} not fit the odds."
    return words


def told(scarcity: Scarcity, facts: Kept) -> str:
    """How many packs and boxes exist, and the odds that do not fit."""
    names = _names(facts)
    words = " ".join(_made(scarcity.formats, names))
    if scarcity.set_aside:
        words += "".join(f" {misfit(one)}." for one in scarcity.set_aside)
        if len(scarcity.alternatives) > 1:
            words += (
                f" There are {len(scarcity.alternatives)} ways to make the odds fit that leave out as few."
            )
    else:
        words += " The stated odds of all numbered cards agree with one another."
    return words + "".join(f" {_promise(one, names)}" for one in scarcity.promises if not one.agrees)


def _names(facts: Kept) -> Mapping[str, str]:
    costs = facts.of(economics.SECTION)
    return {} if isinstance(costs, Unknown) else {key: one.name for key, one in costs.formats.items()}


def _promise(one: PromiseCheck, names: Mapping[str, str]) -> str:
    """A promise that odds or copies contradict, with both numbers."""
    return (
        f"For {names.get(one.format, one.format)} the maker promises {one.promise}; the "
        f"{'print runs work' if one.against == 'copies' else f'{one.against} work'} out to "
        f"{tenths.fixed(one.implied)}."
    )


def _made(formats: Mapping[str, FormatPacks], names: Mapping[str, str]) -> list[str]:
    """The packs of each format of which it is known."""
    told: list[str] = []
    for key, one in formats.items():
        packs = one.packs
        if packs.estimate is None:
            continue
        words = f"point to about {tenths.about(packs.estimate)} {names.get(key, key)} packs"
        if one.boxes is not None:
            words += f", or {tenths.about(one.boxes)} boxes"
        if packs.low is not None and packs.high is not None and packs.low != packs.high:
            words += f" (between {packs.low:,} and {packs.high:,} packs)"
        told.append(f"They also {words}." if told else f"Print runs and odds {words}.")
    return told


def _name(one: OddsAside) -> str:
    return f"{one.subset} {one.parallel}".strip()


def misfit(one: OddsAside) -> str:
    """Odds that do not fit the others, with both."""
    stated = f"{said.sentence(_name(one))} is stated at 1 in {tenths.plain(one.stated)} packs"
    if not one.implied:
        return f"{stated}, which does not fit the other odds and is left out"
    other = f"1 in {tenths.half_up(Fraction(one.implied)):,}"
    return f"{stated}, but the other odds make it {other}, so the stated odds are left out"
