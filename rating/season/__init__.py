"""A season on disk: its folder, its settings, its releases, and all of it as one object.

A script begins with `rating.open_season`. Public, for it and for the commands:

- `season`: `Season`, a thin front that lists what a Python user gets
- `files`: `SeasonFiles`, the folder and its ledger, each file read once; `recorded`: `Recorded`, the reviews
- `recording`: `Draft`, a review as it would be recorded; recording it and withdrawing one
- `keeping`: looking after the ledger: backups, lines of JSON, copies joined; `proving`: proofs of its grades
- `history`: what changed from review to review; `amending`: notes beside a review, corrections in its place
- `handed`: exports/log.csv, which says to whom exports went; `due`: what of the ledger is due
- `place`: where a season is, by names alone; `folder`: finding, starting and reading a season's folder
- `intake`: taking makers' files in for a release; `taking_in`: a score sheet that comes back
- `beside`: what is told with a recorded grade: the price line, and scores far overruled
- `check`: every problem of a season at once; `sample`: laying out the sample season with its history
- `pricing`: a price put into prices.csv; `noting`: a box put into opened.csv; `tonight`: what is left to do
- `health`: whether all is well around it
- `days`: the day that counts as today
- `settings`: what season.toml and its like declare; `scoring`: what persons say; `lookup`: finding a person

Private: `context` (what the facts of a release need to know of others), `ranking` and `calendar` (questions
to what was recorded), `outrun` (what files say otherwise than a review), `slots` (a break of a release),
`frames` (tables for notebooks), `makers` (answers about a maker's documents, and their layouts), `teams`
(teams added to season.toml), `cache` (what follows from a release's files, in the user's folder). None of
these knows the front.
"""

__all__ = [
    "amending",
    "beside",
    "check",
    "days",
    "due",
    "files",
    "folder",
    "handed",
    "health",
    "history",
    "intake",
    "keeping",
    "lookup",
    "noting",
    "place",
    "pricing",
    "proving",
    "recorded",
    "recording",
    "sample",
    "scoring",
    "season",
    "settings",
    "taking_in",
    "tonight",
]
