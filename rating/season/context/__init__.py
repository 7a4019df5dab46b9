"""What the facts of a release need to know of the rest of its season, and of the seasons before.

Public: `facts` with `SeasonFacts`, which gives the facts of releases; `frozen`, what the recorded reviews of
a release settle for its next one. Private: `demand` (who is wanted), `donors` (whose prices are carried
over), `editions` (the earlier ones of a release).
"""

__all__ = ["facts", "frozen"]
