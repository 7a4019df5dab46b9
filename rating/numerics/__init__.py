"""The kernels of a release: numbers in, numbers out; they know no cards, files or clock.

Public, for scripts and notebooks as for the program:

- `packs`: `packs_by_format`, how many packs odds and print runs imply and which lines clash, and
  `copies_of_line`, what follows for an unnumbered one, `rates_of_line`, how often a numbered one falls
- `rates`: `odds_interval` and `rate_by_odds`, what printed odds can mean
- `chances`: `none_in_packs`, `counts_in_run` and `hit_counts`, how likely cards fall; `compare_opened`, boxes
  really opened against stated odds
- `outlook`: `Outlook`, what some packs hold of a set of cards, and the models it can go by
- `collecting`: what a full set takes, in packs (`expected_packs`, `packs_for_completion`, the chance of
  `completed_within`), in boxes (`expected_boxes`) and in money (`best_boxes_then_singles`)
- `draws`: numbers of draws, such as `Different`, packs that hold no card twice, and the chance of `none_of`
  some cards
- `sums`: what many draws bring together, as a `distribution` or by its `moments`
- `robust_fit`: a model of prices that outliers do not bend
- `shares`: `cost_shares`, `concentration` and `tiers`
- `special`: the few functions of statistics that everyday commands ask for, without scipy
- `offers`: the `best` of several offers, and the `turning_price` at which a choice turns

>>> from rating.numerics import collecting
>>> collecting.expected_packs(6, 1)  # as many throws as it takes to see every side of a die
14.7
>>> collecting.completed_within(2, 1, packs=2)
0.5

Private: `pack_sums` adds up packs of different cards, `strips` holds the lines of odds in the space of packs,
`programmes` solves what they ask for, `checked` checks what is put in.
"""

__all__ = [
    "chances",
    "collecting",
    "draws",
    "offers",
    "outlook",
    "packs",
    "rates",
    "robust_fit",
    "shares",
    "special",
    "sums",
]
