"""A season on disk: its folder, its settings, its releases, and all of it as one object.

`season` is what a Python user sees. It stands on `files` (the folder and its ledger, each file read once),
`context` (what the facts of a release need to know of others), `recording` (drafts, reviews, withdrawals),
`ranking` and `calendar` (questions to what was recorded) and `frames` (tables for notebooks); none of these
knows the front.
"""
