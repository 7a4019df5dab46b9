"""A set of cards in words: a team, a subject, a subset, a parallel, a kind, rookies, print runs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from rating import text
from rating.errors import RatingError
from rating.facts.falling import names
from rating.facts.falling.lines import CardLine
from rating.facts.falling.outlook import Printing, printings, shares
from rating.release.checklist import KINDS

KEYS = ("team", "subject", "subset", "parallel", "kind", "rookie", "numbered")
KIND_WORDS = (*KINDS, "hit")
BASE_VERSION = "base"
Test = Callable[[Printing], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardSet:
    """A set of cards: what it is called, its share of each line, and how many cards in how many versions.

    `remark` says why there are none, where there are none.
    """

    name: str
    shares: Mapping[int, float]
    cards: int
    versions: int
    remark: str = ""


def card_set(
    given: Sequence[str], lines: Sequence[CardLine], *, teams: Sequence[str] = (), aliases: Mapping[str, str]
) -> CardSet:
    """The cards that words such as 'team=Kelderby Rooks' and 'kind=autograph' name.

    Words of one key are alternatives; of different keys, all must hold. A parallel 'base' is the base
    version; numbered=25 is to 25 or fewer copies.

    Parameters
    ----------
    teams, aliases : the season's teams, and every known spelling to the compared form of a team's name

    Raises
    ------
    rating.errors.RatingError
        for a key that is none, and for a name or word that the release does not know
    """
    name, is_wanted = card_test(given, lines, teams=teams, aliases=aliases)
    picked = [one.card for line in lines for one in printings(line) if is_wanted(one)]
    return CardSet(
        name=name,
        shares=shares(lines, is_wanted),
        cards=len(set(picked)),
        versions=len(picked),
        remark="" if picked else f"no card in it is of this: {name}",
    )


def card_test(
    given: Sequence[str],
    lines: Sequence[CardLine],
    *,
    teams: Sequence[str] = (),
    aliases: Mapping[str, str],
    where: str = "--of",
) -> tuple[str, Test]:
    """What the cards that words name are called, and whether a card in a version is one of them.

    Parameters
    ----------
    where : the option that the words come from, for what is said of them; see `card_set` for the rest
    """
    asked: dict[str, list[str]] = {}
    for one in given:
        key, sign, value = (part.strip() for part in one.partition("="))
        if key not in KEYS or not sign or not value:
            raise RatingError(
                f"{text.printable(one)!r} does not say which cards",
                where=where,
                fix=f"write it as team=NAME, with one of {', '.join(KEYS)}",
            )
        asked.setdefault(key, []).append(value)
    tests: list[Test] = []
    told: list[str] = []
    for key, values in asked.items():
        try:
            found = [_test(key, value, lines, teams, aliases) for value in values]
        except RatingError as fault:
            raise RatingError(fault.what, where=f"{where} {key}", fix=fault.fix) from None
        tests.append(_any([test for test, _ in found]))
        told.append(text.listed([words for _, words in found], "or"))

    def is_wanted(one: Printing) -> bool:
        return all(test(one) for test in tests)

    return ", ".join(told) or "all cards", is_wanted


def _any(tests: Sequence[Test]) -> Test:
    return lambda one: any(test(one) for test in tests)


def _test(
    key: str, value: str, lines: Sequence[CardLine], teams: Sequence[str], aliases: Mapping[str, str]
) -> tuple[Test, str]:
    """The test that a word stands for, and the word as it is told."""
    if key == "team":
        return _team(value, lines, teams, aliases)
    if key == "subject":
        return _subject(value, lines)
    if key == "subset":
        named = _known(value, [line.subset for line in lines], "subset")
        return lambda one: text.key(one.line.subset) == text.key(named), named
    if key == "parallel":
        named = _known(value, [line.parallel or BASE_VERSION for line in lines], "parallel")
        return lambda one: text.key(one.line.parallel or BASE_VERSION) == text.key(named), named
    if key == "kind":
        named = _known(value, KIND_WORDS, "kind")
        return _kind(named), named
    if key == "rookie":
        wanted = _known(value, ("yes", "no"), "answer") == "yes"
        return lambda one: one.card.rookie == wanted, "rookies" if wanted else "no rookies"
    return _numbered(value)


def _kind(named: str) -> Test:
    if named == "hit":
        return lambda one: one.card.is_hit
    if named == "autograph":
        return lambda one: one.card.has_signature
    if named == "relic":
        return lambda one: "relic" in one.card.kind
    return lambda one: one.card.kind == named


def _numbered(value: str) -> tuple[Test, str]:
    if value == "yes":
        return lambda one: one.run is not None, "numbered"
    if not (value.isascii() and value.isdigit() and 0 < len(value) < 8 and int(value)):
        raise RatingError(
            f"{text.printable(value)!r} is not a print run",
            fix="write yes, or a number such as 25",
        )
    most = int(value)
    return lambda one: one.run is not None and one.run <= most, f"numbered to {most} or fewer"


def _team(
    value: str, lines: Sequence[CardLine], teams: Sequence[str], aliases: Mapping[str, str]
) -> tuple[Test, str]:
    def same(name: str) -> str:
        return aliases.get(text.key(name), text.key(name))

    known = dict.fromkeys([*teams, *(team for line in lines for card in line.cards for team in card.teams)])
    named = next((team for team in known if same(team) == same(value)), "")
    if not named:
        named = _meant(value, list(known), "team")
    return lambda one: any(same(team) == same(named) for team in one.card.teams), named


def _subject(value: str, lines: Sequence[CardLine]) -> tuple[Test, str]:
    known = dict.fromkeys(subject for line in lines for card in line.cards for subject in card.subjects)
    named = _meant(value, list(known), "subject")
    person = names.words(named)
    return lambda one: any(names.words(name) == person for name in one.card.subjects), named


def _meant(value: str, known: Sequence[str], what: str) -> str:
    match = names.look_up(value, known)
    if match.names:
        return match.names[0]
    shown = text.printable(value)
    if match.candidates:
        raise RatingError(
            f"{shown!r} may be one of several",
            fix=f"write {text.listed(match.candidates, 'or')}",
        )
    raise RatingError(
        f"no card in it has the {what} {shown!r}",
        fix="look at the spelling in checklist.csv",
    )


def _known(value: str, words: Sequence[str], what: str) -> str:
    known = list(dict.fromkeys(words))
    for one in known:
        if text.key(one) == text.key(value):
            return one
    raise RatingError(
        f"there is no {what} {text.printable(value)!r} in it",
        fix=f"write one of {', '.join(known[:12])}" + (", …" if len(known) > 12 else ""),
    )
