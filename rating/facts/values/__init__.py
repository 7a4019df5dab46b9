"""The section on values."""
