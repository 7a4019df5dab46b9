"""What a maker and the market say about a release, and the tidy tables that hold it.

Each table is declared once, as a value of `rating.release.tables.Table`: `CHECKLIST.read(path)` gives its
rows and what is wrong with them, `CHECKLIST.to_text(rows)` the text of the file, `CHECKLIST.frame(rows)` a
data frame, and `CHECKLIST.columns` says of each column what it holds. `TABLES` are all nine, those of a
release and then those of a season.
"""

from rating.release.checklist import CHECKLIST, ODDS, PARALLELS
from rating.release.market import OPENED, PRICES, SALES, SLOTS
from rating.release.people import DEMAND, ROOKIES

TABLES = (CHECKLIST, PARALLELS, ODDS, PRICES, SALES, SLOTS, OPENED, ROOKIES, DEMAND)

__all__ = (
    "CHECKLIST",
    "DEMAND",
    "ODDS",
    "OPENED",
    "PARALLELS",
    "PRICES",
    "ROOKIES",
    "SALES",
    "SLOTS",
    "TABLES",
)
