"""The ledger: an append-only database of reviews. All SQL of the program stands in this folder.

Public: `ledger` with `Ledger`, which appends, reads and verifies, and the copied values that it reads fast,
`Entry` a review and `ScoreEntry` a score, `Head` what it ends with and `Note` what was said later; `backups`,
`merging` what two copies hold, `lines` a ledger as JSON, `verifying`; `proof` by which a stranger checks one
grade; `merkle`, the tree of all reviews and its head, and the `head` that stands outside of the file.
Private: `schema`, the tables and their guards; `copies`, the rows that say again what a review says; `notes`
beside reviews; `opening` the file, which a `journal` may lie beside; `faults` by their names;
`check_proof` a script that stands alone.
"""

__all__ = ["backups", "head", "ledger", "lines", "merging", "merkle", "proof", "verifying"]
