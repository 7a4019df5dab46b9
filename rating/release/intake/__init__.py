"""What makers and markets publish, in whatever layout it comes, turned into the tidy tables.

`take_in` is the door: files in, tables staged and swapped in together, every row accounted for. `forget`
takes back what a file brought.
"""

from __future__ import annotations

from rating.release.intake.entry import forget, take_in
from rating.release.intake.values import Answers, IntakeResult, SeasonWords, TeamWords

__all__ = ["Answers", "IntakeResult", "SeasonWords", "TeamWords", "forget", "take_in"]
