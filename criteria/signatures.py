"""Autographs per 100 spent, who signs, on card or on stickers."""

from __future__ import annotations

from fractions import Fraction

from rating.criterion import (
    Content,
    Criterion,
    Economics,
    Facts,
    Finding,
    People,
    Unknown,
    amount,
    falls,
    fixed,
    percent,
    scale,
    spread_over,
)

# what a signature on a sticker, or of unknown kind, counts against one on the card itself
STICKER = Fraction(7, 10)
NOT_SAID = Fraction(85, 100)
# signers of typical demand count whole, those nobody wants half, those everybody wants half as much again
HALF = Fraction(1, 2)


def find(facts: Facts) -> Finding | Unknown:
    """Autographs in 100 worth of boxes of the headline format, stickers counted at seven tenths.

    Where demand is known, they count by how much their signers are wanted.
    """
    economics, content = facts.economics, facts.content
    if not isinstance(economics, Economics):
        return economics
    if not isinstance(content, Content):
        return content
    main = economics.main
    if not content.has_signatures:
        return Finding(
            measure=Fraction(0),
            evidence=("no card on the checklist is signed",),
            reason="Nobody signs in this release.",
            spread=0,
        )
    if main.autographs_per_box is None:
        return Unknown(f"neither guarantees nor odds say how many autographs a {main.name} box holds")
    if not main.box_price:
        return Unknown(f"there is no price for a {main.name} box yet")
    signed = content.signed_on_card + content.signed_on_stickers + content.signed_unknown
    quality = (
        content.signed_on_card + STICKER * content.signed_on_stickers + NOT_SAID * content.signed_unknown
    ) / Fraction(signed)
    per_hundred = Fraction(main.autographs_per_box) * 100 / Fraction(main.box_price)
    wanted = Fraction(1)
    if isinstance(facts.people, People) and facts.people.signer_demand is not None:
        wanted = HALF + Fraction(facts.people.signer_demand) / 100
    by_packing = falls(facts, lambda line: line.has_signature)
    limits = {per_hundred, per_hundred if by_packing is None else by_packing * 100 / Fraction(main.box_price)}
    said = content.signed_on_card + content.signed_on_stickers
    if content.signed_on_card == signed:
        manner = ", all signed on the card"
    elif content.signed_on_stickers == signed:
        manner = ", all signed on stickers"
    elif not said:
        manner = "; the checklist does not say whether on the card or on stickers"
    else:
        of = "those on the checklist" if said == signed else f"the {said} of which the checklist says how"
        manner = f". Of {of}, {percent(Fraction(content.signed_on_card, said))} % are signed on the card"
    count = fixed(main.autographs_per_box, 2)
    return Finding(
        measure=per_hundred * quality * wanted,
        evidence=(
            f"autographs in a box: {count} ({main.counts_from})",
            f"box price: {amount(main.box_price, facts)} ({main.price_kind})",
            (
                f"autographs on the card: {content.signed_on_card}, on stickers: "
                f"{content.signed_on_stickers}, not stated: {content.signed_unknown}; "
                f"people who sign: {content.signers}"
            ),
            *_evidence(facts, by_packing),
        ),
        reason=(
            f"{amount(100, facts, whole=True)}, before tax and shipping, gets you "
            f"{_autographs(per_hundred)}{manner}. "
            f"{_signers(content.signers)}{_who(facts, content.signers)}."
        ),
        spread=spread_over(
            SCALE,
            *(limit * quality * wanted for limit in limits),
            least=8 if "odds" in main.counts_from else 6,
        ),
    )


def _autographs(number: Fraction) -> str:
    shown = fixed(number, 1)
    return f"{shown} autograph{'' if shown == '1.0' else 's'}"


def _signers(number: int) -> str:
    return f"{number} different people sign" if number > 1 else "Only one person signs"


def _evidence(facts: Facts, by_packing: Fraction | None) -> tuple[str, ...]:
    found = []
    if by_packing is not None:
        found.append(f"autographs in a box, worked out from packing and odds: {fixed(by_packing, 2)}")
    if isinstance(facts.people, People) and facts.people.signer_demand is not None:
        found.append(
            f"average demand for signers: {fixed(facts.people.signer_demand, 0)} out of 100; 50 is typical"
        )
    else:
        found.append("how much the signers are wanted is not known")
    return tuple(found)


def _who(facts: Facts, signers: int) -> str:
    """How much the signers are wanted, where somebody knows."""
    if not isinstance(facts.people, People) or facts.people.signer_demand is None:
        return ""
    demand = facts.people.signer_demand
    manner = (
        "more wanted than the typical player"
        if demand > 60
        else "less wanted than the typical player"
        if demand < 40
        else "about as wanted as the typical player"
    )
    return f"; {'they are' if signers > 1 else 'the signer is'} {manner}"


SCALE = scale(
    "logarithmic",
    "autographs per 100 spent, weighted by who signs and how",
    ("0.15", 0),
    ("1.2", 50),
    (6, 100),
)
CRITERION = Criterion(
    key="signatures",
    group="hits",
    question="How many autographs do you get for 100 spent, who signs, and on card or on stickers?",
    scale=SCALE,
    guidance=(
        "practically no autographs for the money",
        "few autographs, mostly stickers of players at the edge of the squad",
        "about one good autograph for 100 spent",
        "two or three for 100 spent, many on card",
        "five or more for 100 spent, on card, with names people know",
    ),
    needs=("economics", "content"),
    find=find,
)
