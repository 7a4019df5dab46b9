"""Sell sheets, as prose, lists or tables, as proposals with the words they came from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from rating import text
from rating.release.checklist import Card, Parallel
from rating.release.intake import days, lexicon, phrases, words
from rating.release.intake.account import Account
from rating.release.intake.formats_said import Formats, is_heading
from rating.release.intake.paragraphs import Block, Paragraph, blocks, paragraphs, parted, whole_lines
from rating.release.intake.phrases import Names, Phrase
from rating.release.intake.sell_sheet import attributes, facts, promises, shorthand, tables, told_days
from rating.release.intake.values import FormatWords, Grid, Proposal, Row, SeasonWords
from rating.release.intake.words import fold

_BASE_SIZE = re.compile(
    r"\b(\d{2,4})[\s-]*cards?\s+base(?:\s+set)?\b"
    r"|\bbase set(?:,[^,.]{0,60},)?\s*(?:called [^,.]{0,60}?)?\s*(?:of|:|has|contains|holds|–|-)?"
    r"\s*(\d{2,4})\b",
    re.IGNORECASE,
)
_LEGEND = re.compile(
    r"^(?P<name>[^\W\d_a-z][^:.;]{2,60}?)(?::\s*\d+|\s+(?:are|is))\s+(?P<said>[^.;]+)", re.UNICODE
)
_PLAIN_ODDS = re.compile(
    r"[^:;\d]{2,40}:\s*[^:;,\d]{2,60}\s\d[\d.,]{0,7}(?:\s*[,;]\s*[^:;,\d]{2,60}\s\d[\d.]{0,7}){1,40}\.?"
)
_ODDS = re.compile(r"n:n|np+n(?:f?[kbe]|$|[,;.)])")
_FEW, _PAIR = 40, 2  # rows of a list of labels and values, and its cells
_ANOTHER = re.compile(r"\b[A-Z][\w'’]+\s+(?:Box|Pack|Packet|Tin|Case|Carton|Bag|Display)\b")
_ALSO_AVERAGE = " (on average)"  # carried over from the start of the sentence


@dataclass(slots=True)
class Found:
    """What sell sheets say, as proposals, with the base set's size and what else is worth saying."""

    proposals: list[Proposal] = field(default_factory=list)
    accounts: list[Account] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    base_size: int | None = None
    odds: Grid | None = None  # the rows of the sheet that state odds


@dataclass(slots=True)
class _Said:
    """One value for one key, where it stands, and whether the words leave no doubt."""

    where: str
    value: Any
    words: str
    sure: bool
    row: Row


def _with_ratios(line: str) -> str:
    """A list of names and packs to a card with the packs as odds: 'Slate 9' is 'Slate 1:9'."""
    return re.sub(r"\s+(\d[\d.]*?)\s*(?:[,;]|\.?\Z)", r" 1:\1;", line)


def is_sell_sheet(grid: Grid) -> bool:
    """Whether a sheet speaks of how a product is packed and sold."""
    marks: set[str] = set()
    for row in parted(whole_lines(grid)[:200]):
        for cell in row.filled:
            if len(cell) > 4000 or not phrases.names_unit(cell):
                continue
            phrase = phrases.read(shorthand.written_out(cell), Names({}))
            marks |= {one.name for one in facts.packing(phrase)}
            marks |= {f"price {one.unit}" for one in facts.prices(phrase) if one.unit}
            found = attributes.of(cell)
            if found is not None and found.is_a != "promise":
                marks.add(f"{found.is_a} {found.name}")
        if _BASE_SIZE.search(row.text):
            marks.add("base")
        if len(marks) >= 3:
            return True
    return len(marks) >= 2


def read(
    grid: Grid,
    season: SeasonWords,
    *,
    today: date,
    cards: Sequence[Card] = (),
    parallels: Sequence[Parallel] = (),
    formats: Sequence[FormatWords] = (),
    title: str = "",
) -> Found:
    """The proposals that a sell sheet holds."""
    return _Reader(grid, season, today, cards, parallels, formats, title).read()


def states_day(grid: Grid, today: date) -> bool:
    """Whether a short list of labels and values states the day of the release."""
    if len(grid.rows) > _FEW:
        return False
    for row in grid.rows:
        said = row.text.replace("_", " ")
        if len(row.filled) == _PAIR and any(one.is_release for one in told_days.dates(said, today)):
            return True
    return False


def formats_of(grid: Grid, season: SeasonWords, today: date) -> tuple[FormatWords, ...]:
    """The formats that a sell sheet speaks of."""
    reader = _Reader(grid, season, today, (), (), (), "")
    parts = list(blocks(grid))
    reader.find_formats(parts)
    for block in parts:
        if block.is_table:
            tables.read(block.rows, reader.formats)
    return tuple(FormatWords(key=key, name=name) for key, name in reader.formats.shown.items())


class _Reader:
    def __init__(
        self,
        grid: Grid,
        season: SeasonWords,
        today: date,
        cards: Sequence[Card],
        parallels: Sequence[Parallel],
        formats: Sequence[FormatWords],
        title: str,
    ) -> None:
        self.grid, self.season, self.today, self.title = grid, season, today, title
        self.found = Found()
        self.account = Account(grid, "sell sheet")
        self.found.accounts.append(self.account)
        self.formats = Formats(formats)
        self.kinds = promises.Kinds(
            subsets={card.subset: card.kind for card in cards},
            parallels=tuple(dict.fromkeys(one.parallel for one in parallels)),
            base=next((card.subset for card in cards if card.kind == "base" and not card.variation), ""),
        )
        self.said: list[_Said] = []
        self.unread: set[str] = set()
        self.odds: dict[int, list[str]] = {}  # rows that state odds, with the sentences that do
        self.format = ""  # which the paragraph speaks of
        self.section = ""  # which the heading above named

    def read(self) -> Found:
        """Everything that the sheet says."""
        parts = list(blocks(self.grid))
        self.find_formats(parts)
        self._learn_kinds(parts)
        for place, block in enumerate(parts):
            for row in block.rows:
                self.account.take(row, "prose")
            if block.is_table and self._table(block):
                continue
            self._prose(block, is_first=place == 0)
        self._dates_of(parts)
        self._propose_all()
        self.found.odds = self._odds_beside()
        return self.found

    def _odds_beside(self) -> Grid | None:
        """The rows that state odds, each with a heading right above it, as a sheet of their own."""
        kept: list[Row] = []
        for before, row in zip((None, *self.grid.rows), self.grid.rows, strict=False):
            if row.number not in self.odds:
                continue
            is_heading = before is not None and not any(mark.isdigit() for mark in before.text)
            if before is not None and is_heading and before.number not in self.odds and len(before.text) < 40:
                kept.append(before)
            told = self.odds[row.number]
            line = " ".join(told) if told and len(row.filled) == 1 else ", ".join(row.filled)
            is_plain = _PLAIN_ODDS.fullmatch(line) is not None
            said = _with_ratios(line) if is_plain else line
            kept.append(replace(row, cells=(said,)) if is_plain or len(row.filled) == 1 else row)
        return replace(self.grid, rows=tuple(kept), last=len(kept), problems=()) if kept else None

    # ------------------------------------------------------------ what is known before
    def find_formats(self, parts: Sequence[Block]) -> None:
        """Note the formats that paragraphs name."""
        for block in parts:
            if block.is_table:
                continue
            told = list(paragraphs(block))
            for place, one in enumerate(told):
                if is_heading(one.text, [other.text for other in told[place + 1 :]]):
                    self.formats.add(one.text)
                else:
                    for sentence in phrases.sentences(one.text):
                        self._opener(sentence)
                    self.formats.inside(one.text)

    def _opener(self, sentence: str) -> str:
        """The format that a sentence opens with; what it introduces is one where packing or prices follow."""
        line = shorthand.written_out(sentence)
        if key := self.formats.opener(line):
            return key
        phrase = self._phrase(line)
        counts = sum(1 for _ in facts.packing(phrase)) + ("m" in phrase.codes)
        return self.formats.introduced(line) if counts and re.search("n[ckb]", phrase.codes) else ""

    def _learn_kinds(self, parts: Sequence[Block]) -> None:
        """Kinds of subsets that the sheet itself names: 'Quiet Giants are insert cards'."""
        known = dict(self.kinds.subsets)
        if known:
            return
        reader = promises.Reader(self.kinds, Names({}))
        for block in parts:
            for one in paragraphs(block):
                for sentence in phrases.sentences(one.text):
                    found = _LEGEND.match(sentence)
                    if found and (what := reader.kind_in(found["said"])):
                        known[text.tidy(found["name"])] = what
        if known:
            self.kinds = promises.Kinds(known, self.kinds.parallels, self.kinds.base)

    @property
    def names(self) -> Names:
        """What counts as one word in a sentence."""
        subsets = tuple(name for name in self.kinds.subsets if len(name.split()) > 1)
        return Names(self.formats.names, subsets)

    def _phrase(self, sentence: str) -> Phrase:
        return phrases.read(
            sentence, self.names, currency=self.season.currency, decimal_mark=self.season.decimal_mark
        )

    # ------------------------------------------------------------ tables
    def _table(self, block: Block) -> bool:
        table = tables.read(block.rows, self.formats)
        if table is None:
            return False
        for cell in table.cells:
            self._cell(cell)
        for row in table.rows:
            self.account.take(row, "table")
        for told in table.said:
            self._said(told.value, told.row, told.format)
        for row, name in table.unknown:
            if text.tidy(name):
                self.account.remark(
                    row, "unread-column", f"nothing is known of {text.printable(name[:40])!r}",
                    "write what it says into release.toml by hand",
                )  # fmt: skip
        return True

    def _cell(self, cell: tables.Cell) -> None:
        attribute = cell.attribute
        if attribute.is_a == "price":
            self._table_price(cell)
            return
        number = phrases.number_in(cell.value.strip())
        if number is None and len(cell.value.split()) > 1:
            label = cell.said.removesuffix(cell.value).rstrip(" :")
            self._said(f"{cell.value} {label}", cell.row, cell.format)
        elif number is None or number <= 0:
            self._unread(cell.row, cell.said)
        elif attribute.is_a == "packing":
            value = int(number) if number == int(number) else number
            self._say(f"formats.{{}}.{attribute.name}", value, cell.said, cell.row, cell.format, sure=True)
        else:
            reader = promises.Reader(self.kinds, self.names)
            what = reader.what(attribute.said)
            if what is None:
                self._unread(cell.row, cell.said)
                return
            kind, subset, parallel = what
            promise = promises.Promise(
                kind, number, attribute.name, not attribute.is_average, True, cell.format, subset, parallel
            )
            self._promise(promise, cell.said, cell.row)

    def _table_price(self, cell: tables.Cell) -> None:
        money = days.read_money(cell.value, self.season.currency, self.season.decimal_mark)
        if money is None or money.amount <= 0:
            self._unread(cell.row, cell.said)
            return
        self._price(cell.attribute.name, money, cell.said, cell.row, cell.format, sure=True)

    # ------------------------------------------------------------ prose
    def _prose(self, block: Block, *, is_first: bool) -> None:
        told = list(paragraphs(block))
        self.format = self.section
        if self._are_plain_odds(told):
            for one in told:
                self.odds.update((row.number, []) for row in one.rows)
            return
        for place, one in enumerate(told):
            following = [other.text for other in told[place + 1 :]]
            if is_first and place == 0 and not self._has_packing(one.text) and len(one.text) < 100:
                title = words.smart_case(one.text.strip(" ."))
                self._add(_Said("title", title, one.text, False, one.rows[0]))
                if not is_heading(one.text, following):
                    continue
            if key := self._heading(one, following):
                self.format = key
                if one.is_alone:
                    self.section = key
                continue
            for sentence in phrases.sentences(one.text):
                if key := self._opener(sentence):
                    self.format = key
                    self.section = self.section and key
                self._sentence(sentence, one)
            if size := _BASE_SIZE.search(one.text):
                self.found.base_size = int(size[1] or size[2])

    def _are_plain_odds(self, told: Sequence[Paragraph]) -> bool:
        """Whether a block lists packs to a card under words that say so: 'Dock: Slate 9, Dusk 120'."""
        if len(told) < _PAIR or not lexicon.says(told[0].text, "odds", "title", "odds"):
            return False
        return all(_PLAIN_ODDS.fullmatch(one.text) is not None for one in told[1:])

    def _heading(self, one: Paragraph, following: Sequence[str]) -> str:
        if is_heading(one.text, following):
            return self.formats.add(one.text)
        bare = one.text.strip(" :.")
        return self.formats.of(bare) if len(bare.split()) < 5 else ""

    def _has_packing(self, line: str) -> bool:
        return any(True for _ in facts.packing(self._phrase(line)))

    def _sentence(self, sentence: str, one: Paragraph) -> None:
        row = one.row_of(sentence)
        self._said(sentence, row, self.format)

    def _said(self, said: str, row: Row, about: str) -> None:
        """What a sentence says of the format that it names, else of the one that it is about."""
        sentence = shorthand.written_out(said)
        phrase = self._phrase(sentence)
        if _ODDS.search(phrase.codes) and re.search(
            r"\b(?:1|one)\s*(?::|in\b|/\s*\d)", sentence, re.IGNORECASE
        ):
            self.odds.setdefault(row.number, []).append(said)
            return
        before = len(self.said)
        first = next((t.value for t in phrase.tokens if t.code == "f"), "")
        spans: list[tuple[int, int]] = []
        for packed in facts.packing(phrase):
            spans.append(packed.span)
            key = packed.format or str(first) or about
            self._say(f"formats.{{}}.{packed.name}", packed.value, sentence, row, key, sure=packed.sure)
        for priced in facts.prices(phrase):
            spans.append(priced.span)
            key = priced.format or str(first) or about
            is_own = bool(priced.format) or not _names_another(phrase, priced.span[0])
            self._price(priced.unit, priced.money, sentence, row, key, sure=priced.sure and is_own)
        reader = promises.Reader(self.kinds, self.names)
        for clause in _clauses(_without(phrase, spans)):
            for promise in reader.read(clause):
                self._promise(replace(promise, format=promise.format or about), sentence, row)
        for part in reader.unread:
            self._unread(row, part)
        if "m" in phrase.codes and facts.is_another_price(phrase):
            self.account.remark(
                row, "other-price", f"no list price, and left out: {text.printable(sentence[:120])!r}",
                "write it into prices.csv by hand if it is one",
            )  # fmt: skip
        elif len(self.said) == before and self._says_something(phrase):
            self._unread(row, sentence)
        elif len(self.said) > before:
            self.account.take(row, "prose with facts")

    def _says_something(self, phrase: Phrase) -> bool:
        """Whether a sentence holds a number beside a unit or an amount of money, so that it may be a fact."""
        return "m" in phrase.codes or re.search(r"n.{0,6}[kbe]|[kbe].{0,3}n", phrase.codes) is not None

    # ------------------------------------------------------------ dates
    def _dates_of(self, parts: Sequence[Block]) -> None:
        told: list[tuple[told_days.Told, str, Row]] = []
        sentences: list[tuple[str, Row]] = []
        for one in (one for block in parts if not self._is_read_table(block) for one in paragraphs(block)):
            for sentence in phrases.sentences(one.text):
                row = one.row_of(sentence)
                sentences.append((sentence, row))
                told += ((day, sentence, row) for day in told_days.dates(sentence, self.today))
        order = self._order([day.words for day, _, _ in told])
        day = self._release_day(told, order)
        year = day.year if day is not None else told_days.year_in(self.title)
        for sentence, row in sentences:
            if (found := told_days.since(sentence, year)) is not None:
                is_stated = re.search(r"\d{4}", found[1]) is not None
                titled = told_days.year_in(self.title)
                sure = is_stated or titled is None or titled == year
                self._add(_Said("since", found[0], sentence, sure, row))

    def _is_read_table(self, block: Block) -> bool:
        return block.is_table and tables.read(block.rows, self.formats) is not None

    def _order(self, listed: Sequence[str]) -> str:
        order = self.season.date_order
        return order if order != "year first" else days.order_of(listed)

    def _release_day(self, told: Sequence[tuple[told_days.Told, str, Row]], order: str) -> date | None:
        named = [one for one in told if one[0].is_release]
        doubtful = not named
        if doubtful:
            named = [one for one in told if one[0].is_release is None]
        first: date | None = None
        for one, sentence, row in named:
            day = one.day.read_as(order) if order else one.day.day
            guess = day or one.day.read_as("month first")
            if guess is None:
                continue
            sure = day is not None and not doubtful and not one.day.is_guessed_year
            self._add(_Said("date", guess, sentence, sure, row))
            first = first or (guess if sure else None)
        return first

    # ------------------------------------------------------------ gathering
    def _add(self, one: _Said) -> None:
        self.said.append(one)

    def _say(self, where: str, value: Any, said: str, row: Row, key: str, *, sure: bool) -> None:
        if not (key := key or self._only()):
            self._no_format(row, said)
            return
        self._add(_Said(where.format(key), value, said, sure and bool(self.formats.keys), row))

    def _only(self) -> str:
        """The one format of the sheet, blank where there are several; the usual one where it names none."""
        keys = self.formats.keys or ("hobby",)
        return keys[0] if len(keys) == 1 else ""

    def _price(self, unit: str, money: days.Money, said: str, row: Row, key: str, *, sure: bool) -> None:
        if not unit:
            self._unread(row, said)
            return
        if not (key := key or self._only()):
            self._no_format(row, said)
            return
        sure = sure and bool(self.formats.keys)
        value = {
            "format": key,
            "unit": unit,
            "kind": "list",
            "price": str(money.amount),
            "currency": money.currency or self.season.currency,
        }
        self._add(_Said("prices.csv", value, said, sure and money.amount > 0, row))

    def _promise(self, one: promises.Promise, said: str, row: Row) -> None:
        key = one.format or self.format or self._only()
        if not key:
            self._no_format(row, said)
            return
        value: dict[str, Any] = {
            "what": one.what,
            "count": one.count,
            "per": one.per,
            "certainty": "hard" if one.is_hard else "average",
            **({"subset": one.subset} if one.subset else {}),
            **({"parallel": one.parallel} if one.parallel else {}),
            "words": text.tidy(said.removesuffix(_ALSO_AVERAGE)).rstrip(".")[:300],
        }
        self._add(_Said(f"formats.{key}.guarantees", value, said, one.sure and bool(self.formats.keys), row))

    def _unread(self, row: Row, said: str) -> None:
        if said in self.unread:
            return
        self.unread.add(said)
        self.account.remark(
            row, "unread-sentence", f"not understood: {text.printable(said[:120])!r}",
            "write what it says into release.toml or prices.csv by hand",
        )  # fmt: skip

    def _no_format(self, row: Row, said: str) -> None:
        self.unread.add(said)
        self.account.remark(
            row, "no-format", f"it does not say of which format it speaks: {text.printable(said[:120])!r}",
            "write it into release.toml or prices.csv by hand",
        )  # fmt: skip

    # ------------------------------------------------------------ two values for one key are never sure
    def _propose_all(self) -> None:
        by_key: dict[tuple[str, ...], list[_Said]] = {}
        for one in self.said:
            by_key.setdefault(_key_of(one), []).append(one)
        for same in by_key.values():
            distinct: dict[str, _Said] = {}
            for one in same:
                before = distinct.get(_value_of(one))
                if before is None or (one.sure and not before.sure):
                    distinct[_value_of(one)] = one
            clash = len(distinct) > 1
            for one in distinct.values():
                self.found.proposals.append(
                    Proposal(
                        where=one.where,
                        value=one.value,
                        words=text.tidy(one.words)[:300],
                        sure=one.sure and not clash,
                    )
                )
                if clash:
                    self._two_values(one, list(distinct.values()))
                elif not one.sure and one.where != "title":
                    self.account.remark(
                        one.row, "not-sure", f"{_named(one)} {_shown(one)}: the words leave it in doubt",
                        "write it into release.toml or prices.csv by hand if it is right",
                    )  # fmt: skip
        self.found.proposals.sort(key=lambda one: one.where == "prices.csv")
        self._headline()

    def _two_values(self, one: _Said, all_of_them: Sequence[_Said]) -> None:
        values = text.listed([_shown(other) for other in all_of_them])
        self.account.remark(
            one.row, "two-values", f"{_named(one)} is stated as {values}",
            "write the right one into release.toml or prices.csv by hand",
        )  # fmt: skip

    def _headline(self) -> None:
        keys = [one.where.split(".")[1] for one in self.found.proposals if one.where.startswith("formats.")]
        if not keys:
            return
        for key in dict.fromkeys(keys):
            shown = self.formats.shown.get(key, key)
            if shown.casefold() != key.replace("-", " "):  # 'Boîte', of which the key has no accent
                self.found.proposals.append(
                    Proposal(where=f"formats.{key}.name", value=shown, words=shown, sure=True)
                )
        headline = "hobby" if "hobby" in keys else keys[0]
        said = headline if headline == "hobby" else "the first format named"
        self.found.proposals.append(Proposal(where="headline", value=headline, words=said, sure=True))


def _key_of(one: _Said) -> tuple[str, ...]:
    """What two values would contradict each other about."""
    if one.where == "prices.csv":
        return (one.where, one.value["format"], one.value["unit"])
    if one.where.endswith(".guarantees"):
        names = ("what", "per", "subset", "parallel")
        return (one.where, *(text.key(str(one.value.get(name, ""))) for name in names))
    return (one.where,)


def _value_of(one: _Said) -> str:
    if isinstance(one.value, dict):
        return "\x1f".join(
            f"{key} {value}" for key, value in one.value.items() if key not in {"words", "currency"}
        )
    return str(one.value)


def _shown(one: _Said) -> str:
    if one.where == "prices.csv":
        return f"{one.value['price']} {one.value['currency']}".strip()
    if isinstance(one.value, dict):
        return f"{one.value['count']} ({one.value['certainty']})"
    return str(one.value)


def _named(one: _Said) -> str:
    """The key of a value in words."""
    if one.where == "prices.csv":
        return f"the {one.value['format']} price a {one.value['unit']}"
    if isinstance(one.value, dict):
        what = " ".join(str(one.value[name]) for name in ("parallel", "subset", "what") if name in one.value)
        return f"{one.where.split('.')[1]}: {what} a {one.value['per']}"
    return one.where.removeprefix("formats.").replace("_", " ").replace(".", ": ")


def _names_another(phrase: Phrase, place: int) -> bool:
    """Whether a name before an amount could be that of a format which nobody knows: 'Pit Pack £3.50'."""
    before = phrase.text[: phrase.tokens[place].start]
    found = list(_ANOTHER.finditer(before))
    known = {one.value for one in phrase.tokens[:place] if one.code == "f"}
    return len(known) == 1 and len({fold(one[0]) for one in found}) > 1


def _without(phrase: Phrase, spans: Sequence[tuple[int, int]]) -> str:
    """The text without what it says of packing and price, so that only promises are left."""
    kept = phrase.text
    for first, last in sorted(spans, reverse=True):
        kept = kept[: phrase.tokens[first].start] + " " + kept[phrase.tokens[last - 1].end :]
    return kept


def _clauses(sentence: str) -> Iterator[str]:
    """A sentence parted at semicolons, each part with the 'on average' that stands in the first."""
    parts = [part.strip() for part in sentence.split(";") if part.strip()]
    speaks = bool(parts) and re.search(r"\bon average\b", parts[0], re.IGNORECASE) is not None
    for place, part in enumerate(parts):
        yield part + _ALSO_AVERAGE if place and speaks and "on average" not in part.lower() else part
