"""The section on economics."""
