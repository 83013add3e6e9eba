"""How dough is made up and what it loses: formula, stage losses, an order to the bowl."""
