"""Odds in lines of text: sentences, 'Brass: Hobby 1:4, Retail 1:9', and lists as 'Brass 1:4; Ember 1:30'."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rating import text
from rating.release.intake import lexicon, phrases, subset_names, words
from rating.release.intake.formats_said import Formats, could_be
from rating.release.intake.odds.entries import Context, Entry, Unread
from rating.release.intake.odds.labels import Label, Lines, is_base_version
from rating.release.intake.odds.stated import Per, Stated, said_in, says_odds, unit_in
from rating.release.intake.paragraphs import Block, Paragraph, paragraphs
from rating.release.intake.phrases import Names
from rating.release.intake.values import Row

_TRIM = " \t,;|/•·–—-.:()"
_AROUND = re.compile(
    r"\A(?:on average|approximately|approx\.?|avg\.?)(?!\w)|(?<!\w)(?:about|approx\.?|ca\.?)\Z"
)
_LED_BY = re.compile(
    r"(?:for|of|to|is|a|an|the)\s+(?:(?:find|pull|get)\s+)?(?:(?:a|an|the)\s+)?", re.IGNORECASE
)
_FILLER = re.compile(
    r"(?:on average,?\s+)?"
    r"(?:(?:you(?:'ll| will| can| may)?|collectors|look|expect|there (?:is|are|will be))\s+)?"
    r"(?:(?:can|may|will)\s+)?(?:(?:find|for|expect|pull|get|see|to find)\s+)?(?:(?:a|an|one|the)\s+)?",
    re.IGNORECASE,
)
_LABEL = re.compile(r"(?P<label>[^:]+?)\s*(?::(?!\s*\d+\s*\Z)|\s[–—-]\s)\s*(?P<name>.*)\Z")


@dataclass(frozen=True, slots=True)
class Piece:
    """A line of text with its statements and the words before each of them."""

    row: Row
    text: str
    label: str  # before the colon, or all the words of a sentence before its first odds
    names: tuple[str, ...]  # the words before each statement; blank in sentences
    stated: tuple[Stated, ...]

    @property
    def cells(self) -> tuple[str, ...]:
        """Each statement as written."""
        return tuple(self.text[one.start : one.end] for one in self.stated)


def pieces(block: Block, formats: Formats, unit: Per) -> Iterator[Piece | Paragraph]:
    """The lines of a block with odds as pieces, those without as they are."""
    for one in _lines(block):
        names = Names(formats.names)
        told = list(phrases.sentences(one.text))
        found = [piece for said in told if (piece := _piece(said, one, names, unit)) is not None]
        if found:
            yield from found
        else:
            yield one


def _lines(block: Block) -> Iterator[Paragraph]:
    """The lines of a block; a text broken to a width is joined where it ends with a stop."""
    told = list(paragraphs(block))
    for one in told:
        if len(one.rows) > 1 and not one.text.rstrip().endswith("."):
            for row in one.rows:
                yield Paragraph(row.text, (row,), (0,))
        else:
            yield one


def _piece(said: str, one: Paragraph, names: Names, unit: Per) -> Piece | None:
    phrase = phrases.read(said, names)
    stated = tuple(said_in(phrase, unit))
    if not stated:
        return None
    row = one.row_of(said)
    before = said[: stated[0].start]
    if len(stated) == 1 and not before.strip(_TRIM) and (after := _name(said[stated[0].end :])):
        return Piece(row, said, after, ("",), stated)  # 1:24 Brass
    if len(stated) == 1 and not _verbs(before):
        after = _LED_BY.sub("", _name(said[stated[0].end :]))
        return Piece(row, said, after, ("",), stated)  # odds of 1:24 for a Brass card
    between = [_name(said[first.end : second.start]) for first, second in pairwise(stated)]
    is_sentence = (bool(between) and not any(between)) or any(part.format for part in stated)
    if is_sentence or (not between and _verbs(before) != before.strip(_TRIM)):
        return Piece(row, said, _verbs(before), ("",) * len(stated), stated)
    found = _LABEL.match(before)
    label, first = (found["label"], found["name"]) if found else ("", before)
    return Piece(row, said, text.tidy(label).strip(_TRIM), (_name(first), *between), stated)


def _name(said: str) -> str:
    bare = _AROUND.sub("", text.tidy(said).strip(_TRIM)).strip(_TRIM)
    return re.sub(r"^(?:and|und|et|y|e|en|or|in|,|;)\s+", "", bare).strip(_TRIM)


def _verbs(before: str) -> str:
    """The words before odds without the verb that leads to them."""
    known = lexicon.listed("odds", "verbs", "said")
    parts = text.tidy(before).split(" ")
    while parts:
        last = parts[-1].strip(_TRIM)
        if last and (not last[:1].islower() or words.fold(last) not in known):
            break
        parts.pop()
    return _FILLER.sub("", " ".join(parts).strip(_TRIM), count=1).strip(_TRIM)


def _format_words(said: str) -> str:
    """Words that may name a format, without those of odds and units around them: 'Hobby pack odds'."""
    odds = lexicon.listed("odds", "title", "odds")
    units = lexicon.meaning("packing", "units")
    kept = [word for word in said.split() if words.fold(word) not in odds and words.fold(word) not in units]
    return " ".join(kept) or said


class Reader:
    """Reads the pieces of a document; whether names are formats or parallels is found for all of it."""

    def __init__(self, lines: Lines, formats: Formats) -> None:
        self.lines, self.formats = lines, formats
        self.named_formats = False
        self.labels_formats = False
        self.under_formats = False  # headings name formats, since the lines name subset and parallel

    def learn(self, all_pieces: Sequence[Piece]) -> None:
        """Decide what the words before odds are, and note new formats."""
        counts = Counter(name for one in all_pieces for name in one.names if name)
        if not counts:
            return
        known = sum(number for name, number in counts.items() if self.formats.of(name))
        lines = sum(number for name, number in counts.items() if self._is_version(name))
        labelled = [one for one in all_pieces if one.label and any(one.names)]
        few = len(counts) <= 6 and len(labelled) > len(counts) and len(labelled) * 3 >= len(all_pieces) * 2
        whole = sum(counts.values())
        if known * 2 > whole or (few and lines * 2 < whole and all(could_be(name) for name in counts)):
            self.named_formats = True
            for name in counts:
                self.formats.add(name)
        self._learn_labels(labelled)
        self.under_formats = (
            not self.named_formats and not self.labels_formats and len(labelled) * 3 >= len(all_pieces) * 2
        )

    def _learn_labels(self, labelled: Sequence[Piece]) -> None:
        """Decide whether what stands before the colon is a format: 'HOBBY: Brass 1:4, Ember 1:30'."""
        labels = {_format_words(one.label) for one in labelled}
        known = sum(bool(self.formats.heading(label)) for label in labels)
        written = {one.label for one in labelled}
        packed = (
            bool(self.lines.parallels)
            and all(map(phrases.names_unit, written))
            and not any(map(self.lines.subset, written))
        )
        if labelled and (known * 2 > len(labels) or packed):
            self.labels_formats = True
            for label in labels:
                self.formats.add(label)

    def _is_version(self, name: str) -> bool:
        if is_base_version(name):
            return True
        return any(self.lines.parallel(subset, name) for subset in self.lines.ladders)

    def heading(self, one: Paragraph, context: Context) -> str:
        """What a line without odds is: a heading that turns the context, a title or a footnote."""
        line = one.text
        is_sentence = words.FOOTNOTE.match(line) is not None or line.rstrip().endswith(".")
        if unit := unit_in(line):
            context.unit = unit
        if is_sentence or re.search(r"\b(?:19|20)\d\d\b", line):
            return "footnote" if is_sentence else "title"
        if line.rstrip().endswith(","):
            return "title"  # how a letter begins
        bare = line.strip(" :–—-")
        if key := self.formats.heading(_format_words(bare)):
            context.format, context.subset = key, ""
            return "heading"
        if len(listed := self.formats.listed(line)) > 1:
            context.columns = listed
            return "heading"
        if self.under_formats and could_be(bare) and self.lines.subset(bare) == () and not says_odds(line):
            context.format, context.subset = self.formats.add(bare), ""
            return "heading"
        name, _ = subset_names.split_heading(line)
        found = self.lines.subset(name or bare)
        if len(found) == 1:
            context.subset = found[0]
            return "heading"
        if says_odds(line):
            return "title"
        if name and len(name.split()) < 7:
            context.subset = words.smart_case(name)
            return "heading"
        return "title"

    def entries(self, one: Piece, context: Context) -> Iterator[Entry | Unread]:
        """The odds of a piece."""
        side = (
            context.columns if len(context.columns) == len(one.stated) > 1 and not any(one.names[1:]) else ()
        )
        names = (one.names[0],) * len(one.names) if side else one.names
        for place, (name, stated, cell) in enumerate(zip(names, one.stated, one.cells, strict=True)):
            key = stated.format or (side[place] if side else "")
            label = one.label
            parallel = ""
            if self.labels_formats and (known := self.formats.of(_format_words(label))):
                key, label = known, ""
            if name and self.named_formats and (known := self.formats.of(name)):
                key = known
            elif name:
                parallel = name
            yield Entry(
                row=one.row,
                label=self._label(label, parallel, context),
                format=key or context.format,
                cell=cell,
                stated=stated,
            )

    def _label(self, label: str, name: str, context: Context) -> Label:
        """The label of odds under a heading: the words before them are a parallel or name a subset."""
        if label and name:
            return Label(label, name, is_joined=False)
        said = label or name
        if not context.subset:
            return Label(said)
        if not said:
            return Label(context.subset)
        if context.subset not in self.lines.subsets and len(found := self.lines.subset(said)) == 1:
            return Label(found[0])
        if said in self.lines.subsets and not self.lines.parallel(context.subset, said):
            context.subset = said
            return Label(said)
        return Label(context.subset, said, is_joined=False)
