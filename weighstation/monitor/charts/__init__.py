"""The run of first cuts on control charts, as a whole or one by one, and what signals there."""
