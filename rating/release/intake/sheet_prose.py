"""Sell sheets in prose: packing, prices, promises and dates found with the words they came from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import days, ladder, words
from rating.release.intake.account import Account
from rating.release.intake.values import FormatWords, Grid, Proposal, SeasonWords

_COUNTS = {
    "a": 1, "an": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9,
    "ten": 10, "eleven": 11, "twelve": 12, "fourteen": 14, "sixteen": 16, "eighteen": 18, "twenty": 20,
    "twenty-four": 24,
}  # fmt: skip
_N = r"(?P<{0}>\d{{1,4}}(?:\.\d+)?|" + "|".join(sorted(_COUNTS, key=len, reverse=True)) + ")"
_COUNT = _N.format("n")
_PER = r"(?:per|in (?:a|an|each|every|the)|to (?:a|the|each)|a|each|every|/)"
_UNITS = {"pack": r"packs?", "box": r"box(?:es)?", "case": r"cases?"}
_PACKING = (
    ("cards_per_pack", re.compile(
        rf"\b{_COUNT}[\s-]*cards?\s*{_PER}\s*packs?\b|\bpacks? of {_N.format('m')}(?: cards)?\b"
        rf"|\b{_N.format('k')}-card packs?\b"
        , re.IGNORECASE)),
    ("packs_per_box", re.compile(
        rf"\b{_COUNT}[\s-]*packs?\s*{_PER}\s*box(?:es)?\b"
        rf"|\bbox(?:es)? of {_N.format('m')} packs\b|\b{_N.format('k')}-pack box(?:es)?\b"
        rf"|\b{_N.format('j')} packs of\b"
        , re.IGNORECASE)),
    ("boxes_per_case", re.compile(
        rf"\b{_COUNT}[\s-]*box(?:es)?\s*{_PER}\s*cases?\b"
        rf"|\bcases? of {_N.format('m')}(?: boxes)?\b|\b{_N.format('k')}-box cases?\b"
        , re.IGNORECASE)),
)  # fmt: skip
_PRICE = re.compile(
    r"(?P<money>(?:\b(?:US|CA|AU|NZ|C|A)\s?)?[$€£¥]\s?\d[\d.,' ]*\d|(?:\b(?:US|CA|AU|NZ|C"
    r"|A)\s?)?[$€£¥]\s?\d|\b\d[\d.,]*\s?(?:€|EUR|USD|GBP|CHF)\b)\s*(?:\(?(?:S?RP"
    r"|MSRP)\)?\s*)?"
    r"(?:a|per|each|/|for a|for each|an?)?\s*(?:hobby |retail |sealed )?(?P<unit>pack|box|case)\b",
    re.IGNORECASE,
)
_PRICE_AFTER = re.compile(
    r"\b(?P<unit>pack|box|case)(?:\s+(?:price|srp|msrp|list))?\s*(?::|=|at|for|is|-"
    r"|–)\s*(?P<money>[$€£]\s?\d[\d.,]*\d)",
    re.IGNORECASE,
)
_SHIPS = re.compile(
    r"\b(?:ships?|shipping|releases?d?|release date|in stores?|on sale|street date"
    r"|launch(?:es)?|available|arrives?|out)\b",
    re.IGNORECASE,
)
_BASE_SIZE = re.compile(
    r"\b(\d{2,4})[\s-]*cards?\s+base(?:\s+set)?\b|\bbase set\s*(?:of|:|has|contains|–|-)?\s*(\d{2,4})\b",
    re.IGNORECASE,
)
_AVERAGE = re.compile(
    r"\b(?:on average|average|averages|averaging|approximately|approx\.?|about|roughly|avg)\b|~",
    re.IGNORECASE,
)
_LOOSE = re.compile(
    r"\b(?:approximately|approx\.?|about|roughly|up to|may|rarely|some|select)\b|~", re.IGNORECASE
)
_WITHIN = re.compile(
    rf"\b(?:in|per|every|each|a|find)\s+(?:(?:each|every|per|a|an|one)\s+)?(?P<other>other"
    rf"|second|2nd|third|fourth|{_N.format('k')})?\s*(?:hobby |retail "
    rf"|sealed )?(?P<unit>packs?|box(?:es)?|cases?)\b",
    re.IGNORECASE,
)
_NOUNS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("autograph relic", re.compile(
        r"\b(?:auto(?:graph(?:ed)?)?s?|signed)\s+(?:relics?|patch(?:es)?|memorabilia"
        r"|jerseys?)\b|\b(?:relic|patch|jersey|memorabilia)\s+auto(?:graph)?s?\b"
        , re.IGNORECASE)),
    ("autograph", re.compile(r"\bauto(?:graph(?:ed)?)?s?\b|\bsignatures?\b|\bsigned\b", re.IGNORECASE)),
    (
        "relic",
        re.compile(
            r"\brelics?\b|\bmemorabilia\b|\bpatch(?:es)?\b|\bswatch(?:es)?\b|\bjerseys?\b", re.IGNORECASE
        ),
    ),
    ("hit", re.compile(r"\bhits?\b", re.IGNORECASE)),
    ("numbered", re.compile(r"\b(?:serial[\s-]*)?numbered\b|#['’]?d\b", re.IGNORECASE)),
    ("insert", re.compile(r"\binserts?\b", re.IGNORECASE)),
    ("parallel", re.compile(r"\bparallels?\b", re.IGNORECASE)),
    ("rookie", re.compile(r"\brookies?\b|\bRCs?\b", re.IGNORECASE)),
    ("base", re.compile(r"\bbase\b|\bbase cards?\b", re.IGNORECASE)),
)  # fmt: skip
_ALSO_AVERAGE = " (on average)"  # carried over from the start of the sentence
_ITEM = re.compile(
    rf"(?:at least |guaranteed |look for |find )?\b{_COUNT}\s+(?P<what>[^,;.:()\d]{{2,70}})", re.IGNORECASE
)


@dataclass(slots=True)
class Found:
    """What a sell sheet says, as proposals, with the base set's size and what else is worth saying."""

    proposals: list[Proposal] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    base_size: int | None = None


def is_sell_sheet(grid: Grid) -> bool:
    """Whether text speaks of how a product is packed and sold."""
    whole = "\n".join(row.text for row in grid.rows[:200])
    marks = sum(bool(pattern.search(whole)) for _, pattern in _PACKING)
    marks += bool(_PRICE.search(whole)) + bool(_BASE_SIZE.search(whole))
    return marks >= 2


def read(
    grid: Grid,
    season: SeasonWords,
    *,
    today: date,
    cards: Sequence[Card] = (),
    parallels: Sequence[Parallel] = (),
    formats: Sequence[FormatWords] = (),
) -> Found:
    """The proposals that a sell sheet holds."""
    return _Reader(grid, season, today, cards, parallels, formats).read()


class _Reader:
    def __init__(
        self,
        grid: Grid,
        season: SeasonWords,
        today: date,
        cards: Sequence[Card],
        parallels: Sequence[Parallel],
        formats: Sequence[FormatWords],
    ) -> None:
        self.grid, self.season, self.today = grid, season, today
        self.found = Found()
        self.kinds = {
            text.key(card.subset): (card.subset, card.kind) for card in cards if card.kind != "base"
        }
        self.ladder = {text.key(one.parallel): one.parallel for one in parallels}
        self.known = formats
        self.format = ""
        self.formats: list[str] = []
        self.released: date | None = None
        self.seen: set[str] = set()

    def read(self) -> Found:
        account = Account(self.grid, "sell sheet")
        self.found.accounts.append(account)
        for place, row in enumerate(self.grid.rows):
            line = row.text
            if place == 0 and not _PACKING[0][1].search(line) and len(line) < 100:
                self._propose("title", words.smart_case(line.strip(" .")), line, sure=False)
            rest = self._formats_line(line)
            before = len(self.found.proposals)
            self._packing(rest, line)
            self._prices(rest, line)
            self._day(line)
            self._base_size(line)
            for clause in _clauses(rest):
                self._promises(clause)
            account.take(row, "prose with facts" if len(self.found.proposals) > before else "prose")
        self._list_prices_last()
        if self.formats:
            headline = "hobby" if "hobby" in self.formats else self.formats[0]
            self._propose(
                "headline", headline, "the first format named" if headline != "hobby" else headline, sure=True
            )
        return self.found

    def _propose(self, where: str, value: Any, said: str, *, sure: bool) -> None:
        mark = f"{where}\x1f{value}"
        if mark in self.seen:
            return
        self.seen.add(mark)
        self.found.proposals.append(
            Proposal(where=where, value=value, words=text.tidy(said)[:300], sure=sure)
        )

    # ------------------------------------------------------------ which format a line speaks of
    def _formats_line(self, line: str) -> str:
        """Turn to the format that a line begins with; what follows its name."""
        found = re.match(
            r"\s*(?:[•*·-]\s*)?(?P<name>[^\W\d][\w' -]{2,40}?)\s*(?:[:–—|]|\s-\s)\s*(?P<rest>.*)\Z", line
        )
        if found:
            key = self._key(found["name"])
            if key and (ladder.formats_in(found["name"]) or any(p.search(line) for _, p in _PACKING)):
                self._turn(key)
                return found["rest"]
        bare = text.tidy(line).strip(" :.")
        if (
            len(bare) < 40
            and ladder.formats_in(bare)
            and not re.search(r"\d", bare)
            and len(bare.split()) < 4
        ):
            self._turn(self._key(bare))
            return ""
        if _BASE_SIZE.search(line) or _SHIPS.match(line.strip()):
            self.format = ""
        inline = re.match(r"\s*(?:each|every|a|per)\s+(\w+)\s+(?:box|pack|case)\b", line, re.IGNORECASE)
        if inline and (keys := ladder.formats_in(inline[1], [one.key for one in self.known])):
            self._turn(keys[0])
        return line

    def _key(self, name: str) -> str:
        bare = text.tidy(
            re.sub(
                r"\b(?:box(?:es)?|packs?|format|configuration|cases?|edition)\b",
                " ",
                name,
                flags=re.IGNORECASE,
            )
        )
        for one in self.known:
            if words.fold(bare) in {words.fold(one.key).replace("-", " "), words.fold(one.name)}:
                return one.key
        return text.slug_of(bare)

    def _turn(self, key: str) -> None:
        self.format = key
        if key not in self.formats:
            self.formats.append(key)

    # ------------------------------------------------------------ what a line says
    def _packing(self, rest: str, line: str) -> None:
        for name, pattern in _PACKING:
            found = pattern.search(rest)
            if not found:
                continue
            digits = next(value for value in found.groupdict().values() if value)
            number = _count(digits)
            if number is None:
                continue
            if not self.format:
                self._turn(self._only())
            value: int | Decimal = int(number) if number == int(number) else number
            loose = _LOOSE.search(rest[max(0, found.start() - 12) : found.start()]) is not None
            self._propose(f"formats.{self.format}.{name}", value, _around(line, found[0]), sure=not loose)

    def _only(self) -> str:
        return self.known[0].key if len(self.known) == 1 else "hobby"

    def _prices(self, rest: str, line: str) -> None:
        for pattern in (_PRICE, _PRICE_AFTER):
            for found in pattern.finditer(rest):
                money = days.read_money(found["money"], self.season.currency, self.season.decimal_mark)
                if money is None or money.amount <= 0:
                    continue
                if not self.format:
                    self._turn(self._only())
                unit = found["unit"].lower()
                value = {
                    "format": self.format,
                    "unit": unit,
                    "kind": "list",
                    "price": str(money.amount),
                    "currency": money.currency or self.season.currency,
                }
                loose = _LOOSE.search(rest[max(0, found.start() - 15) : found.start()]) is not None
                self._propose("prices.csv", value, _around(line, found[0]), sure=not loose)

    def _day(self, line: str) -> None:
        for sentence in _sentences(line):
            found = _SHIPS.search(sentence)
            if not found:
                continue
            day = days.read_day(sentence[found.start() :], self.today)
            if day is None:
                continue
            if day.day is None:
                order = self.season.date_order
                certain = day.read_as(order if order != "year first" else "month first")
                if certain is not None:
                    self._propose("date", certain, sentence, sure=order != "year first")
            else:
                self.released = day.day
                self._propose("date", day.day, sentence, sure=not day.is_guessed_year)
            return

    def _base_size(self, line: str) -> None:
        if found := _BASE_SIZE.search(line):
            self.found.base_size = int(found[1] or found[2])

    def _promises(self, clause: str) -> None:
        if any(pattern.search(clause) for _, pattern in _PACKING) or _PRICE.search(clause):
            clause = _cut(clause)
        place = _WITHIN.search(clause)
        per, times = self._place(place)
        head, colon, tail = clause.partition(":")
        body = tail if colon and place is not None and place.start() < len(head) else clause
        average = _AVERAGE.search(clause) is not None
        for item in re.split(r"[,;]|\band\b|\bplus\b|(?<=\w)\s\+\s", body):
            own = _WITHIN.search(item)
            item_per, item_times = self._place(own) if own else (per, times)
            if not item_per:
                continue
            bare = item[: own.start()] + " " + item[own.end() :] if own else item
            self._promise(bare, item, clause, item_per, item_times, average=average)

    def _promise(self, bare: str, item: str, clause: str, per: str, times: Decimal, *, average: bool) -> None:
        found = _ITEM.search(bare)
        if not found:
            if left := re.search(r"\bbase\b.*\(\s*(?:about|approximately|~)?\s*(\d+)\b", bare, re.IGNORECASE):
                self._guarantee(
                    {"what": "base", "count": Decimal(left[1])}, per, clause, hard=False, sure=False
                )
            return
        count = _count(found["n"])
        if count is None:
            return
        what = self._what(found["what"])
        if what is None:
            return
        share = (count / times).quantize(Decimal("0.001")).normalize() if times != 1 else count
        share = share.quantize(Decimal(1)) if share == share.to_integral_value() else share
        loose = _LOOSE.search(item) is not None or _LOOSE.search(clause.split(",", maxsplit=1)[0]) is not None
        hard = not average and times == 1 and not loose
        self._guarantee({**what, "count": share}, per, clause, hard=hard, sure=not loose)

    def _guarantee(self, what: dict[str, Any], per: str, clause: str, *, hard: bool, sure: bool) -> None:
        if not self.format:
            self._turn(self._only())
        value: dict[str, Any] = {
            "what": what["what"],
            "count": what["count"],
            "per": per,
            "certainty": "hard" if hard else "average",
            **{name: what[name] for name in ("subset", "parallel") if name in what},
            "words": text.tidy(clause.removesuffix(_ALSO_AVERAGE)).rstrip(".")[:300],
        }
        self._propose(f"formats.{self.format}.guarantees", value, str(value["words"]), sure=sure)

    def _what(self, phrase: str) -> dict[str, Any] | None:
        """What is promised: a kind, with the subset or parallel that the phrase names."""
        bare = text.key(
            re.sub(r"\b(?:cards?|on average|guaranteed|average)\b", " ", phrase, flags=re.IGNORECASE)
        )
        for key, (subset, kind) in self.kinds.items():
            single = key.removesuffix("s")
            if bare and (
                bare == key
                or bare.removesuffix("s") == single
                or re.search(rf"\b{re.escape(single)}s?\b", bare)
            ):
                return {"what": kind, "subset": subset}
        noun = next((name for name, pattern in _NOUNS if pattern.search(phrase)), None)
        if noun is None:
            return None
        if noun == "parallel":
            for key, name in self.ladder.items():
                if re.search(rf"\b{re.escape(key)}\b", bare):
                    return {"what": noun, "parallel": name}
            own = re.match(r"\s*([A-Z][\w' ]*?)\s+parallels?\b", phrase)
            if own and text.key(own[1]) not in {"base", "exclusive", "color", "colour"}:
                return {"what": noun, "parallel": own[1]}
        return {"what": noun}

    def _place(self, found: re.Match[str] | None) -> tuple[str, Decimal]:
        """Where a promise holds: the unit, and in how many of them it comes once."""
        if found is None:
            return "", Decimal(1)
        unit = next(name for name in _UNITS if found["unit"].lower().startswith(name))
        other = (found["other"] or "").lower()
        if other in {"other", "second", "2nd"}:
            return unit, Decimal(2)
        ordinal = {"third": 3, "fourth": 4}.get(other)
        times = Decimal(ordinal) if ordinal else _count(other) or Decimal(1)
        return unit, times

    def _list_prices_last(self) -> None:
        """Prices stand at the end, after what describes the formats."""
        self.found.proposals.sort(key=lambda one: one.where == "prices.csv")


def _count(digits: str) -> Decimal | None:
    low = digits.lower()
    if low in _COUNTS:
        return Decimal(_COUNTS[low])
    return Decimal(low) if re.fullmatch(r"\d{1,4}(?:\.\d+)?", low) else None


def _sentences(line: str) -> Iterator[str]:
    yield from (part.strip() for part in re.split(r"(?<=[.!?])\s+(?=[A-Z0-9])", line) if part.strip())


def _clauses(line: str) -> Iterator[str]:
    """Sentences parted at semicolons, each with the 'on average' of the sentence it stands in."""
    for sentence in _sentences(line):
        parts = [part.strip() for part in sentence.split(";") if part.strip()]
        speaks = bool(parts) and re.search(r"\bon average\b", parts[0], re.IGNORECASE) is not None
        for place, part in enumerate(parts):
            yield part + _ALSO_AVERAGE if place and speaks and not _AVERAGE.search(part) else part


def _cut(clause: str) -> str:
    """A clause without what it says of packing and price, so that only promises are left."""
    for _, pattern in _PACKING:
        clause = pattern.sub(" ", clause)
    return _PRICE.sub(" ", clause)


def _around(line: str, words_found: str) -> str:
    """The sentence of a line in which some words stand."""
    for sentence in _sentences(line):
        if words_found in sentence:
            return sentence
    return line
