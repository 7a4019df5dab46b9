"""What the sections of facts print with: the parts of `rating.cli.shared` under one name."""

from rating.cli.shared.opening import not_counted, opened
from rating.cli.shared.options import AsJson, Release, SeasonFolder, Today
from rating.cli.shared.printing import data, heading, paragraph, say
from rating.cli.shared.refusing import hold_to, refuse
from rating.cli.shared.tables import fits, shorten, table

__all__ = (
    "AsJson", "Release", "SeasonFolder", "Today", "data", "fits", "heading", "hold_to", "not_counted",
    "opened", "paragraph", "refuse", "say", "shorten", "table",
)  # fmt: skip
