"""The kernels of a release: numbers in, numbers out; they know no cards, files or clock.

`packs` and `strips` say how many packs odds and print runs imply, `chances` how likely cards fall,
`collecting` what a full set takes, `sums` what many draws bring together, `robust_fit` fits a model to
prices, `shares` cuts a cost and finds tiers, `offers` finds the price at which a choice turns. Each checks
its input by `checked`.
"""
