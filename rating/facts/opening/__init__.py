"""The section on opening."""
