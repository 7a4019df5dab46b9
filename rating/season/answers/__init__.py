"""What persons answer, in their own files: scores and points, read and written with comments kept."""
