"""Days of a journal -> what was given away in them, and why.

``giveaway`` reads the integers of runs and the cells of their tallies, never the pieces.
"""
