"""The proof of a published grade: one file that a stranger checks offline, with `check_proof` alone.

It holds the review, its rubric, the review's place in the Merkle tree of all reviews, and the head, as
canonical JSON and a line's end; where there are some, an earlier head that this one goes on from, and
signatures of the head by name.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from importlib import resources
from typing import Any

from rating import review as reviews
from rating.errors import RatingError
from rating.ledger import check_proof, merkle

LIMIT = 16384
# what a signature is for, as OpenSSH keeps it apart from all others
NAMESPACE = "boxwright"
_LEAST_LETTERS = 12
_HEAD = re.compile(rf"[0-9a-f]{{{_LEAST_LETTERS},64}}", re.ASCII)
_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._@+-]{0,63}", re.ASCII)

Told = dict[str, Any]


def told_of(body: str, rubric: str, ids: Sequence[str], *, season_id: str, since: str = "") -> Told:
    """The proof of a review in a ledger, not signed.

    Parameters
    ----------
    body, rubric : the canonical texts of the review, and of the rubric it was graded by
    ids : all reviews of the ledger, in the order they were added
    since : an earlier head of this ledger, or its first letters, '' for none

    Raises
    ------
    RatingError
        if the ledger never had the earlier head
    """
    tree = merkle.tree_of(ids)
    index = ids.index(reviews.hash_of(body))
    return {
        "boxwright": "proof of a grade",
        "earlier": _earlier(since, season_id, ids, tree) if since else None,
        "format": 1,
        "head": check_proof.head_of(season_id, tree.size, tree.root),
        "index": index,
        "path": [one.hex() for one in tree.inclusion(index)],
        "review": json.loads(body),
        "reviews": tree.size,
        "rubric": json.loads(rubric),
        "season_id": season_id,
        "signatures": {},
    }


def _earlier(since: str, season_id: str, ids: Sequence[str], tree: merkle.Tree) -> Told | None:
    told = since.strip().lower()
    size = merkle.size_under(told, season_id, ids) if _HEAD.fullmatch(told) else None
    if size is None:
        raise RatingError(
            f"the ledger never had the head {since[:64]!r}",
            where="--since",
            fix=f"copy it from an older export, at least its first {_LEAST_LETTERS} letters",
        )
    if size == tree.size:
        return None
    return {
        "head": merkle.head(season_id, ids[:size]),
        "path": [one.hex() for one in tree.consistency(size)],
        "reviews": size,
    }


def identity(told: Told) -> str:
    """The id of the review in a proof."""
    return reviews.hash_of(reviews.canonical(told["review"]))


def is_held(told: Told, ids: Sequence[str], season_id: str) -> bool:
    """Whether a ledger begins with the reviews that the head of a proof stands for."""
    size: int = told["reviews"]
    return len(ids) >= size and merkle.head(season_id, ids[:size]) == str(told["head"])


def to_sign(told: Told, name: str) -> str:
    """What somebody signs under a name: the head and that name.

    Raises
    ------
    RatingError
        if OpenSSH could not take the name for one
    """
    if not _NAME.fullmatch(name):
        raise RatingError(
            f"{name[:64]!r} is not a name to sign under",
            fix="write letters and digits alone, as in the file of allowed signers",
        )
    return f"{told['head']} {name}"


def with_signature(told: Told, name: str, armoured: str) -> Told:
    """The proof with a signature beside those it has; `armoured` as ssh-keygen writes it."""
    blob = "".join(line.strip() for line in armoured.splitlines() if not line.startswith("-----"))
    return told | {"signatures": told["signatures"] | {name: blob}}


def as_file(told: Told) -> bytes:
    """The bytes of a proof.

    Raises
    ------
    RatingError
        if they are more than are checked, or the review's grade does not follow from its scores
    """
    content = f"{reviews.canonical(told)}\n".encode()
    slug = str(told["review"]["release"])
    if len(content) > LIMIT:
        raise RatingError(
            f"the proof would have {len(content):,} bytes, and no more than {LIMIT:,} are checked",
            where=slug,
            fix="record a review with shorter reasons",
        )
    read(content, where=slug)
    return content


def read(content: bytes, *, where: str) -> Told:
    """The proof that a file holds, checked.

    Raises
    ------
    RatingError
        if it is none, was cut or altered, or its grade does not follow from its scores
    """
    if len(content) > LIMIT:
        raise _none(where, f"it has {len(content):,} bytes, and a proof has {LIMIT:,} at most")
    try:
        return check_proof.read(content)
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as fault:
        why = str(fault) if type(fault) is ValueError else "it was cut or altered, or is something else"
        raise _none(where, why) from fault
    except (RecursionError, StopIteration) as fault:
        raise _none(where, "it was cut or altered, or is something else") from fault


def answers(told: Told, heads: Sequence[str], signers: str, *, where: str) -> dict[str, str]:
    """What a proof shows: of 'what', 'who', 'when' and 'one history' each 'shown', 'not shown' or unchecked.

    Parameters
    ----------
    heads : heads that somebody else published, whole
    signers : the path of a file of allowed signers, '' for none

    Raises
    ------
    RatingError
        if none of the heads is in it, or a signature is of something else or by a key that is not allowed
    """
    try:
        return check_proof.answers(told, list(heads), signers)
    except ValueError as fault:
        raise _none(where, str(fault)) from fault


def one_history(proofs: Mapping[str, Told]) -> None:
    """See that proofs of one season, by where they stand, do not tell of two histories.

    Raises
    ------
    RatingError
        if two of them have as many reviews and other heads
    """
    found: dict[tuple[str, int], tuple[str, str]] = {}
    for where, told in proofs.items():
        for one in (told, told["earlier"]):
            if one is None:
                continue
            place, head = found.setdefault((told["season_id"], one["reviews"]), (where, one["head"]))
            if head != one["head"]:
                raise RatingError(
                    f"this and {place} tell of two histories: {one['reviews']} reviews, and two heads",
                    where=where,
                    fix="ask the reviewer which ledger they keep, and which copy went another way",
                )


def heads_of(told: Told) -> tuple[str, ...]:
    """The head of a proof, and the older one that it goes on from, where there is one."""
    return (told["head"], *([told["earlier"]["head"]] if told["earlier"] else []))


def held_heads(heads: Sequence[str], proofs: Mapping[str, Told]) -> list[str]:
    """Heads as a person gives them, each found in one of some proofs.

    Raises
    ------
    RatingError
        if one is no head, or in none of them
    """
    known = {head for told in proofs.values() for head in heads_of(told)}
    found = [head.strip().lower() for head in heads]
    for head in found:
        if head not in known:
            raise RatingError(
                f"the head {head[:64]!r} is not in {'this file' if len(proofs) == 1 else 'these files'}",
                where="--head",
                fix="give all 64 letters; of another day, ask for a proof made with '--since' and that head",
            )
    return found


def _none(where: str, why: str) -> RatingError:
    return RatingError(f"this proof is refused: {why}", where=where, fix="ask for the file as it was made")


def script() -> str:
    """The text of the script that checks a proof with Python alone."""
    return resources.files("rating.ledger").joinpath("check_proof.py").read_text(encoding="utf-8")
