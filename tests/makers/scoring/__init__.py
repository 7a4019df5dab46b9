"""Trying a reader on cases: running it, reading what it wrote, and holding that against the truth."""
