"""What a season declares of itself.

Public: `config`, the settings in season.toml; `help_lines`, where people find help; `wishes`, the buyers that
rubric.toml asks picks for. Private: `breaks` (house rules and slots) and `teams`, parts of season.toml.
"""

__all__ = ["config", "help_lines", "wishes"]
