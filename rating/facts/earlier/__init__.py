"""The section on earlier."""
