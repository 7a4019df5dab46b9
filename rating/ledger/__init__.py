"""The ledger: an append-only database of reviews. All SQL of the program stands in this folder."""
