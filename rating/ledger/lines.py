"""A ledger as lines of JSON: a header, then each rubric, all facts, each review and each note on a line.

What is written reads back byte for byte: each line is canonical JSON, and the texts in it are those stored.
The header says the head over the reviews that follow, as each export does.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from typing import Any

from rating import review as reviews
from rating.errors import RatingError
from rating.ledger import merkle, notes
from rating.ledger.merging import Content, Stored, heads_of

FORMAT = 1
LINE_LIMIT = 16 * 2**20
_DEPTH = 40
_TEXT = re.compile(r'"(?:[^"\\]|\\.)*"', re.DOTALL)


def written(content: Content, *, season_id: str) -> Iterator[str]:
    """The lines of a ledger, each with its end."""
    plain = [json.loads(one.body) for one in content.reviews]
    header = {
        "format": FORMAT,
        "head": merkle.head(season_id, [one.id for one in content.reviews]),
        "heads": list(heads_of(plain)),
        "ledger": "boxwright",
        "reviews": len(plain),
        "season_id": season_id,
    }
    if content.notes:
        header["notes"] = len(content.notes)
    yield reviews.canonical(header) + "\n"
    for kind, texts in (("rubric", content.rubrics), ("facts", content.facts)):
        for _, body in sorted(texts.items()):
            yield f'{{"{kind}":{body}}}\n'
    for one in content.reviews:
        yield f'{{"review":{one.body}}}\n'
    for one in content.notes:
        yield f'{{"note":{one.body}}}\n'


def read(lines: Iterable[bytes], *, file: str) -> tuple[Content, str]:
    """The content that lines hold, and the id of its season.

    Raises
    ------
    RatingError
        if a line is too long, too deep, not canonical, of another kind, or something it names is missing
    """
    rubrics: dict[str, str] = {}
    facts: dict[str, str] = {}
    found: list[Stored] = []
    noted: list[Stored] = []
    known: set[str] = set()
    header: dict[str, Any] = {}
    for number, line in enumerate(lines, start=1):
        name, body, plain = _parted(line, number, file)
        if number == 1:
            header = plain
            if name or plain.get("ledger") != "boxwright" or plain.get("format") != FORMAT:
                raise _bad(file, 1, "it is not the header of an exported ledger")
        elif name == "review":
            if wrong := reviews.misfit(plain):
                raise _bad(file, number, wrong)
            if plain["rubric"] not in rubrics or plain["facts"] not in facts:
                raise _bad(file, number, "its rubric or its facts are not in the lines before it")
            found.append(Stored(reviews.hash_of(body), body))
            known.add(found[-1].id)
        elif name == "note":
            if wrong := notes.misfit(plain):
                raise _bad(file, number, wrong)
            if plain["review"] not in known:
                raise _bad(file, number, "the review that it is about is not in the lines before it")
            noted.append(Stored(reviews.hash_of(body), body))
        elif name in {"rubric", "facts"}:
            (rubrics if name == "rubric" else facts)[reviews.hash_of(body)] = body
        else:
            raise _bad(file, number, "it is neither a rubric nor facts, a review or a note")
    ends = list(heads_of(json.loads(one.body) for one in found))
    counted = (header.get("reviews"), header.get("notes", 0))
    if not header or counted != (len(found), len(noted)) or header.get("heads") != ends:
        held = (
            f"{len(found)} reviews and {len(noted)} notes" if noted or counted[1] else f"{len(found)} reviews"
        )
        raise RatingError(
            f"the file was cut short: it holds {held}, and not those that it begins to tell of",
            where=file,
            fix="export the ledger again",
        )
    season_id = str(header.get("season_id", ""))
    told = header.get("head")  # lines of before there was one have none
    if told is not None and told != merkle.head(season_id, [one.id for one in found]):
        raise _bad(file, 1, "its head is not that of the reviews that follow")
    return Content(rubrics, facts, tuple(found), tuple(noted)), season_id


def _parted(line: bytes, number: int, file: str) -> tuple[str, str, dict[str, Any]]:
    """What a line holds: its kind ('' for the header), the text as it is stored, and that in plain form."""
    if len(line) > LINE_LIMIT:
        raise _bad(file, number, f"it has more than {LINE_LIMIT:,} bytes")
    try:
        told = line.decode("utf-8").removesuffix("\n")
        if _depth(told) > _DEPTH:
            raise _bad(file, number, f"it goes deeper than {_DEPTH} levels")
        plain = json.loads(told)
        is_canonical = isinstance(plain, dict) and reviews.canonical(plain) == told
    except (ValueError, RecursionError) as fault:
        raise _bad(file, number, f"it cannot be read: {fault}") from fault
    if not is_canonical:
        raise _bad(file, number, "it is not canonical JSON, such as one with a key twice")
    if len(plain) != 1:
        return "", told, plain
    ((name, inner),) = plain.items()
    if not isinstance(inner, dict):
        raise _bad(file, number, "it holds no object")
    return name, told[len(name) + 4 : -1], inner


def _depth(told: str) -> int:
    """How deep brackets go at most, those inside of texts apart."""
    deep = most = 0
    for mark in _TEXT.sub("", told):
        if mark in "[{":
            deep += 1
            most = max(most, deep)
        elif mark in "]}":
            deep -= 1
    return most


def _bad(file: str, number: int, why: str) -> RatingError:
    return RatingError(
        f"line {number} is not a line of an exported ledger: {why}", where=file, fix="export it again"
    )
