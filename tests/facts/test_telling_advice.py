"""What a host says of advice: who gets the same is named together, and the price has one sentence."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

from rating.facts.advice import tell as telling_advice
from rating.facts.advice.value import Advice, AimAdvice, PriceAdvice
from rating.facts.plain import Unknown, as_text_values

ONE = AimAdvice(
    aim="set builder",
    buy="box",
    format="hobby",
    of="box",
    boxes=2,
    price=Decimal(8),
    below=Decimal(9),
    why="Two.",
)
PRICE = PriceAdvice(
    format="hobby", price=None, below=Decimal(75), sentence="A sensible Hobby box under 75.00."
)
FACTS = SimpleNamespace(economics=Unknown("not asked"))


def other(aim, buy):
    """An entry without a price."""
    return replace(ONE, aim=aim, buy=buy, boxes=None)


def test_who_gets_the_same_is_named_together():
    """What is not known comes last."""
    aims = (
        other("rookie hunter", "not known"),
        ONE,
        other("break buyer", "wait"),
        other("casual opener", "wait"),
        other("autograph buyer", "box"),
    )
    assert telling_advice.advice(Advice(aims=aims, price=PRICE), FACTS) == (
        "What to buy: 2 hobby boxes for the set builder; wait for the break buyer and the casual opener; "
        "hobby box for the autograph buyer; not known for the rookie hunter. A sensible Hobby box under "
        "75.00."
    )
    aims = (other("rookie hunter", "not known"),)
    assert telling_advice.advice(Advice(aims=aims, price=Unknown("there are no sales yet")), FACTS) == (
        "What to buy is not known for any aim. No sensible price is known: there are no sales yet."
    )


def test_the_kept_sentence_is_the_same():
    """From stored facts, whatever they hold."""
    kept = {"advice": as_text_values(Advice(aims=(ONE,), price=PRICE))}
    assert telling_advice.stored_price(kept) == telling_advice.price(PRICE)
    unknown = Unknown("there are no sales yet")
    told = "No sensible price is known: there are no sales yet."
    kept = {"advice": as_text_values(Advice(aims=(ONE,), price=unknown))}
    assert telling_advice.stored_price(kept) == told
    assert telling_advice.stored_price({"advice": as_text_values(unknown)}) == told
    assert telling_advice.stored_price({}) == ""
