"""The section on advice."""
