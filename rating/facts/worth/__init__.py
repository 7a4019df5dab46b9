"""What cards are worth: sales by card, the model of prices, prices carried over, and who is wanted."""
