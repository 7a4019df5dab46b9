"""What a host says of advice: who gets the same is named together, and the price has one sentence."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from rating.facts.advice.tell import lead, price, told
from rating.facts.advice.value import Advice, AimAdvice, PriceAdvice
from rating.facts.facts import Facts
from rating.facts.plain import Unknown, as_text_values
from rating.facts.stored import NOT_KEPT, loaded

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
FACTS = Facts()


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
        other("singles buyer", "singles"),
    )
    assert told(Advice(aims=aims, price=PRICE), FACTS) == (
        "Set builders: 2 hobby boxes. Break buyers and casual openers: wait. Autograph buyers: a hobby box. "
        "Singles buyers: go ahead. Rookie hunters: can't say yet. A sensible Hobby box under 75.00."
    )
    # boxes that leave a part of the set to singles say so, and nobody is told of a slot without its break
    aims = (replace(ONE, then="singles"), replace(other("break buyer", "slot"), of="slot"))
    assert lead(Advice(aims=aims, price=PRICE), FACTS) == (
        "Set builders: 2 hobby boxes, then singles. Break buyers: a slot in a hobby break."
    )
    aims = (other("rookie hunter", "not known"),)
    assert told(Advice(aims=aims, price=Unknown("there are no sales yet")), FACTS) == (
        "It is too early to say what to buy. There is no fair price to name yet. There are no sales yet."
    )


def kept(section):
    """The facts of a review that kept a section on advice, or none at all."""
    return loaded({} if section is None else {"advice": as_text_values(section)}, None)


def test_the_kept_sentence_is_the_same():
    """From stored facts, whatever they hold."""
    assert price(kept(Advice(aims=(ONE,), price=PRICE)).advice) == PRICE.sentence
    unknown = Unknown("there are no sales yet")
    words = "There is no fair price to name yet. There are no sales yet."
    assert price(kept(Advice(aims=(ONE,), price=unknown)).advice) == words
    assert price(kept(unknown).advice) == words
    assert kept(None).advice == NOT_KEPT
