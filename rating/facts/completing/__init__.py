"""The section on completing."""
