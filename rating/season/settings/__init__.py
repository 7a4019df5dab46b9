"""What a season declares of itself: season.toml, the help lines, and the buyers that its rubric picks for."""
