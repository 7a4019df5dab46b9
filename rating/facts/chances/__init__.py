"""The section on chances."""
