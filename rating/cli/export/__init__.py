"""The commands under `boxwright export`: files for a co-host, a sponsor and the viewers."""
