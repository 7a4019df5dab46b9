"""Cells that hold more than a name: teams behind names, and remarks such as a short print or a redemption.

How names and teams are parted is told by all cells of a list together: by brackets, by the mark whose right
side recurs as a small set of teams does, or by the last words that many names share.
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from rating.release.intake import looks, people, words

_REDEMPTION = (
    r"(?:issued\s+as\s+)?(?:an?\s+)?(?:redemption|exchange|exch|voucher)(?:\s+card)?|redeem(?:able|ed)?"
)
_SHORT = r"(?:super\s+)?short[\s-]*print(?:ed|s)?|low\s+sp"
_REMARK = re.compile(
    rf"\s*(?:[\[(]\s*(?P<a>{_REDEMPTION}|{_SHORT}|S{{1,2}}P)\s*[\])]"
    rf"|(?:\s[-–—,]\s*|\s|^)(?P<b>{_REDEMPTION}|{_SHORT})(?=\s*(?:$|[-–—/(\[|,;]))"
    r"|\s(?:[-–—]\s)?(?P<c>(?-i:S{1,2}P))(?=\s*(?:$|[-–—/(\[|,;]))"
    r"|(?:,|\s[-–—]|;|\s\|)\s*(?P<d>\d{1,4}\s+copies|(?:limited|numbered) to \d{1,4}"
    r"|#['’]?d\s*(?:to\s*|/\s*)?\d{1,4})\s*$)",
    re.IGNORECASE,
)
_BRACKET = re.compile(r"\s*[(\[]([^()\[\]]+)[)\]]")
_ROOKIE = re.compile(r"\s*(?:rc|r|rk|rookie(?:\s+card)?)\.?\s*\Z", re.IGNORECASE)
_PLENTY = 8  # names with known teams behind them
_LONGEST = 500  # letters of a cell with names
_SEPARATORS = (" – ", " — ", " - ", " | ", " / ", " • ", "; ", ": ", " @ ", ", ")


@dataclass(slots=True)
class Said:
    """What a cell says: names as they stand, teams where it has them, and remarks on the card."""

    names: str
    teams: str = ""
    remarks: list[str] = field(default_factory=list)


def without_remarks(cell: str) -> tuple[str, list[str]]:
    """A cell without its remarks on the card, and the remarks."""
    found: list[str] = []
    if len(cell) > _LONGEST:
        return cell, found
    while hit := _REMARK.search(cell):
        found.append(next(one for one in hit.groups() if one))
        cell = f"{cell[: hit.start()]}{cell[hit.end() :]}".strip()
        if not cell:
            break
    return cell, found


@dataclass(frozen=True, slots=True)
class Parting:
    """How the cells of a list part names and teams: in brackets, by a mark, by known endings, or not."""

    by: str = ""  # "brackets", "mark" or "words"
    mark: str = ""
    teams: frozenset[str] = frozenset()

    def read(self, cell: str) -> Said:
        """A cell in its parts."""
        bare, remarks = without_remarks(cell)
        if self.by == "brackets":
            names, teams = _bracketed(bare)
        elif self.by == "mark":
            names, teams = _parted(bare, self.mark)
        elif self.by == "words" and bare.count(" / ") == 2:
            # 'Ada Quill / Bo Ray Harbour / Quay': the first team stands behind the second name
            one, middle, last = bare.split(" / ")
            other, team = self._ending(middle)
            names, teams = (f"{one} / {other}", f"{team} / {last}") if team else (bare, "")
        elif self.by == "words":
            names, teams = self._ending(bare)
        else:
            names, teams = bare, ""
        return Said(names, teams, remarks)

    def _ending(self, cell: str) -> tuple[str, str]:
        bare = people.unmarked(cell)[0]
        marks = cell[len(bare) :] if cell.startswith(bare) else ""
        parts = bare.split()
        for place in range(1, len(parts)):
            if " ".join(parts[place:]) in self.teams:
                return " ".join(parts[:place]) + marks, " ".join(parts[place:])
        return cell, ""


def parting(cells: Iterable[str], is_team: Callable[[str], bool]) -> Parting:
    """How the cells of a list part names from teams, nothing where they do not."""
    bare = [without_remarks(cell)[0] for cell in cells if cell]
    if len(bare) < 2:
        return Parting()
    tails = [_bracketed(cell)[1] for cell in bare]
    if _are_teams([tail for tail in tails if tail], len(bare), is_team):
        return Parting("brackets")
    best: tuple[float, str] = (0.0, "")
    for mark in _SEPARATORS:
        pairs = [_parted(cell, mark) for cell in bare]
        right = [tail for _, tail in pairs if tail]
        if not _are_teams(right, len(bare), is_team):
            continue
        coded = sum(looks.CODE.match(tail) is not None for tail in right) * 10 > 9 * len(right)
        single = sum(" " in name.strip() for name, tail in pairs if tail) * 2 < len(right)
        if mark == ", " and single and not coded:
            continue  # 'Quill, Ada': the left side is one word, and 'ADA' would be a code
        known = sum(map(is_team, right)) / len(right)
        worth = len(right) / len(bare) + known - len(set(right)) / len(right)
        if worth > best[0]:
            best = (worth, mark)
    if best[1]:
        return Parting("mark", best[1])
    teams = _endings(bare, is_team)
    return Parting("words", teams=teams) if teams else Parting()


def _are_teams(tails: Sequence[str], number: int, is_team: Callable[[str], bool]) -> bool:
    """Whether what stands behind names is teams: nearly all names have one, and they recur or are known."""
    known = sum(map(is_team, tails))
    if len(tails) >= _PLENTY and known * 10 >= len(tails) * 9:
        return True  # those without have theirs in a heading
    if len(tails) * 10 < number * 7 or not tails:
        return False
    worded = sum(any(mark.isalpha() for mark in tail) and not _ROOKIE.match(tail) for tail in tails)
    if worded * 10 < len(tails) * 9 or any(len(tail) > 70 for tail in tails):
        return False
    if known * 10 >= len(tails) * 6:
        return True
    single = [part for tail in tails for part in re.split(r"\s*/\s*|\s+&\s+", tail)]
    return len(set(single)) * 10 <= len(single) * 7 and len(single) >= 8 and len(set(single)) > 2


def _bracketed(cell: str) -> tuple[str, str]:
    """'Ada Quill (Harbour) / Bo Ray (Quay)' as names and teams; a mark, '(RC)' or '(debut)', is no team."""
    teams: list[str] = []

    def take(hit: re.Match[str]) -> str:
        if _ROOKIE.match(hit[1]) or hit[1].strip().islower():
            return hit[0]
        teams.append(hit[1].strip())
        return ""

    names = _BRACKET.sub(take, cell)
    return (names.strip(), " / ".join(teams)) if teams else (cell, "")


def _parted(cell: str, mark: str) -> tuple[str, str]:
    """A name and what stands behind the last mark; persons with a team each are put together."""
    if mark not in cell:
        return cell, ""
    sides = cell.split(" / ")
    if len(sides) > 1 and mark != " / " and all(mark in side for side in sides):
        told = [_parted(side, mark) for side in sides]
        return " / ".join(name for name, _ in told), " / ".join(team for _, team in told)
    name, tail = cell.rsplit(mark, 1)
    if mark == " / " and name.count(mark) == 2:
        one, other, team = name.split(mark)
        return f"{one} / {other}", f"{team} / {tail}"
    tail, more = people.unmarked(tail)[0], tail
    if more != tail and _ROOKIE.search(more):
        name = f"{name} (RC)"
    if words.ROOKIE.fullmatch(tail) or _ROOKIE.match(tail):
        return cell, ""
    return name.strip(), tail.strip()


def _endings(cells: Sequence[str], is_team: Callable[[str], bool]) -> frozenset[str]:
    """The last words that belong to many names: the longest that nearly all who share a shorter one share.

    A rookie's mark recurs behind names as a team does; it is none.
    """
    cells = [people.unmarked(cell)[0] for cell in cells]
    before: dict[str, set[str]] = defaultdict(set)
    for cell in cells:
        parts = cell.split()
        for place in range(max(1, len(parts) - 5), len(parts)):
            before[" ".join(parts[place:])].add(" ".join(parts[:place]))
    teams: Counter[str] = Counter()
    without = 0
    for cell in cells:
        parts = cell.split()
        chosen = ""
        for place in range(1, len(parts)):
            tail = " ".join(parts[place:])
            if is_team(tail):
                chosen = tail
                break
        last = parts[-1] if parts else ""
        for place in range(2, len(parts)):
            tail = " ".join(parts[place:])
            if not chosen and len(before[tail]) > 2 and len(before[tail]) * 5 >= len(before[last]) * 4:
                chosen = tail
        if chosen:
            teams[chosen] += 1
        else:
            without += 1
    return frozenset(teams) if without * 5 < len(cells) else frozenset()
