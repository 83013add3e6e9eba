"""Who is let in: what every request must pass."""
