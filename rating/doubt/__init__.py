"""How sure a place is: the reviews as one table, what-if, other rules, ranges, what a landing moved."""
