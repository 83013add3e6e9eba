"""Weights of batches -> control charts, in letters or as pictures.

Charts are of first cuts, which show the process; kept pieces are drawn beside their band and never
judged. `picture` alone draws with matplotlib.
"""
