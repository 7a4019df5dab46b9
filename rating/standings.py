"""Reading the ledger: the ranking of a season's current reviews on any day, and its movement."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import combinations

from rating import tenths, text
from rating.core import exact
from rating.core.rank import competition_ranks, tied
from rating.ledger.ledger import Entry, ScoreEntry
from rating.rubric.rubric import verdict_of

# fewer releases say nothing of whether price decides; a correlation from here on is too much
FEWEST_AUDITED, TOO_MUCH = 8, Decimal("0.4")


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One release's place. Grades are tenths; where it is ranked apart it has neither ranks nor a verdict.

    `movement` is in places gained (up is positive), None for a release that was not there before.
    """

    release: str
    title: str
    rank: int | None
    class_rank: int | None
    price_class: str
    tied: bool
    grade: int | None
    lowest: int | None
    highest: int | None
    verdict: str
    stage: str
    partial: bool
    ranked_apart: bool
    movement: int | None
    review: str
    seq: int
    released_on: str
    published_on: str
    log_price: str
    rubric: str

    @property
    def place(self) -> str:
        """The rank as it is shown: '3', '=4' where it is shared, '' where there is none."""
        if self.rank is None:
            return ""
        return f"={self.rank}" if self.tied else str(self.rank)

    @property
    def moved(self) -> str:
        """The movement as it is shown: '+2', '-1', '0', 'new'."""
        if self.rank is None:
            return ""
        return "new" if self.movement is None else f"{self.movement:+d}" if self.movement else "0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Restated:
    """A release's standing as it was published, and what its review comes to by today's rubric."""

    published: Standing
    restated: Standing

    @property
    def differs(self) -> bool:
        """Whether it has another place, or a place in one of them only."""
        return self.published.rank != self.restated.rank


def current(entries: Sequence[Entry], *, as_of: date | None = None, stage: str = "") -> dict[str, Entry]:
    """The review of each release that counts on a day: the last published by then, unless withdrawn.

    With a stage, the last one of that stage; a withdrawn release has none.
    """
    last: dict[str, Entry] = {}
    limit = as_of.isoformat() if as_of is not None else "9999-12-31"
    withdrawn = set()
    for entry in entries:
        if entry.published_on > limit:
            continue
        if entry.withdrawn:
            withdrawn.add(entry.release)
        else:
            withdrawn.discard(entry.release)
            if stage and entry.stage != stage:
                continue
        held = last.get(entry.release)
        if held is None or entry.published_on >= held.published_on:
            last[entry.release] = entry
    # a release reviewed anew after it was withdrawn has no review of an earlier stage any more
    return {
        release: entry for release, entry in last.items() if release not in withdrawn and not entry.withdrawn
    }


def is_apart(entry: Entry) -> bool:
    """Whether more than a quarter of the points that apply are unknown, or nothing is known at all."""
    return entry.grade is None or exact.is_apart(entry.unknown_points, entry.applying_points)


def places(entries: Mapping[str, Entry]) -> dict[str, int]:
    """The competition rank of each release on its published grade; ranked-apart releases have none."""
    ranked = [(release, entry.grade) for release, entry in entries.items() if not is_apart(entry)]
    ranks = competition_ranks([grade for _, grade in ranked if grade is not None])
    return {release: rank for (release, _), rank in zip(ranked, ranks, strict=True)}


def standings(
    entries: Sequence[Entry],
    rubric_texts: Mapping[str, str],
    *,
    as_of: date | None = None,
    since: date | None = None,
    stage: str = "",
    price_class: str = "",
) -> list[Standing]:
    """The ranking as of a day, best first; ties in order of release date, then name; those apart at the end.

    Parameters
    ----------
    entries : the ledger's entries in the order they were added
    rubric_texts : the canonical text of each rubric by its hash
    since : movement is counted against the standings of that day; by default against those before the most
        recent review of another release
    price_class : show this class only; ranks stay those of the whole season
    """
    here = current(entries, as_of=as_of, stage=stage)
    rank = places(here)
    shared = dict(zip(rank, tied(tuple(rank.values())), strict=True))
    in_class = _class_places(here)
    before = _before(entries, as_of=as_of, since=since, stage=stage)
    ranking = []
    for release, entry in here.items():
        apart = is_apart(entry)
        old = before(release)
        ranking.append(
            Standing(
                release=release,
                title=entry.title,
                rank=rank.get(release),
                class_rank=in_class.get(release),
                price_class=entry.price_class,
                tied=shared.get(release, False),
                grade=entry.grade,
                lowest=entry.lowest,
                highest=entry.highest,
                verdict=""
                if apart or entry.grade is None
                else verdict_of(rubric_texts[entry.rubric], entry.grade),
                stage=entry.stage,
                partial=entry.unknown_points > 0,
                ranked_apart=apart,
                movement=old - rank[release] if old is not None and not apart else None,
                review=entry.id,
                seq=entry.seq,
                released_on=entry.released_on,
                published_on=entry.published_on,
                log_price=entry.log_price,
                rubric=entry.rubric,
            )
        )
    ranking.sort(key=_order)
    return [row for row in ranking if not price_class or row.price_class == price_class]


def _order(row: Standing) -> tuple[bool, int, str, str]:
    return (
        row.ranked_apart,
        -(row.grade if row.grade is not None else -1),
        row.released_on,
        text.key(row.title),
    )


def _class_places(entries: Mapping[str, Entry]) -> dict[str, int]:
    bands: dict[str, dict[str, Entry]] = {}
    for release, entry in entries.items():
        if entry.price_class:
            bands.setdefault(entry.price_class, {})[release] = entry
    return {release: rank for band in bands.values() for release, rank in places(band).items()}


def _before(
    entries: Sequence[Entry], *, as_of: date | None, since: date | None, stage: str
) -> Callable[[str], int | None]:
    """The rank of a release before: on the day `since`, or before the last review of another release."""
    if since is not None:
        return places(current(entries, as_of=since, stage=stage)).get
    limit = as_of.isoformat() if as_of is not None else "9999-12-31"
    told = [
        entry
        for entry in entries
        if entry.published_on <= limit and (not stage or entry.stage == stage or entry.withdrawn)
    ]
    told.sort(key=lambda entry: entry.published_on)  # those of one day stay in the order of the ledger
    if not told:
        return lambda _: None
    newest = told[-1].release
    others = places(current(told[:-1], stage=stage))
    last_other = next((place for place in reversed(range(len(told))) if told[place].release != newest), 0)
    own = places(current(told[:last_other], stage=stage))
    return lambda release: own.get(release) if release == newest else others.get(release)


# two criteria whose computed scores correlate by more than this rank releases nearly alike
TOO_ALIKE = Decimal("0.85")


@dataclass(frozen=True, slots=True, kw_only=True)
class Audit:
    """Rank correlations, six digits, None where a column is constant or has under three releases.

    with_price
        per criterion, and 'grade', against the logarithm of the headline box's price
    between
        for each pair of criteria
    alike
        the pairs whose computed scores, whatever people made of them, go together by more than `TOO_ALIKE`:
        nearly one question asked twice; the strongest first
    """

    releases: int
    with_price: Mapping[str, Decimal | None]
    between: Mapping[tuple[str, str], Decimal | None]
    alike: tuple[tuple[str, str, Decimal], ...] = ()


def audit(
    rows: Sequence[Standing],
    scores: Mapping[int, Sequence[ScoreEntry]],
    computed: Mapping[int, Mapping[str, int]],
) -> Audit:
    """Whether price decides by the back door, and which criteria ask the same: Spearman's rho.

    Parameters
    ----------
    scores : the published scores of each review by its number
    computed : what was computed of them, by review and criterion, also where a person overruled it
    """
    priced = [row for row in rows if row.log_price and row.rank is not None]
    prices = {row.seq: Decimal(row.log_price) for row in priced}
    columns: dict[str, dict[int, Decimal]] = {
        "grade": {row.seq: Decimal(row.grade) for row in priced if row.grade is not None}
    }
    for row in priced:
        for scored in scores[row.seq]:
            if scored.score is not None:
                columns.setdefault(scored.criterion, {})[row.seq] = Decimal(scored.score)
    names = ["grade", *sorted(name for name in columns if name != "grade")]
    own: dict[str, dict[int, Decimal]] = {}
    for row in priced:
        for name, score in computed[row.seq].items():
            own.setdefault(name, {})[row.seq] = Decimal(score)
    alike = [
        (first, second, rho)
        for first, second in combinations(sorted(own), 2)
        if (rho := _correlation(own[first], own[second])) is not None and abs(rho) > TOO_ALIKE
    ]
    return Audit(
        releases=len(priced),
        with_price={name: _correlation(columns[name], prices) for name in names},
        between={
            (first, second): _correlation(columns[first], columns[second])
            for place, first in enumerate(names[1:], start=1)
            for second in names[place + 1 :]
        },
        alike=tuple(sorted(alike, key=lambda one: (-abs(one[2]), one[:2]))),
    )


def price_decides(found: Audit) -> str:
    """Whether price decides, in a sentence: with its interval, and only where enough releases say it."""
    rho = found.with_price.get("grade")
    if rho is None or found.releases < FEWEST_AUDITED:
        priced = text.count(found.releases, "ranked release has", "ranked releases have")
        return (
            f"Too few priced releases to tell whether price decides the grade: {priced} a price, and it "
            f"takes {FEWEST_AUDITED}."
        )
    from rating.core.agreement import spearman_interval  # numpy is loaded for an audit only

    low, high = spearman_interval(float(rho), found.releases) or (-1.0, 1.0)
    ends = " and ".join(tenths.fixed(tenths.six_digits(end), 2) for end in (low, high))
    words = (
        f"Over {found.releases} ranked releases the rank correlation of grade and price is "
        f"{tenths.fixed(rho, 2)} (between {ends} with 90 % confidence)"
    )
    if low <= 0 <= high:
        return f"{words}: no sign that price decides the grade."
    if abs(rho) < TOO_MUCH:
        return f"{words}: they go together, but by less than the {TOO_MUCH} that would be too much."
    return f"{words}: price goes with the grade more than it should."


def _correlation(first: Mapping[int, Decimal], second: Mapping[int, Decimal]) -> Decimal | None:
    from rating.core.agreement import spearman  # numpy is loaded for an audit only

    both = sorted(first.keys() & second.keys())
    if len(both) < 3:
        return None
    rho = spearman([float(first[seq]) for seq in both], [float(second[seq]) for seq in both])
    return None if rho is None else tenths.six_digits(rho)


def last_show(entries: Sequence[Entry], *, as_of: date) -> date | None:
    """The last day but one with a review, up to a day; None where there is none."""
    days = sorted({entry.published_on for entry in entries if entry.published_on <= as_of.isoformat()})
    return date.fromisoformat(days[-2]) if len(days) > 1 else None


def notice(rows: Sequence[Standing]) -> str:
    """Who leads a ranking, with what grade, and how far ahead of the next, in a sentence."""
    ranked = [row for row in rows if row.rank is not None]
    if not ranked:
        return "Nothing is ranked yet."
    return f"{_lead(ranked, text.short_names({row.release: row.title for row in rows}))}."


def _lead(ranked: Sequence[Standing], names: Mapping[str, str]) -> str:
    """Who leads, with what grade, and how far ahead of the next."""
    first, *others = ranked
    leaders = [names[row.release] for row in ranked if row.rank == first.rank]
    grade = first.grade or 0
    if len(leaders) > 1:
        return f"{text.listed(leaders)} lead with {tenths.show(grade)}"
    head = f"{leaders[0]} leads with {tenths.show(grade)}"
    if not others:
        return head
    gap = grade - (others[0].grade or 0)
    return f"{head}, {tenths.show(gap)} ahead of {names[others[0].release]}"
