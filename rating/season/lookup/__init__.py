"""Looking up a person over a season's releases.

Public: `finder`, every card of a person with its chances and price. Private: `catalogue`, who is on which
card of a release, kept ready in the user's cache folder.
"""

__all__ = ["finder"]
