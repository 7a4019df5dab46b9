"""How well the program reads makers: right, open, set aside, wrong and lost, by kind of fact and by feature.

python tests/makers --seeds 0:40                the makers of these seeds
python tests/makers --fixed                     the forty that stay the same
python tests/makers --hand                      the makers made by hand
python tests/makers --seeds 0:40 --answered     a second intake answers the questions of the first
python tests/makers --fixed --given             all but the checklist, which is there already
python tests/makers --seeds 7 --show wrong      every fact of a maker that came out wrong
"""

from __future__ import annotations

import argparse
import json
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from makers import FIXED
from makers.hand import hand_cases
from makers.maker import Case, make
from makers.scoring.answers import answers
from makers.scoring.compare import OUTCOMES, Verdict, compare
from makers.scoring.report import Report
from makers.scoring.run import give_checklist, set_up, take_in
from makers.scoring.written import read_written

GROUPS = {
    "checklist": "checklist",
    "parallel": "parallels",
    "odds": "odds",
    "sold": "sold list",
    "slot": "slots",
}
SOLD_TITLES = "sold title"


@dataclass(frozen=True, slots=True)
class Score:
    """What became of the facts of one case."""

    name: str
    features: frozenset[str]
    verdicts: tuple[Verdict, ...]
    seconds: float
    code: int
    silent: bool

    def count(self) -> Counter[str]:
        """How many facts came out how."""
        return Counter(one.outcome for one in self.verdicts)


def group_of(kind: str) -> str:
    """The group that a kind of fact is counted in."""
    if kind == SOLD_TITLES:
        return "sold titles"
    return GROUPS.get(kind.split(maxsplit=1)[0], "sell sheet")


def score(case: Case, folder: Path, *, answered: bool = False, given: bool = False) -> Score | None:
    """The score of the program on a case, run in an empty folder.

    With `given`, the true checklist stands in the release before, and only what other files state is counted;
    None where no other file is left.
    """
    season = set_up(case, folder)
    if given:
        case = give_checklist(case, season)
        if not case.files:
            return None
    outcome = take_in(case, folder)
    if answered and outcome.answer.get("questions"):
        chosen = answers(outcome.answer["questions"], case.truth)
        if chosen:
            outcome = take_in(case, folder, answers=chosen)
    verdicts = compare(case.truth, read_written(outcome.folder), Report(outcome.answer))
    if given:
        verdicts = [one for one in verdicts if group_of(one.kind) not in {"checklist", "parallels"}]
    silent = not outcome.answer
    return Score(case.name, case.features, tuple(verdicts), outcome.seconds, outcome.code, silent)


def table(title: str, rows: Iterable[tuple[str, Counter[str]]]) -> list[str]:
    """Lines with the shares of outcomes, a row a name."""
    lines = [f"{title:38}{'facts':>8}" + "".join(f"{name:>11}" for name in OUTCOMES)]
    for name, counts in rows:
        whole = sum(counts.values())
        shares = "".join(f"{100 * counts[one] / whole:10.2f}%" if whole else f"{'-':>11}" for one in OUTCOMES)
        lines.append(f"{name[:37]:38}{whole:8}{shares}")
    return lines


def by_kind(scores: Sequence[Score]) -> list[tuple[str, Counter[str]]]:
    """Outcomes of every group and kind of fact."""
    kinds: dict[str, Counter[str]] = defaultdict(Counter)
    for one in scores:
        for verdict in one.verdicts:
            kinds[group_of(verdict.kind).upper()][verdict.outcome] += 1
            kinds[verdict.kind][verdict.outcome] += 1
    order = sorted(
        kinds, key=lambda kind: (group_of(kind.lower()) if kind.islower() else kind.lower(), kind.islower())
    )
    return [(kind, kinds[kind]) for kind in order]


def by_feature(scores: Sequence[Score]) -> list[tuple[str, Counter[str]]]:
    """Outcomes of the cases with each feature, the one with most wrong and lost first."""
    features: dict[str, Counter[str]] = defaultdict(Counter)
    for one in scores:
        for feature in one.features:
            features[feature] += one.count()
    return sorted(features.items(), key=lambda item: -_badness(item[1]))


def _badness(counts: Counter[str]) -> float:
    return (counts["wrong"] + counts["lost"]) / max(1, sum(counts.values()))


def tell(scores: Sequence[Score], *, worst: int) -> str:
    """The whole account."""
    total = sum((one.count() for one in scores), Counter[str]())
    lines = table("all", [("every fact", total)])
    lines += ["", *table("by kind of fact", by_kind(scores))]
    lines += ["", *table("by feature, the worst first", by_feature(scores))]
    bad = sorted(scores, key=lambda one: -_badness(one.count()))[:worst]
    lines += [
        "",
        *table(
            "the worst", [(f"{one.name} (exit {one.code}, {one.seconds:.1f} s)", one.count()) for one in bad]
        ),
    ]
    silent = [one.name for one in scores if one.silent]
    seconds = sorted(one.seconds for one in scores)
    lines += ["", f"{len(scores)} cases; {sum(seconds):.0f} s in all, the longest {seconds[-1]:.1f} s"]
    if silent:
        lines.append(f"{len(silent)} got no answer at all: {', '.join(silent)}")
    return "\n".join(lines)


def _seeds(text: str) -> list[int]:
    if ":" in text:
        low, high = text.split(":")
        return list(range(int(low), int(high)))
    return [int(part) for part in text.split(",")]


def main(argv: Sequence[str] | None = None) -> int:
    """Score the program and print the account."""
    parser = argparse.ArgumentParser(
        prog="python tests/makers", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--seeds", type=_seeds, default=[], help="0:40, or 3,17,201")
    parser.add_argument("--fixed", action="store_true", help="the forty seeds that stay the same")
    parser.add_argument("--hand", action="store_true", help="the makers made by hand")
    parser.add_argument(
        "--answered", action="store_true", help="answer the program's questions from the truth"
    )
    parser.add_argument(
        "--given", action="store_true", help="the true checklist is there already: try the other files alone"
    )
    parser.add_argument("--jobs", type=int, default=1, help="cases at a time")
    parser.add_argument("--worst", type=int, default=10, help="how many of the worst to name")
    parser.add_argument("--show", choices=OUTCOMES, help="list the facts that came out so")
    parser.add_argument("--keep", type=Path, help="keep seasons and files in this folder")
    parser.add_argument("--json", type=Path, help="write counts by case, kind and feature to this file")
    given = parser.parse_args(argv)
    seeds = [*given.seeds, *(FIXED if given.fixed else ())]
    makers = [lambda seed=seed: make(seed).case() for seed in seeds]
    makers += [lambda case=case: case for case in hand_cases()] if given.hand else []
    if not makers:
        parser.error("name --seeds, --fixed or --hand")

    def run(at: int) -> Score | None:
        case = makers[at]()
        with tempfile.TemporaryDirectory() as temporary:
            folder = (given.keep or Path(temporary)) / case.name.replace(" ", "-")
            folder.mkdir(parents=True)
            return score(case, folder, answered=given.answered, given=given.given)

    with ThreadPoolExecutor(given.jobs) as pool:
        scores = [one for one in pool.map(run, range(len(makers))) if one is not None]
    print(tell(scores, worst=given.worst))
    if given.show:
        for one in scores:
            for verdict in one.verdicts:
                if verdict.outcome == given.show:
                    print(
                        f"{one.name} · {verdict.kind} · {verdict.about}"
                        f" · {verdict.truth!r} · {verdict.written!r}"
                    )
    if given.json:
        given.json.write_text(json.dumps(_plain(scores), indent=1, ensure_ascii=False), encoding="utf-8")
    return 0


def _plain(scores: Sequence[Score]) -> dict[str, object]:
    return {
        "kinds": {kind: dict(counts) for kind, counts in by_kind(scores)},
        "features": {feature: dict(counts) for feature, counts in by_feature(scores)},
        "cases": {
            one.name: {**one.count(), "seconds": round(one.seconds, 2), "exit": one.code} for one in scores
        },
    }
