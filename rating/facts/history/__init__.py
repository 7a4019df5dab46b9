"""The section on history."""
