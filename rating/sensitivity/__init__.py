"""How sure a place is, asked of arrays: m releases, n criteria, complete or not. numpy and scipy only.

The other half, `rating.doubt`, puts the same questions to the reviews of a season, in modules of the same
names. Public, for scripts and notebooks as for the program:

- `ranges`: `rank_shares`, how often each release takes each place when weights and scores are drawn, with
  ranges that hold all at once, and `rank_ranges`, the places that are left when the ends are cut off
- `grades`: `likely_grade`, between which tenths the doubt of its scores leaves a grade
- `wins`: `win_shares`, the exact chance that one release beats another while only weights are open
- `spans`: `weight_spans`, between which shares of one weight the order and the leader hold
- `swaps`: `smallest_change`, the nearest weights at which two releases are level; `nearest_weights` for many
  pairs at once
- `moves`: `to_place` and `to_pass`, the fewest points moved that give a published place or put one release
  above another, proved by integer programmes or with a bound
- `drivers`: `sobol` and `linear_indices`, what the variance of a number hangs on

>>> from rating.sensitivity import spans, wins
>>> scores = [[70, 40], [50, 65]]
>>> round(float(wins.win_shares(scores)[0, 1]), 4)  # the first leads where its weight is over 5/9
0.4444
>>> round(float(spans.weight_spans(scores, weights=[2, 1]).low[0]), 4)
0.5556

Private: `drawing` draws and counts, `uncertain` checks what is put in, `searching`, `leading` and
`programmes` find what `moves` tells.
"""

__all__ = ["drivers", "grades", "moves", "ranges", "spans", "swaps", "wins"]
