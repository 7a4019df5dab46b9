"""What the facts of a release need to know of the rest of its season, and of the seasons before."""
