"""What commands answer to scripts: values in, plain dicts and lists out, with no files and no printing.

Grades, scores and points are numbers or None here, whole tenths everywhere else. A place is called rank,
places gained are called movement. What facts answer, each section says itself. A module per command:
`criteria`, `explain`, `facts`, `grading`, `health` (doctor), `intake`, `ledger`, `lookup` (find), `opened`,
`price`, `proofs`, `scoring` (scoresheet, take-in), `slots`, `stability`, `standings` with `doubt`, `tonight`,
`weights`, `what_if`, `why`; `files` for those that read or write files, `tables` for what an export
holds, `parts` for what several share. `schemas` are what all of them are held to.
"""

__all__ = [
    "criteria",
    "doubt",
    "explain",
    "facts",
    "files",
    "grading",
    "health",
    "intake",
    "ledger",
    "lookup",
    "opened",
    "parts",
    "price",
    "proofs",
    "schemas",
    "scoring",
    "slots",
    "stability",
    "standings",
    "tables",
    "tonight",
    "weights",
    "what_if",
    "why",
]
