"""The ledger: an append-only database of reviews. All SQL of the program stands in this folder.

Public: `ledger` with `Ledger`, which appends, reads and verifies, and the copied values that it reads fast,
`Entry` a review and `ScoreEntry` a score. Private: `schema`, the tables and their guards.
"""

__all__ = ["ledger"]
