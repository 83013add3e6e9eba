"""Temperatures, weights, places -> when boards are ready and how the oven takes them."""
