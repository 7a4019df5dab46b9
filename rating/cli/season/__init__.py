"""The commands that make a season or add to it: demo, start, add."""
