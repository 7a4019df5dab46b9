"""The answers of `ledger prove` and `ledger check`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from rating.answers import parts
from rating.ledger import proof
from rating.ledger.proof import Told
from rating.season.proving import Checked


def proved(written: str, told: Told) -> dict[str, Any]:
    """A proof that was written."""
    return {"written": written, **_held(told)}


def script(text: str) -> dict[str, Any]:
    """The script that checks a proof with Python alone."""
    return {"script": text}


def checked(found: Sequence[Checked]) -> dict[str, Any]:
    """What proofs show."""
    return {
        "proofs": [
            {
                "file": one.file,
                **_held(one.told),
                **{question.replace(" ", "_"): answer for question, answer in one.answers.items()},
            }
            for one in found
        ]
    }


def _held(told: Told) -> dict[str, Any]:
    review, earlier = told["review"], told["earlier"]
    return {
        "release": review["release"],
        "title": review["title"],
        "grade": parts.points(review["grade"]),
        "stage": review["stage"],
        "published_on": review["published_on"],
        "review": proof.identity(told),
        "place": told["index"] + 1,
        "reviews": told["reviews"],
        "head": told["head"],
        "earlier": earlier and {"head": earlier["head"], "reviews": earlier["reviews"]},
        "signed_by": sorted(told["signatures"]),
    }
