"""The review: one recorded grading of one release, its canonical form and its id.

The canonical form is JSON with sorted keys, no blanks, NFC text, and nothing but text, whole numbers, true,
false, null, lists and objects, so that it equals RFC 8785. The id is the SHA-256 of its bytes. A hash shows
that a review is unaltered; it does not show who wrote it, or when.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from dataclasses import MISSING, dataclass, fields
from datetime import UTC, date, datetime
from functools import lru_cache
from typing import Any

from rating.errors import RatingError

FORMAT = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """One score of a review, 0 to 100, with its reason; `measure` is decimal text, '' where there is none.

    `computed_score` is what the module computed where a person overruled it, `computed_spread` its doubt.
    Spreads are in points.
    """

    criterion: str
    score: int
    basis: str
    reason: str
    spread: int
    computed_score: int | None = None
    measure: str = ""
    module: str = ""
    module_hash: str = ""
    rater: str = ""
    computed_spread: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Unscored:
    """A criterion without a score, and why: it does not apply, or it is not known yet."""

    criterion: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedDisclosure:
    """How the reviewer came by the product, as it is printed with the review."""

    how_obtained: tuple[str, ...]
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceAdvice:
    """The amounts that go with a verdict; decimal text, None where not known, shares from 0 to 1.

    price, landed
        what a box of the format that is graded goes for, and what it costs with shipping, duty and tax
    even_price
        the price that half of all boxes return
    entertainment_price
        the price below which it is fair as entertainment
    mean, p_return, p_return_landed
        what a box is expected to return, and the chances that it returns its price and what it costs landed
    mean_low, mean_high, p_return_low, p_return_high
        between which that mean lies nine times in ten, and the chances to return the price at its ends; None
        where nothing says so
    as_of, values_as_of
        the last day that the amounts rest on, and that as of which cards are valued, ISO
    is_carried
        whether what a box returns rests on prices carried over from other releases
    still
        for whom boxes are the way to go though the price says wait, and which: 'you build the set with Retail
        boxes'
    """

    price: str | None = None
    landed: str | None = None
    even_price: str | None = None
    entertainment_price: str | None = None
    mean: str | None = None
    p_return: str | None = None
    p_return_landed: str | None = None
    as_of: str | None = None
    is_carried: bool = False
    still: tuple[str, ...] = ()
    mean_low: str | None = None
    mean_high: str | None = None
    p_return_low: str | None = None
    p_return_high: str | None = None
    values_as_of: str | None = None


# the quantiles that are foretold, in per cent
FORETOLD_LEVELS = (5, 25, 50, 75, 95)


@dataclass(frozen=True, slots=True, kw_only=True)
class KindPrices:
    """What a card of a kind was foretold to go for: decimal text at each of `FORETOLD_LEVELS`."""

    kind: str
    quantiles: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Foretold:
    """What a launch review foretold, for later sales to score: decimal text at each of `FORETOLD_LEVELS`.

    as_of
        the day of the prices, ISO
    prices
        what a sale of a card brings, by kind, before anything that selling costs
    box
        what a single box of the format that is graded returns, if cards are worth what is expected
    box_mean
        what such boxes return on average, by how sure the level of all prices is
    """

    as_of: str
    prices: tuple[KindPrices, ...]
    box: tuple[str, ...] = ()
    box_mean: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """A recorded grading. Grades are whole tenths; `log_price` is decimal text, '' without a price.

    `corrects` is the review that this one says was wrong, None for most. The ledger adds `supersedes`, the
    reviews it takes the place of, `heads` and `notes`, the reviews and notes that it follows.
    """

    season: str
    release: str
    title: str
    released_on: str
    price_class: str
    log_price: str
    product_format: str
    stage: str
    published_on: str
    recorded_at: str
    raters: tuple[str, ...]
    disclosure: PrintedDisclosure
    rubric: str
    scores: tuple[Score, ...]
    not_applicable: tuple[Unscored, ...]
    unknown: tuple[Unscored, ...]
    grade: int | None
    lowest: int | None
    highest: int | None
    facts: str
    supersedes: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    reason_for_change: str = ""
    withdrawn: bool = False
    price_advice: PriceAdvice | None = None
    season_id: str | None = None
    foretold: Foretold | None = None
    corrects: str | None = None
    notes: tuple[str, ...] | None = None

    @property
    def is_partial(self) -> bool:
        """Whether something that applies is unknown."""
        return bool(self.unknown)


# names in the file that cannot be names in Python, or read better there
_JSON_NAMES = {"price_class": "class"}
# when a review was written, why, and what it follows: no part of what it says of a release
_OF_THE_MOMENT = frozenset(
    {
        "corrects",
        "heads",
        "notes",
        "published_on",
        "reason_for_change",
        "recorded_at",
        "season_id",
        "supersedes",
    }
)
# what came later: left out where it has no value, so that the texts of older reviews stay as they are
_LATER = frozenset(
    {
        "computed_spread",
        "corrects",
        "foretold",
        "mean_high",
        "mean_low",
        "notes",
        "p_return_high",
        "p_return_low",
        "price_advice",
        "season_id",
        "values_as_of",
    }
)


def as_plain(review: Review) -> dict[str, Any]:
    """The review as the objects, lists, text and numbers of its JSON."""
    plain = {_JSON_NAMES.get(name, name): one for name, one in _held(review, _FIELDS).items()}
    plain["format"] = FORMAT
    plain["scores"] = sorted(plain["scores"], key=lambda one: one["criterion"])
    for name in ("not_applicable", "unknown"):
        plain[name] = sorted(plain[name], key=lambda one: one["criterion"])
    plain["supersedes"] = sorted(plain["supersedes"])
    plain["heads"] = sorted(plain["heads"])
    if "notes" in plain:
        plain["notes"] = sorted(plain["notes"])
    return plain


def canonical(value: Any) -> str:
    """The canonical JSON text of a plain value.

    Raises
    ------
    ValueError
        if it holds a float, a whole number that JSON readers cannot keep exactly, or a key that is no text
    """
    return json.dumps(_canonical(value), ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def text_of(review: Review) -> str:
    """The canonical text of a review."""
    return canonical(as_plain(review))


def hash_of(text: str) -> str:
    """The SHA-256 of a text, in hexadecimal: the id of a review whose canonical text it is."""
    return hashlib.sha256(text.encode()).hexdigest()


def from_text(text: str) -> Review:
    """The review that a canonical text holds.

    Raises
    ------
    RatingError
        if it is no review, or of a newer format
    """
    try:
        plain = json.loads(text)
        form = plain.pop("format")
        if form > FORMAT:
            raise RatingError(
                f"a review has format {form}, this program reads format {FORMAT}",
                fix="install a newer version of boxwright",
            )
        back = {ours: plain.pop(theirs) for theirs, ours in _OURS.items()}
        plain |= back
        plain["scores"] = tuple(Score(**one) for one in plain["scores"])
        for name in ("not_applicable", "unknown"):
            plain[name] = tuple(Unscored(**one) for one in plain[name])
        told = plain["disclosure"]
        plain["disclosure"] = PrintedDisclosure(
            how_obtained=tuple(told["how_obtained"]), sentence=told["sentence"]
        )
        if (priced := plain.get("price_advice")) is not None:
            plain["price_advice"] = PriceAdvice(**priced | {"still": tuple(priced["still"])})
        if (told := plain.get("foretold")) is not None:
            plain["foretold"] = _foretold(told)
        for name in ("raters", "supersedes", "heads"):
            plain[name] = tuple(plain[name])
        if plain.get("notes") is not None:
            plain["notes"] = tuple(plain["notes"])
        return Review(**plain)
    except (KeyError, TypeError, ValueError, AttributeError, RecursionError) as fault:
        raise RatingError(
            f"a stored text is not a review: {fault}", fix="run 'boxwright ledger verify' to see which"
        ) from fault


def misfit(plain: Any) -> str:
    """Why a parsed text cannot be a review, '' where it has all the parts of one and no others."""
    if not isinstance(plain, dict):
        return f"it is a {type(plain).__name__}"
    form = plain.get("format")
    if not isinstance(form, int):
        return "it says no format"
    if form > FORMAT:
        return f"a review has format {form}, this program reads format {FORMAT}"
    parts: list[tuple[Any, type]] = [(plain, Review), (plain.get("disclosure"), PrintedDisclosure)]
    if plain.get("price_advice") is not None:
        parts.append((plain["price_advice"], PriceAdvice))
    if (told := plain.get("foretold")) is not None:
        each = told.get("prices") if isinstance(told, dict) else None
        parts += [(told, Foretold), *((one, KindPrices) for one in (each if isinstance(each, list) else ()))]
    for name, kind in (("scores", Score), ("not_applicable", Unscored), ("unknown", Unscored)):
        listed = plain.get(name)
        if not isinstance(listed, list):
            return f"its {name} are not a list"
        parts += [(one, kind) for one in listed]
    for name in ("raters", "supersedes", "heads", *(["notes"] if "notes" in plain else [])):
        if not isinstance(plain.get(name), list) or not all(isinstance(one, str) for one in plain[name]):
            return f"its {name} are not a list of texts"
    return next((wrong for one, kind in parts if (wrong := _misfit(one, kind))), "")


def _misfit(part: Any, kind: type) -> str:
    if not isinstance(part, dict):
        return f"a {kind.__name__} is a {type(part).__name__}"
    return _odd_names(tuple(part), kind)


@lru_cache(maxsize=256)
def _odd_names(names: tuple[str, ...], kind: type) -> str:
    """Which names of a part are not its kind's, or are missing; nearly all parts have the same ones."""
    known, needed = _KNOWN[kind]
    found = set(names)
    odd = sorted((found - known) | (needed - found))
    return f"a {kind.__name__} has other parts: {', '.join(odd)}" if odd else ""


def _foretold(plain: dict[str, Any]) -> Foretold:
    prices = tuple(KindPrices(kind=one["kind"], quantiles=tuple(one["quantiles"])) for one in plain["prices"])
    means = {name: tuple(plain[name]) for name in ("box", "box_mean")}
    return Foretold(as_of=plain["as_of"], prices=prices, **means)


def same_judgement(first: Review, second: Review) -> bool:
    """Whether two reviews say the same: all but when they were written and what they follow."""
    one, other = as_plain(first), as_plain(second)
    return all(one.get(name) == other.get(name) for name in {*one, *other} - _OF_THE_MOMENT)


def stamp(now: datetime) -> str:
    """A moment as reviews and what goes with them keep it: UTC, in whole seconds."""
    return now.astimezone(UTC).replace(microsecond=0).isoformat().replace("+00:00", "Z")


def day_of(review: Review) -> date:
    """The day a review was published."""
    return date.fromisoformat(review.published_on)


_FIELDS = tuple(field.name for field in fields(Review))
_KINDS = (Score, Unscored, PrintedDisclosure, PriceAdvice, KindPrices, Foretold)
_PARTS = {kind: tuple(field.name for field in fields(kind)) for kind in _KINDS}
# the names that a part may have in a stored text, and those that it must have
_KNOWN: dict[type, tuple[frozenset[str], frozenset[str]]] = {
    kind: (
        frozenset(names),
        frozenset(names - {field.name for field in fields(kind) if field.default is not MISSING}),
    )
    for kind, names in (
        (Review, {_JSON_NAMES.get(name, name) for name in _FIELDS} | {"format"}),
        *((kind, set(names)) for kind, names in _PARTS.items()),
    )
}
_OURS = {theirs: ours for ours, theirs in _JSON_NAMES.items()}


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    names = _PARTS.get(type(value))
    if names is None:
        return value
    return _held(value, names)


def _held(value: Any, names: tuple[str, ...]) -> dict[str, Any]:
    """The fields of a value in plain form, without those that came later and hold nothing."""
    held = {name: getattr(value, name) for name in names}
    return {name: _plain(one) for name, one in held.items() if one is not None or name not in _LATER}


def _canonical(value: Any) -> Any:
    """A plain value with its text composed; what has no place in a canonical text is refused."""
    kind = type(value)
    if kind is str:
        return value if value.isascii() else unicodedata.normalize("NFC", value)
    if value is None or kind is bool:
        return value
    if kind is int:
        if abs(value) >= 2**53:
            raise ValueError(f"{value} is too large for every JSON reader to keep")
        return value
    if kind is dict:
        found = {_canonical_key(name): _canonical(one) for name, one in value.items()}
        if len(found) < len(value):
            raise ValueError(f"a key stands twice in another form in {sorted(found)}")
        return found
    if kind in {list, tuple}:
        return [_canonical(one) for one in value]
    raise ValueError(f"{kind.__name__} has no place in a canonical text: {value!r}")


def _canonical_key(name: Any) -> str:
    if type(name) is not str:
        raise ValueError(f"a key must be plain text, got {name!r}")
    if name.isascii():
        return name
    key = unicodedata.normalize("NFC", name)
    # RFC 8785 sorts by UTF-16 units, which is the order of code points for all keys we use
    if max(key) > "\uffff":
        raise ValueError(f"a key must be plain text, got {name!r}")
    return key
