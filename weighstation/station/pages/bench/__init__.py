"""The bench page: the newest picture to every viewer, and what is touched back to the bench."""
