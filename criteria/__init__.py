"""The criteria of the standard rubric, one module each."""
