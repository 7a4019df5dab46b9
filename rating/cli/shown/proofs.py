"""What `ledger check` prints of a proof: the grade, and four answers, each apart."""

from __future__ import annotations

from rating import tenths, text
from rating.cli.shared import printing
from rating.export import notices
from rating.ledger.proof import Told
from rating.season.proving import Checked


def show(one: Checked) -> None:
    """Print what a proof shows and what it does not."""
    told, review = one.told, one.told["review"]
    grade = "no grade" if review["grade"] is None else f"grade {tenths.show(review['grade'])}"
    gone = " It is withdrawn." if review["withdrawn"] else ""
    printing.paragraph(
        f"{review['title']}: {grade}, stage {review['stage']}, dated {review['published_on']}.{gone}"
    )
    printing.paragraph(notices.disclosure(**review["disclosure"]))
    printing.say()
    for question, tell in _TELLS.items():
        state = one.answers[question]
        printing.labelled(question.capitalize(), f"{state}: {tell(told, state)}.", room=13)
    printing.labelled("Head", told["head"], room=13)
    printing.say()
    printing.paragraph(
        "None of this shows that a score is deserved, or that no later review has replaced this one."
    )


def _what(told: Told, _: str) -> str:
    number = text.count(len(told["review"]["scores"]), "score")
    return (
        f"the review is unaltered, its grade follows from its {number} and its rubric, and it is number "
        f"{told['index'] + 1} of the {text.count(told['reviews'], 'review')} in the ledger of this head"
    )


def _who(told: Told, state: str) -> str:
    names = text.listed(sorted(told["signatures"]))
    if not names:
        return "nobody signed it"
    if state == "shown":
        return f"signed by {names}, with keys that you allow"
    if state == "not shown":
        return f"it is signed as {names}, but only a file given with --signers can tell whose key that is"
    return f"it is signed as {names}, but ssh-keygen is not installed"


def _when(_: Told, state: str) -> str:
    if state == "shown":
        return "the head was published where you found it, so the review is at least as old as that"
    return "look for a head that somebody else published that day, and name it with --head"


def _history(told: Told, state: str) -> str:
    earlier, names = told["earlier"], text.listed(sorted(told["signatures"]))
    if earlier and state == "shown":
        return (
            f"the {text.count(earlier['reviews'], 'review')} of the older head are the first of these "
            f"{told['reviews']:,}; none was altered or taken out"
        )
    if len(told["signatures"]) > 1:
        return (
            f"{names} signed the same head"
            if state == "shown"
            else f"it says that {names} signed the same head"
        )
    if earlier:
        return (
            f"it continues from {earlier['reviews']:,} reviews with the head {earlier['head']}; find that "
            "head where it was published, and name it with --head"
        )
    return "there is no older head in it, and no second signature"


_TELLS = {"what": _what, "who": _who, "when": _when, "one history": _history}
