"""The commands under `boxwright ledger`: what was recorded, taking a review out, proving it unaltered."""
