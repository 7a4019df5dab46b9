"""The section on scarcity."""
