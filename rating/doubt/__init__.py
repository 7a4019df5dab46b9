"""How sure a place is, asked of the reviews of a season: what holds, what would change it, what it hangs on.

Three words for one topic, a use each. `rating.sensitivity` is the arithmetic, on arrays; `doubt` asks it of
recorded reviews, gaps and published tenths included, in modules of the same names; `stability` is what the
command of that name answers: everything that doubt knows about one place. Public:

- `score_table`: `ScoreTable`, the current reviews as one table, on which all others work; `table_of` makes it
- `ranges`: the places that doubt about weights and scores leaves, and whose weights put a release first
- `spans`: how far the points of one criterion can go before two releases change places, exactly
- `swaps`: whole tenths of points that really swap two published places: `over`, `lift`, `dethrone`
- `why`: the difference of two grades by criterion, in tenths that sum to it
- `drivers`: which points and which scores a grade and a place hang on
- `nudges`: the smallest change of one criterion that moves a place: its margin
- `levels`: from which share of simulations on a place is firm, and how a share is told
- `firmness`: whether a place is firm, in a sentence, with its margin
- `stability`: all of these about one place, or the leader's and the whole order
- `rules`: the other fair ways of combining scores, and a place under each
- `what_if`: other points and scores, criteria or releases left out, another rule: places before and after
- `points`: what a whole set of other points does, and the points that the scores alone would give
- `landing`: what moved when a release landed or between two days, and what decided it
"""

__all__ = [
    "drivers",
    "firmness",
    "landing",
    "levels",
    "nudges",
    "points",
    "ranges",
    "rules",
    "score_table",
    "spans",
    "stability",
    "swaps",
    "what_if",
    "why",
]
