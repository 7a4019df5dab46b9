"""The commands under `boxwright criteria`: the questions of the rubric, and testing a module of your own."""
