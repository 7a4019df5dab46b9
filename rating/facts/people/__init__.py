"""The section on people."""
