"""Numbers in, numbers out: how scores become a grade, a place, an agreement. numpy only.

Public, for scripts and notebooks as for the program:

- `exact`: `grade_tenths` and `grade_bounds`, the published grade in whole numbers, and `is_apart`; without
  numpy, so that every command can start fast
- `rank`: `competition_ranks`, `mean_ranks` and which are `tied`, exactly; without numpy
- `combine`: `weighted_mean`, `weighted_geometric_mean`, `topsis`, `promethee` and `declared_distance`, the
  fair ways of making one number of many, and `weight_shares`
- `agreement`: `kendall_tau` and `spearman` of two orders, `kendall_w` and `krippendorff_alpha` of raters
- `weights`: from a rank order (`rank_order_centroid`, `rank_sum`, `rank_reciprocal`), from comparisons in
  pairs (`pairwise`, and the `parts` that they join), from the data alone (`entropy`, `standard_deviation`,
  `critic`)

>>> from rating.core import agreement, combine
>>> combine.weighted_mean([[80, 60], [50, 90]], weights=[3, 1]).tolist()
[75.0, 60.0]
>>> agreement.kendall_w([[1, 2, 3], [1, 3, 2]]).value
0.75
"""

__all__ = ["agreement", "combine", "exact", "rank", "weights"]
