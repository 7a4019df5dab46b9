"""Tries every promise on known laws and writes the table in README: `python tests/trials/run.py --readme`.

At full size it takes under an hour; `--share 0.1` is a tenth of it, `--part` some of it. It ends with 1 where
one is not kept.
"""

from __future__ import annotations

import argparse
import sys
import time
from pathlib import Path

from promises import Result, every  # beside this file

ROOT = Path(__file__).resolve().parents[2]
BEGIN, END = "<!-- trials: python tests/trials/run.py --readme -->", "<!-- end of trials -->"


HEAD = ["| promise | cases | found | limit | kept |", "|---|---|---|---|---|"]


def row(own: list[Result]) -> str:
    """A promise in Markdown, at all numbers of sales that it was tried at; bold is what was not kept."""
    sizes = dict.fromkeys(one.sales for one in own)
    told = [f"at {', '.join(map(str, sizes))} sales"] if own[0].sales else []
    labels = dict.fromkeys(label for one in own for label in one.found)
    told += [f"{label} {', '.join(value_of(own, label, size) for size in sizes)}" for label in labels]
    firsts = (next(one for one in own if one.sales == size) for size in sizes)
    cases = ", ".join(one.cases for one in (firsts if own[0].sales else own))
    kept = "yes" if all(one.kept for one in own) else "**no**"
    return f"| {own[0].promise} | {cases} | {'; '.join(told)} | {own[0].limit} | {kept} |"


def value_of(own: list[Result], label: str, sales: int | None) -> str:
    """What was found at a number of sales, a dash where nothing was asked."""
    one = next((one for one in own if one.sales == sales and label in one.found), None)
    if one is None:
        return "–"
    is_missed = not one.kept and label == next(iter(one.found))
    return f"**{one.found[label]}**" if is_missed else one.found[label]


def table(results: list[Result], before: str) -> str:
    """The results in Markdown; rows of what was not run again stay as they are."""
    rows = {line.split(" | ")[0].removeprefix("| "): line for line in before.splitlines() if line not in HEAD}
    for promise in dict.fromkeys(one.promise for one in results):
        rows[promise] = row([one for one in results if one.promise == promise])
    return "\n".join([*HEAD, *(line for line in rows.values() if line)])


def write(results: list[Result]) -> None:
    """Into README, between the marks."""
    path = ROOT / "README.md"
    before, rest = path.read_text(encoding="utf-8").split(BEGIN)
    old, after = rest.split(END)
    path.write_text(f"{before}{BEGIN}\n\n{table(results, old)}\n\n{END}{after}", encoding="utf-8")


def main() -> int:
    """Runs, prints, and writes where asked."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--share", type=float, default=1.0, help="how much of the full size is run")
    asked.add_argument("--part", default="", help="only trials whose names hold this")
    asked.add_argument("--seed", type=int, default=20310715)
    asked.add_argument("--readme", action="store_true", help="write the rows into README.md")
    given = asked.parse_args()
    results = []
    for name, one in every(given.share, given.seed):
        if given.part not in name:
            continue
        start = time.process_time()
        for found in one():
            results.append(found)
            took = time.process_time() - start
            kept = "kept" if found.kept else "NOT KEPT"
            told = "; ".join(f"{label} {value}" for label, value in found.found.items())
            sales = f", {found.sales} sales" if found.sales else ""
            print(f"{kept}  {found.promise}{sales}: {found.cases}, {told}  ({took:.0f} s)", flush=True)
        if given.readme:
            write(results)
    return 0 if all(one.kept for one in results) else 1


if __name__ == "__main__":
    sys.exit(main())
