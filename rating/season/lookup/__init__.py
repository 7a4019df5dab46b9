"""Looking up a person over a season's releases, from catalogues that are kept ready."""
