"""The rubric: which questions count for how much, and what a grade tells a buyer to do."""
