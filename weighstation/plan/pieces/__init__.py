"""A dough on hand -> pieces, target, and what is left over."""
