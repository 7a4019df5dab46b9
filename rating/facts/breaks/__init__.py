"""How a break is cut: owners, house rules, what slots are worth, cost and are asked for, and picks."""
