"""The section on returns."""
