"""What all tests share."""

from __future__ import annotations

from hypothesis import settings

# a busy machine must not fail a property; the number of examples bounds the time
settings.register_profile("boxwright", deadline=None, max_examples=60)
settings.load_profile("boxwright")
