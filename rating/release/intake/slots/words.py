"""What hosts write of slots: prices with marks beside them, how a slot is sold, and which teams it names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from rating import money, text
from rating.release.intake import days, people
from rating.release.intake.market import cells
from rating.release.intake.people import Teams
from rating.release.intake.values import SeasonWords, TeamWords
from rating.release.intake.words import fold

MOST = Decimal(1_000_000)
BREAK = re.compile(
    r"\bpyt\b|\bpick\s+(?:your|ur|a|any)\s+(?:team|spot|slot|club)s?\b|\brandom(?:i[sz]ed)?\s+(?:team|spot|slot)s?\b"
    r"|\b(?:case|box|group|team|live|random|hit|division|mixer)[\s-]+breaks?\b|\bbreaks?\s*#?\s*\d"
    r"|\b(?:spot|slot)s?\b|\bteam draft\b",
    re.IGNORECASE,
)
SAYS_BREAK = re.compile(r"\bpyt\b|\bbreaks?\b|\bpick\s+(?:your|a)\b|\brandom\s+teams?\b", re.IGNORECASE)
OF_CASES = re.compile(
    r"(?<!of )(?<!per )\b(?:half an?|one|a|\d{1,2}(?:[.,]5)?)\s+(?:\w+\s+)?cases?\b", re.IGNORECASE
)
NO_SLOT = re.compile(
    r"\W*(?:(?:sub|grand)?[\s-]*totals?|counts?\Z|rows\Z|listings\Z|entries\Z|lines\Z|sums?|averages?|avg|mean|median|shipping|postage|fees?|tax(?:es)?"
    r"|(?:case|box|boxes|product)\s+(?:price|cost)|cost of (?:case|box)\w*|profit|margin|remaining|left"
    r"|spots? (?:left|sold|remaining)|sold out|minimum|maximum|min|max)\b",
    re.IGNORECASE,
)
CANCELLED = re.compile(r"\b(?:cancel(?:l)?ed|refunded|void(?:ed)?|postponed|withdrawn)\b", re.IGNORECASE)
_HOW = (
    (
        "draft",
        re.compile(
            r"\b(?:team|snake|live)\s+draft\b|\bdraft\s+(?:break|order|pick|style|spot|slot)s?\b|\A\W*draft\W*\Z",
            re.IGNORECASE,
        ),
    ),
    ("random", re.compile(r"\brandom(?:i[sz]ed|s|ly)?\b|\bteams? (?:is|are|will be) drawn\b", re.IGNORECASE)),
    ("auction", re.compile(r"\bauctions?\b|\bbid(?:s|ding)?\b|\bhammer\b", re.IGNORECASE)),
    ("offer", re.compile(r"\boffers?\b|\bobo\b", re.IGNORECASE)),
    (
        "fixed",
        re.compile(
            r"\bpyt\b|\bpick\s+(?:your|ur|a|any)\s+(?:team|spot|slot|club)s?\b|\bfixed\b|\bbin\b|\bask(?:ing|ed)?\b"
            r"|\bbuy[\s-]*(?:it[\s-]*)?now\b|\bset price\b|\bfirst come\b",
            re.IGNORECASE,
        ),
    ),
)
_AMOUNT = r"\d{1,3}(?:[.,'\u2019\s]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d{1,2})?|\d+\.\d{3,}|[.,]\d{2}"
_MARK = rf"(?:{cells.MARK})"
_CODE = r"(?:USD|EUR|GBP|CAD|AUD|NZD|JPY|CHF|SEK|NOK|DKK|PLN|BRL|INR|CZK|HKD|SGD)"
_MONEY = re.compile(
    rf"(?:~~)?(?:(?<!\w)[-−])?(?:(?:{_MARK}|\b{_CODE})\s?-?\d[\d.,'\u2019]*|(?<![\w/#.,])\d[\d.,]*\s?(?:{_MARK}|{_CODE}\b"
    r"|dollars\b|bucks\b|euros?\b))(?:~~)?",
    re.IGNORECASE,
)
_PLAIN_END = re.compile(
    r"(?<![\w/#.,$€£-])-?\d{1,7}(?:[.,]\d{2})?(?=\s*(?:\||$|\(|sold|taken|each))", re.IGNORECASE
)
_NOT_PRICED = re.compile(
    r"\W*(?:n\.?\s?/?\s?a\.?|none|tb[ad]|sold(?:\s+out)?|taken|gone|filled|claimed|closed|paid|reserved|pending"
    r"|held|x|open|available|full)?\W*",
    re.IGNORECASE,
)
_BESIDE = re.compile(
    rf"{_MARK}|\b{_CODE}\b|\b(?:dollars|bucks|euros?|pounds?|z[łl]|kč|kr|sold(?:\s+out)?|taken|claimed|paid"
    r"|filled|gone|available|open|left|each|ea|only|per|an?|spot|slot|team|firm|obo|or best offer|price|now"
    r"|for|ask(?:ing|ed)?|shipped|(?:free )?shipping|incl(?:uding|uded)?|bin|auction|fixed|random"
    r"|(?:high|current|winning)?\s?bid)\b",
    re.IGNORECASE,
)
_WAS = re.compile(
    rf"\b(?:was|reg(?:ular(?:ly)?)?|originally|instead of|down from)\b\W*(?:{_AMOUNT})", re.IGNORECASE
)
_STRUCK = re.compile(r"(?:[^\s\u0336]\u0336)+")
_JOINT = re.compile(r"\s*(?:[/+;,|]|&|\b(?:and|with)\b|\bw/)\s*", re.IGNORECASE)
_AROUND = re.compile(
    r"^[\s•*▪·–—>|:#-]*(?:\d{1,2}[.):]\s+|\[[ x]?\]\s*)?|~~|\u0336"
    r"|[\s(\[–—:|=>.…*-]*(?:\b(?:sold(?: out)?|taken|claimed|filled|gone|open|paid)\b[)\]!.*]*)?\s*$",
    re.IGNORECASE,
)


def how_in(words: str) -> str:
    """How a text says that slots are sold; nothing where it says nothing, or two things."""
    found = [how for how, pattern in _HOW if pattern.search(words)]
    return found[0] if len(found) == 1 or found[:1] == ["draft"] else ""


def price_in(cell: str, season: SeasonWords) -> Decimal | None:
    """The price in a cell in whole cents, None where it only says that there is none.

    A price that is struck out and followed by another gave way to it; struck out alone, it is that of a slot
    that is gone.

    Raises
    ------
    ValueError
        if the cell holds anything but one amount above 0, with the words that hosts write beside it
    """
    bare = _STRUCK.sub(lambda found: f"~~{found[0].replace(chr(0x336), '')}~~", cell.replace("\n", " "))
    now = re.sub(r"~~.*?~~", " ", bare)
    bare = now if re.search(r"\d", now) else bare.replace("~~", " ")
    if _NOT_PRICED.fullmatch(bare) and not bare.strip().startswith("#"):
        return None
    rest = re.sub(r"\(\s*(?:\)|\Z)", "", _BESIDE.sub(" ", _WAS.sub(" ", bare)))
    rest = re.sub(r"[.,][-–—]\s*\Z", "", rest.strip(" \t:;*!|")).strip()
    if re.fullmatch(r"[-−–]\s*[\d.,]+", rest):
        raise ValueError("is below 0")
    if not re.fullmatch(_AMOUNT, rest, re.ASCII):
        several = len(days.amounts_in(rest, season.decimal_mark)) > 1
        raise ValueError("holds several amounts" if several else "is not an amount")
    is_computed = re.fullmatch(r"\d+\.\d{4,}|0\.\d{3}", rest)
    amount = Decimal(rest) if is_computed else days.amounts_in(rest, season.decimal_mark)[0]
    if money.cents(amount) <= 0:
        raise ValueError("is 0")
    if amount > MOST:
        raise ValueError("is more than any slot costs")
    return money.cents(amount)


def is_marked(price: str) -> bool:
    """Whether an amount has the mark of a currency beside it."""
    return _MONEY.search(price) is not None


def parted(line: str) -> tuple[str, str, str] | None:
    """A line such as 'Otters - $45 (sold)' as what stands before its price, the price, and what follows."""
    found = list(_MONEY.finditer(line)) or list(_PLAIN_END.finditer(line))[-1:]
    if not found:
        return None
    first, last = found[0].start(), found[-1].end()
    return line[:first], line[first:last], line[last:]


def segments(line: str) -> list[str]:
    """A line of several slots, each with its price, as one part for each; any other line whole."""
    parts = [part.strip() for part in re.split(r"\s*[|;•·]\s*|,\s+", line) if part.strip()]
    are_slots = len(parts) > 1 and all(
        (told := parted(part)) is not None and re.search(r"[^\W\d_]{2}", told[0]) and not told[2].strip(" .)")
        for part in parts
    )
    return parts if are_slots else [line]


def bare_slot(cell: str) -> str:
    """A slot's name without bullets, numbering and 'sold' beside it."""
    bare, before = text.tidy(cell.replace("\n", " ")), ""
    while bare != before:
        bare, before = _AROUND.sub("", bare).strip(), bare
    return re.sub(r"(?<=\w)\s+(?:spot|slot)\Z", "", bare, flags=re.IGNORECASE)


class SlotNames:
    """The teams that slots may name: the season's, or the checklist's where the season has none yet."""

    def __init__(self, season: SeasonWords, teams: Sequence[str] = ()) -> None:
        known = season.teams or tuple(TeamWords(name=name) for name in dict.fromkeys(teams))
        self._teams = Teams(SeasonWords(teams=known))
        self.are_known = bool(known)
        self._names = {text.key(team.name): team.name for team in known}
        self._spellings = [one for team in known for one in (team.name, *team.aliases)]
        ends: dict[str, set[str]] = {}
        for team in known:
            parts = fold(team.name).split()
            for place in range(1, len(parts)):
                for end in (" ".join(parts[place:]), " ".join(parts[:place])):
                    ends.setdefault(end, set()).add(team.name)
        # a nickname or a town that only one team has
        self._ends = {
            end: next(iter(names)) for end, names in ends.items() if len(names) == 1 and len(end) > 3
        }

    def team(self, cell: str) -> str:
        """The team that a cell names whole, by the season's name for it, or nothing."""
        if self._teams.knows(cell) or self._teams.knows(cell.upper()):
            named = self._teams.named(cell)
            return self._names.get(text.key(named), named)
        return self._ends.get(fold(cell), "")

    def teams(self, cell: str) -> list[str]:
        """The teams that a cell names, one or several joined by marks; none where a part is unknown."""
        if not cell:
            return []
        joints = [(0, 0), *(found.span() for found in _JOINT.finditer(cell)), (len(cell), len(cell))][:10]
        return self._along(cell, joints)

    def _along(self, cell: str, joints: Sequence[tuple[int, int]]) -> list[str]:
        start = joints[0][1]
        for place in range(len(joints) - 1, 0, -1):  # the longest first: a team's own name may hold an '&'
            if name := self.team(cell[start : joints[place][0]].strip()):
                rest = self._along(cell, joints[place:]) if place < len(joints) - 1 else []
                if rest or place == len(joints) - 1:
                    return [name, *rest]
        return []

    def _by_end(self, part: str) -> str:
        """The team whose own last words a name ends with, the words before it but a letter or two away."""
        from rapidfuzz.distance import OSA

        words = fold(part).split()
        for place in range(1, len(words)):
            if name := self._ends.get(" ".join(words[place:]), ""):
                whole = fold(name)
                return name if OSA.distance(whole, " ".join(words), score_cutoff=2) <= 2 else ""
        return ""

    def near(self, cell: str) -> str:
        """The slot's name with its misspelt or damaged teams mended; nothing where none is near."""
        parts = [part.strip() for part in re.split(r"\s*[/+]\s*", cell) if part.strip()]
        found = []
        for part in parts:
            name = self.team(part) or self.team(people.restored(part, self._spellings))
            if not name:
                misses = people.near_misses([part], self._spellings)
                name = self.team(misses[0][1]) if misses else self._by_end(part)
            found.append(name)
        return " + ".join(found) if all(found) else ""
