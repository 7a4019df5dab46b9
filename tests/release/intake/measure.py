"""How well a sold list was matched: the share of sales found, and of those found wrongly.

    python tests/release/intake/measure.py SALES ANSWERS

SALES is a sales.csv that an intake wrote, ANSWERS a CSV with title, date, price, subset, parallel, number.
"""

from __future__ import annotations

import csv
import sys
from collections import Counter
from pathlib import Path


def measure(sales, answers):
    """Numbers of answers, of them matched rightly, and of sales matched to another card."""
    with Path(sales).open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    with Path(answers).open(encoding="utf-8", newline="") as file:
        right = list(csv.DictReader(file))
    key = ("title", "date", "price")
    card = ("subset", "parallel", "number")
    wanted = Counter(tuple(row[name] for name in (*key, *card)) for row in right)
    listed = {tuple(row[name] for name in key) for row in right}
    found = Counter(tuple(row[name] for name in (*key, *card)) for row in rows if row["subset"])
    good = sum((wanted & found).values())
    known = sum(number for one, number in found.items() if one[:3] in listed)
    return len(right), good, known - good


if __name__ == "__main__":
    number, good, wrong = measure(*sys.argv[1:])
    print(f"{number} sales: {good} matched ({good / number:.2%}), {wrong} wrongly ({wrong / number:.2%})")
