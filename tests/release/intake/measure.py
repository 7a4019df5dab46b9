"""Measure how well a list of sales is matched: `python tests/release/intake/measure.py FILE... ANSWERS`.

The files are those to take in, the checklist first; the answers are a JSON file with `sold`: a list of
objects with title, subset, parallel, number and, where titles repeat, date and price. Rows that are in no
answer are counted apart. The exit code is 0 with at least 98 % matched rightly and at most 0.3 % wrongly.
"""

from __future__ import annotations

import argparse
import csv
import json
import sys
import tempfile
from collections import Counter
from datetime import date
from pathlib import Path

from rating.release.intake import SeasonWords, take_in

LEAST_RIGHT, MOST_WRONG = 0.98, 0.003


def main(argv=None):
    """Take the files in, compare with the answers, print and judge."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("answers", type=Path)
    parser.add_argument("--currency", default="USD")
    parser.add_argument("--today", default="2031-07-15")
    parser.add_argument("--show", type=int, default=10, help="how many of the wrong and missing to print")
    told = parser.parse_args(argv)
    answers = json.loads(told.answers.read_text(encoding="utf-8"))["sold"]
    with tempfile.TemporaryDirectory() as folder:
        take_in(
            Path(folder),
            told.files,
            season=SeasonWords(currency=told.currency),
            today=date.fromisoformat(told.today),
        )
        with (Path(folder) / "sales.csv").open(encoding="utf-8", newline="") as file:
            sales = list(csv.DictReader(file))
    found = compare(sales, answers)
    total = len(answers)
    print(f"{total} sales in the answers, {len(sales)} taken")
    for name in ("right", "wrong", "without a card", "missing", "in no answer"):
        number = len(found[name])
        print(f"{name:16}{number:6}  {100 * number / total:6.2f} %")
        for one in found[name][: told.show] if name != "right" else ():
            print(f"    {one}")
    good = len(found["right"]) >= LEAST_RIGHT * total and len(found["wrong"]) <= MOST_WRONG * total
    print("within the target" if good else "outside the target")
    return 0 if good else 1


def compare(sales, answers):
    """Sales sorted by how they stand to the answers; the same title sold twice is told by date and price."""
    left = {}
    for one in answers:
        left.setdefault(one["title"], []).append(one)
    found = {name: [] for name in ("right", "wrong", "without a card", "missing", "in no answer")}
    for sale in sales:
        waiting = left.get(sale["title"], [])
        if not waiting:
            found["in no answer"].append(sale["title"])
            continue
        answer = max(waiting, key=lambda one: _likeness(one, sale))
        waiting.remove(answer)
        card = tuple(sale[name] for name in ("subset", "parallel", "number"))
        wanted = tuple(answer[name] or "" for name in ("subset", "parallel", "number"))
        if card == wanted:
            found["right"].append(sale["title"])
        elif not sale["subset"]:
            found["without a card"].append(f"{sale['title']!r} is {wanted}")
        else:
            found["wrong"].append(f"{sale['title']!r} is {wanted}, not {card}")
    found["missing"] = [one["title"] for waiting in left.values() for one in waiting]
    return found


def _likeness(answer, sale):
    same = Counter()
    for name, weight in (("date", 2), ("price", 2), ("number", 1), ("parallel", 1)):
        same["points"] += weight * (str(answer.get(name, "")) == sale[name])
    return same["points"]


if __name__ == "__main__":
    sys.exit(main())
