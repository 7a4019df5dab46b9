"""The section on content."""
