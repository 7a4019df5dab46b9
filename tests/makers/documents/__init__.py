"""How a release is written down: a layout drawn from a grammar, and one writer a kind of document."""
