"""What cards are worth: sales by card, the model of prices, prices carried over, and who is wanted.

- `matching`: which sales can be used, and how many copies a card has; `card_model`: what a card goes for
- `level`: how sure a sum of values is
- `carrying`: prices to carry over to another release; `demand`: how much collectors want each subject
- `value`: what single cards are worth, thousands of numbers to compute with, told to nobody
"""

__all__ = [
    "card_model",
    "carrying",
    "demand",
    "level",
    "matching",
    "value",
]
