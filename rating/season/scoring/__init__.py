"""What persons score and how much it counts, in files of theirs that are read and edited with comments kept.

Public: `scores`, what the raters say in scores.toml; `sheet`, what stands in a score sheet that comes back;
`weights`, points in a file of answers and in rubric.toml. Private: `editing`, how a person's TOML is edited.
"""

__all__ = ["scores", "sheet", "weights"]
